// SPDX-License-Identifier: MIT
//
// Reserves that stand off from their site, and why there are none. (The rule itself is held against
// a brute force in test_choose_exhaustive.c.)
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "choose/choose.h"
#include "choose_random.h"
#include "choose_world.h"
#include "shared_context.h"

static struct sel_choice choose(const struct world *w) {
    struct sel_choice choice;
    sel_context_begin(context);
    assert_int_equal(
        sel_choose(context, w->items, w->count, w->occupied, w->occupied_count, &w->rule, &choice),
        SEL_OK);
    return choice;
}

// Spacing 400 m, so a reserve stands 100 m or more from its site and from its other reserves.
static void a_reserve_stands_off_from_its_site_and_from_its_other_reserves(void **state) {
    (void)state;
    struct world w = {.count = 5,
        .rule = {.sites = 1,
            .apart_m = 400,
            .reserves = 3,
            .reserve_reach_m = 400,
            .reserve_apart_m = 100}};
    w.items[0] = world_item(0.9, 0, 0, 0);
    w.items[1] = world_item(0.8, 99, 0, 0); // too near its site
    w.items[2] = world_item(0.7, 100, 0, 0);
    w.items[3] = world_item(0.6, 190, 0, 0); // 90 m from the first reserve
    w.items[4] = world_item(0.5, 0, 300, 0);
    struct sel_choice choice = choose(&w);
    const struct sel_chosen *site = &choice.sites[0];
    assert_int_equal(site->reserve_count, 2);
    assert_int_equal(site->reserves[0], 2);
    assert_int_equal(site->reserves[1], 4);
    assert_int_equal(site->search.near_own, 2);
    assert_int_equal(site->search.near_others + site->search.near_occupied + site->search.taken, 0);
    sel_choice_clear(&choice);
}

// One candidate of each reason around the second site.
static void a_site_without_a_reserve_counts_the_reasons(void **state) {
    (void)state;
    struct world w = {.count = 6,
        .occupied_count = 1,
        .rule = {.sites = 2,
            .apart_m = 400,
            .reserves = 1,
            .reserve_reach_m = 600,
            .reserve_apart_m = 100}};
    w.occupied[0] = (struct sel_choice_point){900, 0};
    w.items[0] = world_item(0.9, 0, 0, 0);
    w.items[1] = world_item(0.8, 400, 0, 0);
    w.items[2] = world_item(0.7, 450, 0, 0);  // near its own site
    w.items[3] = world_item(0.6, 200, 0, 0);  // near the other site
    w.items[4] = world_item(0.5, 600, 0, 0);  // near the occupied place
    w.items[5] = world_item(0.4, 50, 400, 0); // within reach of both: the better site's reserve
    struct sel_choice choice = choose(&w);
    assert_int_equal(choice.sites[0].reserves[0], 5);
    assert_int_equal(choice.sites[1].reserve_count, 0);
    const struct sel_reserve_search *search = &choice.sites[1].search;
    assert_int_equal(search->near_own, 1);
    assert_int_equal(search->near_others, 1);
    assert_int_equal(search->near_occupied, 1);
    assert_int_equal(search->taken, 1);
    sel_choice_clear(&choice);
}

// All that lies within reach is accounted for, in random worlds.
static void reasons_and_reserves_add_up_to_what_is_within_reach(void **state) {
    (void)state;
    uint64_t random = 17;
    int lacking = 0;
    for (int trial = 0; trial < 1000; trial++) {
        struct world w = world_random(&random, WORLD_MOST, false);
        struct sel_choice choice;
        if (sel_choose(context, w.items, w.count, w.occupied, w.occupied_count, &w.rule, &choice) ==
            SEL_OK)
            for (int k = 0; k < choice.count; k++) {
                const struct sel_chosen *site = &choice.sites[k];
                const struct sel_choice_item *at = &w.items[site->item];
                int64_t within = -site->reserve_count;
                for (size_t i = 0; i < w.count; i++) {
                    double dx = w.items[i].x_m - at->x_m, dy = w.items[i].y_m - at->y_m;
                    double reach = w.rule.reserve_reach_m;
                    if (choice.fates[i] != SEL_CHOICE_SITE)
                        within += dx * dx + dy * dy <= reach * reach;
                }
                if (site->reserve_count == w.rule.reserves)
                    continue;
                const struct sel_reserve_search *search = &site->search;
                assert_int_equal(
                    search->near_own + search->near_others + search->near_occupied + search->taken,
                    within);
                lacking++;
            }
        sel_choice_clear(&choice);
    }
    assert_true(lacking > 500);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_reserve_stands_off_from_its_site_and_from_its_other_reserves),
        cmocka_unit_test(a_site_without_a_reserve_counts_the_reasons),
        cmocka_unit_test(reasons_and_reserves_add_up_to_what_is_within_reach),
    };
    return cmocka_run_group_tests(tests, make_context, free_context);
}
