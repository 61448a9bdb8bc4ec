// SPDX-License-Identifier: MIT
//
// The sun over a site against closed forms and a plain reckoning of its own: declination by Spencer
// (1971), hour angle, spherical triangle.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>

#include <cmocka.h>

#include "dossier/sun_day.h"

static const double DEGREE = 0.017453292519943295;
enum { DIRECTIONS = 72 };

static struct sel_horizon_row rows[DIRECTIONS];

// Ground and canopy as high as said over azimuths from..to, nothing elsewhere.
static struct sel_sun_horizon horizon_with(
    double from, double to, double ground_deg, double canopy_deg, double cover) {
    for (int i = 0; i < DIRECTIONS; i++) {
        double azimuth = i * 5.0;
        bool within = azimuth >= from && azimuth <= to;
        rows[i] = (struct sel_horizon_row){.azimuth_deg = azimuth,
            .azimuth_true_deg = azimuth,
            .ground_deg = within ? ground_deg : 0.0,
            .canopy_deg = within ? canopy_deg : 0.0,
            .cover = within ? cover : 0.0};
    }
    return (struct sel_sun_horizon){rows, DIRECTIONS};
}

// Spencer (1971), good to 0.04 degrees (memory).
static double declination_of(int day_of_year) {
    double angle = 2.0 * 3.14159265358979 * (day_of_year - 1) / 365.0;
    return (0.006918 - 0.399912 * cos(angle) + 0.070257 * sin(angle) - 0.006758 * cos(2 * angle) +
               0.000907 * sin(2 * angle) - 0.002697 * cos(3 * angle) + 0.00148 * sin(3 * angle)) /
           DEGREE;
}

struct dated {
    struct sel_date date;
    int day_of_year;
};

static const struct dated DATES[] = {{{2027, 3, 21}, 80}, {{2027, 5, 15}, 135},
    {{2027, 6, 21}, 172}, {{2027, 9, 3}, 246}, {{2027, 12, 21}, 355}};

// Day length 2 w / 15 with cos w = -tan(latitude) tan(declination).
static void the_day_is_as_long_as_the_closed_form_says(void **state) {
    (void)state;
    static const double LATITUDES[] = {-55.0, -20.0, 0.0, 35.0, 49.9, 60.0};
    struct sel_sun_horizon open = {NULL, 0};
    for (size_t i = 0; i < sizeof DATES / sizeof *DATES; i++) {
        for (size_t j = 0; j < sizeof LATITUDES / sizeof *LATITUDES; j++) {
            struct sel_sun_day day;
            double turn =
                -tan(LATITUDES[j] * DEGREE) * tan(declination_of(DATES[i].day_of_year) * DEGREE);
            double wanted = 2.0 * acos(turn) / DEGREE / 15.0;
            sel_sun_day_of(DATES[i].date, LATITUDES[j], 14.5, &open, &day);
            assert_true(fabs(day.hours_up - wanted) < 0.12); // a step at either end, and rounding
            assert_true(fabs(day.hours_through - day.hours_up) < 1e-9);
        }
    }
}

// FAO Irrigation and Drainage Paper 56, example 9: 3 September, 20 S: 11.7 hours (memory).
static void the_day_of_the_handbook_has_its_length(void **state) {
    (void)state;
    struct sel_sun_horizon open = {NULL, 0};
    struct sel_sun_day day;
    sel_sun_day_of((struct sel_date){2027, 9, 3}, -20.0, 30.0, &open, &day);
    assert_true(fabs(day.hours_up - 11.7) < 0.12);
}

static void beyond_the_polar_circle_the_sun_stays_up_or_away(void **state) {
    (void)state;
    struct sel_sun_horizon open = {NULL, 0};
    struct sel_sun_day day;
    sel_sun_day_of((struct sel_date){2027, 6, 21}, 72.0, 25.0, &open, &day);
    assert_true(fabs(day.hours_up - 24.0) < 1e-9);
    sel_sun_day_of((struct sel_date){2027, 12, 21}, 72.0, 25.0, &open, &day);
    assert_true(day.hours_up == 0.0 && day.hours_through == 0.0);
}

// Hours are counted from true solar midnight, so noon is the middle whatever the longitude.
static void noon_is_in_the_middle_of_the_day(void **state) {
    (void)state;
    struct sel_sun_horizon open = {NULL, 0};
    for (double longitude = -170.0; longitude <= 170.0; longitude += 68.0) {
        struct sel_sun_day day;
        sel_sun_day_of((struct sel_date){2027, 11, 3}, 49.9, longitude, &open, &day);
        for (int i = 0; i < SEL_SUN_STEPS / 2; i++) {
            const struct sel_sun_moment *morning = &day.moments[i];
            const struct sel_sun_moment *evening = &day.moments[SEL_SUN_STEPS - 1 - i];
            assert_true(fabs(morning->elevation_deg - evening->elevation_deg) < 0.4);
            assert_true(fabs(morning->azimuth_deg + evening->azimuth_deg - 360.0) < 1.5);
        }
    }
}

static void canopy_all_round_lets_its_gaps_through(void **state) {
    (void)state;
    struct sel_sun_horizon wood = horizon_with(0, 360, 5, 89, 0.75);
    struct sel_sun_horizon valley = horizon_with(0, 360, 89, 89, 0.0);
    struct sel_sun_day day;
    sel_sun_day_of((struct sel_date){2027, 6, 21}, 49.9, 14.5, &valley, &day);
    assert_true(day.hours_through == 0.0);
    wood = horizon_with(0, 360, 0, 89, 0.75);
    sel_sun_day_of((struct sel_date){2027, 6, 21}, 49.9, 14.5, &wood, &day);
    assert_true(fabs(day.hours_through - 0.25 * day.hours_up) < 1e-9);
}

// A wall 40 degrees high over the eastern half, counted minute by minute with a plain sun.
static void a_wall_takes_the_hours_that_a_plain_count_gives(void **state) {
    (void)state;
    const double latitude = 49.9, wall_deg = 40.0;
    double declination = declination_of(135) * DEGREE, phi = latitude * DEGREE, hours = 0.0;
    for (int minute = 0; minute < 1440; minute++) {
        double turn = ((minute + 0.5) / 4.0 - 180.0) * DEGREE;
        double up = sin(phi) * sin(declination) + cos(phi) * cos(declination) * cos(turn);
        double east = -cos(declination) * sin(turn);
        double elevation = asin(up) / DEGREE;
        hours += elevation > 0.0 && (east < 0.0 || elevation > wall_deg) ? 1.0 / 60.0 : 0.0;
    }
    struct sel_sun_horizon wall = horizon_with(2.5, 177.5, wall_deg, wall_deg, 0.0);
    struct sel_sun_day day;
    sel_sun_day_of((struct sel_date){2027, 5, 15}, latitude, 14.5, &wall, &day);
    assert_true(
        fabs(day.hours_through - hours) < 0.25); // the wall's ends are sloped over 5 degrees
}

// Between two directions the tangents lie on a straight line.
static void the_skyline_runs_straight_between_directions(void **state) {
    (void)state;
    struct sel_sun_horizon step = horizon_with(90, 90, 45, 45, 0.8);
    struct sel_skyline at = sel_skyline_at(&step, 90.0);
    assert_true(fabs(at.ground_deg - 45.0) < 1e-9 && fabs(at.cover - 0.8) < 1e-9);
    at = sel_skyline_at(&step, 87.5);
    assert_true(fabs(at.ground_deg - atan(0.5) / DEGREE) < 1e-9);
    assert_true(fabs(at.cover - 0.4) < 1e-9);
    at = sel_skyline_at(&step, 450.0);
    assert_true(fabs(at.ground_deg - 45.0) < 1e-9);
    at = sel_skyline_at(&step, -1.0);
    assert_true(at.ground_deg == 0.0 && at.canopy_deg == 0.0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_day_is_as_long_as_the_closed_form_says),
        cmocka_unit_test(the_day_of_the_handbook_has_its_length),
        cmocka_unit_test(beyond_the_polar_circle_the_sun_stays_up_or_away),
        cmocka_unit_test(noon_is_in_the_middle_of_the_day),
        cmocka_unit_test(canopy_all_round_lets_its_gaps_through),
        cmocka_unit_test(a_wall_takes_the_hours_that_a_plain_count_gives),
        cmocka_unit_test(the_skyline_runs_straight_between_directions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
