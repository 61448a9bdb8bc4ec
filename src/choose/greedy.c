// SPDX-License-Identifier: MIT
//
// One sweep over the candidates, best first, taking whatever keeps apart and within its quota.
//
// Minimum quotas are met in a first sweep that takes only what a pair still lacks. Where sites of
// one pair crowd out another, that other comes out short; it is then served before all others, and
// the sweep begins again. Each new sweep has at least one more pair in front, so it ends. This is a
// repair, no proof: where it fails, a way to meet the minimum may still exist.
#include "choose/greedy.h"

#include <stdlib.h>
#include <string.h>

struct greedy {
    const struct sel_choice_problem *problem;
    struct sel_places places;
    int32_t *taken;     // sites of each pair
    int32_t *available; // open candidates of each pair
    bool *has_any;      // pairs with a candidate, open or not
    int32_t *front;     // pairs that are served first
    int32_t front_count;
    bool *in_front;
    bool *chosen; // by position in problem->open
    size_t *sites;
    int count;
};

enum { ANY_PAIR = -1 };

static bool allocate(struct greedy *g) {
    const struct sel_choice_rule *rule = g->problem->rule;
    size_t pairs = (size_t)rule->pair_count + 1;
    g->chosen = calloc(g->problem->open_count + 1, sizeof *g->chosen);
    g->taken = calloc(pairs, sizeof *g->taken);
    g->available = calloc(pairs, sizeof *g->available);
    g->has_any = calloc(pairs, sizeof *g->has_any);
    g->front = calloc(pairs, sizeof *g->front);
    g->in_front = calloc(pairs, sizeof *g->in_front);
    return sel_places_init(&g->places, rule->apart_m, (size_t)rule->sites) && g->taken &&
           g->available && g->has_any && g->front && g->in_front && g->chosen;
}

static void release(struct greedy *g) {
    sel_places_clear(&g->places);
    free(g->taken);
    free(g->available);
    free(g->has_any);
    free(g->front);
    free(g->in_front);
    free(g->chosen);
}

static void count_pairs(struct greedy *g) {
    const struct sel_choice_problem *problem = g->problem;
    for (size_t i = 0; i < problem->count; i++)
        g->has_any[problem->items[i].pair] = true;
    for (size_t i = 0; i < problem->open_count; i++)
        g->available[problem->open[i].pair]++;
}

static void take(struct greedy *g, size_t position) {
    const struct sel_choice_item *item = &g->problem->open[position];
    sel_places_add(&g->places, item->x_m, item->y_m);
    g->taken[item->pair]++;
    g->chosen[position] = true;
    g->sites[g->count++] = position;
}

static void take_none(struct greedy *g) {
    while (g->count > 0)
        g->chosen[g->sites[--g->count]] = false;
    memset(g->taken, 0, (size_t)g->problem->rule->pair_count * sizeof *g->taken);
    sel_places_reset(&g->places);
}

// Takes candidates of a pair (or of any), best first, until each pair has `most` (0: no limit) or
// there are enough sites.
static void sweep(struct greedy *g, int32_t pair, int most) {
    const struct sel_choice_problem *problem = g->problem;
    for (size_t i = 0; i < problem->open_count && g->count < problem->rule->sites; i++) {
        const struct sel_choice_item *item = &problem->open[i];
        if (g->chosen[i] || (pair != ANY_PAIR && item->pair != pair) ||
            (most > 0 && g->taken[item->pair] >= most) ||
            sel_places_near(&g->places, item->x_m, item->y_m, SEL_NO_PLACE))
            continue;
        take(g, i);
        if (pair != ANY_PAIR && most > 0 && g->taken[pair] >= most)
            return;
    }
}

static bool is_short(const struct greedy *g, int32_t pair) {
    return g->has_any[pair] && g->taken[pair] < g->problem->rule->pair_min;
}

static int32_t first_short(const struct greedy *g) {
    int32_t pair = 0;
    while (pair < g->problem->rule->pair_count && !is_short(g, pair))
        pair++;
    return pair;
}

// Puts the short pairs that are not served first yet in front of those that are.
static bool promote_short(struct greedy *g) {
    bool promoted = false;
    for (int32_t pair = 0; pair < g->problem->rule->pair_count; pair++) {
        if (g->in_front[pair] || !is_short(g, pair))
            continue;
        memmove(g->front + 1, g->front, (size_t)g->front_count * sizeof *g->front);
        g->front[0] = pair;
        g->front_count++;
        promoted = g->in_front[pair] = true;
    }
    return promoted;
}

static sel_status check_quota_numbers(sel_context *context, const struct greedy *g) {
    const struct sel_choice_rule *rule = g->problem->rule;
    if (rule->pair_max > 0 && rule->pair_min > rule->pair_max)
        return sel_fail(context, SEL_BAD_INPUT,
            "choose.per_pair: min %d is more than max %d: lower min or raise max", rule->pair_min,
            rule->pair_max);
    int64_t pairs = 0;
    for (int32_t pair = 0; pair < rule->pair_count; pair++)
        pairs += g->has_any[pair];
    if (pairs * rule->pair_min > rule->sites)
        return sel_fail(context, SEL_BAD_INPUT,
            "choose.per_pair.min: %d for each of %lld pairs of habitats makes more than "
            "choose.sites: %d: raise choose.sites or lower choose.per_pair.min",
            rule->pair_min, (long long)pairs, rule->sites);
    return SEL_OK;
}

static sel_status fail_minimum(sel_context *context, const struct greedy *g, int32_t pair) {
    const struct sel_choice_rule *rule = g->problem->rule;
    char spare[32];
    const char *name = sel_choice_pair_name(rule, pair, spare, sizeof spare);
    if (g->available[pair] < rule->pair_min)
        return sel_fail(context, SEL_BAD_INPUT,
            "choose.per_pair.min: %d: pair %s has only %d away from occupied places: "
            "lower choose.per_pair.min",
            rule->pair_min, name, (int)g->available[pair]);
    return sel_fail(context, SEL_BAD_INPUT,
        "choose.per_pair.min: %d: of pair %s only %d could be placed with %g m between all "
        "sites that pairs need: lower choose.per_pair.min or choose.apart_m",
        rule->pair_min, name, (int)g->taken[pair], rule->apart_m);
}

static sel_status meet_minimum(sel_context *context, struct greedy *g) {
    int least = g->problem->rule->pair_min;
    sel_status status = check_quota_numbers(context, g);
    while (status == SEL_OK) {
        take_none(g);
        for (int32_t i = 0; i < g->front_count; i++)
            sweep(g, g->front[i], least);
        sweep(g, ANY_PAIR, least);
        int32_t pair = first_short(g);
        if (pair == g->problem->rule->pair_count)
            return SEL_OK;
        if (!promote_short(g))
            status = fail_minimum(context, g, pair);
    }
    return status;
}

sel_status sel_choose_greedy(sel_context *context, const struct sel_choice_problem *problem,
    size_t *sites, int *site_count) {
    struct greedy g = {.problem = problem, .sites = sites};
    sel_status status = SEL_OK;
    if (!allocate(&g)) {
        status = sel_fail_memory(context);
        goto done;
    }
    count_pairs(&g);
    if (problem->rule->pair_min > 0)
        status = meet_minimum(context, &g);
    if (status == SEL_OK)
        sweep(&g, ANY_PAIR, problem->rule->pair_max);
    *site_count = g.count;
done:
    release(&g);
    return status;
}
