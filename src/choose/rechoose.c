// SPDX-License-Identifier: MIT
//
// Only so many of the best candidates are looked at, as many as the sites call for: a low score
// gets into a choice for a minimum's sake at most, and then the greedy choice, which is one of the
// two to begin with, has brought it.
#include "choose/rechoose.h"

#include <stdlib.h>
#include <string.h>

#include "choose/exact.h"
#include "choose/exchange.h"
#include "choose/spread.h"
#include "choose/taken.h"

enum { LOOKED_AT = 400, PER_SITE = 30, EXACT_FEW = 24 };
static const int64_t WORK = 150000; // see sel_exchange

struct sel_rechoose {
    const struct sel_choice_problem *problem;
    const struct sel_greedy_order *order;
    size_t *positions; // of those looked at, best first
    size_t count;
    size_t *number;                 // of each position among those looked at, if it is
    bool *is_listed;                // of each position
    struct sel_choice_problem part; // those looked at
    size_t *trial, *best;           // numbers among those looked at
    int best_count;
};

struct merit {
    int64_t missing;
    int count; // counts with spread only
    double objective;
};

sel_status sel_rechoose_new(
    const struct sel_choice_problem *problem, struct sel_rechoose **search) {
    struct sel_rechoose *s = *search = calloc(1, sizeof *s);
    if (!s)
        return SEL_NO_MEMORY;
    size_t room = problem->open_count + 1;
    size_t sites = (size_t)(problem->rule->sites > 0 ? problem->rule->sites : 0) + EXACT_FEW;
    s->problem = problem;
    s->positions = malloc(room * sizeof *s->positions);
    s->number = malloc(room * sizeof *s->number);
    s->is_listed = calloc(room, sizeof *s->is_listed);
    s->trial = malloc(sites * sizeof *s->trial);
    s->best = malloc(sites * sizeof *s->best);
    if (s->positions && s->number && s->is_listed && s->trial && s->best)
        return SEL_OK;
    sel_rechoose_free(s);
    *search = NULL;
    return SEL_NO_MEMORY;
}

void sel_rechoose_free(struct sel_rechoose *s) {
    if (!s)
        return;
    free(s->positions);
    free(s->number);
    free(s->is_listed);
    free(s->trial);
    free(s->best);
    free(s);
}

// ---- who is looked at ----

static void list(struct sel_rechoose *s, size_t position) {
    if (s->is_listed[position])
        return;
    s->is_listed[position] = true;
    s->positions[s->count++] = position;
}

static double score_of(const struct sel_rechoose *s, size_t position) {
    return s->order->score(s->order->user, position);
}

// Lets the last one listed sink to its place among those after `first`: there are few.
static void settle_last(struct sel_rechoose *s, size_t first) {
    size_t at = s->count - 1, position = s->positions[at];
    double score = score_of(s, position);
    for (; at > first; at--) {
        size_t before = s->positions[at - 1];
        double other = score_of(s, before);
        if (other > score || (other == score && before < position))
            break;
        s->positions[at] = before;
    }
    s->positions[at] = position;
}

static void list_all(struct sel_rechoose *s, const struct sel_rechoose_start *start) {
    size_t most = LOOKED_AT + PER_SITE * (size_t)s->problem->rule->sites;
    most = most < s->problem->open_count ? most : s->problem->open_count;
    s->count = 0;
    for (size_t rank = 0; rank < most; rank++)
        list(s, s->order->at(s->order->user, rank));
    for (int k = 0; k < 2; k++) {
        for (int i = 0; i < start->count[k]; i++) {
            size_t before = s->count;
            list(s, start->sites[k][i]);
            if (s->count > before)
                settle_last(s, most);
        }
    }
}

static sel_status make_part(struct sel_rechoose *s) {
    sel_status status = sel_choice_problem_part(s->problem, s->positions, s->count, &s->part);
    for (size_t i = 0; i < s->count; i++) {
        s->number[s->positions[i]] = i;
        s->is_listed[s->positions[i]] = false; // ready for the next run
        if (status == SEL_OK)
            s->part.open[i].score = score_of(s, s->positions[i]);
    }
    return status;
}

// ---- the search ----

static bool is_better(const struct merit *a, const struct merit *b) {
    if (a->missing != b->missing)
        return a->missing < b->missing;
    return a->count != b->count ? a->count > b->count : a->objective > b->objective;
}

static sel_status better_trial(struct sel_rechoose *s, int *count, struct merit *merit) {
    if (s->part.rule->spread > 0) {
        sel_status status = sel_spread_search(&s->part, WORK, s->trial, count);
        if (status != SEL_OK || !sel_taken_missing(&s->part, s->trial, *count, &merit->missing))
            return SEL_NO_MEMORY;
        merit->count = *count;
        merit->objective = sel_spread_objective(&s->part, s->trial, *count);
        return SEL_OK;
    }
    int64_t weight = 0;
    sel_status status = sel_exchange(&s->part, WORK, s->trial, count, &weight, &merit->missing);
    merit->objective = (double)weight;
    return status;
}

static sel_status search_from(
    struct sel_rechoose *s, const size_t *sites, int count, struct merit *best) {
    struct merit merit = {0, 0, 0};
    for (int i = 0; i < count; i++)
        s->trial[i] = s->number[sites[i]];
    sel_status status = better_trial(s, &count, &merit);
    if (status != SEL_OK || !is_better(&merit, best))
        return status;
    *best = merit;
    s->best_count = count;
    memcpy(s->best, s->trial, (size_t)count * sizeof *s->best);
    return SEL_OK;
}

static sel_status search(struct sel_rechoose *s, const struct sel_rechoose_start *start) {
    struct merit best = {INT64_MAX, 0, 0};
    s->best_count = 0;
    if (s->part.open_count <= EXACT_FEW && !(s->part.rule->spread > 0)) {
        if (!sel_choose_exact(&s->part, 0, s->best, &s->best_count))
            sel_choose_nearest(&s->part, s->best, &s->best_count);
        return SEL_OK;
    }
    sel_status status = SEL_OK;
    for (int k = 0; k < 2 && status == SEL_OK; k++)
        if (start->count[k] > 0)
            status = search_from(s, start->sites[k], start->count[k], &best);
    return status;
}

sel_status sel_rechoose_run(struct sel_rechoose *s, const struct sel_greedy_order *order,
    const struct sel_rechoose_start *start, size_t *sites, int *site_count) {
    s->order = order;
    list_all(s, start);
    sel_status status = make_part(s);
    if (status != SEL_OK)
        return status;
    status = search(s, start);
    *site_count = s->best_count;
    for (int i = 0; i < s->best_count; i++)
        sites[i] = s->positions[s->best[i]];
    sel_choice_problem_clear(&s->part);
    return status;
}
