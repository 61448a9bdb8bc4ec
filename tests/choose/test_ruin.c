// SPDX-License-Identifier: MIT
//
// A spoilt choice keeps spacing and maximums, and a number spoils it the same way each time.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "choose/ruin.h"
#include "choose_random.h"
#include "choose_world.h"

static int ruin(const struct sel_choice_problem *problem, uint32_t number, size_t *sites) {
    double worth[WORLD_MOST];
    int count = 1;
    sites[0] = 0;
    for (size_t i = 0; i < problem->open_count; i++)
        worth[i] = (double)sel_site_weight(problem->open[i].score);
    assert_int_equal(sel_ruin(problem, worth, number, sites, &count), SEL_OK);
    return count;
}

static void what_is_left_keeps_the_rules_and_comes_again(void **state) {
    (void)state;
    uint64_t random = 41;
    int changed = 0;
    for (int trial = 0; trial < 400; trial++) {
        struct world w = world_random(&random, WORLD_MOST, false);
        struct sel_choice_problem problem = world_problem(&w);
        size_t sites[WORLD_MOST], again[WORLD_MOST], items[WORLD_MOST];
        if (problem.open_count > 0 && world_has_room(&w, problem.open_index[0], NULL, 0)) {
            int count = ruin(&problem, (uint32_t)trial, sites);
            assert_int_equal(ruin(&problem, (uint32_t)trial, again), count);
            assert_memory_equal(sites, again, (size_t)count * sizeof *sites);
            for (int k = 0; k < count; k++)
                items[k] = problem.open_index[sites[k]];
            assert_true(world_allows_short(&w, items, count));
            changed += count != 1 || sites[0] != 0;
        }
        sel_choice_problem_clear(&problem);
    }
    assert_true(changed > 100);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_left_keeps_the_rules_and_comes_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
