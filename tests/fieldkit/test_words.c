// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <string.h>
#include <time.h>

#include "fieldkit/words.h"
#include "plan/dates.h"

static struct sel_text text;

static const char *taken(void) {
    static char chars[128];
    strncpy(chars, text.chars ? text.chars : "", sizeof chars - 1);
    sel_text_clear(&text);
    return chars;
}

static int64_t day_of(int year, int month, int day) {
    return sel_date_day_number((struct sel_date){year, month, day});
}

static void dates_are_written_in_three_ways(void **state) {
    (void)state;
    sel_add_iso_date(&text, day_of(2027, 5, 15));
    assert_string_equal(taken(), "2027-05-15");
    sel_add_compact_date(&text, day_of(2027, 5, 15));
    assert_string_equal(taken(), "20270515");
    sel_add_long_date(&text, day_of(2027, 5, 15));
    assert_string_equal(taken(), "Sat 15 May 2027");
}

// Outside oracle: the C library's names of weekdays, in its "C" locale.
static void weekdays_are_those_of_the_c_library(void **state) {
    (void)state;
    for (int i = 0; i < 4000; i++) {
        time_t seconds = (time_t)i * 86400 * 5;
        struct tm parts;
        char name[8];
        gmtime_r(&seconds, &parts);
        strftime(name, sizeof name, "%a", &parts);
        sel_add_long_date(&text, day_of(parts.tm_year + 1900, parts.tm_mon + 1, parts.tm_mday));
        assert_memory_equal(taken(), name, 3);
    }
}

// ISO 8601: two dates with a solidus between them.
static void an_interval_has_two_ends_unless_it_is_one_day(void **state) {
    (void)state;
    sel_add_interval(&text, day_of(2027, 12, 28), day_of(2028, 1, 4));
    assert_string_equal(taken(), "2027-12-28/2028-01-04");
    sel_add_interval(&text, day_of(2027, 5, 15), day_of(2027, 5, 15));
    assert_string_equal(taken(), "2027-05-15");
}

static void places_are_told_with_their_hemisphere(void **state) {
    (void)state;
    sel_add_position(&text, 49.9239651, 14.4829331);
    assert_string_equal(taken(), "49.923965\u00B0 N, 14.482933\u00B0 E");
    sel_add_position(&text, -33.5, -70.25);
    assert_string_equal(taken(), "33.500000\u00B0 S, 70.250000\u00B0 W");
}

static void volumes_turn_to_litres_at_a_thousand(void **state) {
    (void)state;
    sel_add_volume(&text, 500);
    assert_string_equal(taken(), "500 ml");
    sel_add_volume(&text, 6000);
    assert_string_equal(taken(), "6 l");
    sel_add_volume(&text, 1250);
    assert_string_equal(taken(), "1.25 l");
}

static void turns_say_which_way(void **state) {
    (void)state;
    sel_add_turn(&text, 5.26);
    assert_string_equal(taken(), "5.3\u00B0 east");
    sel_add_turn(&text, -0.44);
    assert_string_equal(taken(), "0.4\u00B0 west");
    sel_add_turn(&text, -0.04);
    assert_string_equal(taken(), "0\u00B0");
}

static void bearings_have_three_digits_and_stay_below_a_full_turn(void **state) {
    (void)state;
    static const struct {
        double degrees;
        const char *words;
    } CASES[] = {{7.4, "007\u00B0"}, {359.7, "000\u00B0"}, {360, "000\u00B0"}, {-3, "357\u00B0"},
        {374, "014\u00B0"}};
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        sel_add_bearing(&text, CASES[i].degrees);
        assert_string_equal(taken(), CASES[i].words);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(dates_are_written_in_three_ways),
        cmocka_unit_test(weekdays_are_those_of_the_c_library),
        cmocka_unit_test(an_interval_has_two_ends_unless_it_is_one_day),
        cmocka_unit_test(places_are_told_with_their_hemisphere),
        cmocka_unit_test(volumes_turn_to_litres_at_a_thousand),
        cmocka_unit_test(turns_say_which_way),
        cmocka_unit_test(bearings_have_three_digits_and_stay_below_a_full_turn),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
