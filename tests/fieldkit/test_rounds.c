// SPDX-License-Identifier: MIT
//
// Rounds worked out on paper, and against every way of cutting small sets.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>

#include "fieldkit/rounds.h"

enum { SITES_MOST = 300 };
static struct sel_round_stop stops[SITES_MOST];
static size_t order[SITES_MOST];
static struct sel_round rounds[SITES_MOST];
static size_t round_count;

static void make(size_t count, double day_min, double metres_per_min) {
    struct sel_round_rule rule = {day_min, metres_per_min};
    assert_true(sel_rounds_make(stops, count, &rule, order, rounds, &round_count));
}

static struct sel_round_stop stop(double x, double walk_min, double work_min) {
    return (struct sel_round_stop){{x, 0}, walk_min, work_min};
}

// On one road, given out of order: 2 x (20 + 10) min and 1 km of travel at 100 m/min is 70 min.
static void a_day_takes_what_fits_into_it(void **state) {
    (void)state;
    stops[0] = stop(3000, 20, 10);
    stops[1] = stop(0, 20, 10);
    stops[2] = stop(4000, 20, 10);
    stops[3] = stop(1000, 20, 10);
    make(4, 70, 100);
    assert_int_equal(round_count, 2);
    for (size_t i = 0; i < 2; i++) {
        assert_int_equal(rounds[i].count, 2);
        assert_true(rounds[i].walk_min == 40 && rounds[i].work_min == 20);
        assert_true(fabs(rounds[i].travel_min - 10) < 1e-9);
        assert_true(fabs(sel_round_total_min(&rounds[i]) - 70) < 1e-9);
    }
    make(4, 69, 100);
    assert_int_equal(round_count, 4);
    make(4, 160, 100);
    assert_int_equal(round_count, 1);
    assert_true(fabs(rounds[0].travel_min - 40) < 1e-9);
}

static void neighbours_go_into_one_round(void **state) {
    (void)state;
    stops[0] = stop(0, 60, 0);
    stops[1] = stop(9000, 60, 0);
    stops[2] = stop(100, 60, 0);
    stops[3] = stop(9100, 60, 0);
    make(4, 150, 1000);
    assert_int_equal(round_count, 2);
    assert_int_equal(order[0], 0);
    assert_int_equal(order[1], 2);
    assert_int_equal(order[2], 1);
    assert_int_equal(order[3], 3);
}

static void a_site_too_far_for_a_day_is_a_round_of_its_own(void **state) {
    (void)state;
    stops[0] = stop(0, 30, 0);
    stops[1] = stop(10, 500, 0);
    stops[2] = stop(20, 30, 0);
    make(3, 100, 100);
    assert_int_equal(round_count, 3);
    assert_true(rounds[1].walk_min == 500);
}

static void no_site_is_no_round(void **state) {
    (void)state;
    make(0, 100, 100);
    assert_int_equal(round_count, 0);
}

static uint64_t state_of_chance;

static double chance(void) {
    state_of_chance = state_of_chance * 6364136223846793005u + 1442695040888963407u;
    return (double)(state_of_chance >> 40) / (double)(1 << 24);
}

static void scatter(uint64_t seed, size_t count) {
    state_of_chance = seed;
    for (size_t i = 0; i < count; i++)
        stops[i] =
            (struct sel_round_stop){{5000 * chance(), 5000 * chance()}, 10 + 80 * chance(), 15};
}

static void every_site_is_in_one_round_and_every_round_fits(void **state) {
    (void)state;
    for (uint64_t seed = 1; seed <= 20; seed++) {
        size_t next = 0, seen[SITES_MOST] = {0};
        double busy = 0;
        scatter(seed, SITES_MOST);
        make(SITES_MOST, 480, 20000.0 / 60);
        for (size_t i = 0; i < round_count; i++) {
            assert_int_equal(rounds[i].first, next);
            next += rounds[i].count;
            assert_true(sel_round_total_min(&rounds[i]) <= 480 + 1e-6);
        }
        assert_int_equal(next, SITES_MOST);
        for (size_t i = 0; i < SITES_MOST; i++) {
            seen[order[i]]++;
            busy += stops[i].walk_min + stops[i].work_min;
        }
        for (size_t i = 0; i < SITES_MOST; i++)
            assert_int_equal(seen[i], 1);
        // No plan needs fewer rounds than the walking and work alone; a third more is a bad plan.
        assert_true((double)round_count < 1.33 * ceil(busy / 480));
    }
}

// Every assignment of six sites to rounds, without travel (all at one place): the fewest rounds
// that hold. The path's order limits the cuts, so one round more is allowed, and no day is broken.
static size_t fewest(size_t count, double day_min) {
    size_t best = count;
    for (size_t code = 0; code < (size_t)pow((double)count, (double)count); code++) {
        double load[6] = {0};
        size_t rest = code, used = 0;
        int fits = 1;
        for (size_t i = 0; i < count; i++, rest /= count)
            load[rest % count] += stops[i].walk_min;
        for (size_t i = 0; i < count; i++) {
            used += load[i] > 0;
            fits = fits && load[i] <= day_min;
        }
        if (fits && used < best)
            best = used;
    }
    return best;
}

static void few_sites_take_at_most_one_round_more_than_needed(void **state) {
    (void)state;
    for (uint64_t seed = 1; seed <= 30; seed++) {
        scatter(seed, 6);
        for (size_t i = 0; i < 6; i++) {
            stops[i].work_min = 0;
            stops[i].access = (struct sel_stop){0, 0};
        }
        make(6, 120, 100);
        assert_true(round_count <= fewest(6, 120) + 1);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_day_takes_what_fits_into_it),
        cmocka_unit_test(neighbours_go_into_one_round),
        cmocka_unit_test(a_site_too_far_for_a_day_is_a_round_of_its_own),
        cmocka_unit_test(no_site_is_no_round),
        cmocka_unit_test(every_site_is_in_one_round_and_every_round_fits),
        cmocka_unit_test(few_sites_take_at_most_one_round_more_than_needed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
