// SPDX-License-Identifier: MIT
//
// The greedy choice against hand-made cases.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "choose/choose.h"
#include "choose_check.h"
#include "choose_random.h"
#include "choose_run.h"
#include "choose_world.h"
#include "shared_context.h"

enum { MOST = WORLD_MOST };

// Brook, track and pond on a line, 100 m from one to the next.
static void the_best_is_taken_and_its_neighbours_are_not(void **state) {
    (void)state;
    struct world w = {
        .count = 5, .rule = {.sites = 2, .apart_m = 150, .quota[SEL_BY_PAIR].groups = 1}};
    const double scores[] = {0.5, 0.8, 0.9, 0.7, 0.6};
    for (int i = 0; i < 5; i++)
        w.items[i] = world_item(scores[i], 100 * i, 0, 0);
    struct sel_choice choice;
    assert_int_equal(world_choose(&w, &choice), SEL_OK);
    assert_int_equal(choice.count, 2);
    assert_int_equal(choice.sites[0].item, 2);
    assert_int_equal(choice.sites[1].item, 4);
    assert_near(choice.total_score, 1.5, 1e-12);
    const uint8_t fates[] = {SEL_CHOICE_LOWER_SCORE, SEL_CHOICE_NEAR_CHOSEN, SEL_CHOICE_SITE,
        SEL_CHOICE_NEAR_CHOSEN, SEL_CHOICE_SITE};
    assert_memory_equal(choice.fates, fates, sizeof fates);
    world_assert_counts_add_up(&w, &choice);
    sel_choice_clear(&choice);
}

// The weights of a path of four from the table of maximum-weight independent sets: greedy takes
// 5 and 1 (the optimum, 8, is for the exact choice).
static void on_a_path_of_four_greedy_takes_six(void **state) {
    (void)state;
    const double scores[] = {1, 4, 5, 4};
    struct world w = {
        .count = 4, .rule = {.sites = 4, .apart_m = 150, .quota[SEL_BY_PAIR].groups = 1}};
    for (int i = 0; i < 4; i++)
        w.items[i] = world_item(scores[i], 100 * i, 0, 0);
    struct sel_choice choice;
    assert_int_equal(world_choose(&w, &choice), SEL_OK);
    assert_int_equal(choice.count, 2);
    assert_near(choice.total_score, 6, 0);
    sel_choice_clear(&choice);
}

static void ties_go_to_the_lower_row_then_column_then_pair(void **state) {
    (void)state;
    struct world w = {
        .count = 4, .rule = {.sites = 4, .apart_m = 1, .quota[SEL_BY_PAIR].groups = 3}};
    w.items[0] = world_item(0.5, 400, 300, 0);
    w.items[1] = world_item(0.5, 300, 300, 2);
    w.items[2] = world_item(0.5, 800, 100, 0);
    w.items[3] = world_item(0.5, 302, 300, 1); // same half-cell as 1
    struct sel_choice choice;
    assert_int_equal(world_choose(&w, &choice), SEL_OK);
    const size_t order[] = {2, 3, 1, 0};
    for (int i = 0; i < 4; i++)
        assert_int_equal(choice.sites[i].item, order[i]);
    sel_choice_clear(&choice);
}

static void a_full_pair_gives_way_to_the_next(void **state) {
    (void)state;
    struct world w = {.count = 5,
        .rule = {.sites = 3,
            .apart_m = 100,
            .quota[SEL_BY_PAIR].most = 2,
            .quota[SEL_BY_PAIR].groups = 2}};
    for (int i = 0; i < 4; i++)
        w.items[i] = world_item(0.9 - 0.1 * i, 1000 * i, 0, 0);
    w.items[4] = world_item(0.1, 0, 1000, 1);
    struct sel_choice choice;
    assert_int_equal(world_choose(&w, &choice), SEL_OK);
    assert_int_equal(choice.count, 3);
    assert_int_equal(choice.sites[2].item, 4);
    assert_int_equal(choice.met[SEL_CHOICE_PAIR_FULL], 2);
    world_assert_counts_add_up(&w, &choice);
    sel_choice_clear(&choice);
}

static void a_running_trap_keeps_others_away(void **state) {
    (void)state;
    struct world w = {.count = 3, .occupied_count = 1, .rule = {.sites = 3, .apart_m = 100}};
    w.rule.quota[SEL_BY_PAIR].groups = 1;
    w.occupied[0] = (struct sel_choice_point){0, 0};
    w.items[0] = world_item(0.9, 60, 79, 0); // 99.2 m away
    w.items[1] = world_item(0.8, 60, 80, 0); // 100 m away: apart
    w.items[2] = world_item(0.7, 61, 80, 0); // near the site
    struct sel_choice choice;
    assert_int_equal(world_choose(&w, &choice), SEL_OK);
    assert_int_equal(choice.count, 1);
    assert_int_equal(choice.sites[0].item, 1);
    assert_int_equal(choice.fates[0], SEL_CHOICE_NEAR_OCCUPIED);
    assert_int_equal(choice.fates[2], SEL_CHOICE_NEAR_CHOSEN);
    world_assert_counts_add_up(&w, &choice);
    sel_choice_clear(&choice);
}

// Two sites 400 m apart. Between them a place near both serves neither; a place near one serves
// that one only; a place is never given twice.
static void a_reserve_keeps_away_from_all_sites_but_its_own(void **state) {
    (void)state;
    struct world w = {.count = 7,
        .rule = {.sites = 2,
            .apart_m = 300,
            .reserves = 2,
            .reserve_reach_m = 500,
            .quota[SEL_BY_PAIR].groups = 1}};
    w.items[0] = world_item(0.99, 0, 0, 0);
    w.items[1] = world_item(0.98, 400, 0, 0);
    w.items[2] = world_item(0.97, 200, 0, 0); // near both: nobody's
    w.items[3] = world_item(0.96, 500, 0, 0); // near 1, within reach of 0, too: only for 1
    w.items[4] = world_item(0.95, 50, 0, 0);  // near 0 only
    w.items[5] =
        world_item(0.94, 200, 400, 0);        // apart from both, within reach of both: the first's
    w.items[6] = world_item(0.93, 0, 501, 0); // out of the first's reach
    w.rule.sites = 2;
    struct sel_choice choice;
    assert_int_equal(world_choose(&w, &choice), SEL_OK);
    assert_int_equal(choice.count, 2);
    assert_int_equal(choice.sites[0].reserve_count, 2);
    assert_int_equal(choice.sites[0].reserves[0], 4);
    assert_int_equal(choice.sites[0].reserves[1], 5);
    assert_int_equal(choice.sites[1].reserve_count, 1);
    assert_int_equal(choice.sites[1].reserves[0], 3);
    assert_int_equal(choice.fates[2], SEL_CHOICE_NEAR_CHOSEN);
    assert_int_equal(choice.fates[6], SEL_CHOICE_LOWER_SCORE);
    world_assert_counts_add_up(&w, &choice);
    sel_choice_clear(&choice);
}

static void fewer_than_asked_is_fine_and_none_says_so(void **state) {
    (void)state;
    struct world w = {
        .count = 3, .rule = {.sites = 9, .apart_m = 100, .quota[SEL_BY_PAIR].groups = 1}};
    for (int i = 0; i < 3; i++)
        w.items[i] = world_item(0.5, 50 * i, 0, 0);
    struct sel_choice choice;
    assert_int_equal(world_choose(&w, &choice), SEL_OK);
    assert_int_equal(choice.count, 2);
    world_assert_counts_add_up(&w, &choice);
    sel_choice_clear(&choice);

    w.occupied[0] = (struct sel_choice_point){50, 0};
    w.occupied_count = 1;
    w.rule.quota[SEL_BY_PAIR].least = 1;
    assert_int_equal(world_choose(&w, &choice), SEL_NOTHING);
    assert_string_equal(sel_context_message(context), "");
    assert_int_equal(choice.count, 0);
    assert_int_equal(choice.met[SEL_CHOICE_NEAR_OCCUPIED], 3);
    sel_choice_clear(&choice);

    w.count = 0;
    assert_int_equal(world_choose(&w, &choice), SEL_NOTHING);
    assert_int_equal(choice.count + choice.met[SEL_CHOICE_LOWER_SCORE], 0);
    sel_choice_clear(&choice);

    w.count = 3, w.occupied_count = 0, w.rule.sites = 0, w.rule.quota[SEL_BY_PAIR].least = 0;
    assert_int_equal(world_choose(&w, &choice), SEL_NOTHING);
    assert_int_equal(choice.met[SEL_CHOICE_LOWER_SCORE], 3);
    sel_choice_clear(&choice);
}

static void without_spacing_the_best_are_taken_once_each(void **state) {
    (void)state;
    struct world w = {.count = 3,
        .rule = {.sites = 3,
            .apart_m = 0,
            .quota[SEL_BY_PAIR].least = 1,
            .quota[SEL_BY_PAIR].groups = 2}};
    w.items[0] = world_item(0.3, 10, 10, 0);
    w.items[1] = world_item(0.9, 10, 10, 1);
    w.items[2] = world_item(0.8, 20, 10, 1);
    struct sel_choice choice;
    assert_int_equal(world_choose(&w, &choice), SEL_OK);
    const size_t order[] = {1, 2, 0};
    assert_int_equal(choice.count, 3);
    for (int i = 0; i < 3; i++)
        assert_int_equal(choice.sites[i].item, order[i]);
    sel_choice_clear(&choice);
}

// Pair 1 is poor and comes last by score, yet gets its site; the order of sites is by score again.
static void a_minimum_is_met_before_better_scores(void **state) {
    (void)state;
    struct world w = {.count = 4,
        .rule = {.sites = 2,
            .apart_m = 100,
            .quota[SEL_BY_PAIR].least = 1,
            .quota[SEL_BY_PAIR].groups = 3}};
    w.items[0] = world_item(0.1, 0, 0, 1);
    w.items[1] = world_item(0.9, 1000, 0, 0);
    w.items[2] = world_item(0.8, 2000, 0, 0);
    w.items[3] = world_item(0.05, 3000, 0, 1);
    struct sel_choice choice;
    assert_int_equal(world_choose(&w, &choice), SEL_OK);
    assert_int_equal(choice.count, 2);
    assert_int_equal(choice.sites[0].item, 1);
    assert_int_equal(choice.sites[1].item, 0);
    sel_choice_clear(&choice);
}

// Pair 0's best place crowds out pair 1's only one; pair 0 has another.
static void a_pair_that_was_crowded_out_is_served_first(void **state) {
    (void)state;
    struct world w = {.count = 3,
        .rule = {.sites = 2,
            .apart_m = 100,
            .quota[SEL_BY_PAIR].least = 1,
            .quota[SEL_BY_PAIR].groups = 2}};
    w.items[0] = world_item(0.9, 50, 0, 0);
    w.items[1] = world_item(0.2, 0, 0, 1);
    w.items[2] = world_item(0.4, 200, 0, 0);
    struct sel_choice choice;
    assert_int_equal(world_choose(&w, &choice), SEL_OK);
    assert_int_equal(choice.count, 2);
    assert_int_equal(choice.sites[0].item, 2);
    assert_int_equal(choice.sites[1].item, 1);
    sel_choice_clear(&choice);
}

// Pair 1 is crowded out by pair 0; served first, it crowds out pair 2; served after that but still
// before pair 0, it makes do with its second best.
static void pairs_that_are_crowded_out_in_turn_all_keep_their_precedence(void **state) {
    (void)state;
    struct world w = {.count = 5,
        .rule = {.sites = 3,
            .apart_m = 100,
            .quota[SEL_BY_PAIR].least = 1,
            .quota[SEL_BY_PAIR].groups = 3}};
    w.items[0] = world_item(0.9, 1000, 0, 0);
    w.items[1] = world_item(0.5, 1090, 0, 1);
    w.items[2] = world_item(0.4, 910, 0, 1);
    w.items[3] = world_item(0.6, 1180, 0, 2);
    w.items[4] = world_item(0.3, 5000, 0, 0);
    struct sel_choice choice;
    assert_int_equal(world_choose(&w, &choice), SEL_OK);
    const size_t order[] = {3, 2, 4};
    assert_int_equal(choice.count, 3);
    for (int i = 0; i < 3; i++)
        assert_int_equal(choice.sites[i].item, order[i]);
    sel_choice_clear(&choice);
}

static void assert_refused(const struct world *w, const char *message) {
    struct sel_choice choice;
    assert_int_equal(world_choose(w, &choice), SEL_BAD_INPUT);
    assert_string_equal(sel_context_message(context), message);
    assert_int_equal(choice.count, 0);
    assert_null(choice.sites);
    assert_null(choice.fates);
}

#define MEND                                                                                       \
    "lower the minimum or choose.apart_m, raise choose.sites, or set choose.relax: true for the "  \
    "choice that comes nearest"

static void quotas_that_cannot_be_met_say_which_and_why(void **state) {
    (void)state;
    static const char *const names[] = {"brook|hay meadow", "heath|plantation"};
    struct world w = {.count = 3,
        .rule = {.sites = 3,
            .apart_m = 250,
            .quota[SEL_BY_PAIR].least = 2,
            .quota[SEL_BY_PAIR].groups = 2,
            .quota[SEL_BY_PAIR].names = names}};
    w.items[0] = world_item(0.9, 0, 0, 0);
    w.items[1] = world_item(0.9, 240, 0, 0);
    w.items[2] = world_item(0.9, 5000, 0, 1);
    assert_refused(&w, "choose.per_pair.min: 2 for each of 2 pairs of habitats makes more than "
                       "choose.sites: 3: raise choose.sites, lower choose.per_pair.min, or set "
                       "choose.relax: true for the choice that comes nearest");
    w.rule.sites = 4;
    assert_refused(&w, "choose.per_pair.min: 2: pair brook|hay meadow has room for no more than 1 "
                       "with 250 m between them, pair heath|plantation has only 1 away from "
                       "occupied places: " MEND);
    w.items[1].x_m = 1000;
    assert_refused(&w, "choose.per_pair.min: 2: pair heath|plantation has only 1 away from "
                       "occupied places: " MEND);
    w.rule.quota[SEL_BY_PAIR].names = NULL;
    assert_refused(&w, "choose.per_pair.min: 2: pair number 1 has only 1 away from occupied "
                       "places: " MEND);
    w.rule.quota[SEL_BY_PAIR].most = 1;
    assert_refused(&w, "choose.per_pair: min 2 is more than max 1: lower min or raise max");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_best_is_taken_and_its_neighbours_are_not),
        cmocka_unit_test(on_a_path_of_four_greedy_takes_six),
        cmocka_unit_test(ties_go_to_the_lower_row_then_column_then_pair),
        cmocka_unit_test(a_full_pair_gives_way_to_the_next),
        cmocka_unit_test(a_running_trap_keeps_others_away),
        cmocka_unit_test(a_reserve_keeps_away_from_all_sites_but_its_own),
        cmocka_unit_test(fewer_than_asked_is_fine_and_none_says_so),
        cmocka_unit_test(without_spacing_the_best_are_taken_once_each),
        cmocka_unit_test(a_minimum_is_met_before_better_scores),
        cmocka_unit_test(a_pair_that_was_crowded_out_is_served_first),
        cmocka_unit_test(pairs_that_are_crowded_out_in_turn_all_keep_their_precedence),
        cmocka_unit_test(quotas_that_cannot_be_met_say_which_and_why),
    };
    return cmocka_run_group_tests(tests, make_context, free_context);
}
