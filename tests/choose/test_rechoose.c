// SPDX-License-Identifier: MIT
//
// The choice searched for anew among more candidates than are looked at: whatever it begins with,
// its answer keeps apart and is worth no less.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdlib.h>

#include "choose/rechoose.h"
#include "choose_random.h"
#include "choose_world.h"

enum { CANDIDATES = 3000, SITES = 8 };
static const double SIDE_M = 12000, APART_M = 1500;
static struct sel_choice_item items[CANDIDATES];

// The problem lists its candidates best first, and that is the order here.
static size_t as_listed(void *user, size_t rank) {
    (void)user;
    return rank;
}

static double score_of(void *user, size_t position) {
    return ((const struct sel_choice_problem *)user)->open[position].score;
}

static struct sel_choice_problem scatter(uint64_t *random, const struct sel_choice_rule *rule) {
    for (int i = 0; i < CANDIDATES; i++) {
        double score = floor(random_share(random) * 1e9) * 1e-9;
        items[i] = world_item(score, 5 * floor(random_between(random, 0, SIDE_M / 5)),
            5 * floor(random_between(random, 0, SIDE_M / 5)), i); // own pairs: no two alike
    }
    struct sel_choice_problem problem;
    assert_int_equal(sel_choice_problem_init(&problem, items, CANDIDATES, NULL, 0, rule), SEL_OK);
    return problem;
}

static bool fits(
    const struct sel_choice_problem *problem, size_t i, const size_t *sites, int count) {
    for (int k = 0; k < count; k++)
        if (hypot(problem->open[i].x_m - problem->open[sites[k]].x_m,
                problem->open[i].y_m - problem->open[sites[k]].y_m) < APART_M)
            return false;
    return true;
}

// The first that fit from a rank on: far down, none of them is looked at for its own sake.
static int take_from(const struct sel_choice_problem *problem, size_t rank, size_t sites[SITES]) {
    int count = 0;
    for (size_t i = rank; i < problem->open_count && count < SITES; i++)
        if (fits(problem, i, sites, count))
            sites[count++] = i;
    return count;
}

static double total_of(const struct sel_choice_problem *problem, const size_t *sites, int count) {
    double total = 0;
    for (int k = 0; k < count; k++)
        total += problem->open[sites[k]].score;
    return total;
}

static double answer(struct sel_rechoose *search, const struct sel_choice_problem *problem,
    const struct sel_rechoose_start *start) {
    const struct sel_greedy_order order = {as_listed, score_of, (void *)problem};
    size_t sites[SITES];
    int count = 0;
    assert_int_equal(sel_rechoose_run(search, &order, start, sites, &count), SEL_OK);
    assert_int_equal(count, SITES);
    for (int k = 0; k < count; k++)
        assert_true(fits(problem, sites[k], sites, k));
    return total_of(problem, sites, count);
}

static void begun_anywhere_the_answer_is_allowed_and_no_worse(void **state) {
    (void)state;
    const struct sel_choice_rule rule = {.sites = SITES, .apart_m = APART_M};
    uint64_t random = 17;
    for (int trial = 0; trial < 12; trial++) {
        struct sel_choice_problem problem = scatter(&random, &rule);
        struct sel_rechoose *search;
        assert_int_equal(sel_rechoose_new(&problem, &search), SEL_OK);
        size_t top[SITES], low[SITES], back[SITES];
        int best = take_from(&problem, 0, top), worst = take_from(&problem, 2000, low);
        for (int k = 0; k < worst; k++)
            back[k] = low[worst - 1 - k];
        double both =
            answer(search, &problem, &(struct sel_rechoose_start){{top, low}, {best, worst}});
        double turned =
            answer(search, &problem, &(struct sel_rechoose_start){{top, back}, {best, worst}});
        double from_low =
            answer(search, &problem, &(struct sel_rechoose_start){{low, low}, {worst, 0}});
        assert_true(both >= total_of(&problem, top, best) - 1e-9); // sums in another order
        assert_true(
            fabs(both - turned) < 1e-9); // the order in which sites are handed over is no order
        assert_true(from_low > 1.5 * total_of(&problem, low, worst)); // those are far from good
        sel_rechoose_free(search);
        sel_choice_problem_clear(&problem);
    }
    sel_rechoose_free(NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(begun_anywhere_the_answer_is_allowed_and_no_worse),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
