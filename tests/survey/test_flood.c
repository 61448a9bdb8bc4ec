// SPDX-License-Identifier: MIT
//
// The rule of docs/method.md, Site attributes (common practice, no source), at its corners.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>

#include "survey/flood.h"

static void a_low_bank_may_flood_far_from_the_water(void **state) {
    (void)state;
    assert_true(sel_may_flood(32.0, 0.06));
    assert_true(sel_may_flood(100.0, 0.99));
    assert_false(sel_may_flood(100.0, 1.0));
    assert_false(sel_may_flood(101.0, 0.0));
}

static void a_raised_bank_may_flood_near_the_water(void **state) {
    (void)state;
    assert_true(sel_may_flood(30.0, 1.3));
    assert_true(sel_may_flood(50.0, 1.99));
    assert_false(sel_may_flood(50.0, 2.0));
    assert_false(sel_may_flood(51.0, 1.5));
}

static void beside_the_water_no_height_is_trusted(void **state) {
    (void)state;
    assert_true(sel_may_flood(25.0, 9.0));
    assert_true(sel_may_flood(0.0, (double)NAN));
    assert_false(sel_may_flood(26.0, 9.0));
}

// Water that lies higher than the place is the worst case, not an exception.
static void a_place_below_the_water_may_flood(void **state) {
    (void)state;
    assert_true(sel_may_flood(80.0, -0.5));
}

static void what_is_not_known_is_no_flood(void **state) {
    (void)state;
    assert_false(sel_may_flood((double)NAN, (double)NAN));
    assert_false(sel_may_flood((double)NAN, 0.5));
    assert_false(sel_may_flood(60.0, (double)NAN));
}

static void a_wet_habitat_without_mapped_water_tells_of_some(void **state) {
    (void)state;
    assert_true(sel_water_is_unmapped((double)NAN, 0.9, 0.2));
    assert_true(sel_water_is_unmapped(101.0, 0.2, 0.6));
    assert_false(sel_water_is_unmapped(100.0, 0.9, 0.9));
    assert_false(sel_water_is_unmapped((double)NAN, 0.5, 0.5));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_low_bank_may_flood_far_from_the_water),
        cmocka_unit_test(a_raised_bank_may_flood_near_the_water),
        cmocka_unit_test(beside_the_water_no_height_is_trusted),
        cmocka_unit_test(a_place_below_the_water_may_flood),
        cmocka_unit_test(what_is_not_known_is_no_flood),
        cmocka_unit_test(a_wet_habitat_without_mapped_water_tells_of_some),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
