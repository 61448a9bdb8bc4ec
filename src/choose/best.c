// SPDX-License-Identifier: MIT
//
// The best choice: exact where that is possible, else from both sides. From below, greedy choices
// bettered by exchanges - by score first, then, as prices tell what a candidate takes from others,
// by worth. From above, the bound, which drops candidates as the gap narrows, until it closes, few
// enough are left for the exact search, or the work is done.
//
// With spread, the choice of highest total and a greedy choice by the whole objective are both
// bettered for that objective; since no site can be more even than even, the bound on the total
// gives one on the objective.
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "choose/bound.h"
#include "choose/cover.h"
#include "choose/exact.h"
#include "choose/exchange.h"
#include "choose/greedy.h"
#include "choose/quotas.h"
#include "choose/ruin.h"
#include "choose/spread.h"
#include "choose/taken.h"

enum { ROUNDS = 20, PHASES = 10, RESTARTS = 32 };
static const double GAP_WORTH = 1.01; // bound to total: above it restarts are tried
static const int64_t RESTART_WORK = 1000000;
static const int64_t FIRST_WORK = 20000000, PHASE_WORK = 2500000; // see sel_exchange
static const int64_t SPREAD_WORK = 60000000;                      // see sel_spread_search

struct best {
    sel_context *context;
    struct sel_choice_problem *problem;
    struct sel_bound *bound;
    size_t *sites; // the best so far: positions in problem->open
    int count;
    int64_t weight, missing;      // missing: of the minimums
    size_t *trial;                // another choice
    struct sel_choice_rule plain; // the rule without spread
};

struct merit {
    int64_t missing, weight;
};

// Keeps the trial (positions in a part; NULL: in the whole) if it misses less, or as much with a
// higher total.
static void keep_trial(struct best *b, int count, struct merit merit, const size_t *positions) {
    bool better =
        merit.missing < b->missing || (merit.missing == b->missing && merit.weight > b->weight);
    if (!better)
        return;
    for (int i = 0; i < count; i++)
        b->sites[i] = positions ? positions[b->trial[i]] : b->trial[i];
    b->count = count;
    b->weight = merit.weight;
    b->missing = merit.missing;
}

// Exact on a part that is small enough.
static sel_status try_exact(
    struct best *b, const struct sel_choice_problem *part, const size_t *positions) {
    int count;
    struct merit merit = {0, 0};
    if (!sel_choose_exact(part, b->weight + 1, b->trial, &count))
        return SEL_OK;
    if (!sel_taken_missing(part, b->trial, count, &merit.missing))
        return SEL_NO_MEMORY;
    for (int i = 0; i < count; i++)
        merit.weight += sel_site_weight(part->open[b->trial[i]].score);
    keep_trial(b, count, merit, positions);
    return SEL_OK;
}

static int compare_positions(const void *left, const void *right) {
    size_t a = *(const size_t *)left, b = *(const size_t *)right;
    return (a > b) - (a < b);
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

static size_t position_by_worth(void *user, size_t rank) {
    return ((const struct ranked_worth *)user)[rank].position;
}

// Greedy by worth among what is left, then exchanges by score. A minimum that is missed here is no
// failure: the choice at hand stands.
static sel_status try_by_worth(struct best *b, const struct sel_choice_problem *part,
    const size_t *positions, const double *worth) {
    struct ranked_worth *ranked = malloc((part->open_count + 1) * sizeof *ranked);
    struct sel_greedy *greedy = NULL;
    sel_status status = ranked ? sel_greedy_new(part, &greedy) : SEL_NO_MEMORY;
    if (status != SEL_OK)
        goto done;
    for (size_t i = 0; i < part->open_count; i++)
        ranked[i] = (struct ranked_worth){worth[i], i};
    qsort(ranked, part->open_count, sizeof *ranked, worthier_first);
    struct sel_greedy_order order = {position_by_worth, NULL, ranked};
    struct merit merit;
    int count = sel_greedy_run(greedy, &order, b->trial, &merit.missing);
    status = sel_exchange(part, PHASE_WORK, b->trial, &count, &merit.weight, &merit.missing);
    if (status == SEL_OK)
        keep_trial(b, count, merit, positions);
done:
    sel_greedy_free(greedy);
    free(ranked);
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
    if (left <= SEL_EXACT_MOST) {
        status = try_exact(b, &part, positions);
        sel_bound_close(b->bound, b->weight);
        *more = false;
    } else {
        status = try_by_worth(b, &part, positions, worth);
    }
    sel_choice_problem_clear(&part);
    return status;
}

// The bound is that of all choices that miss no more than the best so far; it begins anew when one
// is found that misses less.
static sel_status begin_bound(struct best *b) {
    b->problem->slack = b->missing;
    sel_bound_free(b->bound);
    b->bound = NULL;
    return sel_bound_new(b->problem, &b->bound);
}

static sel_status run_greedy(struct best *b, size_t *sites, int *count, int64_t *missing) {
    struct sel_greedy *greedy;
    if (sel_greedy_new(b->problem, &greedy) != SEL_OK)
        return sel_fail_memory(b->context);
    *count = sel_greedy_run(greedy, NULL, sites, missing);
    sel_greedy_free(greedy);
    return SEL_OK;
}

// What the sites at hand miss of the minimums is a failure, unless that is allowed.
static sel_status settle_minimums(struct best *b, bool proven) {
    if (b->missing == 0 || b->problem->rule->relax)
        return SEL_OK;
    return sel_quotas_fail(b->context, b->problem, b->sites, b->count, proven);
}

static sel_status one_phase(struct best *b, bool *more) {
    sel_status status = sel_check_cancel(b->context);
    if (status != SEL_OK)
        return status;
    status = tighten(b, more);
    if (status == SEL_OK && b->missing < b->problem->slack) {
        *more = true;
        status = begin_bound(b);
    }
    return status == SEL_OK ? SEL_OK : sel_fail_memory(b->context);
}

static sel_status run_phases(struct best *b) {
    sel_status status = SEL_OK;
    bool more = true;
    for (int phase = 0; phase < PHASES && more && status == SEL_OK; phase++)
        status = one_phase(b, &more);
    return status;
}

// ---- restarts ----

// The best so far as positions in a part (rising positions in the whole), without those that no
// better choice can hold.
static int best_in_part(const struct best *b, const size_t *positions, size_t left, size_t *sites) {
    int count = 0;
    for (int i = 0; i < b->count; i++) {
        const size_t *at =
            bsearch(&b->sites[i], positions, left, sizeof *positions, compare_positions);
        if (at)
            sites[count++] = (size_t)(at - positions);
    }
    return count;
}

static sel_status restart_once(struct best *b, const struct sel_choice_problem *part,
    const size_t *positions, const double *worth, uint32_t number) {
    struct merit merit = {0, 0};
    int count = best_in_part(b, positions, part->open_count, b->trial);
    sel_status status = sel_ruin(part, worth, number, b->trial, &count);
    if (status == SEL_OK)
        status = sel_exchange(part, RESTART_WORK, b->trial, &count, &merit.weight, &merit.missing);
    if (status == SEL_OK)
        keep_trial(b, count, merit, positions);
    return status;
}

// While the gap is worth it: spoils the best so far here and there and betters it again.
static sel_status restart(struct best *b, bool *better) {
    const size_t *positions;
    const double *worth;
    struct sel_choice_problem part;
    int64_t weight = b->weight, missing = b->missing;
    size_t left = sel_bound_left(b->bound, &positions, &worth);
    if (left == 0 || (double)sel_bound_weight(b->bound) < GAP_WORTH * (double)b->weight)
        return SEL_OK;
    if (sel_choice_problem_part(b->problem, positions, left, &part) != SEL_OK)
        return sel_fail_memory(b->context);
    sel_status status = SEL_OK;
    for (uint32_t number = 0; number < RESTARTS && status == SEL_OK; number++) {
        status = sel_check_cancel(b->context);
        if (status == SEL_OK && restart_once(b, &part, positions, worth, number) != SEL_OK)
            status = sel_fail_memory(b->context);
    }
    sel_choice_problem_clear(&part);
    *better = b->weight != weight || b->missing != missing;
    if (status == SEL_OK && b->missing < b->problem->slack && begin_bound(b) != SEL_OK)
        status = sel_fail_memory(b->context);
    return status;
}

static sel_status from_both_sides(struct best *b) {
    sel_status status = run_greedy(b, b->sites, &b->count, &b->missing);
    if (status == SEL_OK && sel_exchange(b->problem, FIRST_WORK, b->sites, &b->count, &b->weight,
                                &b->missing) != SEL_OK)
        status = sel_fail_memory(b->context);
    if (status == SEL_OK)
        status = settle_minimums(b, false);
    if (status == SEL_OK && begin_bound(b) != SEL_OK)
        status = sel_fail_memory(b->context);
    if (status == SEL_OK)
        status = run_phases(b);
    bool better = false;
    if (status == SEL_OK)
        status = restart(b, &better);
    return status == SEL_OK && better ? run_phases(b) : status;
}

static sel_status all_at_once(struct best *b) {
    if (sel_choose_exact(b->problem, 0, b->sites, &b->count))
        return SEL_OK;
    sel_choose_nearest(b->problem, b->sites, &b->count);
    if (!sel_taken_missing(b->problem, b->sites, b->count, &b->missing))
        return sel_fail_memory(b->context);
    b->problem->slack = b->missing;
    return settle_minimums(b, true);
}

static sel_status find_highest_total(struct best *b) {
    sel_status status = sel_quotas_check(b->context, b->problem);
    if (status != SEL_OK)
        return status;
    return b->problem->open_count <= SEL_EXACT_MOST ? all_at_once(b) : from_both_sides(b);
}

static double total_of(const struct best *b) {
    double total = 0;
    for (int i = 0; i < b->count; i++)
        total += b->problem->open[b->sites[i]].score;
    return total;
}

static double bound_of(const struct best *b, double total) {
    if (!b->bound)
        return total;
    int64_t weight = sel_bound_weight(b->bound);
    return weight <= b->weight ? total : sel_score_of_weight(weight);
}

// ---- spread ----

// No choice has more sites than this.
static sel_status count_most_sites(const struct best *b, int *most) {
    const struct sel_choice_problem *problem = b->problem;
    *most = problem->rule->sites;
    if (b->count >= *most)
        return SEL_OK;
    int32_t *cells = malloc((problem->open_count + 1) * sizeof *cells), cell_count;
    sel_status status = cells ? SEL_OK : SEL_NO_MEMORY;
    for (int cover = 0; cover < SEL_COVERS && status == SEL_OK; cover++) {
        if (!sel_cover_number(problem->open, problem->open_count, problem->rule->apart_m, cover,
                cells, &cell_count))
            status = SEL_NO_MEMORY;
        else if (cell_count < *most)
            *most = (int)cell_count;
    }
    free(cells);
    return status;
}

// Less missing counts before more sites, and these before the objective.
static bool trial_is_better(const struct best *b, int count, int64_t missing) {
    if (missing != b->missing)
        return missing < b->missing;
    if (count != b->count)
        return count > b->count;
    return sel_spread_objective(b->problem, b->trial, count) >
           sel_spread_objective(b->problem, b->sites, b->count);
}

static sel_status spread_out(struct best *b) {
    int64_t missing = 0;
    int count = 0;
    sel_status status = run_greedy(b, b->trial, &count, &missing);
    if (status != SEL_OK)
        return status;
    bool known = sel_spread_search(b->problem, SPREAD_WORK, b->sites, &b->count) == SEL_OK &&
                 sel_spread_search(b->problem, SPREAD_WORK, b->trial, &count) == SEL_OK &&
                 sel_taken_missing(b->problem, b->sites, b->count, &b->missing) &&
                 sel_taken_missing(b->problem, b->trial, count, &missing);
    if (!known)
        return sel_fail_memory(b->context);
    if (trial_is_better(b, count, missing)) {
        memcpy(b->sites, b->trial, (size_t)count * sizeof *b->sites);
        b->count = count;
        b->missing = missing;
    }
    return SEL_OK;
}

// First for the total alone, then for the objective of the rule.
static sel_status find_even(struct best *b, double *bound) {
    const struct sel_choice_rule *rule = b->problem->rule;
    b->plain = *rule;
    b->plain.spread = 0;
    b->problem->rule = &b->plain;
    sel_status status = find_highest_total(b);
    b->problem->rule = rule;
    double total_bound = bound_of(b, total_of(b));
    if (status == SEL_OK)
        status = spread_out(b);
    int most = 0;
    if (status == SEL_OK && count_most_sites(b, &most) != SEL_OK)
        status = sel_fail_memory(b->context);
    *bound = (1 - rule->spread) * total_bound + rule->spread * most;
    return status;
}

// ---- from end to end ----

static sel_status choose_open(struct best *b, struct sel_choice *choice) {
    struct sel_choice_problem *problem = b->problem;
    double bound = 0;
    bool even = problem->rule->spread > 0;
    sel_status status = SEL_OK;
    if (problem->open_count == 0 || problem->rule->sites < 1)
        b->count = 0;
    else
        status = even ? find_even(b, &bound) : find_highest_total(b);
    if (status != SEL_OK)
        return status;
    if (sel_choice_finish(problem, b->sites, b->count, choice) != SEL_OK)
        return sel_fail_memory(b->context);
    choice->bound = even ? fmax(bound, choice->objective) : bound_of(b, choice->total_score);
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
    sel_status status;
    if (b.sites && b.trial)
        status = choose_open(&b, choice);
    else
        status = sel_fail_memory(context);
    sel_bound_free(b.bound);
    free(b.sites);
    free(b.trial);
    sel_choice_problem_clear(&problem);
    return status;
}
