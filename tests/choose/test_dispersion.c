// SPDX-License-Identifier: MIT
//
// Measures of spread against closed forms, published values and GEOS.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <geos_c.h>
#include <math.h>
#include <stdlib.h>

#include "choose/dispersion.h"
#include "choose_check.h"
#include "choose_random.h"

// Sizes, areas and mean nearest distances of public point patterns with their ratios, as printed by
// the R package spatstat.explore 3.0-6 (clarkevans, no edge correction).
static void the_ratio_is_that_of_published_patterns(void **state) {
    (void)state;
    static const struct {
        int count;
        double area, mean, ratio;
    } patterns[] = {{62, 1, 0.03928432, 0.6186502}, {42, 1, 0.1289729, 1.67168},
        {65, 1, 0.06598661, 1.064002}, {71, 9600, 7.907541, 1.360082},
        {126, 100, 0.3964366, 0.889998}, {584, 40000, 3.443067, 0.8320547}, {4, 4, 1, 2}};
    for (size_t i = 0; i < sizeof patterns / sizeof *patterns; i++)
        assert_near(sel_clark_evans(patterns[i].mean, patterns[i].count, patterns[i].area),
            patterns[i].ratio, 1e-6 * patterns[i].ratio);
}

// Clark & Evans (1954): 2 for a square lattice, 2.149 for a triangular one, each point having its
// share of the area to itself.
static void lattices_have_their_ratio(void **state) {
    (void)state;
    struct sel_choice_point square[400], triangular[400];
    double nearest[400];
    for (int i = 0; i < 400; i++) {
        int row = i / 20, col = i % 20;
        square[i] = (struct sel_choice_point){100.0 * col, 100.0 * row};
        triangular[i] =
            (struct sel_choice_point){100.0 * col + 50.0 * (row % 2), 50 * sqrt(3) * row};
    }
    double mean = sel_nearest_mean(square, 400, nearest);
    assert_near(sel_clark_evans(mean, 400, 400 * 100.0 * 100.0), 2, 1e-9);
    assert_near(nearest[7], 100, 1e-9);
    mean = sel_nearest_mean(triangular, 400, NULL);
    double ratio = sel_clark_evans(mean, 400, 400 * 100.0 * 50 * sqrt(3));
    assert_near(ratio, 2 * sqrt(2 / sqrt(3)), 1e-9);
    assert_near(ratio, 2.149, 5e-4);
}

// Random points have a ratio of about 1; the border raises the mean nearest distance by
// (0.0514 + 0.041 / sqrt n) perimeter / n (Donnelly 1978, from memory).
static void random_points_have_a_ratio_of_one(void **state) {
    (void)state;
    uint64_t random = 5;
    struct sel_choice_point points[1000];
    double sum = 0;
    for (int trial = 0; trial < 40; trial++) {
        for (int i = 0; i < 1000; i++)
            points[i] = (struct sel_choice_point){
                random_between(&random, 0, 1000), random_between(&random, 0, 1000)};
        sum += sel_nearest_mean(points, 1000, NULL);
    }
    double border = (0.0514 + 0.041 / sqrt(1000)) * 4000 / 1000;
    assert_near(sel_clark_evans(sum / 40 - border, 1000, 1e6), 1, 0.01);
}

static void a_set_like_any_other_has_ratio_one_and_an_even_one_more(void **state) {
    (void)state;
    uint64_t random = 9;
    struct sel_choice_item candidates[4000], sites[25], lattice[25];
    for (int i = 0; i < 4000; i++)
        candidates[i] = (struct sel_choice_item){.x_m = floor(random_between(&random, 0, 10000)),
            .y_m = floor(random_between(&random, 0, 10000))};
    double sum = 0;
    struct sel_dispersion d;
    for (int trial = 0; trial < 20; trial++) {
        for (int i = 0; i < 25; i++)
            sites[i] = candidates[random_below(&random, 4000)];
        assert_true(sel_dispersion_measure(sites, 25, candidates, 4000, 1, &d));
        sum += d.ratio;
    }
    assert_near(sum / 20, 1, 0.08);
    for (int i = 0; i < 25; i++)
        lattice[i] = (struct sel_choice_item){
            .x_m = 1000.0 + 2000 * (i % 5), .y_m = 1000.0 + 2000 * (i / 5)};
    assert_true(sel_dispersion_measure(lattice, 25, candidates, 4000, 1, &d));
    assert_near(d.nearest_mean_m, 2000, 1e-9);
    assert_near(d.nearest_least_m, 2000, 1e-9);
    assert_near(d.nearest_most_m, 2000, 1e-9);
    assert_true(d.ratio > 1.7 && d.share_wider == 0);
    assert_near(d.ratio_free, sel_clark_evans(2000, 25, d.ground_m2), 1e-12);
    assert_true(d.balance_ground < 0.002 && d.balance_candidates < 0.02);
}

// A ground 1 long and thin, so that shares follow from the midpoints; cases in closed form after
// Stevens & Olsen (2004), divisor n.
static void the_balance_of_a_segment_is_that_by_hand(void **state) {
    (void)state;
    static const struct {
        double a, b, first, balance;
    } cases[] = {{0.25, 0.75, 0.5, 0}, {0.25, 0.35, 0.3, 0.16}, {0.1, 0.9, 0.5, 0}};
    const double thin = 1e-3;
    struct sel_choice_item corners[] = {{.x_m = 0, .y_m = 0}, {.x_m = 1, .y_m = 0},
        {.x_m = 1, .y_m = thin}, {.x_m = 0, .y_m = thin}};
    struct sel_hull ground;
    assert_true(sel_hull_init(&ground, corners, 4));
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct sel_choice_point sites[] = {{cases[i].a, thin / 2}, {cases[i].b, thin / 2}};
        double areas[2];
        assert_true(sel_voronoi_areas(&ground, sites, 2, areas));
        assert_near(areas[0] / thin, cases[i].first, 1e-9);
        assert_near(sel_voronoi_balance(areas, 2), cases[i].balance, 1e-9);
    }
    sel_hull_clear(&ground);
}

static void four_quadrant_centres_are_in_balance(void **state) {
    (void)state;
    struct sel_choice_item corners[] = {
        {.x_m = 0, .y_m = 0}, {.x_m = 1, .y_m = 0}, {.x_m = 1, .y_m = 1}, {.x_m = 0, .y_m = 1}};
    struct sel_choice_point sites[] = {{0.25, 0.25}, {0.75, 0.25}, {0.25, 0.75}, {0.75, 0.75}};
    struct sel_hull ground;
    double areas[4];
    assert_true(sel_hull_init(&ground, corners, 4));
    assert_true(sel_voronoi_areas(&ground, sites, 4, areas));
    for (int i = 0; i < 4; i++)
        assert_near(areas[i], 0.25, 1e-12);
    assert_near(sel_voronoi_balance(areas, 4), 0, 1e-12);
    sel_hull_clear(&ground);
}

// ---- against GEOS ----

static GEOSGeometry *polygon_of(const struct sel_hull *ground) {
    GEOSCoordSequence *ring = GEOSCoordSeq_create((unsigned)ground->count + 1, 2);
    for (size_t i = 0; i <= ground->count; i++) {
        const struct sel_choice_point *at = &ground->points[i % ground->count];
        GEOSCoordSeq_setXY(ring, (unsigned)i, at->x_m, at->y_m);
    }
    return GEOSGeom_createPolygon(GEOSGeom_createLinearRing(ring), NULL, 0);
}

// The area of the piece of a Voronoi diagram that holds a site, cut to the ground.
static double area_around(
    const GEOSGeometry *diagram, const GEOSGeometry *ground, const struct sel_choice_point *site) {
    GEOSGeometry *point = GEOSGeom_createPointFromXY(site->x_m, site->y_m);
    double area = -1;
    for (int i = 0; i < GEOSGetNumGeometries(diagram) && area < 0; i++) {
        const GEOSGeometry *cell = GEOSGetGeometryN(diagram, i);
        if (!GEOSContains(cell, point))
            continue;
        GEOSGeometry *cut = GEOSIntersection(cell, ground);
        GEOSArea(cut, &area);
        GEOSGeom_destroy(cut);
    }
    GEOSGeom_destroy(point);
    return area;
}

static void cells_agree_with_geos(void **state) {
    (void)state;
    uint64_t random = 13;
    initGEOS(NULL, NULL);
    for (int trial = 0; trial < 30; trial++) {
        struct sel_choice_item candidates[200];
        struct sel_choice_point sites[30];
        GEOSGeometry *points[30];
        double areas[30], all = 0;
        int count = 3 + trial % 28;
        for (int i = 0; i < 200; i++)
            candidates[i] = (struct sel_choice_item){
                .x_m = random_between(&random, 0, 5000), .y_m = random_between(&random, 0, 3000)};
        struct sel_hull ground;
        assert_true(sel_hull_init(&ground, candidates, 200));
        for (int i = 0; i < count; i++) {
            sites[i] = (struct sel_choice_point){candidates[i].x_m, candidates[i].y_m};
            points[i] = GEOSGeom_createPointFromXY(sites[i].x_m, sites[i].y_m);
        }
        GEOSGeometry *sites_all =
            GEOSGeom_createCollection(GEOS_MULTIPOINT, points, (unsigned)count);
        GEOSGeometry *polygon = polygon_of(&ground);
        GEOSGeometry *diagram = GEOSVoronoiDiagram(sites_all, polygon, 0, 0);
        assert_true(sel_voronoi_areas(&ground, sites, count, areas));
        for (int i = 0; i < count; i++) {
            assert_near(areas[i], area_around(diagram, polygon, &sites[i]), 1e-3);
            all += areas[i];
        }
        assert_near(all, ground.area_m2, 1e-3);
        GEOSGeom_destroy(diagram);
        GEOSGeom_destroy(polygon);
        GEOSGeom_destroy(sites_all);
        sel_hull_clear(&ground);
    }
    finishGEOS();
}

static void one_site_has_no_neighbour(void **state) {
    (void)state;
    struct sel_choice_item candidates[] = {
        {.x_m = 0, .y_m = 0}, {.x_m = 9, .y_m = 0}, {.x_m = 0, .y_m = 9}};
    struct sel_dispersion d;
    assert_true(sel_dispersion_measure(candidates, 1, candidates, 3, 1, &d));
    assert_true(isnan(d.nearest_mean_m) && isnan(d.ratio) && isnan(d.share_wider));
    assert_near(d.balance_ground, 0, 1e-12);
    assert_near(d.balance_candidates, 0, 1e-12);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_ratio_is_that_of_published_patterns),
        cmocka_unit_test(lattices_have_their_ratio),
        cmocka_unit_test(random_points_have_a_ratio_of_one),
        cmocka_unit_test(a_set_like_any_other_has_ratio_one_and_an_even_one_more),
        cmocka_unit_test(the_balance_of_a_segment_is_that_by_hand),
        cmocka_unit_test(four_quadrant_centres_are_in_balance),
        cmocka_unit_test(cells_agree_with_geos),
        cmocka_unit_test(one_site_has_no_neighbour),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
