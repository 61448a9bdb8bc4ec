// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>

#include "output/columns.h"
#include "output/names.h"

static void ids_take_as_many_digits_as_the_highest_rank(void **state) {
    (void)state;
    struct sel_site sites[2] = {{.rank = 7, .reserve = 2}, {.rank = 99}};
    struct sel_survey survey = {.sites = sites, .site_count = 2};
    char id[SEL_SITE_ID_SIZE];
    sel_site_id(&survey, &sites[0], id);
    assert_string_equal(id, "S07R2");
    sites[1].rank = 1000;
    sel_site_id(&survey, &sites[0], id);
    assert_string_equal(id, "S0007R2");
    sel_primary_id(&survey, 1000, id);
    assert_string_equal(id, "S1000");
}

static void the_compass_has_sixteen_points(void **state) {
    (void)state;
    assert_string_equal(sel_compass_name(0), "north");
    assert_string_equal(sel_compass_name(11.2), "north");
    assert_string_equal(sel_compass_name(11.3), "north-north-east");
    assert_string_equal(sel_compass_name(135), "south-east");
    assert_string_equal(sel_compass_name(270), "west");
    assert_string_equal(sel_compass_name(359), "north");
    assert_string_equal(sel_compass_name(-90), "west");
    assert_string_equal(sel_compass_name((double)NAN), "unknown");
}

static void rounding_keeps_so_many_decimals(void **state) {
    (void)state;
    assert_true(sel_round_to(0.1234564999, 6) == 0.123456);
    assert_true(sel_round_to((double)0.123456f, 6) == 0.123456);
    assert_true(sel_round_to(-0.004, 2) == 0.0);
    assert_false(signbit(sel_round_to(-0.004, 2)));
    assert_true(sel_round_to(1.0 / 3.0, SEL_ALL_DIGITS) == 1.0 / 3.0);
    assert_true(isnan(sel_round_to((double)NAN, 3)));
    assert_true(isinf(sel_round_to((double)INFINITY, 3)));
}

static void bearings_are_whole_and_fold(void **state) {
    (void)state;
    assert_int_equal(sel_whole_bearing(359.6), 0);
    assert_int_equal(sel_whole_bearing(-0.4), 0);
    assert_int_equal(sel_whole_bearing(-90), 270);
    assert_int_equal(sel_whole_bearing(244.5), 245);
    assert_int_equal(sel_whole_axis(179.7), 0);
    assert_int_equal(sel_whole_axis(180.4), 0);
    assert_int_equal(sel_whole_axis(271), 91);
}

// printf takes halves to the even digit; 5.25 and 320.5 are exact.
static void halves_go_away_from_zero(void **state) {
    (void)state;
    assert_true(sel_round_to(5.25, 1) == 5.3);
    assert_true(sel_round_to(-5.25, 1) == -5.3);
    assert_true(sel_round_to(320.5, 0) == 321);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ids_take_as_many_digits_as_the_highest_rank),
        cmocka_unit_test(the_compass_has_sixteen_points),
        cmocka_unit_test(rounding_keeps_so_many_decimals),
        cmocka_unit_test(bearings_are_whole_and_fold),
        cmocka_unit_test(halves_go_away_from_zero),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
