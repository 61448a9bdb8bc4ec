// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <time.h>

#include <cmocka.h>

#include "plan/dates.h"

static bool parses(const char *text) {
    struct sel_date date;
    return sel_date_parse(text, &date);
}

static void a_date_is_read_in_parts(void **state) {
    (void)state;
    struct sel_date date;
    assert_true(sel_date_parse("2027-05-15", &date));
    assert_int_equal(date.year, 2027);
    assert_int_equal(date.month, 5);
    assert_int_equal(date.day, 15);
}

static void only_the_full_form_is_a_date(void **state) {
    (void)state;
    static const char *const others[] = {"", "2027-5-15", "27-05-15", "2027/05/15", "15.05.2027",
        "2027-05-15T00:00", "2027-05-1", "2027-05-1x", " 2027-05-15", "+027-05-15", "2027-05--1"};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++)
        assert_false(parses(others[i]));
}

static void days_that_do_not_exist_are_refused(void **state) {
    (void)state;
    assert_false(parses("2027-00-10"));
    assert_false(parses("2027-13-10"));
    assert_false(parses("2027-04-31"));
    assert_false(parses("2027-05-00"));
    assert_false(parses("2027-05-32"));
    assert_false(parses("0000-01-01"));
}

// The Gregorian rule: 1900 and 2100 are common years, 2000 and 2028 leap years.
static void the_leap_day_follows_the_gregorian_rule(void **state) {
    (void)state;
    assert_true(parses("2028-02-29"));
    assert_true(parses("2000-02-29"));
    assert_false(parses("2027-02-29"));
    assert_false(parses("1900-02-29"));
    assert_false(parses("2100-02-29"));
}

static struct sel_date date_of(time_t seconds) {
    struct tm parts;
    gmtime_r(&seconds, &parts);
    return (struct sel_date){parts.tm_year + 1900, parts.tm_mon + 1, parts.tm_mday};
}

// Outside oracle: the C library's calendar, every day from 1950 to 2050.
static void day_numbers_count_as_the_c_library_does(void **state) {
    (void)state;
    const time_t day = 86400, first = -7305 * day; // 1950-01-01
    int64_t before = sel_date_day_number(date_of(first)) - 1;
    assert_int_equal(date_of(first).year, 1950);
    assert_int_equal(date_of(first).day, 1);
    for (time_t at = first; at < first + 36890 * day; at += day) {
        struct sel_date date = date_of(at);
        assert_true(sel_date_is_real(date));
        assert_int_equal(sel_date_day_number(date), before + 1);
        before++;
    }
}

// The inverse, over three cycles of 400 years, against the numbers checked above.
static void a_day_number_gives_its_date_back(void **state) {
    (void)state;
    struct sel_date start = {1600, 1, 1}, end = {2800, 1, 1};
    for (int64_t day = sel_date_day_number(start); day < sel_date_day_number(end); day++) {
        struct sel_date date = sel_date_of_day(day);
        assert_true(sel_date_is_real(date));
        assert_int_equal(sel_date_day_number(date), day);
    }
}

// The C library's tm_yday counts from 0.
static void days_of_the_year_count_from_the_first_of_january(void **state) {
    (void)state;
    const time_t day = 86400, first = -7305 * day;
    for (time_t at = first; at < first + 36890 * day; at += 13 * day) {
        struct tm parts;
        gmtime_r(&at, &parts);
        assert_int_equal(sel_date_day_of_year(date_of(at)), parts.tm_yday + 1);
    }
}

// Modified Julian day 51544 is 2000-01-01, day 0 is 1858-11-17 (definition, IAU 1973; from memory).
static void the_distance_of_far_dates_is_known(void **state) {
    (void)state;
    struct sel_date zero = {1858, 11, 17}, millennium = {2000, 1, 1};
    assert_int_equal(sel_date_day_number(millennium) - sel_date_day_number(zero), 51544);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_date_is_read_in_parts),
        cmocka_unit_test(only_the_full_form_is_a_date),
        cmocka_unit_test(days_that_do_not_exist_are_refused),
        cmocka_unit_test(the_leap_day_follows_the_gregorian_rule),
        cmocka_unit_test(day_numbers_count_as_the_c_library_does),
        cmocka_unit_test(a_day_number_gives_its_date_back),
        cmocka_unit_test(days_of_the_year_count_from_the_first_of_january),
        cmocka_unit_test(the_distance_of_far_dates_is_known),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
