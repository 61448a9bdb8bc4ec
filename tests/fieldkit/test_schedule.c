// SPDX-License-Identifier: MIT
//
// The cutting of a season, counted by hand, and what must hold for any season.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "fieldkit/schedule.h"

enum { ROOM = 400 };
static struct sel_stint stints[ROOM];

static size_t lay_apart(int64_t days, int interval, int64_t apart) {
    struct sel_stint_rule rule = {interval, apart};
    size_t count = sel_stint_count(days, rule);
    assert_in_range(count, 1, ROOM);
    sel_stints_lay(100, 100 + days, rule, stints);
    return count;
}

static size_t lay(int64_t days, int interval) {
    return lay_apart(days, interval, 1);
}

static int64_t length(size_t i) {
    return stints[i].to_day - stints[i].from_day;
}

static void four_weeks_are_four_stints(void **state) {
    (void)state;
    assert_int_equal(lay(28, 7), 4);
    for (size_t i = 0; i < 4; i++)
        assert_int_equal(length(i), 7);
}

// 15 May to 31 August are 108 days: 15 weeks and 3 days.
static void three_days_left_over_are_a_stint_of_their_own(void **state) {
    (void)state;
    assert_int_equal(lay(108, 7), 16);
    assert_int_equal(length(14), 7);
    assert_int_equal(length(15), 3);
}

static void two_days_left_over_join_the_last_week(void **state) {
    (void)state;
    assert_int_equal(lay(30, 7), 4);
    assert_int_equal(length(2), 7);
    assert_int_equal(length(3), 9);
}

static void ten_days_and_one_are_shared_out(void **state) {
    (void)state;
    assert_int_equal(lay(31, 10), 4);
    assert_int_equal(length(2), 5);
    assert_int_equal(length(3), 6);
}

static void a_season_shorter_than_the_interval_is_one_stint(void **state) {
    (void)state;
    assert_int_equal(lay(5, 7), 1);
    assert_int_equal(length(0), 5);
    assert_int_equal(lay(0, 7), 1);
    assert_int_equal(length(0), 0);
}

static void daily_changes_are_laid_as_asked(void **state) {
    (void)state;
    assert_int_equal(lay(9, 1), 9);
    assert_int_equal(lay(5, 2), 2);
    assert_int_equal(length(1), 3);
}

static void stints_cover_any_season_without_a_gap(void **state) {
    (void)state;
    for (int interval = 1; interval <= 60; interval++) {
        for (int64_t days = 0; days <= 366; days++) {
            size_t count = lay(days, interval);
            assert_int_equal(stints[0].from_day, 100);
            assert_int_equal(stints[count - 1].to_day, 100 + days);
            for (size_t i = 1; i < count; i++)
                assert_int_equal(stints[i].from_day, stints[i - 1].to_day);
        }
    }
}

// Common practice, no source: 3 to 10 days.
static void usual_intervals_give_usual_stints(void **state) {
    (void)state;
    for (int interval = 3; interval <= 10; interval++) {
        for (int64_t days = 3; days <= 366; days++) {
            size_t count = lay(days, interval);
            for (size_t i = 0; i < count; i++)
                assert_true(sel_stint_is_usual(length(i)));
        }
    }
}

// By hand: a team that needs 5 days to get round has no use for 3 days left over, but 10 are not
// too long for a bottle; of 4 left over with 6 days needed, one is not used.
static void a_slow_team_has_no_short_last_stint(void **state) {
    (void)state;
    assert_int_equal(lay_apart(108, 7, 5), 15);
    assert_int_equal(length(14), 10);
    assert_int_equal(lay_apart(109, 7, 6), 15);
    assert_int_equal(length(14), 10);
    assert_int_equal(stints[14].to_day, 100 + 108);
    assert_int_equal(lay_apart(109, 7, 5), 16);
    assert_int_equal(length(14), 5);
    assert_int_equal(length(15), 6);
}

static void visits_are_as_far_apart_as_the_team_needs(void **state) {
    (void)state;
    for (int interval = 1; interval <= 16; interval++) {
        for (int64_t apart = 1; apart <= interval; apart++) {
            for (int64_t days = 0; days <= 120; days++) {
                size_t count = lay_apart(days, interval, apart);
                int64_t end = stints[count - 1].to_day - 100, last = length(count - 1);
                for (size_t i = 0; count > 1 && i < count; i++)
                    assert_true(length(i) >= apart);
                for (size_t i = 1; i < count; i++)
                    assert_int_equal(stints[i].from_day, stints[i - 1].to_day);
                assert_true(end == days || (end < days && last == (interval > 10 ? interval : 10)));
                assert_true(count == 1 || last <= (interval > 10 ? 2 * interval : 10));
            }
        }
    }
}

static void the_usual_time_is_three_to_ten_days(void **state) {
    (void)state;
    assert_false(sel_stint_is_usual(2));
    assert_true(sel_stint_is_usual(3));
    assert_true(sel_stint_is_usual(10));
    assert_false(sel_stint_is_usual(11));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(four_weeks_are_four_stints),
        cmocka_unit_test(three_days_left_over_are_a_stint_of_their_own),
        cmocka_unit_test(two_days_left_over_join_the_last_week),
        cmocka_unit_test(ten_days_and_one_are_shared_out),
        cmocka_unit_test(a_season_shorter_than_the_interval_is_one_stint),
        cmocka_unit_test(daily_changes_are_laid_as_asked),
        cmocka_unit_test(stints_cover_any_season_without_a_gap),
        cmocka_unit_test(usual_intervals_give_usual_stints),
        cmocka_unit_test(a_slow_team_has_no_short_last_stint),
        cmocka_unit_test(visits_are_as_far_apart_as_the_team_needs),
        cmocka_unit_test(the_usual_time_is_three_to_ten_days),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
