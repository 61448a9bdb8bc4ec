// SPDX-License-Identifier: MIT
//
// Exchanges against hand-made traps for the greedy, and against trying all sets.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "choose/exchange.h"
#include "choose/greedy.h"
#include "choose_random.h"
#include "choose_world.h"

static const int64_t WORK = 1000000;

static int found_by_exchange; // minimums that the greedy had missed

// Greedy, then exchanges; sites come back as indices of items. -1: minimums are missed.
static int better(const struct world *w, size_t *sites, int64_t *before, int64_t *after) {
    struct sel_choice_problem problem = world_problem(w);
    struct sel_greedy *greedy;
    int64_t lacked, missing;
    *before = *after = 0;
    assert_int_equal(sel_greedy_new(&problem, &greedy), SEL_OK);
    int count = sel_greedy_run(greedy, NULL, sites, &lacked);
    sel_greedy_free(greedy);
    for (int k = 0; k < count; k++)
        *before += sel_site_weight(problem.open[sites[k]].score);
    assert_int_equal(sel_exchange(&problem, WORK, sites, &count, after, &missing), SEL_OK);
    assert_true(missing <= lacked);
    int64_t sum = 0;
    for (int k = 0; k < count; k++) {
        sum += sel_site_weight(problem.open[sites[k]].score);
        sites[k] = problem.open_index[sites[k]];
    }
    assert_int_equal(sum, *after);
    assert_int_equal(missing, world_missing(w, sites, count));
    assert_true(world_allows_short(w, sites, count));
    sel_choice_problem_clear(&problem);
    found_by_exchange += lacked > 0 && missing == 0;
    *before = lacked > 0 ? 0 : *before;
    return missing > 0 ? -1 : count;
}

static void assert_reaches(const struct world *w, int64_t wanted) {
    size_t sites[WORLD_MOST];
    int64_t before, after;
    int count = better(w, sites, &before, &after);
    assert_true(world_allows(w, sites, count));
    assert_true(before < wanted);
    assert_int_equal(after, wanted);
}

// The textbook path 1 4 5 4: greedy takes 5 and 1, two fours are better.
static void one_site_gives_way_to_two(void **state) {
    (void)state;
    const double scores[] = {1, 4, 5, 4};
    struct world w = {
        .count = 4, .rule = {.sites = 4, .apart_m = 120, .quota[SEL_BY_PAIR].groups = 1}};
    for (int i = 0; i < 4; i++)
        w.items[i] = world_item(scores[i], 100 * i, 0, 0);
    assert_reaches(&w, 2 * sel_site_weight(4));
}

// As many sites as asked for stand already: a poor one far away has to go as well.
static void when_all_sites_are_used_the_poorest_goes_too(void **state) {
    (void)state;
    struct world w = {
        .count = 4, .rule = {.sites = 2, .apart_m = 120, .quota[SEL_BY_PAIR].groups = 1}};
    const double scores[] = {0.8, 0.9, 0.8};
    for (int i = 0; i < 3; i++)
        w.items[i] = world_item(scores[i], 100 * i, 0, 0);
    w.items[3] = world_item(0.1, 9000, 0, 0);
    assert_reaches(&w, 2 * sel_site_weight(0.8));
}

// One candidate in the middle of two sites is worth less than both, until its coming in lets two
// others follow.
static void a_candidate_is_forced_in_when_others_can_follow(void **state) {
    (void)state;
    struct world w = {
        .count = 5, .rule = {.sites = 5, .apart_m = 150, .quota[SEL_BY_PAIR].groups = 1}};
    const double scores[] = {0.8, 0.9, 0.8, 0.9, 0.8};
    for (int i = 0; i < 5; i++)
        w.items[i] = world_item(scores[i], 100 * i, 0, 0);
    assert_reaches(&w, 3 * sel_site_weight(0.8));
}

static void random_worlds_stay_within_the_rules_and_come_near_the_optimum(void **state) {
    (void)state;
    uint64_t random = 81;
    int tried = 0, optimal = 0, greedy_optimal = 0;
    for (int trial = 0; trial < 1500; trial++) {
        struct world w = world_random(&random, 16, trial % 2);
        size_t sites[WORLD_MOST], best[WORLD_MOST];
        int best_count;
        int64_t before, after, optimum = 0;
        int count = better(&w, sites, &before, &after);
        if (count < 0)
            continue;
        assert_true(world_allows(&w, sites, count));
        world_exhaust(&w, best, &best_count);
        for (int k = 0; k < best_count; k++)
            optimum += sel_site_weight(w.items[best[k]].score);
        assert_true(before <= after && after <= optimum);
        tried++;
        optimal += after == optimum;
        greedy_optimal += before == optimum;
    }
    print_message("exchange: optimal in %d of %d small worlds, greedy alone in %d\n", optimal,
        tried, greedy_optimal);
    assert_true(tried > 900 && optimal > greedy_optimal && optimal * 100 > tried * 97);
}

static void without_work_allowed_the_choice_stays_valid(void **state) {
    (void)state;
    uint64_t random = 83;
    for (int trial = 0; trial < 200; trial++) {
        struct world w = world_random(&random, 30, false);
        struct sel_choice_problem problem = world_problem(&w);
        size_t sites[WORLD_MOST];
        int count = 0;
        int64_t weight, missing;
        assert_int_equal(
            sel_exchange(&problem, trial % 50, sites, &count, &weight, &missing), SEL_OK);
        for (int k = 0; k < count; k++)
            sites[k] = problem.open_index[sites[k]];
        assert_true(world_allows(&w, sites, count));
        sel_choice_problem_clear(&problem);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_site_gives_way_to_two),
        cmocka_unit_test(when_all_sites_are_used_the_poorest_goes_too),
        cmocka_unit_test(a_candidate_is_forced_in_when_others_can_follow),
        cmocka_unit_test(random_worlds_stay_within_the_rules_and_come_near_the_optimum),
        cmocka_unit_test(without_work_allowed_the_choice_stays_valid),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
