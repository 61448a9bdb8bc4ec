// SPDX-License-Identifier: MIT
//
// The best choice against trying all sets: equal up to 60 candidates; above, solution <= optimum <=
// bound.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "choose/choose.h"
#include "choose_check.h"
#include "choose_random.h"
#include "choose_run.h"
#include "choose_world.h"
#include "shared_context.h"

static void few_candidates_are_chosen_exactly(void **state) {
    (void)state;
    uint64_t random = 91;
    int refused = 0;
    for (int trial = 0; trial < 1500; trial++) {
        struct world w = world_random(&random, 16, trial % 2);
        if (trial % 3 == 0)
            world_add_blocks(&w, &random, trial % 2);
        size_t best[WORLD_MOST], sites[WORLD_MOST];
        int best_count;
        struct sel_choice choice;
        int64_t optimum = world_exhaust(&w, best, &best_count);
        sel_status status = world_choose_best(&w, &choice);
        if (optimum < 0) { // no choice meets the minimum
            assert_true(status == SEL_BAD_INPUT || status == SEL_NOTHING);
            refused += status == SEL_BAD_INPUT;
            assert_true(status == SEL_NOTHING || strstr(sel_context_message(context), ".min: "));
        } else {
            assert_int_equal(status, best_count > 0 ? SEL_OK : SEL_NOTHING);
            assert_int_equal(world_sites_of(&choice, sites), best_count);
            assert_memory_equal(sites, best, (size_t)best_count * sizeof *sites);
            assert_near(choice.bound, choice.total_score, 0);
        }
        sel_choice_clear(&choice);
    }
    assert_true(refused > 100);
}

// 61 to 64 candidates, up to three sites: above the exact search's limit, within that of patience.
static void more_candidates_lie_between_solution_and_bound(void **state) {
    (void)state;
    uint64_t random = 93;
    int tried = 0, optimal = 0, proven = 0;
    for (int trial = 0; trial < 300; trial++) {
        struct world w;
        do {
            w = world_random(&random, WORLD_MOST, trial % 2);
        } while (w.count <= 60);
        w.occupied_count = 0;
        w.rule.sites = 1 + trial % 3;
        w.rule.quota[SEL_BY_PAIR].least = trial % 6 == 5;
        for (size_t i = 0; i < w.count && trial % 4; i++)
            w.items[i].score = floor(random_share(&random) * 1e9) / 1e9;
        size_t best[WORLD_MOST], sites[WORLD_MOST];
        int best_count;
        struct sel_choice choice;
        int64_t optimum = world_exhaust(&w, best, &best_count);
        sel_status status = world_choose_best(&w, &choice);
        if (status == SEL_OK) {
            double total = (double)optimum / 1e9;
            assert_true(world_allows(&w, sites, world_sites_of(&choice, sites)));
            assert_true(choice.total_score <= total + 1e-9);
            assert_true(choice.bound >= total - 1e-9);
            assert_true(choice.bound >= choice.total_score);
            tried++;
            optimal += choice.total_score >= total - 1e-10;
            proven += choice.bound <= choice.total_score + 1e-10;
        } else {
            assert_int_equal(status, SEL_BAD_INPUT);
        }
        sel_choice_clear(&choice);
    }
    print_message("best: optimal in %d of %d, proven in %d\n", optimal, tried, proven);
    assert_true(tried > 250 && optimal * 100 >= tried * 99 && proven * 100 >= tried * 90);
}

// ---- larger worlds ----

struct scene {
    struct sel_choice_item *items;
    size_t count;
    struct sel_choice_rule rule;
};

// Hills of score, as habitats make them, with some noise; no place twice.
static struct scene scene_of(size_t count, uint64_t *random) {
    struct scene s = {.items = calloc(count, sizeof *s.items), .count = count};
    double hills[60][3];
    for (int k = 0; k < 60; k++) {
        hills[k][0] = random_between(random, 0, 20000);
        hills[k][1] = random_between(random, 0, 20000);
        hills[k][2] = random_share(random);
    }
    for (size_t i = 0; i < count; i++) {
        int64_t hx = random_below(random, 4000), hy = (int64_t)(i * 4000 / count);
        double x = 5 * (double)hx, y = 5 * (double)hy, score = 0;
        for (int k = 0; k < 60; k++) {
            double far = hypot(x - hills[k][0], y - hills[k][1]) / 2000;
            score = fmax(score, hills[k][2] * exp(-far * far));
        }
        score = floor((0.8 * score + 0.2 * random_share(random)) * 1e9) / 1e9;
        s.items[i] = (struct sel_choice_item){
            score, x, y, hy * 8 + (int64_t)(i % 8), hx, {(int32_t)random_below(random, 8)}};
    }
    s.rule = (struct sel_choice_rule){.sites = 20,
        .apart_m = 1000,
        .reserves = 1,
        .reserve_reach_m = 800,
        .quota[SEL_BY_PAIR].least = 1,
        .quota[SEL_BY_PAIR].most = 5,
        .quota[SEL_BY_PAIR].groups = 8};
    return s;
}

static void a_scene_is_chosen_better_than_greedily_with_a_small_gap(void **state) {
    (void)state;
    uint64_t random = 95;
    struct scene s = scene_of(20000, &random);
    struct sel_choice greedy, best;
    sel_context_begin(context);
    assert_int_equal(sel_choose(context, s.items, s.count, NULL, 0, &s.rule, &greedy), SEL_OK);
    assert_int_equal(sel_choose_best(context, s.items, s.count, NULL, 0, &s.rule, &best), SEL_OK);
    assert_true(isnan(greedy.bound));
    assert_true(best.total_score >= greedy.total_score);
    assert_true(best.bound >= best.total_score && best.bound <= 1.02 * best.total_score);
    int taken[8] = {0};
    for (int k = 0; k < best.count; k++) {
        const struct sel_choice_item *a = &s.items[best.sites[k].item];
        taken[a->group[SEL_BY_PAIR]]++;
        for (int i = 0; i < k; i++) {
            const struct sel_choice_item *b = &s.items[best.sites[i].item];
            assert_true(hypot(a->x_m - b->x_m, a->y_m - b->y_m) >= 1000 - 1e-9);
            assert_true(b->score >= a->score);
        }
    }
    for (int pair = 0; pair < 8; pair++)
        assert_in_range(taken[pair], 1, 5);
    int64_t met = 0;
    for (int fate = 0; fate < SEL_CHOICE_FATES; fate++)
        met += best.met[fate];
    assert_int_equal(met, (int64_t)s.count);
    sel_choice_clear(&greedy);
    sel_choice_clear(&best);
    free(s.items);
}

static void the_order_of_the_input_changes_nothing(void **state) {
    (void)state;
    uint64_t random = 97;
    struct scene s = scene_of(3000, &random);
    struct sel_choice_item *reversed = malloc(s.count * sizeof *reversed);
    for (size_t i = 0; i < s.count; i++)
        reversed[i] = s.items[s.count - 1 - i];
    struct sel_choice a, b;
    assert_int_equal(sel_choose_best(context, s.items, s.count, NULL, 0, &s.rule, &a), SEL_OK);
    assert_int_equal(sel_choose_best(context, reversed, s.count, NULL, 0, &s.rule, &b), SEL_OK);
    assert_int_equal(a.count, b.count);
    for (int k = 0; k < a.count; k++)
        assert_int_equal(a.sites[k].item, s.count - 1 - b.sites[k].item);
    assert_near(a.bound, b.bound, 0);
    sel_choice_clear(&a);
    sel_choice_clear(&b);
    free(reversed);
    free(s.items);
}

static void a_cancel_stops_the_search(void **state) {
    (void)state;
    uint64_t random = 99;
    struct scene s = scene_of(3000, &random);
    struct sel_choice choice;
    sel_context_begin(context);
    sel_cancel(context);
    assert_int_equal(
        sel_choose_best(context, s.items, s.count, NULL, 0, &s.rule, &choice), SEL_INTERRUPTED);
    assert_null(choice.sites);
    sel_context_begin(context);
    free(s.items);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(few_candidates_are_chosen_exactly),
        cmocka_unit_test(more_candidates_lie_between_solution_and_bound),
        cmocka_unit_test(a_scene_is_chosen_better_than_greedily_with_a_small_gap),
        cmocka_unit_test(the_order_of_the_input_changes_nothing),
        cmocka_unit_test(a_cancel_stops_the_search),
    };
    return cmocka_run_group_tests(tests, make_context, free_context);
}
