// SPDX-License-Identifier: MIT
//
// The greedy choice against a brute force that applies the definitions one by one: no sort, no
// index, only "which of all that still fit is best".
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

static double square(double x) {
    return x * x;
}

// Adds the best candidate that fits (and, if asked, that some minimum still needs); false: none.
static bool brute_add(const struct world *w, bool needed, size_t *sites, int *count) {
    size_t best = SIZE_MAX;
    int missing = world_missing(w, sites, *count);
    for (size_t i = 0; i < w->count; i++) {
        if (world_is_among(i, sites, *count) || !world_apart_from_occupied(w, i) ||
            !world_apart_from_all(w, i, sites, *count, SIZE_MAX) ||
            !world_has_room(w, i, sites, *count))
            continue;
        sites[*count] = i;
        if (needed && world_missing(w, sites, *count + 1) == missing)
            continue;
        if (best == SIZE_MAX || world_beats(&w->items[i], &w->items[best]))
            best = i;
    }
    if (best == SIZE_MAX || *count >= w->rule.sites)
        return false;
    sites[(*count)++] = best;
    return true;
}

// Without the repair of minimum quotas; *minimum_met tells whether none was needed.
static int brute_greedy(const struct world *w, size_t *sites, bool *minimum_met) {
    int count = 0;
    while (world_missing(w, sites, count) > 0 && brute_add(w, true, sites, &count))
        continue;
    *minimum_met = world_missing(w, sites, count) == 0;
    while (brute_add(w, false, sites, &count))
        continue;
    world_order(w, sites, count);
    return count;
}

// How a candidate stands to a site and the reserves it has so far.
static bool far_enough(
    const struct world *w, size_t i, const struct sel_chosen *site, int reserves) {
    double least = square(w->rule.reserve_apart_m);
    const struct sel_choice_item *a = &w->items[i];
    for (int r = -1; r < reserves; r++) {
        const struct sel_choice_item *b = &w->items[r < 0 ? site->item : site->reserves[r]];
        if (square(a->x_m - b->x_m) + square(a->y_m - b->y_m) < least)
            return false;
    }
    return true;
}

static void check_reserves(const struct world *w, const struct sel_choice *choice) {
    size_t sites[MOST], given[MOST];
    int given_count = 0;
    for (int k = 0; k < choice->count; k++)
        sites[k] = choice->sites[k].item;
    for (int k = 0; k < choice->count; k++) {
        const struct sel_choice_item *site = &w->items[sites[k]];
        for (int r = 0; r <= choice->sites[k].reserve_count && r < w->rule.reserves; r++) {
            size_t best = SIZE_MAX;
            for (size_t i = 0; i < w->count; i++)
                if (!world_is_among(i, sites, choice->count) &&
                    !world_is_among(i, given, given_count) &&
                    square(w->items[i].x_m - site->x_m) + square(w->items[i].y_m - site->y_m) <=
                        square(w->rule.reserve_reach_m) &&
                    world_apart_from_occupied(w, i) &&
                    world_apart_from_all(w, i, sites, choice->count, sites[k]) &&
                    far_enough(w, i, &choice->sites[k], r) &&
                    (best == SIZE_MAX || world_beats(&w->items[i], &w->items[best])))
                    best = i;
            assert_int_equal(best != SIZE_MAX, r < choice->sites[k].reserve_count);
            if (best != SIZE_MAX) {
                assert_int_equal(choice->sites[k].reserves[r], best);
                given[given_count++] = best;
            }
        }
    }
    assert_int_equal(given_count, choice->met[SEL_CHOICE_RESERVE]);
}

static bool is_full(const struct world *w, size_t item, int kind, const size_t *sites, int count) {
    const struct sel_quota *quota = &w->rule.quota[kind];
    return quota->groups > 0 && w->items[item].group[kind] >= 0 && quota->most > 0 &&
           world_taken_like(w, kind, item, sites, count) >= quota->most;
}

// Whether it scores more than a site without which more would be missing of the minimums.
static bool beats_a_held_site(const struct world *w, size_t item, const size_t *sites, int count) {
    int missing = world_missing(w, sites, count);
    size_t others[MOST];
    for (int k = 0; k < count; k++) {
        memcpy(others, sites, sizeof others);
        others[k] = others[count - 1];
        if (w->items[item].score > w->items[sites[k]].score &&
            world_missing(w, others, count - 1) > missing)
            return true;
    }
    return false;
}

static void check_fates(const struct world *w, const struct sel_choice *choice) {
    size_t sites[MOST];
    for (int k = 0; k < choice->count; k++)
        sites[k] = choice->sites[k].item;
    for (size_t i = 0; i < w->count; i++) {
        uint8_t fate = choice->fates[i];
        assert_int_equal(fate == SEL_CHOICE_SITE, world_is_among(i, sites, choice->count));
        if (fate == SEL_CHOICE_SITE || fate == SEL_CHOICE_RESERVE)
            continue;
        uint8_t wanted = SEL_CHOICE_LOWER_SCORE;
        if (beats_a_held_site(w, i, sites, choice->count))
            wanted = SEL_CHOICE_FOR_MINIMUM;
        for (int kind = SEL_QUOTA_KINDS - 1; kind >= 0; kind--)
            if (is_full(w, i, kind, sites, choice->count))
                wanted = kind == SEL_BY_PAIR ? SEL_CHOICE_PAIR_FULL : SEL_CHOICE_BLOCK_FULL;
        if (!world_apart_from_all(w, i, sites, choice->count, SIZE_MAX))
            wanted = SEL_CHOICE_NEAR_CHOSEN;
        if (!world_apart_from_occupied(w, i))
            wanted = SEL_CHOICE_NEAR_OCCUPIED;
        assert_int_equal(fate, wanted);
        if (fate == SEL_CHOICE_LOWER_SCORE || fate == SEL_CHOICE_FOR_MINIMUM)
            assert_int_equal(choice->count, w->rule.sites);
    }
    world_assert_counts_add_up(w, choice);
}

static void check_feasible(const struct world *w, const struct sel_choice *choice) {
    size_t sites[MOST];
    double total = 0;
    assert_true(choice->count <= w->rule.sites);
    for (int k = 0; k < choice->count; k++) {
        sites[k] = choice->sites[k].item;
        total += w->items[sites[k]].score;
        assert_true(k == 0 || world_beats(&w->items[sites[k - 1]], &w->items[sites[k]]));
    }
    assert_near(choice->total_score, total, 0);
    assert_true(world_allows(w, sites, choice->count));
}

static void random_choices_follow_the_definitions(void **state) {
    (void)state;
    uint64_t random = 6;
    int chosen = 0;
    for (int trial = 0; trial < 4000; trial++) {
        struct world w = world_random(&random, MOST, trial % 2);
        if (trial % 3 == 0)
            world_add_blocks(&w, &random, trial % 2);
        struct sel_choice choice;
        sel_status status = world_choose(&w, &choice);
        size_t sites[MOST];
        bool minimum_met;
        int count = brute_greedy(&w, sites, &minimum_met);
        if (status == SEL_BAD_INPUT) {
            assert_false(minimum_met);
            continue;
        }
        assert_int_equal(status, count > 0 ? SEL_OK : SEL_NOTHING);
        if (status == SEL_OK)
            check_feasible(&w, &choice);
        if (minimum_met) {
            assert_int_equal(choice.count, count);
            for (int k = 0; k < count; k++)
                assert_int_equal(choice.sites[k].item, sites[k]);
        }
        check_fates(&w, &choice);
        check_reserves(&w, &choice);
        chosen += status == SEL_OK;
        sel_choice_clear(&choice);
    }
    assert_true(chosen > 2000);
}

// Whether some set of open, mutually apart candidates meets all minimums; by trying all.
static bool brute_possible(const struct world *w, size_t next, size_t *sites, int count) {
    if (world_missing(w, sites, count) == 0)
        return true;
    if (next == w->count || count == w->rule.sites)
        return false;
    if (world_apart_from_occupied(w, next) &&
        world_apart_from_all(w, next, sites, count, SIZE_MAX) &&
        world_has_room(w, next, sites, count)) {
        sites[count] = next;
        if (brute_possible(w, next + 1, sites, count + 1))
            return true;
    }
    return brute_possible(w, next + 1, sites, count);
}

// A refusal of what could be met is allowed, being greedy, but must be rare; the opposite never is.
static void impossible_minimums_are_always_refused(void **state) {
    (void)state;
    uint64_t random = 8;
    int possible = 0, refused_wrongly = 0, impossible = 0;
    for (int trial = 0; trial < 1500; trial++) {
        struct world w = world_random(&random, 14, true);
        w.rule.quota[SEL_BY_PAIR].least = 1 + trial % 2;
        w.rule.quota[SEL_BY_PAIR].most = 0;
        size_t sites[MOST];
        struct sel_choice choice;
        sel_status status = world_choose(&w, &choice);
        if (status == SEL_OK)
            check_feasible(&w, &choice);
        sel_choice_clear(&choice);
        if (brute_possible(&w, 0, sites, 0)) {
            possible++;
            refused_wrongly += status != SEL_OK;
        } else {
            impossible++;
            assert_int_not_equal(status, SEL_OK);
        }
    }
    print_message("minimum quotas: %d possible, %d of them not found, %d impossible\n", possible,
        refused_wrongly, impossible);
    assert_true(possible > 200 && impossible > 200);
    assert_true(refused_wrongly * 20 <= possible);
}

static void the_order_of_the_input_changes_nothing(void **state) {
    (void)state;
    uint64_t random = 9;
    for (int trial = 0; trial < 500; trial++) {
        struct world w = world_random(&random, MOST, true);
        if (trial % 2)
            world_add_blocks(&w, &random, true);
        struct world shuffled = w;
        size_t origin[MOST];
        for (size_t i = 0; i < w.count; i++)
            origin[i] = i;
        for (size_t i = w.count; i > 1; i--) {
            size_t k = (size_t)random_below(&random, (int64_t)i), swap = origin[k];
            origin[k] = origin[i - 1], origin[i - 1] = swap;
        }
        for (size_t i = 0; i < w.count; i++)
            shuffled.items[i] = w.items[origin[i]];
        struct sel_choice a, b;
        assert_int_equal(world_choose(&w, &a), world_choose(&shuffled, &b));
        assert_int_equal(a.count, b.count);
        for (int k = 0; k < a.count; k++) {
            assert_int_equal(a.sites[k].item, origin[b.sites[k].item]);
            assert_int_equal(a.sites[k].reserve_count, b.sites[k].reserve_count);
            for (int r = 0; r < a.sites[k].reserve_count; r++)
                assert_int_equal(a.sites[k].reserves[r], origin[b.sites[k].reserves[r]]);
        }
        for (size_t i = 0; a.fates && i < w.count; i++)
            assert_int_equal(a.fates[origin[i]], b.fates[i]);
        sel_choice_clear(&a);
        sel_choice_clear(&b);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_choices_follow_the_definitions),
        cmocka_unit_test(impossible_minimums_are_always_refused),
        cmocka_unit_test(the_order_of_the_input_changes_nothing),
    };
    return cmocka_run_group_tests(tests, make_context, free_context);
}
