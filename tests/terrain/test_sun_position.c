// SPDX-License-Identifier: MIT
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "terrain/sun_position.h"
#include "terrain_near.h"
#include "terrain_table.h"

static const double DEGREES = 57.29577951308232;

static struct sel_sun sun_at(
    int year, int month, int day, double hours, double latitude, double longitude) {
    return sel_sun_position(
        sel_julian_day((struct sel_date){year, month, day}, hours), latitude, longitude);
}

// Reda & Andreas (2004), Solar Position Algorithm, worked example. Right ascension and declination
// are topocentric here and geocentric there (0.0004 and 0.0018 degrees apart).
static void the_worked_example_of_reda_and_andreas_is_met(void **state) {
    (void)state;
    double hours = 19.0 + 30.0 / 60.0 + 30.0 / 3600.0;
    struct sel_sun sun = sun_at(2003, 10, 17, hours, 39.742476, -105.1786);
    assert_near(sun.elevation_deg, 39.872046, 0.002);
    assert_near(sun.azimuth_deg, 194.340241, 0.002);
    assert_near(sun.right_ascension_deg, 202.227408, 0.002);
    assert_near(sun.declination_deg, -9.31434, 0.002);
    assert_near(sun.distance_au, 0.9965422974, 2e-5);
    assert_near(sun.hour_angle_deg, 11.105902, 0.002);
    double refraction = sel_refraction(39.872046, 820.0, 11.0);
    assert_near(refraction, 0.016332, 1e-5);
    assert_near(90.0 - sun.elevation_deg - refraction, 50.111622, 0.002);
}

// Meeus (1998), example 25.b: 1992 October 13.0 TD; right ascension 13h13m30.749s, declination
// -7 degrees 47' 01.74" (from memory), radius vector 0.99760852. The low-precision example 25.a
// gives 13h13m31.4s and -7 degrees 47' 06".
static void the_worked_example_of_meeus_is_met(void **state) {
    (void)state;
    double julian_day = 2448908.5;
    double universal = julian_day - sel_delta_t(julian_day) / 86400.0;
    struct sel_sun sun = sel_sun_position(universal, 0.0, 0.0);
    double precise = 15.0 * (13.0 + 13.0 / 60.0 + 30.749 / 3600.0);
    assert_near(sun.right_ascension_deg, precise, 0.0005);
    assert_near(sun.declination_deg, -(7.0 + 47.0 / 60.0 + 1.74 / 3600.0), 0.0005);
    double coarse = 15.0 * (13.0 + 13.0 / 60.0 + 31.4 / 3600.0);
    assert_near(sun.right_ascension_deg, coarse, 0.004);
    assert_near(sun.declination_deg, -(7.0 + 47.0 / 60.0 + 6.0 / 3600.0), 0.004);
    assert_near(sun.distance_au, 0.99760852, 2e-5);
    // Example 28.a: the equation of time is +13 min 42.6 s at that instant.
    double mean_sun_deg = (universal - floor(universal - 0.5) - 0.5) * 360.0 - 180.0;
    double equation_s = remainder(sun.hour_angle_deg - mean_sun_deg, 360.0) * 240.0;
    assert_near(equation_s, 13.0 * 60.0 + 42.6, 0.5);
}

// Further points computed with the Solar Position Algorithm: azimuth, refracted zenith.
static void other_points_of_the_solar_position_algorithm_are_met(void **state) {
    (void)state;
    struct sel_sun tropics =
        sun_at(2015, 6, 12, 13.0 + 34.0 / 60.0 + 11.0 / 3600.0, -3.107, -60.025);
    assert_near(tropics.azimuth_deg, 51.608, 0.005);
    double refraction = sel_refraction(tropics.elevation_deg, 1000.0, 20.0);
    assert_near(90.0 - tropics.elevation_deg - refraction, 44.1425, 0.003);
    struct sel_sun south = sun_at(2012, 12, 22, 12.0, -41.0, 0.0);
    assert_near(south.azimuth_deg, 359.08592, 0.005);
    refraction = sel_refraction(south.elevation_deg, 1000.0, 20.0);
    assert_near(90.0 - south.elevation_deg - refraction, 17.5658, 0.003);
}

static double apart_deg(double azimuth_a, double altitude_a, double azimuth_b, double altitude_b) {
    double across = remainder(azimuth_a - azimuth_b, 360.0) * cos(altitude_b / DEGREES);
    return hypot(across, altitude_a - altitude_b);
}

static void an_independent_ephemeris_is_met_within_a_hundredth_of_a_degree(void **state) {
    (void)state;
    FILE *table = terrain_table_open("sun_positions.csv");
    struct terrain_row row;
    int rows = 0;
    for (; terrain_table_next(table, &row); rows++) {
        struct sel_sun sun = sun_at((int)terrain_number(&row, 2), (int)terrain_number(&row, 3),
            (int)terrain_number(&row, 4), terrain_number(&row, 5), terrain_number(&row, 0),
            terrain_number(&row, 1));
        double altitude = sun.elevation_deg + sel_refraction(sun.elevation_deg, 1010.0, 10.0);
        double error =
            apart_deg(sun.azimuth_deg, altitude, terrain_number(&row, 6), terrain_number(&row, 7));
        assert_true(error < 0.01);
    }
    fclose(table);
    assert_int_equal(rows, 335);
}

// --- rise, transit and set

enum { RISING = 1, SETTING = -1 };
static const double ALMANAC_HORIZON_DEG = -50.0 / 60.0; // refraction 34', radius of the sun 16'

struct day {
    double midnight, latitude, longitude; // Julian day of 0 h UTC
};

static double above(const struct day *day, double hours) {
    return sel_sun_position(day->midnight + hours / 24.0, day->latitude, day->longitude)
               .elevation_deg -
           ALMANAC_HORIZON_DEG;
}

static double refine(const struct day *day, double before, double after) {
    double sign = above(day, before);
    for (int i = 0; i < 30; i++) {
        double middle = 0.5 * (before + after);
        if ((above(day, middle) > 0.0) == (sign > 0.0))
            before = middle;
        else
            after = middle;
    }
    return before;
}

// Hours between a stated time and the nearest crossing of that kind; 99 when there is none.
static double off_from_crossing(const struct day *day, int way, double stated) {
    double off = 99.0;
    for (double hour = -1.0; hour < 25.0; hour += 0.1) {
        bool dark = above(day, hour) <= 0.0, dark_after = above(day, hour + 0.1) <= 0.0;
        if (dark == dark_after || dark != (way == RISING))
            continue;
        off = fmin(off, fabs(refine(day, hour, hour + 0.1) - stated));
    }
    return off;
}

static double hours_of(const char *hhmm) {
    return strtod(hhmm, NULL) + strtod(hhmm + 3, NULL) / 60.0;
}

static void check_crossing(const struct day *day, int way, const char *stated) {
    double tolerance_h = (fabs(day->latitude) > 65.0 ? 2.0 : 1.0) / 60.0;
    if (strchr(stated, ':'))
        assert_true(off_from_crossing(day, way, hours_of(stated)) <= tolerance_h);
}

// The day must stay bright, or dark, as the almanac says; grazing by the almanac's last minute of
// arc is left open.
static void check_whole_day(const struct day *day, const char *stated) {
    for (double hour = 0.0; hour < 24.0; hour += 0.25) {
        if (strcmp(stated, "up") == 0)
            assert_true(above(day, hour) > -0.02);
        if (strcmp(stated, "down") == 0)
            assert_true(above(day, hour) < 0.02);
    }
}

static void check_transit(const struct day *day, const char *stated) {
    if (!strchr(stated, ':'))
        return;
    double hour = hours_of(stated);
    double angle =
        sel_sun_position(day->midnight + hour / 24.0, day->latitude, day->longitude).hour_angle_deg;
    assert_true(fabs(angle) <= 0.25 + 1e-6); // a minute
}

static void an_almanac_s_rise_transit_and_set_are_met_to_the_minute(void **state) {
    (void)state;
    FILE *table = terrain_table_open("sun_rise_set.csv");
    struct terrain_row row;
    int rows = 0;
    for (; terrain_table_next(table, &row); rows++) {
        struct sel_date date = {(int)terrain_number(&row, 2), (int)terrain_number(&row, 3),
            (int)terrain_number(&row, 4)};
        struct day day = {
            sel_julian_day(date, 0.0), terrain_number(&row, 0), terrain_number(&row, 1)};
        check_crossing(&day, RISING, row.fields[5]);
        check_transit(&day, row.fields[6]);
        check_crossing(&day, SETTING, row.fields[7]);
        check_whole_day(&day, row.fields[5]);
    }
    fclose(table);
    assert_int_equal(rows, 182);
}

// Closed form: at true noon of a solstice the sun stands at 90 - |latitude - declination|, south of
// the zenith in the north and north of it in the south.
static void solstice_noons_stand_where_geometry_puts_them(void **state) {
    (void)state;
    for (int month = 6; month <= 12; month += 6)
        for (int latitude = -60; latitude <= 60; latitude += 15) {
            double noon = sel_julian_day((struct sel_date){2026, month, 21}, 12.0);
            for (int i = 0; i < 3; i++)
                noon -= sel_sun_position(noon, latitude, 0.0).hour_angle_deg / 360.0;
            struct sel_sun sun = sel_sun_position(noon, latitude, 0.0);
            assert_near(sun.declination_deg, month == 6 ? 23.436 : -23.436, 0.003);
            double south_of_zenith = latitude - sun.declination_deg;
            assert_near(sun.elevation_deg, 90.0 - fabs(south_of_zenith), 0.003);
            assert_true(fabs(remainder(sun.azimuth_deg - (south_of_zenith > 0.0 ? 180.0 : 0.0),
                            360.0)) < 0.01);
        }
}

static void refraction_is_half_a_degree_at_the_horizon_and_ends_below_it(void **state) {
    (void)state;
    // Meeus (1998), chapter 16 (from memory): 28.98' at 0 degrees for 1010 hPa and 10 C.
    assert_near(sel_refraction(0.0, 1010.0, 10.0), 28.98 / 60.0, 0.002);
    assert_near(sel_refraction(-0.9, 1010.0, 10.0), 0.0, 0.0);
    assert_true(sel_refraction(45.0, 1010.0, 10.0) < 0.018);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_worked_example_of_reda_and_andreas_is_met),
        cmocka_unit_test(the_worked_example_of_meeus_is_met),
        cmocka_unit_test(other_points_of_the_solar_position_algorithm_are_met),
        cmocka_unit_test(an_independent_ephemeris_is_met_within_a_hundredth_of_a_degree),
        cmocka_unit_test(an_almanac_s_rise_transit_and_set_are_met_to_the_minute),
        cmocka_unit_test(solstice_noons_stand_where_geometry_puts_them),
        cmocka_unit_test(refraction_is_half_a_degree_at_the_horizon_and_ends_below_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
