// SPDX-License-Identifier: MIT
//
// Even spread: its measure by hand, and the choice for it against trying all sets.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdlib.h>

#include "choose/spread.h"
#include "choose_check.h"
#include "choose_random.h"
#include "choose_world.h"
#include "shared_context.h"

// Four candidates at the corners of a square of 100 m: A = 10 000 m2.
static struct world corners(int sites, double spread) {
    struct world w = {.count = 4, .rule = {.sites = sites, .spread = spread}};
    w.rule.quota[SEL_BY_PAIR].groups = 1;
    for (int i = 0; i < 4; i++)
        w.items[i] = world_item(0.1 * (i + 1), 100 * (i % 2), 100 * (i / 2), 0);
    return w;
}

static void the_even_distance_is_that_of_a_triangular_lattice(void **state) {
    (void)state;
    struct world w = corners(4, 0.5);
    struct sel_choice_problem problem = world_problem(&w);
    // sqrt(2 A / (sqrt 3 N)) = sqrt(2 * 10000 / (1.7320508 * 4)) = 53.7285 by hand.
    assert_near(problem.even_m, 53.7285, 1e-4);
    sel_choice_problem_clear(&problem);
    for (int i = 0; i < 4; i++) // along a line, 300 m long
        w.items[i] = world_item(0.5, 100 * i, 0, 0);
    problem = world_problem(&w);
    assert_near(problem.even_m, 75, 1e-9);
    sel_choice_problem_clear(&problem);
    w.rule.spread = 0;
    problem = world_problem(&w);
    assert_near(problem.even_m, 0, 0);
    sel_choice_problem_clear(&problem);
}

// Scores 0.1 and 0.2 at 100 m, D = sqrt(2 * 10000 / (1.7320508 * 2)) = 75.98 m: each is even; three
// sites with D = 62.04 m likewise; a site alone is even.
static void the_objective_is_that_by_hand(void **state) {
    (void)state;
    struct world w = corners(2, 0.25);
    struct sel_choice_problem problem = world_problem(&w);
    size_t two[] = {3, 2}; // the poorest come last
    assert_near(sel_spread_objective(&problem, two, 2), 0.75 * 0.3 + 0.25 * 2, 1e-12);
    assert_near(sel_spread_objective(&problem, two, 1), 0.75 * 0.1 + 0.25, 1e-12);
    sel_choice_problem_clear(&problem);
    for (int i = 0; i < 4; i++)
        w.items[i].x_m *= 4; // 400 x 100 m: half the length, 200 m, is more than 151.97 m
    problem = world_problem(&w);
    size_t near[] = {3, 1}; // scores 0.1 and 0.3, 100 m apart
    assert_near(sel_spread_objective(&problem, near, 2), 0.75 * 0.4 + 0.25 * 2 * 0.5, 1e-12);
    sel_choice_problem_clear(&problem);
}

struct search {
    const struct world *world;
    const struct sel_choice_problem *problem;
    size_t now[WORLD_MOST];
    int count;
    double best;
};

static void try_sets(struct search *s, size_t next) {
    size_t items[WORLD_MOST];
    for (int k = 0; k < s->count; k++)
        items[k] = s->problem->open_index[s->now[k]];
    if (world_allows(s->world, items, s->count))
        s->best = fmax(s->best, sel_spread_objective(s->problem, s->now, s->count));
    for (size_t i = next; i < s->problem->open_count && s->count < s->world->rule.sites; i++) {
        items[s->count] = s->problem->open_index[i];
        if (!world_allows_short(s->world, items, s->count + 1))
            continue;
        s->now[s->count++] = i;
        try_sets(s, i + 1);
        s->count--;
    }
}

// Solution <= optimum over sets of any size <= bound.
static void choices_lie_between_their_bounds(void **state) {
    (void)state;
    uint64_t random = 61;
    int tried = 0, optimal = 0;
    for (int trial = 0; trial < 400; trial++) {
        struct world w = world_random(&random, 13, trial % 2);
        if (trial % 3 == 0)
            world_add_blocks(&w, &random, trial % 2);
        w.rule.spread = 0.1 * (1 + trial % 10);
        struct sel_choice choice;
        sel_context_begin(context);
        sel_status status = sel_choose_best(
            context, w.items, w.count, w.occupied, w.occupied_count, &w.rule, &choice);
        if (status != SEL_OK) {
            sel_choice_clear(&choice);
            continue;
        }
        size_t sites[WORLD_MOST], positions[WORLD_MOST];
        for (int k = 0; k < choice.count; k++)
            sites[k] = choice.sites[k].item;
        assert_true(world_allows(&w, sites, choice.count));
        struct sel_choice_problem problem = world_problem(&w);
        for (int k = 0; k < choice.count; k++)
            for (size_t i = 0; i < problem.open_count; i++)
                if (problem.open_index[i] == sites[k])
                    positions[k] = i;
        assert_near(
            choice.objective, sel_spread_objective(&problem, positions, choice.count), 1e-12);
        struct search s = {.world = &w, .problem = &problem};
        try_sets(&s, 0);
        assert_true(choice.objective <= s.best + 1e-9);
        assert_true(choice.bound >= s.best - 1e-9);
        tried++;
        optimal += choice.objective >= s.best - 1e-9;
        sel_choice_problem_clear(&problem);
        sel_choice_clear(&choice);
    }
    print_message("spread: optimal in %d of %d small worlds\n", optimal, tried);
    assert_true(tried > 200 && optimal * 100 >= tried * 90);
}

// Scores rise toward one corner: the more spread counts, the farther the sites lie apart.
static void more_spread_lies_farther_apart(void **state) {
    (void)state;
    uint64_t random = 67;
    size_t count = 2000;
    struct sel_choice_item *items = calloc(count, sizeof *items);
    for (size_t i = 0; i < count; i++) {
        int64_t hx = random_below(&random, 2000), hy = random_below(&random, 2000);
        double score = (double)(hx + hy) / 4000;
        items[i] = (struct sel_choice_item){floor(score * 1e9) / 1e9, 5 * (double)hx,
            5 * (double)hy, hy, hx, {(int32_t)i, SEL_NO_GROUP}};
    }
    double before_m = 0, before_score = HUGE_VAL;
    for (int step = 0; step <= 4; step++) {
        struct sel_choice_rule rule = {.sites = 12, .apart_m = 200, .spread = 0.25 * step};
        struct sel_choice choice;
        assert_int_equal(sel_choose_best(context, items, count, NULL, 0, &rule, &choice), SEL_OK);
        assert_int_equal(choice.count, 12);
        double sum = 0;
        for (int i = 0; i < 12; i++) {
            double near_m = HUGE_VAL;
            for (int k = 0; k < 12; k++) {
                const struct sel_choice_item *a = &items[choice.sites[i].item],
                                             *b = &items[choice.sites[k].item];
                if (k != i)
                    near_m = fmin(near_m, hypot(a->x_m - b->x_m, a->y_m - b->y_m));
            }
            sum += near_m;
        }
        assert_true(sum >= before_m && choice.total_score <= before_score + 1e-9);
        assert_true(choice.bound >= choice.objective);
        before_m = sum;
        before_score = choice.total_score;
        sel_choice_clear(&choice);
    }
    assert_true(before_m / 12 > 2000); // of D = 3.1 km on 10 x 10 km
    free(items);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_even_distance_is_that_of_a_triangular_lattice),
        cmocka_unit_test(the_objective_is_that_by_hand),
        cmocka_unit_test(choices_lie_between_their_bounds),
        cmocka_unit_test(more_spread_lies_farther_apart),
    };
    return cmocka_run_group_tests(tests, make_context, free_context);
}
