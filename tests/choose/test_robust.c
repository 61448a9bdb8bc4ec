// SPDX-License-Identifier: MIT
//
// How choices stand when weights vary: closed forms for two and three criteria, and a brute force
// that applies the definitions to the same draws of weights.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "choose/robust.h"
#include "choose_check.h"
#include "choose_random.h"
#include "choose_world.h"
#include "score/random.h"
#include "shared_context.h"

enum { DRAWS = 20000 };

static struct sel_choice_item far_item(int number) {
    return (struct sel_choice_item){
        .x_m = 1000.0 * number, .hx = number, .group = {0, SEL_NO_GROUP}};
}

static void score_items(struct sel_choice_item *items, size_t count,
    const struct sel_robust_rule *rule, const double *const *values) {
    for (size_t i = 0; i < count; i++) {
        items[i].score = 0;
        for (int c = 0; c < rule->criteria; c++)
            items[i].score += rule->weights[c] * values[c][i];
        items[i].score = round(items[i].score * 1e9) / 1e9;
    }
}

// Three standard errors of a share.
static double error_of(double share) {
    return 3 * sqrt(share * (1 - share) / DRAWS) + 1e-9;
}

// A (1, 0), B (0, 1), C (0.6, 0.6) with weights uniform on the simplex: C is best where both
// weights lie between 0.4 and 0.6, so it is chosen in 0.2 of the draws, A and B in 0.4 each; C is
// never last, A and B are in half of the draws.
static void two_criteria_have_their_acceptabilities(void **state) {
    (void)state;
    static const double first[] = {1, 0, 0.6}, second[] = {0, 1, 0.6};
    static const double wanted[] = {0.4, 0.4, 0.2};
    struct sel_choice_item items[] = {far_item(0), far_item(1), far_item(2)};
    struct sel_choice_rule rule = {.sites = 1, .apart_m = 10};
    struct sel_robust_rule robust = {.criteria = 2,
        .weights = {0.5, 0.5},
        .draws = DRAWS,
        .concentration = 2,
        .seed = 1,
        .threads = 2};
    const double *const values[] = {first, second};
    const size_t kept[] = {0, 1, 2};
    struct sel_robust_input input = {.items = items,
        .count = 3,
        .values = {first, second},
        .rule = &rule,
        .kept = kept,
        .kept_count = 3,
        .chosen = &kept[2],
        .chosen_count = 1};
    struct sel_robust_site sites[3];
    size_t locals;
    score_items(items, 3, &robust, values);
    assert_int_equal(sel_robust_run(context, &input, &robust, sites, &locals), SEL_OK);
    assert_int_equal(locals, 3);
    for (int i = 0; i < 3; i++) {
        assert_near(sites[i].share_taken, wanted[i], error_of(wanted[i]));
        assert_int_equal(sites[i].taken, i == 2);
        assert_int_equal(sites[i].rank_low, 1);
        assert_int_equal(sites[i].rank_high, i == 2 ? 2 : 3);
    }
    // C is out where either weight is above 0.6 or below 0.4; in hundredths, with ties for C, whose
    // score at the plan's weights is the higher.
    for (int c = 0; c < 2; c++) {
        assert_near(sites[2].lower[c], 0.39, 1e-12);
        assert_near(sites[2].higher[c], 0.61, 1e-12);
        assert_true(isnan(sites[0].lower[c]) && isnan(sites[0].higher[c]));
    }
}

// Each of three unit vectors is best in a third of the simplex.
static void three_criteria_share_the_simplex(void **state) {
    (void)state;
    static const double values[3][3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    struct sel_choice_item items[] = {far_item(0), far_item(1), far_item(2)};
    struct sel_choice_rule rule = {.sites = 1, .apart_m = 10};
    struct sel_robust_rule robust = {.criteria = 3,
        .weights = {1.0 / 3, 1.0 / 3, 1.0 / 3},
        .draws = DRAWS,
        .concentration = 3,
        .seed = 2,
        .threads = 1};
    const size_t kept[] = {0, 1, 2};
    struct sel_robust_input input = {.items = items,
        .count = 3,
        .values = {values[0], values[1], values[2]},
        .rule = &rule,
        .kept = kept,
        .kept_count = 3};
    struct sel_robust_site sites[3];
    size_t locals;
    assert_int_equal(sel_robust_run(context, &input, &robust, sites, &locals), SEL_OK);
    for (int i = 0; i < 3; i++)
        assert_near(sites[i].share_taken, 1.0 / 3, error_of(1.0 / 3));
}

// One that is worse by every criterion is never chosen and always last.
static void a_dominated_place_is_never_chosen(void **state) {
    (void)state;
    static const double first[] = {0.9, 0.2, 0.1}, second[] = {0.2, 0.9, 0.1};
    struct sel_choice_item items[] = {far_item(0), far_item(1), far_item(2)};
    struct sel_choice_rule rule = {.sites = 2, .apart_m = 10};
    struct sel_robust_rule robust = {.criteria = 2,
        .weights = {0.5, 0.5},
        .geometric = true,
        .draws = 500,
        .concentration = 30,
        .seed = 3,
        .threads = 1};
    const size_t kept[] = {2, 0};
    struct sel_robust_input input = {.items = items,
        .count = 3,
        .values = {first, second},
        .rule = &rule,
        .kept = kept,
        .kept_count = 2};
    struct sel_robust_site sites[2];
    size_t locals;
    assert_int_equal(sel_robust_run(context, &input, &robust, sites, &locals), SEL_OK);
    assert_near(sites[0].share_taken, 0, 0);
    assert_int_equal(sites[0].rank_low, 3);
    assert_near(sites[1].share_taken, 1, 0);
    assert_true(sites[1].taken && isnan(sites[1].lower[0]) && isnan(sites[1].higher[1]));
}

// ---- brute force ----

struct trial {
    struct world world;
    double values[2][WORLD_MOST];
    struct sel_robust_rule robust;
    size_t kept[8], kept_count;
};

static bool better(const struct trial *t, const double *by, size_t a, size_t b) {
    if (by && by[a] != by[b])
        return by[a] > by[b];
    return world_beats(&t->world.items[a], &t->world.items[b]);
}

static bool within_half(const struct trial *t, size_t a, size_t b) {
    const struct sel_choice_item *x = &t->world.items[a], *y = &t->world.items[b];
    double dx = x->x_m - y->x_m, dy = x->y_m - y->y_m, half = 0.5 * t->world.rule.apart_m;
    return dx * dx + dy * dy <= half * half;
}

static bool outdone(const struct trial *t, const double *by, size_t i) {
    const struct sel_quota *pairs = &t->world.rule.quota[SEL_BY_PAIR];
    bool parted = pairs->least > 0 || pairs->most > 0;
    for (size_t k = 0; k < t->world.count; k++)
        if (k != i && world_apart_from_occupied(&t->world, k) && better(t, by, k, i) &&
            within_half(t, k, i) &&
            (!parted || t->world.items[k].group[0] == t->world.items[i].group[0]))
            return true;
    return false;
}

static size_t list_locals(const struct trial *t, size_t *locals) {
    size_t count = 0;
    for (size_t i = 0; i < t->world.count; i++) {
        bool kept = false;
        for (size_t k = 0; k < t->kept_count; k++)
            kept = kept || t->kept[k] == i;
        if (world_apart_from_occupied(&t->world, i) &&
            (kept || !outdone(t, NULL, i) || !outdone(t, t->values[0], i) ||
                !outdone(t, t->values[1], i)))
            locals[count++] = i;
    }
    return count;
}

static int64_t steps(const struct trial *t, const double *weights, size_t i) {
    return llround((weights[0] * t->values[0][i] + weights[1] * t->values[1][i]) * 1e9);
}

static bool drawn_better(const struct trial *t, const double *weights, size_t a, size_t b) {
    int64_t x = steps(t, weights, a), y = steps(t, weights, b);
    return x != y ? x > y : world_beats(&t->world.items[a], &t->world.items[b]);
}

// The greedy choice among the local bests; only worlds without minimums are tried.
static int choose(const struct trial *t, const double *weights, const size_t *locals, size_t count,
    size_t *sites) {
    int chosen = 0;
    while (chosen < t->world.rule.sites) {
        size_t best = SIZE_MAX;
        for (size_t i = 0; i < count; i++) {
            size_t item = locals[i];
            if (!world_is_among(item, sites, chosen) &&
                world_apart_from_all(&t->world, item, sites, chosen, SIZE_MAX) &&
                world_has_room(&t->world, item, sites, chosen) &&
                (best == SIZE_MAX || drawn_better(t, weights, item, best)))
                best = item;
        }
        if (best == SIZE_MAX)
            break;
        sites[chosen++] = best;
    }
    return chosen;
}

static bool stands(const struct trial *t, size_t kept, const size_t *sites, int count) {
    for (int k = 0; k < count; k++)
        if (within_half(t, kept, sites[k]))
            return true;
    return false;
}

static int compare(const void *left, const void *right) {
    return *(const int *)left - *(const int *)right;
}

static void check_site(const struct trial *t, size_t k, const size_t *locals, size_t count,
    const struct sel_robust_site *site) {
    int taken = 0, ranks[400];
    size_t sites[WORLD_MOST];
    for (int draw = 0; draw < t->robust.draws; draw++) {
        double weights[2];
        struct sel_random random =
            sel_random_begin(t->robust.seed, SEL_RANDOM_WEIGHTS, (uint32_t)draw + 1, 0);
        sel_random_dirichlet(&random, t->robust.weights, 2, t->robust.concentration, weights);
        taken += stands(t, t->kept[k], sites, choose(t, weights, locals, count, sites));
        ranks[draw] = 1;
        for (size_t i = 0; i < count; i++)
            ranks[draw] +=
                locals[i] != t->kept[k] && drawn_better(t, weights, locals[i], t->kept[k]);
    }
    qsort(ranks, (size_t)t->robust.draws, sizeof *ranks, compare);
    assert_near(site->share_taken, (double)taken / t->robust.draws, 1e-12);
    assert_int_equal(site->rank_low, ranks[t->robust.draws / 20 - 1]);
    assert_int_equal(site->rank_high, ranks[t->robust.draws * 19 / 20 - 1]);
    assert_int_equal(site->taken,
        stands(t, t->kept[k], sites, choose(t, t->robust.weights, locals, count, sites)));
}

static struct trial random_trial(uint64_t *random, int number) {
    struct trial t = {.world = world_random(random, 40, false)};
    t.robust = (struct sel_robust_rule){.criteria = 2,
        .weights = {0.3, 0.7},
        .draws = 100,
        .concentration = number % 2 ? 30 : 3,
        .seed = (uint64_t)number,
        .threads = 1 + number % 3};
    for (size_t i = 0; i < t.world.count; i++)
        for (int c = 0; c < 2; c++)
            t.values[c][i] =
                (double)random_below(random, number % 3 ? 1000 : 5) / (number % 3 ? 1000 : 5);
    const double *const values[] = {t.values[0], t.values[1]};
    score_items(t.world.items, t.world.count, &t.robust, values);
    for (size_t i = 0; i < t.world.count && t.kept_count < 4; i++)
        if (world_apart_from_occupied(&t.world, i))
            t.kept[t.kept_count++] = i;
    return t;
}

static void random_worlds_follow_the_definitions(void **state) {
    (void)state;
    uint64_t random = 77;
    for (int number = 0; number < 120; number++) {
        struct trial t = random_trial(&random, number);
        struct sel_robust_input input = {.items = t.world.items,
            .count = t.world.count,
            .values = {t.values[0], t.values[1]},
            .occupied = t.world.occupied,
            .occupied_count = t.world.occupied_count,
            .rule = &t.world.rule,
            .kept = t.kept,
            .kept_count = t.kept_count};
        struct sel_robust_site sites[8];
        size_t locals[WORLD_MOST], count = list_locals(&t, locals), told;
        assert_int_equal(sel_robust_run(context, &input, &t.robust, sites, &told), SEL_OK);
        assert_int_equal(told, count);
        for (size_t k = 0; k < t.kept_count; k++)
            check_site(&t, k, locals, count, &sites[k]);
    }
}

// The best choice of all sets of the local bests at other weights; *distinct is false where two of
// them have the same score.
static int best_at(const struct trial *t, double share, const size_t *locals, size_t count,
    size_t *sites, bool *distinct) {
    struct world w = t->world;
    const double weights[2] = {share, 1 - share};
    size_t best[WORLD_MOST];
    int best_count;
    w.count = count;
    w.occupied_count = 0;
    for (size_t i = 0; i < count; i++) {
        w.items[i] = t->world.items[locals[i]];
        w.items[i].score = (double)steps(t, weights, locals[i]) / 1e9;
        for (size_t k = 0; k < i; k++)
            *distinct = *distinct && w.items[k].score != w.items[i].score;
    }
    world_exhaust(&w, best, &best_count);
    for (int k = 0; k < best_count; k++)
        sites[k] = locals[best[k]];
    return best_count;
}

// For few candidates the choice searched for anew is the best of all, so every site of the best
// choice has its weights at which it falls out, whatever a greedy choice would take.
static void sites_fall_out_where_the_best_choice_leaves_them(void **state) {
    (void)state;
    uint64_t random = 83;
    int out = 0, not_greedy = 0;
    for (int number = 0; number < 150; number++) {
        struct trial t = {.world = world_random(&random, 12, false)};
        t.robust = (struct sel_robust_rule){.criteria = 2,
            .weights = {0.305, 0.695},
            .draws = 1,
            .concentration = 30,
            .threads = 1};
        for (size_t i = 0; i < t.world.count; i++)
            for (int c = 0; c < 2; c++)
                t.values[c][i] = random_share(&random);
        const double *const values[] = {t.values[0], t.values[1]};
        score_items(t.world.items, t.world.count, &t.robust, values);
        size_t chosen[WORLD_MOST], sites[WORLD_MOST], locals[WORLD_MOST], told;
        int chosen_count, found;
        bool distinct = true;
        world_exhaust(&t.world, chosen, &chosen_count);
        for (int k = 0; k < chosen_count; k++)
            t.kept[t.kept_count++] = chosen[k];
        size_t count = list_locals(&t, locals);
        struct sel_robust_input input = {.items = t.world.items,
            .count = t.world.count,
            .values = {t.values[0], t.values[1]},
            .occupied = t.world.occupied,
            .occupied_count = t.world.occupied_count,
            .rule = &t.world.rule,
            .kept = t.kept,
            .kept_count = t.kept_count,
            .chosen = t.kept,
            .chosen_count = t.kept_count};
        struct sel_robust_site told_of[WORLD_MOST];
        assert_int_equal(sel_robust_run(context, &input, &t.robust, told_of, &told), SEL_OK);
        for (size_t k = 0; k < t.kept_count; k++) {
            double lower = (double)NAN, higher = (double)NAN;
            for (int h = 0; h <= 100; h++) {
                found = best_at(&t, 0.01 * h, locals, count, sites, &distinct);
                if (stands(&t, t.kept[k], sites, found))
                    continue;
                if (h <= 30)
                    lower = 0.01 * h;
                else if (isnan(higher))
                    higher = 0.01 * h;
            }
            if (!distinct)
                continue;
            const struct sel_robust_site *site = &told_of[k];
            assert_true(
                (isnan(lower) && isnan(site->lower[0])) || fabs(lower - site->lower[0]) < 1e-9);
            assert_true(
                (isnan(higher) && isnan(site->higher[0])) || fabs(higher - site->higher[0]) < 1e-9);
            out += !isnan(lower) || !isnan(higher);
            not_greedy += !site->taken && (!isnan(lower) || !isnan(higher));
        }
    }
    print_message("%d sites fall out, %d of them not taken greedily\n", out, not_greedy);
    assert_true(out > 100 && not_greedy > 5);
}

// ---- independence ----

static void threads_and_the_order_of_items_change_nothing(void **state) {
    (void)state;
    uint64_t random = 79;
    enum { COUNT = 600, KEPT = 5 };
    static struct sel_choice_item items[COUNT], reversed[COUNT];
    static double values[2][COUNT], turned[2][COUNT];
    struct sel_choice_rule rule = {.sites = 12, .apart_m = 300, .spread = 0.2};
    rule.quota[SEL_BY_PAIR] = (struct sel_quota){1, 4, 4, NULL};
    for (int i = 0; i < COUNT; i++) {
        int64_t hx = random_below(&random, 1000), hy = random_below(&random, 1000);
        items[i] = (struct sel_choice_item){.x_m = 5 * (double)hx,
            .y_m = 5 * (double)hy,
            .hx = hx,
            .hy = hy * COUNT + i,
            .group = {i % 4, SEL_NO_GROUP}};
        for (int c = 0; c < 2; c++)
            values[c][i] = random_share(&random);
        items[i].score = round((0.25 * values[0][i] + 0.75 * values[1][i]) * 1e9) / 1e9;
    }
    size_t kept[KEPT], kept_turned[KEPT];
    for (int i = 0; i < COUNT; i++) {
        reversed[i] = items[COUNT - 1 - i];
        turned[0][i] = values[0][COUNT - 1 - i];
        turned[1][i] = values[1][COUNT - 1 - i];
    }
    for (size_t k = 0; k < KEPT; k++) {
        kept[k] = 100 * k;
        kept_turned[k] = COUNT - 1 - kept[k];
    }
    struct sel_robust_rule robust = {.criteria = 2,
        .weights = {0.25, 0.75},
        .draws = 300,
        .concentration = 30,
        .seed = 9,
        .threads = 1};
    struct sel_robust_input input = {.items = items,
        .count = COUNT,
        .rule = &rule,
        .kept = kept,
        .kept_count = KEPT,
        .chosen = kept,
        .chosen_count = 1,
        .values = {values[0], values[1]}};
    struct sel_robust_site one[KEPT], other[KEPT];
    size_t locals, others;
    memset(one, 0, sizeof one);
    memset(other, 0, sizeof other);
    assert_int_equal(sel_robust_run(context, &input, &robust, one, &locals), SEL_OK);
    for (int threads = 2; threads <= 4; threads++) {
        robust.threads = threads;
        assert_int_equal(sel_robust_run(context, &input, &robust, other, &others), SEL_OK);
        assert_memory_equal(one, other, sizeof one);
    }
    input.items = reversed;
    input.values[0] = turned[0];
    input.values[1] = turned[1];
    input.kept = input.chosen = kept_turned;
    assert_int_equal(sel_robust_run(context, &input, &robust, other, &others), SEL_OK);
    assert_memory_equal(one, other, sizeof one);
    assert_int_equal(locals, others);
}

static void a_cancel_stops_the_draws(void **state) {
    (void)state;
    static const double value[] = {1};
    struct sel_choice_item item = far_item(0);
    struct sel_choice_rule rule = {.sites = 1, .apart_m = 10};
    struct sel_robust_rule robust = {
        .criteria = 1, .weights = {1}, .draws = 10, .concentration = 30, .threads = 1};
    const size_t kept[] = {0};
    struct sel_robust_input input = {.items = &item,
        .count = 1,
        .values = {value},
        .rule = &rule,
        .kept = kept,
        .kept_count = 1};
    struct sel_robust_site site;
    size_t locals;
    sel_cancel(context);
    assert_int_equal(sel_robust_run(context, &input, &robust, &site, &locals), SEL_INTERRUPTED);
    sel_context_begin(context);
    assert_int_equal(sel_robust_run(context, &input, &robust, &site, &locals), SEL_OK);
    assert_near(site.share_taken, 1, 0);
    assert_true(isnan(site.lower[0]) && isnan(site.higher[0])); // nothing to trade against
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_criteria_have_their_acceptabilities),
        cmocka_unit_test(three_criteria_share_the_simplex),
        cmocka_unit_test(a_dominated_place_is_never_chosen),
        cmocka_unit_test(random_worlds_follow_the_definitions),
        cmocka_unit_test(sites_fall_out_where_the_best_choice_leaves_them),
        cmocka_unit_test(threads_and_the_order_of_items_change_nothing),
        cmocka_unit_test(a_cancel_stops_the_draws),
    };
    return cmocka_run_group_tests(tests, make_context, free_context);
}
