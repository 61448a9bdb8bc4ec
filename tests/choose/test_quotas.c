// SPDX-License-Identifier: MIT
//
// Quotas that cannot be met: what is said of them, and the choice that comes nearest.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "choose/exact.h"
#include "choose_check.h"
#include "choose_random.h"
#include "choose_run.h"
#include "choose_world.h"
#include "shared_context.h"

static void expect_said(const struct world *w, const char *message) {
    struct sel_choice choice;
    assert_int_equal(world_choose_best(w, &choice), SEL_BAD_INPUT);
    if (!strstr(sel_context_message(context), message))
        fail_msg("\"%s\" is not in \"%s\"", message, sel_context_message(context));
    assert_null(choice.sites);
}

static const char *const BLOCKS[] = {"north", "south"};

// One candidate in the south, two in the north that are 90 m apart.
static struct world two_blocks(void) {
    struct world w = {.count = 3, .rule = {.sites = 4, .apart_m = 100}};
    w.rule.quota[SEL_BY_PAIR].groups = 1;
    w.rule.quota[SEL_BY_BLOCK] = (struct sel_quota){2, 0, 2, BLOCKS};
    w.items[0] = world_item(0.9, 0, 0, 0);
    w.items[1] = world_item(0.8, 90, 0, 0);
    w.items[2] = world_item(0.7, 0, 5000, 0);
    w.items[0].group[SEL_BY_BLOCK] = w.items[1].group[SEL_BY_BLOCK] = 0;
    w.items[2].group[SEL_BY_BLOCK] = 1;
    return w;
}

static void blocks_that_come_short_are_named_with_the_reason(void **state) {
    (void)state;
    struct world w = two_blocks();
    expect_said(&w, "choose.per_block.min: 2: block north has room for no more than 1 with 100 m "
                    "between them, block south has only 1 away from occupied places: lower the "
                    "minimum or choose.apart_m, raise choose.sites, or set choose.relax: true");
    w.rule.sites = 3;
    w.rule.plan = "valley.yaml";
    expect_said(&w, "valley.yaml: choose.per_block.min: 2 for each of 2 blocks makes more than "
                    "choose.sites: 3: raise choose.sites, lower choose.per_block.min, or set "
                    "choose.relax: true");
    w.rule.sites = 4;
    expect_said(&w, "valley.yaml: choose.per_block.min: 2: block north has room");
    w.rule.quota[SEL_BY_BLOCK].most = 1;
    expect_said(&w, "choose.per_block: min 2 is more than max 1: lower min or raise max");
}

// The only two places of block south are both within 100 m of the only place of pair 1.
static void room_that_another_minimum_needs_is_the_reason(void **state) {
    (void)state;
    static const char *const names[] = {"wood | meadow", "heath | fen"};
    struct world w = {.count = 3, .rule = {.sites = 4, .apart_m = 100}};
    w.rule.quota[SEL_BY_PAIR] = (struct sel_quota){1, 0, 2, names};
    w.rule.quota[SEL_BY_BLOCK] = (struct sel_quota){1, 0, 2, BLOCKS};
    w.items[0] = world_item(0.9, 0, 0, 0);
    w.items[1] = world_item(0.8, 90, 0, 1);
    w.items[2] = world_item(0.7, 180, 0, 0);
    w.items[0].group[SEL_BY_BLOCK] = 1;
    w.items[1].group[SEL_BY_BLOCK] = SEL_NO_GROUP;
    w.items[2].group[SEL_BY_BLOCK] = 1;
    expect_said(&w, "choose.per_pair.min: 1: pair heath | fen can have only 0 beside what other "
                    "minimums need");
}

// With relax: of all choices those that miss the fewest sites, and of them the best; exactly.
static void the_nearest_choice_is_that_of_trying_all(void **state) {
    (void)state;
    uint64_t random = 71;
    int short_of = 0;
    for (int trial = 0; trial < 1500; trial++) {
        struct world w = world_random(&random, 14, true);
        if (trial % 2)
            world_add_blocks(&w, &random, true);
        w.rule.relax = true;
        size_t best[WORLD_MOST], sites[WORLD_MOST];
        int best_count, missing, told = 0;
        int64_t total = world_exhaust_relaxed(&w, best, &best_count, &missing);
        struct sel_choice choice;
        sel_status status = world_choose_best(&w, &choice);
        assert_int_equal(status, best_count > 0 ? SEL_OK : SEL_NOTHING);
        for (int k = 0; k < choice.count; k++)
            sites[k] = choice.sites[k].item;
        assert_int_equal(choice.count, best_count);
        assert_int_equal(world_missing(&w, sites, choice.count), missing);
        assert_memory_equal(sites, best, (size_t)best_count * sizeof *sites);
        assert_near(choice.total_score, (double)total / 1e9, 1e-9);
        assert_near(choice.bound, choice.total_score, 1e-12);
        for (int i = 0; i < choice.shortfall_count; i++)
            told += w.rule.quota[choice.shortfalls[i].kind].least - choice.shortfalls[i].got;
        assert_int_equal(told, missing);
        short_of += missing > 0;
        sel_choice_clear(&choice);
    }
    assert_true(short_of > 300);
}

// The same with more candidates than the exact search takes: what is missing can be no less than
// what trying all finds, and hardly ever is more. Of choices that miss as much the total is no more
// than the best there is, and the bound no less.
static void many_candidates_come_as_near_as_can_be(void **state) {
    (void)state;
    uint64_t random = 73;
    int tried = 0, nearest = 0, optimal = 0, proven = 0;
    for (int trial = 0; trial < 150; trial++) {
        struct world w;
        do {
            w = world_random(&random, WORLD_MOST, true);
        } while (w.count <= SEL_EXACT_MOST);
        world_add_blocks(&w, &random, true);
        w.occupied_count = 0;
        w.rule.relax = true;
        w.rule.sites = 1 + trial % 3;
        w.rule.quota[SEL_BY_PAIR].least = 1 + trial % 2;
        w.rule.quota[SEL_BY_PAIR].most = 0;
        size_t best[WORLD_MOST], sites[WORLD_MOST];
        int best_count, missing;
        double optimum = (double)world_exhaust_relaxed(&w, best, &best_count, &missing) / 1e9;
        struct sel_choice choice;
        assert_int_equal(world_choose_best(&w, &choice), SEL_OK);
        for (int k = 0; k < choice.count; k++)
            sites[k] = choice.sites[k].item;
        assert_true(world_allows_short(&w, sites, choice.count));
        assert_true(world_missing(&w, sites, choice.count) >= missing);
        assert_true(choice.bound >= choice.total_score);
        assert_true(choice.bound >= optimum - 1e-9);
        tried++;
        if (world_missing(&w, sites, choice.count) == missing) {
            nearest++;
            assert_true(choice.total_score <= optimum + 1e-9);
            optimal += choice.total_score >= optimum - 1e-9;
            proven += choice.bound <= choice.total_score + 1e-10;
        }
        sel_choice_clear(&choice);
    }
    print_message("relaxed: as near as can be in %d of %d, optimal in %d, proven in %d\n", nearest,
        tried, optimal, proven);
    assert_true(nearest * 100 >= tried * 95 && optimal * 100 >= nearest * 97);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(blocks_that_come_short_are_named_with_the_reason),
        cmocka_unit_test(room_that_another_minimum_needs_is_the_reason),
        cmocka_unit_test(the_nearest_choice_is_that_of_trying_all),
        cmocka_unit_test(many_candidates_come_as_near_as_can_be),
    };
    return cmocka_run_group_tests(tests, make_context, free_context);
}
