// SPDX-License-Identifier: MIT
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "terrain/sun_position.h"
#include "terrain_near.h"

static struct sel_date date(int year, int month, int day) {
    return (struct sel_date){year, month, day};
}

// Meeus (1998), examples 12.a, 25.a and table of chapter 7 (from memory); Reda & Andreas (2004).
static void published_dates_have_their_julian_days(void **state) {
    (void)state;
    assert_near(sel_julian_day(date(1987, 4, 10), 0.0), 2446895.5, 0.0);
    assert_near(sel_julian_day(date(1992, 10, 13), 0.0), 2448908.5, 0.0);
    assert_near(sel_julian_day(date(2000, 1, 1), 12.0), 2451545.0, 0.0);
    assert_near(sel_julian_day(date(1999, 1, 1), 0.0), 2451179.5, 0.0);
    assert_near(sel_julian_day(date(1600, 12, 31), 0.0), 2305812.5, 0.0);
    assert_near(sel_julian_day(date(2003, 10, 17), 19.0 + 30.0 / 60.0 + 30.0 / 3600.0),
        2452930.312847, 5e-7);
}

static bool is_leap(int year) {
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

// Walks the calendar day by day and compares.
static void every_day_of_six_centuries_follows_the_one_before(void **state) {
    (void)state;
    const int lengths[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    double julian_day = 2305447.5; // 1 January 1600
    int64_t days = 0;
    for (int year = 1600; year < 2200; year++)
        for (int month = 1; month <= 12; month++)
            for (int day = 1; day <= lengths[month - 1] + (month == 2 && is_leap(year)); day++) {
                assert_near(sel_julian_day(date(year, month, day), 0.0), julian_day, 0.0);
                struct sel_date back = sel_date_of_julian_day(julian_day);
                assert_int_equal(back.year, year);
                assert_int_equal(back.month, month);
                assert_int_equal(back.day, day);
                assert_int_equal(sel_days_between(date(1600, 1, 1), back), days);
                days++;
                julian_day += 1.0;
            }
}

// Observed differences, to whole seconds (Astronomical Almanac; from memory).
static void the_clock_difference_is_good_to_some_seconds(void **state) {
    (void)state;
    const double years[6][2] = {
        {1950, 29.1}, {1970, 40.2}, {1990, 56.9}, {2000, 63.8}, {2010, 66.1}, {2020, 69.4}};
    for (int i = 0; i < 6; i++) {
        double julian_day = sel_julian_day(date((int)years[i][0], 1, 1), 0.0);
        assert_near(sel_delta_t(julian_day), years[i][1], 3.0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_dates_have_their_julian_days),
        cmocka_unit_test(every_day_of_six_centuries_follows_the_one_before),
        cmocka_unit_test(the_clock_difference_is_good_to_some_seconds),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
