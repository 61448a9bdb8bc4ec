// SPDX-License-Identifier: MIT
//
// The exact choice against textbook graphs laid out on the ground and against trying all sets.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <string.h>

#include <cmocka.h>

#include "choose/exact.h"
#include "choose_check.h"
#include "choose_random.h"
#include "choose_world.h"

static int solve(const struct world *w, size_t *sites, double *total) {
    struct sel_choice_problem problem = world_problem(w);
    int count;
    bool found = sel_choose_exact(&problem, 0, sites, &count);
    *total = 0;
    for (int i = 0; i < count; i++) {
        *total += problem.open[sites[i]].score;
        sites[i] = problem.open_index[sites[i]];
    }
    sel_choice_problem_clear(&problem);
    return found ? count : -1;
}

static void assert_optimum(const struct world *w, double total, int count) {
    size_t sites[WORLD_MOST];
    double got;
    assert_int_equal(solve(w, sites, &got), count);
    assert_near(got, total, 1e-9);
    assert_true(world_allows(w, sites, count));
}

// Candidates 100 m apart on a line; neighbours exclude each other.
static struct world world_path(const double *scores, size_t count) {
    struct world w = {
        .count = count, .rule = {.sites = 9, .apart_m = 120, .quota[SEL_BY_PAIR].groups = 1}};
    for (size_t i = 0; i < count; i++)
        w.items[i] = world_item(scores[i], 100 * (double)i, 0, 0);
    return w;
}

static struct world world_grid(double apart_m) {
    struct world w = {
        .count = 16, .rule = {.sites = 16, .apart_m = apart_m, .quota[SEL_BY_PAIR].groups = 1}};
    for (int i = 0; i < 16; i++)
        w.items[i] = world_item(1, 100 * (i % 4), 100 * (i / 4), 0);
    return w;
}

// Optima by brute force, independent of this program; the path of four is a textbook example.
static void textbook_graphs_have_their_known_optimum(void **state) {
    (void)state;
    struct world w = world_path((const double[]){1, 4, 5, 4}, 4);
    assert_optimum(&w, 8, 2);
    w = world_path((const double[]){3, 2, 1, 6, 4, 5}, 6);
    assert_optimum(&w, 14, 3);
    w = world_path((const double[]){2, 3, 2}, 3);
    assert_optimum(&w, 4, 2);
    w = world_grid(120); // neighbours by side
    assert_optimum(&w, 8, 8);
    w = world_grid(150); // by corner, too
    assert_optimum(&w, 4, 4);
    w = world_path((const double[]){3, 1, 1, 1, 1}, 5); // a star: one in the middle of four
    const double leaves[][2] = {{0, 0}, {100, 0}, {-100, 0}, {0, 100}, {0, -100}};
    for (int i = 0; i < 5; i++)
        w.items[i].x_m = leaves[i][0], w.items[i].y_m = leaves[i][1];
    assert_optimum(&w, 4, 4);
    for (int i = 0; i < 5; i++) { // a ring of five, sides 100 m, diagonals 162 m
        double angle = 2 * acos(-1) * i / 5, radius = 50 / sin(acos(-1) / 5);
        w.items[i] = world_item(1, radius * cos(angle), radius * sin(angle), 0);
    }
    assert_optimum(&w, 2, 2);
}

static void random_worlds_agree_with_trying_all_sets(void **state) {
    (void)state;
    uint64_t random = 51;
    int unmet = 0;
    for (int trial = 0; trial < 3000; trial++) {
        struct world w = world_random(&random, 16, trial % 2);
        size_t wanted[WORLD_MOST], sites[WORLD_MOST];
        int wanted_count;
        double total;
        int64_t optimum = world_exhaust(&w, wanted, &wanted_count);
        int count = solve(&w, sites, &total);
        if (optimum < 0) {
            assert_int_equal(count, -1);
            unmet++;
            continue;
        }
        assert_int_equal(count, wanted_count);
        assert_memory_equal(sites, wanted, (size_t)count * sizeof *sites);
        assert_near(total, (double)optimum / 1e9, 1e-9);
    }
    assert_true(unmet > 100 && unmet < 1500);
}

static void a_floor_above_the_optimum_finds_nothing(void **state) {
    (void)state;
    struct world w = world_path((const double[]){1, 4, 5, 4}, 4);
    struct sel_choice_problem problem = world_problem(&w);
    size_t sites[WORLD_MOST];
    int count;
    int64_t optimum = 2 * sel_site_weight(4);
    assert_true(sel_choose_exact(&problem, optimum, sites, &count));
    assert_int_equal(count, 2);
    assert_false(sel_choose_exact(&problem, optimum + 1, sites, &count));
    assert_int_equal(count, 0);
    sel_choice_problem_clear(&problem);
}

static void worthless_candidates_are_taken_rather_than_none(void **state) {
    (void)state;
    struct world w = world_path((const double[]){0, 0, 0}, 3);
    assert_optimum(&w, 0, 2);
}

// The largest worlds it is meant for, from crowded to nearly free, with and without quotas, with
// equal scores, too: it must come to an end, and no better set may be near.
static void sixty_candidates_are_solved(void **state) {
    (void)state;
    uint64_t random = 53;
    for (int trial = 0; trial < 60; trial++) {
        struct world w = {.count = SEL_EXACT_MOST};
        w.rule = (struct sel_choice_rule){.sites = 4 + trial % 20,
            .apart_m = 60 + 15 * (double)(trial % 12),
            .quota[SEL_BY_PAIR].least = trial % 3 == 1,
            .quota[SEL_BY_PAIR].most = trial % 2 ? 0 : 3,
            .quota[SEL_BY_PAIR].groups = 4};
        for (size_t i = 0; i < w.count; i++) {
            double score = trial % 5 ? floor(random_share(&random) * 1e9) / 1e9 : 0.5;
            w.items[i] = world_item(score, floor(random_between(&random, 0, 1000)),
                floor(random_between(&random, 0, 1000)), (int32_t)random_below(&random, 4));
            w.items[i].hx = (int64_t)i;
        }
        size_t sites[WORLD_MOST];
        double total;
        int count = solve(&w, sites, &total);
        if (count < 0)
            continue;
        assert_true(world_allows(&w, sites, count));
        for (int k = 0; k < count; k++) { // no single exchange is better
            size_t kept = sites[k];
            for (size_t i = 0; i < w.count; i++) {
                sites[k] = i;
                if (w.items[i].score > w.items[kept].score + 1e-12)
                    assert_false(world_allows(&w, sites, count));
            }
            sites[k] = kept;
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(textbook_graphs_have_their_known_optimum),
        cmocka_unit_test(random_worlds_agree_with_trying_all_sets),
        cmocka_unit_test(a_floor_above_the_optimum_finds_nothing),
        cmocka_unit_test(worthless_candidates_are_taken_rather_than_none),
        cmocka_unit_test(sixty_candidates_are_solved),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
