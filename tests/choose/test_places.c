// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "choose/places.h"
#include "choose_random.h"

static void exactly_apart_is_apart(void **state) {
    (void)state;
    struct sel_places places;
    assert_true(sel_places_init(&places, 500, 2));
    assert_false(sel_places_near(&places, 0, 0, SEL_NO_PLACE));
    sel_places_add(&places, 1000, 1000);
    assert_false(sel_places_near(&places, 1300, 1400, SEL_NO_PLACE)); // 3-4-5: 500 m
    assert_true(sel_places_near(&places, 1300, 1399.5, SEL_NO_PLACE));
    assert_true(sel_places_near(&places, 1000, 1000, SEL_NO_PLACE));
    assert_false(sel_places_near(&places, 1000, 1000, 0)); // not counting itself
    sel_places_add(&places, 1001, 1001);
    assert_true(sel_places_near(&places, 1000, 1000, 0));
    sel_places_reset(&places);
    assert_false(sel_places_near(&places, 1000, 1000, SEL_NO_PLACE));
    sel_places_clear(&places);
}

static void without_a_distance_everything_is_apart(void **state) {
    (void)state;
    const double none[] = {0, -5};
    for (int i = 0; i < 2; i++) {
        struct sel_places places;
        assert_true(sel_places_init(&places, none[i], 1));
        sel_places_add(&places, 7, 7);
        assert_false(sel_places_near(&places, 7, 7, SEL_NO_PLACE));
        sel_places_clear(&places);
    }
}

static int brute_near(
    double (*at)[2], size_t count, double x, double y, double apart, size_t except) {
    for (size_t i = 0; i < count; i++) {
        double dx = at[i][0] - x, dy = at[i][1] - y;
        if (i != except && dx * dx + dy * dy < apart * apart)
            return 1;
    }
    return 0;
}

// Whole metres, so that many pairs lie at exactly the distance asked for; both signs.
static void random_places_agree_with_brute_force(void **state) {
    (void)state;
    const double aparts[] = {0.001, 1, 5, 13, 25, 1e6};
    uint64_t random = 3;
    for (int trial = 0; trial < 60; trial++) {
        enum { COUNT = 80 };
        double at[COUNT][2], apart = aparts[trial % 6];
        struct sel_places places;
        assert_true(sel_places_init(&places, apart, COUNT));
        for (size_t i = 0; i < COUNT; i++) {
            at[i][0] = (double)random_below(&random, 200) - 100;
            at[i][1] = (double)random_below(&random, 200) - 100;
            sel_places_add(&places, at[i][0], at[i][1]);
        }
        for (int query = 0; query < 300; query++) {
            double x = (double)random_below(&random, 240) - 120;
            double y = (double)random_below(&random, 240) - 120;
            size_t except = (size_t)random_below(&random, COUNT);
            assert_int_equal(
                sel_places_near(&places, x, y, except), brute_near(at, COUNT, x, y, apart, except));
        }
        sel_places_clear(&places);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exactly_apart_is_apart),
        cmocka_unit_test(without_a_distance_everything_is_apart),
        cmocka_unit_test(random_places_agree_with_brute_force),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
