// SPDX-License-Identifier: MIT
//
// Greedy runs in an order of the caller's own.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "choose/greedy.h"
#include "choose_check.h"
#include "choose_random.h"
#include "choose_world.h"

struct reversal {
    const struct sel_choice_problem *problem;
};

static size_t from_the_end(void *user, size_t rank) {
    const struct reversal *reversal = user;
    return reversal->problem->open_count - 1 - rank;
}

static double upside_down(void *user, size_t position) {
    const struct reversal *reversal = user;
    return 2 - reversal->problem->open[position].score;
}

// With scores and places turned upside down the run in its own order is the run in the other.
static void an_order_of_its_own_is_followed(void **state) {
    (void)state;
    uint64_t random = 21;
    for (int trial = 0; trial < 500; trial++) {
        struct world w = world_random(&random, 40, trial % 2), turned;
        if (trial % 3 == 0)
            world_add_blocks(&w, &random, trial % 2);
        w.rule.spread = trial % 4 == 3 ? 0.4 : 0;
        turned = w;
        for (size_t i = 0; i < w.count; i++) {
            turned.items[i].score = 2 - w.items[i].score;
            turned.items[i].hy = -w.items[i].hy;
            turned.items[i].hx = -w.items[i].hx;
        }
        turned.rule = w.rule;
        struct sel_choice_problem a = world_problem(&w), b = world_problem(&turned);
        struct sel_greedy *first, *second;
        assert_int_equal(sel_greedy_new(&a, &first), SEL_OK);
        assert_int_equal(sel_greedy_new(&b, &second), SEL_OK);
        size_t own[WORLD_MOST], other[WORLD_MOST];
        int64_t own_missing, other_missing;
        struct reversal reversal = {&b};
        struct sel_greedy_order order = {from_the_end, upside_down, &reversal};
        for (int again = 0; again < 2; again++) { // the room serves any number of runs
            int count = sel_greedy_run(first, NULL, own, &own_missing);
            assert_int_equal(sel_greedy_run(second, &order, other, &other_missing), count);
            assert_int_equal(own_missing, other_missing);
            for (int k = 0; k < count; k++)
                assert_int_equal(a.open_index[own[k]], b.open_index[other[k]]);
        }
        sel_greedy_free(first);
        sel_greedy_free(second);
        sel_choice_problem_clear(&a);
        sel_choice_problem_clear(&b);
    }
    sel_greedy_free(NULL);
}

// What comes after the minimums is, at each step, what adds most; by trying all.
static void with_spread_each_step_adds_the_most(void **state) {
    (void)state;
    uint64_t random = 23;
    for (int trial = 0; trial < 500; trial++) {
        struct world w = world_random(&random, 40, false);
        w.rule.spread = 0.1 * (1 + trial % 10);
        struct sel_choice_problem problem = world_problem(&w);
        struct sel_greedy *greedy;
        size_t sites[WORLD_MOST], so_far[WORLD_MOST];
        int64_t missing;
        assert_int_equal(sel_greedy_new(&problem, &greedy), SEL_OK);
        int count = sel_greedy_run(greedy, NULL, sites, &missing);
        for (int k = 0; k < count; k++) {
            double most = -1, taken = -1;
            for (size_t i = 0; i < problem.open_count; i++) {
                const struct sel_choice_item *a = &problem.open[i];
                size_t item = problem.open_index[i];
                double near_m = HUGE_VAL;
                for (int before = 0; before < k; before++) {
                    const struct sel_choice_item *b = &problem.open[sites[before]];
                    near_m = fmin(near_m, hypot(a->x_m - b->x_m, a->y_m - b->y_m));
                }
                if (!world_apart_from_all(&w, item, so_far, k, SIZE_MAX) ||
                    !world_has_room(&w, item, so_far, k) || world_is_among(item, so_far, k))
                    continue;
                double share = fmin(1, near_m / problem.even_m);
                double part = (1 - w.rule.spread) * a->score +
                              w.rule.spread * (problem.even_m > 0 ? share : 1);
                most = fmax(most, part);
                taken = i == sites[k] ? part : taken;
            }
            assert_near(taken, most, 1e-12);
            so_far[k] = problem.open_index[sites[k]];
        }
        sel_greedy_free(greedy);
        sel_choice_problem_clear(&problem);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_order_of_its_own_is_followed),
        cmocka_unit_test(with_spread_each_step_adds_the_most),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
