// SPDX-License-Identifier: MIT
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "terrain/clear_sky.h"
#include "terrain/season.h"
#include "terrain/sun_position.h"
#include "terrain_near.h"

static struct sel_season *season_of(struct sel_date from, struct sel_date to, double latitude_deg) {
    struct sel_season *season;
    assert_int_equal(sel_season_new(from, to, latitude_deg, 12.0, 300.0, &season), SEL_OK);
    return season;
}

static const struct sel_date MAY_15 = {2027, 5, 15}, AUGUST_31 = {2027, 8, 31};

static void a_season_has_a_sample_day_per_day_up_to_sixteen(void **state) {
    (void)state;
    const int last[4][2] = {{15, 1}, {20, 6}, {30, 16}, {31, 16}};
    for (int k = 0; k < 4; k++) {
        struct sel_season *season = season_of(MAY_15, (struct sel_date){2027, 5, last[k][0]}, 48.0);
        assert_int_equal(season->days, last[k][1]);
        sel_season_free(season);
    }
}

static void steps_are_sorted_by_direction_and_then_by_height(void **state) {
    (void)state;
    struct sel_season *season = season_of(MAY_15, AUGUST_31, 48.0);
    assert_int_equal(season->group_begin[0], 0);
    for (int group = 0; group < SEL_HORIZON_DIRECTIONS; group++)
        for (int i = season->group_begin[group]; i < season->group_begin[group + 1]; i++) {
            assert_int_equal((int)season->steps[i].azimuth, group);
            assert_true(season->steps[i].tangent > 0.0f);
            if (i > season->group_begin[group])
                assert_true(season->steps[i].tangent >= season->steps[i - 1].tangent);
        }
    sel_season_free(season);
}

// Steps lie about each day's true noon, so half of them come before it, and the hours are those of
// FAO-56 (equation 34, geometric as here).
static void a_day_is_as_long_as_fao_56_has_it_and_half_of_it_is_morning(void **state) {
    (void)state;
    for (int latitude = -50; latitude <= 50; latitude += 25) {
        struct sel_season *season = season_of(MAY_15, AUGUST_31, latitude);
        int steps = season->morning_steps + season->afternoon_steps;
        assert_int_equal(season->group_begin[SEL_HORIZON_DIRECTIONS], steps);
        assert_near(season->morning_steps, season->afternoon_steps, season->days);
        double hours = 0.0;
        for (int day = 135; day <= 243; day++)
            hours += sel_day_length(latitude, day) / 109.0;
        assert_near(steps * 0.25 / season->days, hours, 0.15);
        sel_season_free(season);
    }
}

// The energy of open ground against the clear sky of FAO-56, (0.75 + 2e-5 z) Ra.
static void the_season_s_energy_is_that_of_fao_56_within_a_tenth(void **state) {
    (void)state;
    for (int latitude = 0; latitude <= 50; latitude += 10) {
        struct sel_season *season = season_of(MAY_15, AUGUST_31, latitude);
        double ours = (season->beam_sum + season->diffuse_sum) * 900e-6 / season->days;
        double theirs = 0.0;
        for (int day = 135; day <= 243; day++)
            theirs += 0.756 * sel_daily_extraterrestrial(latitude, day) / 109.0;
        assert_true(ours > 0.9 * theirs && ours < 1.1 * theirs);
        sel_season_free(season);
    }
}

// Equation of time on 20 March 2026: the sun is 7 min 30 s late; on 3 November 16 min 25 s early
// (almanac; from memory).
static void the_middle_day_turns_true_into_mean_solar_time(void **state) {
    (void)state;
    struct sel_season *spring =
        season_of((struct sel_date){2026, 3, 20}, (struct sel_date){2026, 3, 20}, 40.0);
    assert_near(spring->true_to_mean_h * 60.0, 7.5, 0.3);
    struct sel_season *autumn =
        season_of((struct sel_date){2026, 11, 1}, (struct sel_date){2026, 11, 5}, 40.0);
    assert_near(autumn->true_to_mean_h * 60.0, -16.42, 0.3);
    sel_season_free(spring);
    sel_season_free(autumn);
}

static void the_path_crosses_the_meridian_at_noon(void **state) {
    (void)state;
    struct sel_season *north = season_of(MAY_15, AUGUST_31, 48.0);
    struct sel_season *south = season_of(MAY_15, AUGUST_31, -48.0);
    assert_near(north->path[SEL_PATH_STEPS / 2].azimuth, 36.0, 0.01);
    assert_near(remainder((double)south->path[SEL_PATH_STEPS / 2].azimuth, 72.0), 0.0, 0.01);
    assert_true(north->path[north->path_begin].tangent > 0.0f);
    assert_true(north->path[north->path_begin - 1].tangent <= 0.0f);
    assert_true(north->path[north->path_end - 1].tangent > 0.0f);
    assert_true(north->path[north->path_end].tangent <= 0.0f);
    sel_season_free(north);
    sel_season_free(south);
}

static void light_comes_from_the_equator_s_side(void **state) {
    (void)state;
    struct sel_season *north = season_of(MAY_15, AUGUST_31, 48.0);
    struct sel_season *south = season_of(MAY_15, AUGUST_31, -35.0);
    assert_near(sel_season_light_azimuth(north), 180.0, 1.0);
    assert_near(remainder(sel_season_light_azimuth(south), 360.0), 0.0, 1.0);
    sel_season_free(north);
    sel_season_free(south);
}

static void light_has_no_direction_at_the_equator_in_equinox_nor_in_polar_night(void **state) {
    (void)state;
    struct sel_season *equator =
        season_of((struct sel_date){2026, 3, 18}, (struct sel_date){2026, 3, 22}, 0.0);
    assert_true(isnan(sel_season_light_azimuth(equator)));
    struct sel_season *night =
        season_of((struct sel_date){2026, 12, 1}, (struct sel_date){2027, 1, 10}, 80.0);
    assert_true(isnan(sel_season_light_azimuth(night)));
    assert_int_equal(night->group_begin[SEL_HORIZON_DIRECTIONS], 0);
    sel_season_free(equator);
    sel_season_free(night);
}

// A season of 24 days over New Year is the mean of its two halves.
static void a_season_may_cross_new_year(void **state) {
    (void)state;
    struct sel_date first = {2026, 12, 24}, eve = {2026, 12, 31}, new_year = {2027, 1, 1};
    struct sel_date last = {2027, 1, 8};
    struct sel_season *whole = season_of(first, last, -33.0);
    struct sel_season *before = season_of(first, eve, -33.0);
    struct sel_season *after = season_of(new_year, last, -33.0);
    assert_int_equal(whole->days, 16);
    assert_int_equal(before->days, 8);
    assert_int_equal(after->days, 8);
    assert_near(whole->beam_sum, before->beam_sum + after->beam_sum, 1e-6 * whole->beam_sum);
    assert_near(
        whole->diffuse_sum, before->diffuse_sum + after->diffuse_sum, 1e-6 * whole->diffuse_sum);
    sel_season_free(whole);
    sel_season_free(before);
    sel_season_free(after);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_season_has_a_sample_day_per_day_up_to_sixteen),
        cmocka_unit_test(steps_are_sorted_by_direction_and_then_by_height),
        cmocka_unit_test(a_day_is_as_long_as_fao_56_has_it_and_half_of_it_is_morning),
        cmocka_unit_test(the_season_s_energy_is_that_of_fao_56_within_a_tenth),
        cmocka_unit_test(the_middle_day_turns_true_into_mean_solar_time),
        cmocka_unit_test(the_path_crosses_the_meridian_at_noon),
        cmocka_unit_test(light_comes_from_the_equator_s_side),
        cmocka_unit_test(light_has_no_direction_at_the_equator_in_equinox_nor_in_polar_night),
        cmocka_unit_test(a_season_may_cross_new_year),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
