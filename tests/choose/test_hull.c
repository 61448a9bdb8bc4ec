// SPDX-License-Identifier: MIT
//
// The convex ground against hand-made figures and against GEOS.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <geos_c.h>
#include <math.h>

#include "choose/hull.h"
#include "choose_check.h"
#include "choose_random.h"

static struct sel_choice_item at(double x_m, double y_m) {
    return (struct sel_choice_item){.x_m = x_m, .y_m = y_m};
}

static void figures_by_hand_have_their_area(void **state) {
    (void)state;
    struct sel_choice_item square[] = {
        at(0, 0), at(100, 0), at(50, 50), at(100, 100), at(0, 100), at(0, 50), at(100, 0)};
    struct sel_hull hull;
    assert_true(sel_hull_init(&hull, square, 7));
    assert_int_equal(hull.count, 4);
    assert_near(hull.area_m2, 10000, 1e-9);
    assert_near(hull.length_m, 100, 0);
    sel_hull_clear(&hull);
    struct sel_choice_item triangle[] = {at(0, 0), at(30, 0), at(0, 40)};
    assert_true(sel_hull_init(&hull, triangle, 3));
    assert_near(hull.area_m2, 600, 1e-9);
    sel_hull_clear(&hull);
}

static void points_on_a_line_or_a_spot_have_no_area(void **state) {
    (void)state;
    struct sel_choice_item line[] = {at(10, 10), at(20, 20), at(30, 30), at(15, 15)};
    struct sel_hull hull;
    assert_true(sel_hull_init(&hull, line, 4));
    assert_near(hull.area_m2, 0, 0);
    assert_near(hull.length_m, 20, 0);
    assert_int_equal(hull.count, 2);
    sel_hull_clear(&hull);
    struct sel_choice_item spot[] = {at(5, 7), at(5, 7)};
    assert_true(sel_hull_init(&hull, spot, 2));
    assert_near(hull.area_m2 + hull.length_m, 0, 0);
    sel_hull_clear(&hull);
    assert_true(sel_hull_init(&hull, NULL, 0));
    assert_int_equal(hull.count, 0);
    sel_hull_clear(&hull);
}

static void random_clouds_agree_with_geos(void **state) {
    (void)state;
    uint64_t random = 41;
    initGEOS(NULL, NULL);
    for (int trial = 0; trial < 200; trial++) {
        struct sel_choice_item items[300];
        int count = 3 + (int)random_below(&random, 297);
        GEOSGeometry *points[300];
        for (int i = 0; i < count; i++) {
            double radius = 1000 * sqrt(random_share(&random));
            double angle = random_between(&random, 0, 7);
            bool whole = trial % 2; // many on one line, many twice
            double x = radius * cos(angle), y = radius * sin(angle);
            items[i] = whole ? at(floor(x / 150), floor(y / 150)) : at(x, y);
            points[i] = GEOSGeom_createPointFromXY(items[i].x_m, items[i].y_m);
        }
        GEOSGeometry *all = GEOSGeom_createCollection(GEOS_MULTIPOINT, points, (unsigned)count);
        GEOSGeometry *wanted = GEOSConvexHull(all);
        double area = 0;
        GEOSArea(wanted, &area);
        struct sel_hull hull;
        assert_true(sel_hull_init(&hull, items, (size_t)count));
        assert_near(hull.area_m2, area, 1e-9 * (area + 1));
        if (area > 0)
            assert_int_equal(hull.count, GEOSGetNumCoordinates(wanted) - 1);
        sel_hull_clear(&hull);
        GEOSGeom_destroy(wanted);
        GEOSGeom_destroy(all);
    }
    finishGEOS();
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(figures_by_hand_have_their_area),
        cmocka_unit_test(points_on_a_line_or_a_spot_have_no_area),
        cmocka_unit_test(random_clouds_agree_with_geos),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
