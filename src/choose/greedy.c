// SPDX-License-Identifier: MIT
//
// One sweep over the candidates, best first, taking whatever keeps apart and within its quotas.
//
// Minimum quotas are met in a first sweep that takes only what some group still lacks. Where sites
// of one group crowd out another, that other comes out short; it is then served before all others,
// and the sweep begins again. Each new sweep has at least one more group in front, so it ends. This
// is a repair, no proof: where it fails, a way to meet the minimums may still exist.
#include "choose/greedy.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "choose/spread.h"
#include "choose/taken.h"

struct group_ref {
    int kind;
    int32_t group;
};

// How near a candidate's nearest site is, as far as sites were looked at.
struct nearest {
    double metres;
    int seen; // sites looked at; -1: the candidate is too near one
};

struct sel_greedy {
    const struct sel_choice_problem *problem;
    const struct sel_greedy_order *order;
    struct sel_places places;
    struct sel_taken taken;
    struct group_ref *front; // groups that are served first
    int front_count;
    bool *in_front[SEL_QUOTA_KINDS];
    bool *chosen;            // by position in problem->open
    struct nearest *nearest; // the same; NULL without spread
    size_t *sites;
    int count;
};

static const struct group_ref ANY_GROUP = {-1, 0};

static bool allocate(struct sel_greedy *g) {
    const struct sel_choice_rule *rule = g->problem->rule;
    size_t groups = 0;
    bool all = true;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        size_t of_kind = (size_t)rule->quota[kind].groups;
        g->in_front[kind] = calloc(of_kind + 1, sizeof *g->in_front[kind]);
        all = all && g->in_front[kind];
        groups += of_kind;
    }
    g->front = malloc((groups + 1) * sizeof *g->front);
    g->chosen = calloc(g->problem->open_count + 1, sizeof *g->chosen);
    if (rule->spread > 0)
        g->nearest = malloc((g->problem->open_count + 1) * sizeof *g->nearest);
    return all && g->front && g->chosen && (g->nearest || !(rule->spread > 0)) &&
           sel_places_init(&g->places, rule->apart_m, (size_t)rule->sites) &&
           sel_taken_init(&g->taken, g->problem);
}

sel_status sel_greedy_new(const struct sel_choice_problem *problem, struct sel_greedy **greedy) {
    struct sel_greedy *g = *greedy = calloc(1, sizeof *g);
    if (!g)
        return SEL_NO_MEMORY;
    g->problem = problem;
    if (allocate(g))
        return SEL_OK;
    sel_greedy_free(g);
    *greedy = NULL;
    return SEL_NO_MEMORY;
}

void sel_greedy_free(struct sel_greedy *g) {
    if (!g)
        return;
    sel_places_clear(&g->places);
    sel_taken_clear(&g->taken);
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        free(g->in_front[kind]);
    free(g->front);
    free(g->chosen);
    free(g->nearest);
    free(g);
}

static size_t position_at(const struct sel_greedy *g, size_t rank) {
    return g->order ? g->order->at(g->order->user, rank) : rank;
}

static void take(struct sel_greedy *g, size_t position) {
    const struct sel_choice_item *item = &g->problem->open[position];
    sel_places_add(&g->places, item->x_m, item->y_m);
    sel_taken_count(&g->taken, item, 1);
    g->chosen[position] = true;
    g->sites[g->count++] = position;
}

static void take_none(struct sel_greedy *g) {
    while (g->count > 0)
        g->chosen[g->sites[--g->count]] = false;
    sel_taken_reset(&g->taken);
    sel_places_reset(&g->places);
}

static bool fits(const struct sel_greedy *g, size_t position) {
    const struct sel_choice_item *item = &g->problem->open[position];
    return !g->chosen[position] && sel_taken_has_room(&g->taken, item) &&
           !sel_places_near(&g->places, item->x_m, item->y_m, SEL_NO_PLACE);
}

// ---- minimums ----

static bool is_short(const struct sel_greedy *g, struct group_ref ref) {
    return g->taken.sites[ref.kind][ref.group] < g->problem->need[ref.kind][ref.group];
}

static bool is_wanted(
    const struct sel_greedy *g, struct group_ref ref, const struct sel_choice_item *item) {
    if (ref.kind < 0)
        return sel_taken_needs(&g->taken, item);
    return sel_group_slot(g->problem->rule, item, ref.kind) == ref.group;
}

// Takes candidates of a group (or of any that lacks some), best first, until nothing is lacking.
static void sweep_for(struct sel_greedy *g, struct group_ref ref) {
    const struct sel_choice_problem *problem = g->problem;
    for (size_t rank = 0; rank < problem->open_count && g->count < problem->rule->sites; rank++) {
        if (ref.kind < 0 ? g->taken.missing == 0 : !is_short(g, ref))
            return;
        size_t position = position_at(g, rank);
        if (is_wanted(g, ref, &problem->open[position]) && fits(g, position))
            take(g, position);
    }
}

// Puts the short groups that are not served first yet in front of those that are.
static bool promote_short(struct sel_greedy *g) {
    bool promoted = false;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        for (int32_t group = 0; group < g->problem->rule->quota[kind].groups; group++) {
            struct group_ref ref = {kind, group};
            if (g->in_front[kind][group] || !is_short(g, ref))
                continue;
            memmove(g->front + 1, g->front, (size_t)g->front_count * sizeof *g->front);
            g->front[0] = ref;
            g->front_count++;
            promoted = g->in_front[kind][group] = true;
        }
    }
    return promoted;
}

static void forget_front(struct sel_greedy *g) {
    for (int i = 0; i < g->front_count; i++)
        g->in_front[g->front[i].kind][g->front[i].group] = false;
    g->front_count = 0;
}

static void meet_minimums(struct sel_greedy *g) {
    forget_front(g);
    do {
        take_none(g);
        for (int i = 0; i < g->front_count; i++)
            sweep_for(g, g->front[i]);
        sweep_for(g, ANY_GROUP);
    } while (g->taken.missing > 0 && promote_short(g));
}

// ---- the rest ----

static void fill(struct sel_greedy *g) {
    const struct sel_choice_problem *problem = g->problem;
    for (size_t rank = 0; rank < problem->open_count && g->count < problem->rule->sites; rank++) {
        size_t position = position_at(g, rank);
        if (fits(g, position))
            take(g, position);
    }
}

// Brings a candidate's nearest distance up to date; false when it is too near a site.
static bool look_at_sites(struct sel_greedy *g, size_t position) {
    const struct sel_choice_item *here = &g->problem->open[position];
    struct nearest *nearest = &g->nearest[position];
    if (nearest->seen < 0)
        return false;
    for (; nearest->seen < g->count; nearest->seen++) {
        const struct sel_choice_item *site = &g->problem->open[g->sites[nearest->seen]];
        if (sel_too_near(here->x_m, here->y_m, site->x_m, site->y_m, g->problem->rule->apart_m)) {
            nearest->seen = -1;
            return false;
        }
        nearest->metres =
            fmin(nearest->metres, hypot(here->x_m - site->x_m, here->y_m - site->y_m));
    }
    return true;
}

static double score_of(const struct sel_greedy *g, size_t position) {
    return g->order ? g->order->score(g->order->user, position) : g->problem->open[position].score;
}

// The candidate that adds most by its score and its own distance; SEL_NO_PLACE: none fits. The
// search ends where even spread could not make up for the score.
static size_t find_most(struct sel_greedy *g) {
    const struct sel_choice_problem *problem = g->problem;
    double spread = problem->rule->spread, most = -HUGE_VAL;
    size_t best = SEL_NO_PLACE;
    for (size_t rank = 0; rank < problem->open_count; rank++) {
        size_t position = position_at(g, rank);
        double score = score_of(g, position);
        if (best != SEL_NO_PLACE && (1 - spread) * score + spread <= most)
            break;
        if (g->chosen[position] || !look_at_sites(g, position) ||
            !sel_taken_has_room(&g->taken, &problem->open[position]))
            continue;
        double part = sel_spread_part(spread, problem->even_m, score, g->nearest[position].metres);
        if (part > most) {
            most = part;
            best = position;
        }
    }
    return best;
}

static void fill_evenly(struct sel_greedy *g) {
    for (size_t i = 0; i < g->problem->open_count; i++)
        g->nearest[i] = (struct nearest){HUGE_VAL, 0};
    while (g->count < g->problem->rule->sites) {
        size_t position = find_most(g);
        if (position == SEL_NO_PLACE)
            return;
        take(g, position);
    }
}

int sel_greedy_run(
    struct sel_greedy *g, const struct sel_greedy_order *order, size_t *sites, int64_t *missing) {
    g->order = order;
    g->sites = sites;
    g->count = 0;
    sel_taken_reset(&g->taken);
    sel_places_reset(&g->places);
    if (g->taken.missing > 0)
        meet_minimums(g);
    *missing = g->taken.missing;
    if (g->nearest)
        fill_evenly(g);
    else
        fill(g);
    for (int i = 0; i < g->count; i++)
        g->chosen[sites[i]] = false; // ready for the next run
    return g->count;
}
