// SPDX-License-Identifier: MIT
//
// Who would take a site's place, against trying every candidate; and choices that are given.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "choose/choose.h"
#include "choose_check.h"
#include "choose_random.h"
#include "choose_run.h"
#include "choose_world.h"
#include "shared_context.h"

static size_t brute_successor(const struct world *w, const size_t *sites, int count, int gone) {
    size_t best = SIZE_MAX, changed[WORLD_MOST];
    memcpy(changed, sites, sizeof changed);
    for (size_t i = 0; i < w->count; i++) {
        if (world_is_among(i, sites, count))
            continue;
        changed[gone] = i;
        if (world_allows(w, changed, count) &&
            (best == SIZE_MAX || world_beats(&w->items[i], &w->items[best])))
            best = i;
    }
    return best;
}

static void successors_are_those_of_trying_all(void **state) {
    (void)state;
    uint64_t random = 19;
    int some = 0;
    for (int trial = 0; trial < 1500; trial++) {
        struct world w = world_random(&random, 40, trial % 2);
        if (trial % 3 == 0)
            world_add_blocks(&w, &random, trial % 2);
        struct sel_choice choice;
        size_t sites[WORLD_MOST] = {0};
        if (world_choose_best(&w, &choice) == SEL_OK) {
            int count = world_sites_of(&choice, sites);
            for (int k = 0; k < count; k++) {
                size_t wanted = brute_successor(&w, sites, count, k);
                if (choice.sites[k].successor != wanted)
                    fail_msg("site %d: %zu instead of %zu", k, choice.sites[k].successor, wanted);
                some += wanted != SIZE_MAX;
                if (wanted != SIZE_MAX)
                    assert_near(choice.sites[k].drop_score, w.items[wanted].score, 0);
            }
        }
        sel_choice_clear(&choice);
    }
    assert_true(some > 1000);
}

// The objective as docs/method-choice.md tells it, with another score for one site.
static double objective_with(const struct world *w, double even_m, const size_t *sites, int count,
    double score_of_first, size_t first) {
    double sum = 0, spread = w->rule.spread;
    for (int i = 0; i < count; i++) {
        double near_m = HUGE_VAL, score = w->items[sites[i]].score;
        for (int k = 0; k < count; k++)
            if (k != i)
                near_m = fmin(near_m, hypot(w->items[sites[i]].x_m - w->items[sites[k]].x_m,
                                          w->items[sites[i]].y_m - w->items[sites[k]].y_m));
        score = sites[i] == first ? score_of_first : score;
        sum += (1 - spread) * score + spread * fmin(1, count > 1 ? near_m / even_m : 1);
    }
    return sum;
}

// The best objective with anybody in the place of a site; -1: nobody can be.
static double brute_objective(
    const struct world *w, double even_m, const size_t *sites, int count, int gone) {
    double best = -1;
    size_t changed[WORLD_MOST];
    memcpy(changed, sites, sizeof changed);
    for (size_t i = 0; i < w->count; i++) {
        changed[gone] = i;
        if (!world_is_among(i, sites, count) && world_allows(w, changed, count))
            best = fmax(best, objective_with(w, even_m, changed, count, 0, SIZE_MAX));
    }
    return best;
}

// With spread a site stands until its score falls so far that another makes the objective higher.
static void with_spread_a_site_drops_out_where_the_objective_says(void **state) {
    (void)state;
    uint64_t random = 21;
    int some = 0;
    for (int trial = 0; trial < 600; trial++) {
        struct world w = world_random(&random, 30, trial % 2);
        w.rule.spread = 0.1 * (double)(1 + trial % 9);
        struct sel_choice_problem problem = world_problem(&w);
        double even_m = problem.even_m;
        sel_choice_problem_clear(&problem);
        struct sel_choice choice;
        size_t sites[WORLD_MOST] = {0};
        bool is_chosen = even_m > 0 && world_choose_best(&w, &choice) == SEL_OK;
        int count = is_chosen ? world_sites_of(&choice, sites) : 0;
        for (int k = 0; k < count; k++) {
            double other = brute_objective(&w, even_m, sites, count, k);
            double drop = choice.sites[k].drop_score;
            if (isnan(drop)) {
                assert_true(objective_with(&w, even_m, sites, count, 0, sites[k]) >= other - 1e-9);
                continue;
            }
            assert_near(objective_with(&w, even_m, sites, count, drop, sites[k]), other, 1e-9);
            assert_true(drop <= w.items[sites[k]].score + 1e-9);
            some++;
        }
        if (is_chosen)
            sel_choice_clear(&choice);
    }
    assert_true(some > 300);
}

// The sites of a choice, given back, make the same choice but for its bound.
static void a_given_choice_is_completed_alike(void **state) {
    (void)state;
    uint64_t random = 29;
    for (int trial = 0; trial < 500; trial++) {
        struct world w = world_random(&random, 50, false);
        struct sel_choice choice, given;
        size_t sites[WORLD_MOST] = {0};
        sel_status status = world_choose_best(&w, &choice);
        int count = world_sites_of(&choice, sites);
        for (int k = 0; k < count / 2; k++) { // in any order
            size_t swap = sites[k];
            sites[k] = sites[count - 1 - k];
            sites[count - 1 - k] = swap;
        }
        assert_int_equal(sel_choose_given(context, w.items, w.count, w.occupied, w.occupied_count,
                             &w.rule, sites, count, &given),
            status);
        assert_int_equal(given.count, choice.count);
        assert_true(isnan(given.bound));
        assert_memory_equal(given.met, choice.met, sizeof given.met);
        for (int k = 0; k < count; k++)
            assert_memory_equal(&given.sites[k], &choice.sites[k], sizeof given.sites[k]);
        assert_memory_equal(given.fates, choice.fates, w.count);
        assert_near(given.total_score, choice.total_score, 0);
        sel_choice_clear(&choice);
        sel_choice_clear(&given);
    }
}

static void a_given_site_near_an_occupied_place_is_refused(void **state) {
    (void)state;
    struct world w = {.count = 1, .occupied_count = 1, .rule = {.sites = 1, .apart_m = 100}};
    w.items[0] = world_item(0.5, 0, 0, 0);
    w.occupied[0] = (struct sel_choice_point){10, 0};
    struct sel_choice choice;
    const size_t site = 0;
    assert_int_equal(
        sel_choose_given(context, w.items, 1, w.occupied, 1, &w.rule, &site, 1, &choice),
        SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context), "near an occupied place"));
    sel_context_begin(context);
    sel_choice_clear(&choice);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(successors_are_those_of_trying_all),
        cmocka_unit_test(with_spread_a_site_drops_out_where_the_objective_says),
        cmocka_unit_test(a_given_choice_is_completed_alike),
        cmocka_unit_test(a_given_site_near_an_occupied_place_is_refused),
    };
    return cmocka_run_group_tests(tests, make_context, free_context);
}
