// SPDX-License-Identifier: MIT
//
// The bound against the optimum found by trying all sets.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "choose/bound.h"
#include "choose_random.h"
#include "choose_world.h"

static int64_t weight_of(const struct world *w, const size_t *sites, int count) {
    int64_t sum = 0;
    for (int k = 0; k < count; k++)
        sum += sel_site_weight(w->items[sites[k]].score);
    return sum;
}

static bool is_left(
    const struct sel_bound *bound, const struct sel_choice_problem *problem, size_t item) {
    const size_t *positions;
    const double *worth;
    size_t left = sel_bound_left(bound, &positions, &worth);
    for (size_t i = 0; i < left; i++)
        if (problem->open_index[positions[i]] == item)
            return true;
    return false;
}

// With nothing reached, and with one step less than the optimum reached: then no member of the
// optimum may be dropped. With the optimum reached the bound must not fall below it.
static void the_bound_is_never_below_the_optimum(void **state) {
    (void)state;
    uint64_t random = 71;
    int tried = 0, tight = 0;
    for (int trial = 0; trial < 900; trial++) {
        struct world w = world_random(&random, 16, trial % 2);
        size_t best[WORLD_MOST];
        int count;
        if (world_exhaust(&w, best, &count) < 0)
            continue;
        int64_t optimum = weight_of(&w, best, count);
        const int64_t reached[] = {0, optimum - 1, optimum};
        for (int k = 0; k < 3; k++) {
            struct sel_choice_problem problem = world_problem(&w);
            struct sel_bound *bound;
            assert_int_equal(sel_bound_new(&problem, &bound), SEL_OK);
            assert_true(sel_bound_weight(bound) >= optimum);
            for (int round = 0; round < 40; round++) {
                sel_bound_tighten(bound, reached[k], 7);
                assert_true(sel_bound_weight(bound) >= optimum);
                for (int i = 0; i < count && k < 2; i++)
                    assert_true(is_left(bound, &problem, best[i]));
            }
            tight += k == 2 && sel_bound_weight(bound) == optimum;
            sel_bound_free(bound);
            sel_choice_problem_clear(&problem);
        }
        tried++;
    }
    print_message("bound: equal to the optimum in %d of %d small worlds\n", tight, tried);
    assert_true(tried > 400 && tight * 2 > tried);
}

// Two far apart groups of neighbours, two sites: the best of each, and no more is possible.
static void where_the_spacing_parts_the_candidates_the_bound_closes(void **state) {
    (void)state;
    struct world w = {
        .count = 4, .rule = {.sites = 3, .apart_m = 100, .quota[SEL_BY_PAIR].groups = 1}};
    w.items[0] = world_item(0.9, 0, 0, 0);
    w.items[1] = world_item(0.8, 10, 10, 0);
    w.items[2] = world_item(0.7, 5000, 0, 0);
    w.items[3] = world_item(0.6, 5010, 10, 0);
    struct sel_choice_problem problem = world_problem(&w);
    struct sel_bound *bound;
    assert_int_equal(sel_bound_new(&problem, &bound), SEL_OK);
    int64_t optimum = sel_site_weight(0.9) + sel_site_weight(0.7);
    assert_true(sel_bound_tighten(bound, 0, 5) == false);
    assert_int_equal(sel_bound_weight(bound), optimum);
    const size_t *positions;
    const double *worth;
    assert_false(sel_bound_tighten(bound, optimum, 5));
    assert_int_equal(sel_bound_left(bound, &positions, &worth), 0);
    sel_bound_free(bound);
    sel_choice_problem_clear(&problem);
    sel_bound_free(NULL);
}

// Forty candidates far from one another, by turns of two pairs; the first pair's all score higher.
// Only the quotas bind, so that the optimum is a matter of sorting, and a price for each quota
// proves it (Everett 1963): the bound has to come near.
static void prices_of_quotas_bring_the_bound_down(void **state) {
    (void)state;
    enum { COUNT = 40, SITES = 10, QUOTA = 3 };
    for (int minimum = 0; minimum < 2; minimum++) {
        struct world w = {.count = COUNT,
            .rule = {.sites = SITES, .apart_m = 100, .quota[SEL_BY_PAIR].groups = 2}};
        struct sel_quota *quota = &w.rule.quota[SEL_BY_PAIR];
        *(minimum ? &quota->least : &quota->most) = QUOTA;
        for (int i = 0; i < COUNT; i++)
            w.items[i] = world_item((i % 2 ? 0.4 : 0.9) - 0.01 * (i / 2), 1000 * i, 0, i % 2);
        int good = minimum ? SITES - QUOTA : QUOTA;
        int64_t optimum = 0;
        for (int i = 0; i < SITES; i++)
            optimum += sel_site_weight(i < good ? 0.9 - 0.01 * i : 0.4 - 0.01 * (i - good));
        struct sel_choice_problem problem = world_problem(&w);
        struct sel_bound *bound;
        assert_int_equal(sel_bound_new(&problem, &bound), SEL_OK);
        sel_bound_tighten(bound, optimum, 300);
        assert_true(sel_bound_weight(bound) >= optimum);
        assert_true((double)sel_bound_weight(bound) < 1.002 * (double)optimum);
        sel_bound_free(bound);
        sel_choice_problem_clear(&problem);
    }
}

static void closing_lowers_the_bound_and_drops_all(void **state) {
    (void)state;
    struct world w = {
        .count = 2, .rule = {.sites = 2, .apart_m = 0, .quota[SEL_BY_PAIR].groups = 1}};
    w.items[0] = world_item(0.5, 0, 0, 0);
    w.items[1] = world_item(0.5, 10, 0, 0);
    struct sel_choice_problem problem = world_problem(&w);
    struct sel_bound *bound;
    const size_t *positions;
    const double *worth;
    assert_int_equal(sel_bound_new(&problem, &bound), SEL_OK);
    assert_int_equal(sel_bound_weight(bound), 2 * sel_site_weight(0.5));
    sel_bound_close(bound, 77);
    assert_int_equal(sel_bound_weight(bound), 77);
    assert_int_equal(sel_bound_left(bound, &positions, &worth), 0);
    sel_bound_free(bound);
    sel_choice_problem_clear(&problem);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_bound_is_never_below_the_optimum),
        cmocka_unit_test(where_the_spacing_parts_the_candidates_the_bound_closes),
        cmocka_unit_test(prices_of_quotas_bring_the_bound_down),
        cmocka_unit_test(closing_lowers_the_bound_and_drops_all),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
