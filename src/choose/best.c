// SPDX-License-Identifier: MIT
//
// The best choice: exact where that is possible, else from both sides. From below, greedy choices
// bettered by exchanges - by score first, then, as prices tell what a candidate takes from others,
// by worth. From above, the bound, which drops candidates as the gap narrows, until it closes, few
// enough are left for the exact search, or the work is done.
#include <stdlib.h>
#include <string.h>

#include "choose/bound.h"
#include "choose/exact.h"
#include "choose/exchange.h"
#include "choose/greedy.h"
#include "choose/problem.h"

enum { ROUNDS = 20, PHASES = 15 };
static const int64_t FIRST_WORK = 40000000, PHASE_WORK = 5000000; // see sel_exchange

struct best {
    sel_context *context;
    const struct sel_choice_problem *problem;
    struct sel_bound *bound;
    size_t *sites; // the best so far: positions in problem->open
    int count;
    int64_t weight;
    size_t *trial; // another choice
    size_t *order;
};

static void keep_trial(struct best *b, int count, int64_t weight, const size_t *positions) {
    if (weight <= b->weight)
        return;
    for (int i = 0; i < count; i++)
        b->sites[i] = positions ? positions[b->trial[i]] : b->trial[i];
    b->count = count;
    b->weight = weight;
}

// Exact on a part; true when it was small enough, which closes the gap.
static bool try_exact(
    struct best *b, const struct sel_choice_problem *part, const size_t *positions) {
    if (part->open_count > SEL_EXACT_MOST)
        return false;
    int count;
    if (sel_choose_exact(part, b->weight + 1, b->trial, &count)) {
        int64_t weight = 0;
        for (int i = 0; i < count; i++)
            weight += sel_site_weight(part->open[b->trial[i]].score);
        keep_trial(b, count, weight, positions);
    }
    return true;
}

struct ranked_worth {
    double worth;
    size_t position;
};

static int worthier_first(const void *left, const void *right) {
    const struct ranked_worth *a = left, *b = right;
    if (a->worth != b->worth)
        return a->worth > b->worth ? -1 : 1;
    return (a->position > b->position) - (a->position < b->position);
}

// Greedy by worth among what is left, then exchanges by score. A minimum that the greedy misses
// here is no failure: the choice at hand stands.
static sel_status try_by_worth(struct best *b, const struct sel_choice_problem *part,
    const size_t *positions, const double *worth) {
    struct sel_choice_problem reordered = {0};
    struct ranked_worth *ranked = malloc((part->open_count + 1) * sizeof *ranked);
    sel_context *quiet = sel_context_new();
    sel_status status = SEL_NO_MEMORY;
    if (!ranked || !quiet)
        goto done;
    for (size_t i = 0; i < part->open_count; i++)
        ranked[i] = (struct ranked_worth){worth[i], i};
    qsort(ranked, part->open_count, sizeof *ranked, worthier_first);
    for (size_t i = 0; i < part->open_count; i++)
        b->order[i] = ranked[i].position;
    status = sel_choice_problem_part(part, b->order, part->open_count, &reordered);
    if (status != SEL_OK)
        goto done;
    int count;
    int64_t weight;
    status = sel_choose_greedy(quiet, &reordered, b->trial, &count);
    if (status == SEL_OK) {
        for (int i = 0; i < count; i++)
            b->trial[i] = b->order[b->trial[i]];
        status = sel_exchange(part, PHASE_WORK, b->trial, &count, &weight);
    }
    if (status == SEL_OK)
        keep_trial(b, count, weight, positions);
    if (status == SEL_BAD_INPUT)
        status = SEL_OK;
done:
    sel_choice_problem_clear(&reordered);
    free(ranked);
    sel_context_free(quiet);
    return status;
}

// One phase; *more is false when the gap is closed or nothing more can be hoped for.
static sel_status tighten(struct best *b, bool *more) {
    const size_t *positions;
    const double *worth;
    struct sel_choice_problem part;
    *more = sel_bound_tighten(b->bound, b->weight, ROUNDS);
    size_t left = sel_bound_left(b->bound, &positions, &worth);
    sel_status status = sel_choice_problem_part(b->problem, positions, left, &part);
    if (status != SEL_OK)
        return status;
    if (try_exact(b, &part, positions)) {
        sel_bound_close(b->bound, b->weight);
        *more = false;
    } else {
        status = try_by_worth(b, &part, positions, worth);
    }
    sel_choice_problem_clear(&part);
    return status;
}

static sel_status from_both_sides(struct best *b) {
    sel_status status = sel_choose_greedy(b->context, b->problem, b->sites, &b->count);
    if (status == SEL_OK &&
        sel_exchange(b->problem, FIRST_WORK, b->sites, &b->count, &b->weight) != SEL_OK)
        status = sel_fail_memory(b->context);
    if (status != SEL_OK)
        return status;
    if (sel_bound_new(b->problem, &b->bound) != SEL_OK)
        return sel_fail_memory(b->context);
    bool more = true;
    for (int phase = 0; phase < PHASES && more && status == SEL_OK; phase++) {
        status = sel_check_cancel(b->context);
        if (status == SEL_OK && tighten(b, &more) != SEL_OK)
            status = sel_fail_memory(b->context);
    }
    return status;
}

static sel_status all_at_once(struct best *b) {
    if (sel_choose_exact(b->problem, 0, b->trial, &b->count)) {
        memcpy(b->sites, b->trial, (size_t)b->count * sizeof *b->sites);
        return SEL_OK;
    }
    // There is none; the greedy choice knows how to say why.
    return sel_choose_greedy(b->context, b->problem, b->sites, &b->count);
}

static double bound_of(const struct best *b, double total) {
    if (!b->bound)
        return total;
    int64_t weight = sel_bound_weight(b->bound);
    return weight <= b->weight ? total : sel_score_of_weight(weight);
}

static sel_status choose_open(
    struct best *b, struct sel_choice_problem *problem, struct sel_choice *choice) {
    sel_status status = SEL_OK;
    if (problem->open_count == 0 || problem->rule->sites < 1)
        b->count = 0;
    else if (problem->open_count <= SEL_EXACT_MOST)
        status = all_at_once(b);
    else
        status = from_both_sides(b);
    if (status != SEL_OK)
        return status;
    if (sel_choice_finish(problem, b->sites, b->count, choice) != SEL_OK)
        return sel_fail_memory(b->context);
    choice->bound = bound_of(b, choice->total_score);
    return b->count > 0 ? SEL_OK : SEL_NOTHING;
}

sel_status sel_choose_best(sel_context *context, const struct sel_choice_item *items, size_t count,
    const struct sel_choice_point *occupied, size_t occupied_count,
    const struct sel_choice_rule *rule, struct sel_choice *choice) {
    *choice = (struct sel_choice){0};
    struct sel_choice_problem problem;
    if (sel_choice_problem_init(&problem, items, count, occupied, occupied_count, rule) != SEL_OK)
        return sel_fail_memory(context);
    struct best b = {.context = context, .problem = &problem};
    size_t room = (size_t)(rule->sites > 0 ? rule->sites : 0) + 1;
    room = room > SEL_EXACT_MOST ? room : SEL_EXACT_MOST;
    b.sites = malloc(room * sizeof *b.sites);
    b.trial = malloc(room * sizeof *b.trial);
    b.order = malloc((problem.open_count + 1) * sizeof *b.order);
    sel_status status;
    if (b.sites && b.trial && b.order)
        status = choose_open(&b, &problem, choice);
    else
        status = sel_fail_memory(context);
    sel_bound_free(b.bound);
    free(b.sites);
    free(b.trial);
    free(b.order);
    sel_choice_problem_clear(&problem);
    return status;
}
