// SPDX-License-Identifier: MIT
//
// Local bests against the definition, applied to every pair of candidates.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "choose/local_best.h"
#include "choose_random.h"
#include "choose_world.h"

static bool in_force(const struct sel_quota *quota) {
    return quota->groups > 0 && (quota->least > 0 || quota->most > 0);
}

static bool rivals(const struct world *w, const struct sel_choice_item *a,
    const struct sel_choice_item *b, double radius) {
    double dx = a->x_m - b->x_m, dy = a->y_m - b->y_m;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        if (in_force(&w->rule.quota[kind]) && a->group[kind] != b->group[kind])
            return false;
    return dx * dx + dy * dy <= radius * radius;
}

static bool brute(const struct world *w, const struct sel_choice_problem *problem, size_t i,
    double radius, const double *values) {
    for (size_t k = 0; k < problem->open_count; k++) {
        bool better = values && values[k] != values[i] ? values[k] > values[i] : k < i;
        if (better && rivals(w, &problem->open[k], &problem->open[i], radius))
            return false;
    }
    return true;
}

// Few values and whole metres, so that ties and exact distances abound.
static void random_worlds_follow_the_definition(void **state) {
    (void)state;
    uint64_t random = 31;
    for (int trial = 0; trial < 2000; trial++) {
        struct world w = world_random(&random, WORLD_MOST, trial % 2);
        if (trial % 3 == 0)
            world_add_blocks(&w, &random, trial % 2);
        struct sel_choice_problem problem = world_problem(&w);
        double first[WORLD_MOST], second[WORLD_MOST];
        const double *values[] = {first, second};
        bool is_best[WORLD_MOST + 1];
        double radius = (double)random_below(&random, 15);
        for (int i = 0; i < WORLD_MOST; i++) {
            first[i] = (double)random_below(&random, 4);
            second[i] = (double)random_below(&random, 2);
        }
        assert_int_equal(sel_local_bests(&problem, radius, values, 2, is_best), SEL_OK);
        for (size_t i = 0; i < problem.open_count; i++)
            assert_int_equal(is_best[i], brute(&w, &problem, i, radius, NULL) ||
                                             brute(&w, &problem, i, radius, first) ||
                                             brute(&w, &problem, i, radius, second));
        sel_choice_problem_clear(&problem);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_worlds_follow_the_definition),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
