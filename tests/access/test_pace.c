// SPDX-License-Identifier: MIT
//
// Tobler's function against its published table and closed forms.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "access/pace.h"
#include "choose_check.h"

static void the_published_table_is_met(void **state) {
    (void)state;
    FILE *file = fopen(SEL_TEST_REFERENCE "/access_tobler.csv", "r");
    assert_non_null(file);
    char line[512], angle[32];
    int rows = 0;
    while (fgets(line, sizeof line, file)) {
        double slope, km_h, pace, km_h_tolerance, pace_tolerance;
        if (line[0] == '#')
            continue;
        assert_int_equal(sscanf(line, "%31[^,],%lf,%lf,%lf,%lf,%lf", angle, &slope, &km_h, &pace,
                             &km_h_tolerance, &pace_tolerance),
            6);
        assert_near(sel_walk_speed_kmh(slope), km_h, km_h_tolerance);
        assert_near(sel_walk_pace_one_way(slope) * 60, pace, pace_tolerance);
        if (strcmp(angle, "exact") != 0)
            assert_near(tan(strtod(angle, NULL) * acos(-1) / 180), slope, 1e-6);
        rows++;
    }
    fclose(file);
    assert_int_equal(rows, 16);
}

static void off_a_path_the_speed_is_three_fifths(void **state) {
    (void)state;
    assert_near(sel_walk_speed_kmh(0) * SEL_WALK_OFF_PATH, 3.022045, 1e-6); // closed form
}

static void nobody_walks_faster_than_six_km_h(void **state) {
    (void)state;
    for (int i = -3000; i <= 3000; i++)
        assert_true(sel_walk_speed_kmh(i / 1000.0) <= 6);
    assert_near(sel_walk_speed_kmh(-0.05), 6, 1e-12);
}

// The definition: half of out and half of back, straight from 6 exp(-3.5 |s + 0.05|) km/h.
static void the_mean_pace_is_half_of_out_and_half_of_back(void **state) {
    (void)state;
    double last = 0;
    for (int i = 0; i <= 20000; i++) {
        double slope = i / 10000.0;
        double out = 0.06 / (6 * exp(-3.5 * fabs(slope + 0.05)));
        double back = 0.06 / (6 * exp(-3.5 * fabs(-slope + 0.05)));
        double pace = sel_walk_pace(slope);
        assert_near(pace, (out + back) / 2, 1e-14 * (out + back));
        assert_near(sel_walk_pace(-slope), pace, 0);
        assert_true(pace >= last); // least on the flat, rising with steepness
        last = pace;
    }
    assert_true(isinf(sel_walk_pace(1e6)));
}

// 60 min at 5.036742 km/h is 5036.742 m: 201.5 cells of 25 m.
static void the_halo_is_as_far_as_one_can_walk(void **state) {
    (void)state;
    assert_in_range(sel_walk_halo(60, 25), 202, 204);
    assert_in_range(sel_walk_halo(0, 25), 0, 1);
    assert_in_range(sel_walk_halo(30, 10), 252, 254);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_published_table_is_met),
        cmocka_unit_test(off_a_path_the_speed_is_three_fifths),
        cmocka_unit_test(nobody_walks_faster_than_six_km_h),
        cmocka_unit_test(the_mean_pace_is_half_of_out_and_half_of_back),
        cmocka_unit_test(the_halo_is_as_far_as_one_can_walk),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
