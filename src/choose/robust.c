// SPDX-License-Identifier: MIT
//
// A run is one greedy choice under given weights. First comes the run at the plan's weights, then
// one for each draw of weights, then one for each hundredth of each criterion's weight; these last
// are bettered by exchanges, and so is the choice of the plan's weights, so that what changes is
// the weights' doing and not the search's. Every run writes into places of its own, so threads do
// not meet.
#include "choose/robust.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/pool.h"
#include "choose/greedy.h"
#include "choose/local_best.h"
#include "choose/nearby.h"
#include "choose/rechoose.h"
#include "score/random.h"

enum { HUNDREDTHS = 101, RUNS_PER_JOB = 10 };
static const double LOW = 0.05, HIGH = 0.95;

// One thread's room.
struct bench {
    struct sel_reweigh *reweigh;
    struct sel_greedy *greedy;
    struct sel_rechoose *rechoose;
    size_t *sites, *found;
};

struct robust {
    sel_context *context;
    const struct sel_robust_input *input;
    const struct sel_robust_rule *rule;
    struct sel_choice_problem whole, locals; // all open candidates; the local bests
    double *value_room[SEL_CRITERIA_MOST];   // owned; of the local bests
    struct sel_values values;
    size_t *kept_number;              // of each item: 1 + its place among the kept; 0: not kept
    size_t *kept_at;                  // position of each kept item among the local bests
    size_t *chosen_at;                // the same of the chosen ones
    uint8_t *chosen;                  // of each kept one: whether a chosen one stands for it
    size_t *near_starts, *near_items; // of each local best: the kept ones that it stands for
    uint8_t *taken;                   // of each run, of each kept one
    uint32_t *ranks;                  // of each draw, of each kept one
    struct bench *benches;
    int64_t runs;
};

// ---- runs ----

static bool has_others(const struct robust *r, int criterion) {
    return r->rule->weights[criterion] < 1;
}

// Weights with one set to a share; the others keep their proportions.
static void shift_weights(const struct robust *r, int criterion, double share, double *weights) {
    double own = r->rule->weights[criterion];
    for (int i = 0; i < r->rule->criteria; i++)
        weights[i] = r->rule->weights[i] * (1 - share) / (1 - own);
    weights[criterion] = share;
}

// Run 0 has the plan's weights, then come the draws, then the hundredths of each criterion.
static void weights_of_run(const struct robust *r, int64_t run, double *weights) {
    const struct sel_robust_rule *rule = r->rule;
    memcpy(weights, rule->weights, (size_t)rule->criteria * sizeof *weights);
    if (run > 0 && run <= rule->draws) {
        struct sel_random random =
            sel_random_begin(rule->seed, SEL_RANDOM_WEIGHTS, (uint32_t)run, 0);
        sel_random_dirichlet(&random, rule->weights, rule->criteria, rule->concentration, weights);
    } else if (run > rule->draws) {
        int64_t step = run - rule->draws - 1;
        int criterion = (int)(step / HUNDREDTHS);
        if (has_others(r, criterion))
            shift_weights(r, criterion, (double)(step % HUNDREDTHS) / (HUNDREDTHS - 1), weights);
    }
}

static void note_taken(const struct robust *r, uint8_t *taken, const size_t *sites, int count) {
    for (int i = 0; i < count; i++)
        for (size_t k = r->near_starts[sites[i]]; k < r->near_starts[sites[i] + 1]; k++)
            taken[r->near_items[k]] = 1;
}

static sel_status run_once(const struct robust *r, struct bench *bench, int64_t run) {
    double weights[SEL_CRITERIA_MOST];
    int64_t missing;
    weights_of_run(r, run, weights);
    sel_reweigh(bench->reweigh, weights);
    if (run > 0 && run <= r->rule->draws) {
        uint32_t *ranks = r->ranks + (size_t)(run - 1) * r->input->kept_count;
        for (size_t k = 0; k < r->input->kept_count; k++)
            ranks[k] = (uint32_t)sel_reweigh_rank(bench->reweigh, r->kept_at[k]) + 1;
    }
    struct sel_greedy_order order = {sel_reweigh_at, sel_reweigh_score, bench->reweigh};
    int count = sel_greedy_run(bench->greedy, &order, bench->sites, &missing);
    const size_t *found = bench->sites;
    if (run > r->rule->draws && r->input->chosen_count > 0) {
        struct sel_rechoose_start start = {
            {r->chosen_at, bench->sites}, {(int)r->input->chosen_count, count}};
        sel_status status = sel_rechoose_run(bench->rechoose, &order, &start, bench->found, &count);
        if (status != SEL_OK)
            return status;
        found = bench->found;
    }
    note_taken(r, r->taken + (size_t)run * r->input->kept_count, found, count);
    return SEL_OK;
}

static sel_status run_some(void *user, int thread, int64_t job) {
    struct robust *r = user;
    sel_status status = SEL_OK;
    for (int64_t run = job * RUNS_PER_JOB;
         run < (job + 1) * RUNS_PER_JOB && run < r->runs && status == SEL_OK; run++)
        status = run_once(r, &r->benches[thread], run);
    return status == SEL_OK ? SEL_OK : sel_fail_memory(r->context);
}

// ---- setting up ----

// By position in whole->open, in room of its own. NULL: out of memory.
static double *values_by_position(const struct robust *r, int criterion) {
    double *values = malloc((r->whole.open_count + 1) * sizeof *values);
    for (size_t i = 0; values && i < r->whole.open_count; i++) {
        double value = r->input->values[criterion][r->whole.open_index[i]];
        values[i] = r->rule->geometric ? (value > 0 ? log(value) : SEL_LOG_OF_ZERO) : value;
    }
    return values;
}

static void mark_kept(const struct robust *r, bool *is_local) {
    for (size_t i = 0; i < r->whole.open_count; i++)
        is_local[i] = is_local[i] || r->kept_number[r->whole.open_index[i]] > 0;
}

// Makes the problem of the local bests with their values.
static sel_status keep_locals(struct robust *r, double *const *values, const bool *is_local) {
    size_t count = 0;
    size_t *positions = malloc((r->whole.open_count + 1) * sizeof *positions);
    if (!positions)
        return SEL_NO_MEMORY;
    for (size_t i = 0; i < r->whole.open_count; i++)
        if (is_local[i])
            positions[count++] = i;
    sel_status status = sel_choice_problem_part(&r->whole, positions, count, &r->locals);
    r->values = (struct sel_values){
        .criteria = r->rule->criteria, .count = count, .geometric = r->rule->geometric};
    for (int c = 0; c < r->rule->criteria && status == SEL_OK; c++) {
        double *own = r->value_room[c] = malloc((count + 1) * sizeof *own);
        status = own ? SEL_OK : SEL_NO_MEMORY;
        for (size_t i = 0; own && i < count; i++)
            own[i] = values[c][positions[i]];
        r->values.of[c] = own;
    }
    free(positions);
    return status;
}

static sel_status find_locals(struct robust *r) {
    double *values[SEL_CRITERIA_MOST] = {0};
    bool *is_local = malloc(r->whole.open_count + 1);
    sel_status status = is_local ? SEL_OK : SEL_NO_MEMORY;
    for (int c = 0; c < r->rule->criteria && status == SEL_OK; c++) {
        values[c] = values_by_position(r, c);
        status = values[c] ? SEL_OK : SEL_NO_MEMORY;
    }
    if (status == SEL_OK)
        status = sel_local_bests(&r->whole, 0.5 * r->input->rule->apart_m,
            (const double *const *)values, r->rule->criteria, is_local);
    if (status == SEL_OK) {
        mark_kept(r, is_local);
        status = keep_locals(r, values, is_local);
    }
    for (int c = 0; c < r->rule->criteria; c++)
        free(values[c]);
    free(is_local);
    return status;
}

// Where each kept item stands among the local bests.
static void place_kept(struct robust *r) {
    for (size_t i = 0; i < r->locals.open_count; i++) {
        size_t number = r->kept_number[r->locals.open_index[i]];
        if (number > 0)
            r->kept_at[number - 1] = i;
    }
    for (size_t k = 0; k < r->input->chosen_count; k++)
        r->chosen_at[k] = r->kept_at[r->kept_number[r->input->chosen[k]] - 1];
}

// Counts (near_items NULL) or lists the kept ones near each local best.
static void visit_near(struct robust *r, const struct sel_nearby *nearby) {
    double radius = 0.5 * r->input->rule->apart_m;
    for (size_t k = 0; k < r->input->kept_count; k++) {
        const struct sel_choice_item *at = &r->locals.open[r->kept_at[k]];
        struct sel_nearby_query query = sel_nearby_begin(nearby, at->x_m, at->y_m, radius);
        size_t other;
        while (sel_nearby_next(&query, &other)) {
            if (r->near_items)
                r->near_items[r->near_starts[other + 1]++] = k;
            else
                r->near_starts[other + 2]++;
        }
    }
}

static sel_status list_near(struct robust *r) {
    struct sel_nearby nearby;
    size_t count = r->locals.open_count;
    r->near_starts = calloc(count + 2, sizeof *r->near_starts);
    if (!r->near_starts ||
        !sel_nearby_init(&nearby, r->locals.open, count, 0.5 * r->input->rule->apart_m))
        return SEL_NO_MEMORY;
    visit_near(r, &nearby);
    for (size_t i = 2; i < count + 2; i++)
        r->near_starts[i] += r->near_starts[i - 1];
    r->near_items = malloc((r->near_starts[count + 1] + 1) * sizeof *r->near_items);
    if (r->near_items)
        visit_near(r, &nearby);
    sel_nearby_clear(&nearby);
    return r->near_items ? SEL_OK : SEL_NO_MEMORY;
}

static sel_status set_up_benches(struct robust *r) {
    r->benches = calloc((size_t)r->rule->threads, sizeof *r->benches);
    for (int i = 0; r->benches && i < r->rule->threads; i++) {
        struct bench *bench = &r->benches[i];
        bench->reweigh = sel_reweigh_new(&r->values);
        bench->sites = malloc(((size_t)r->input->rule->sites + 1) * sizeof *bench->sites);
        bench->found = malloc(((size_t)r->input->rule->sites + 1) * sizeof *bench->found);
        if (!bench->reweigh || !bench->sites || !bench->found ||
            sel_greedy_new(&r->locals, &bench->greedy) != SEL_OK ||
            sel_rechoose_new(&r->locals, &bench->rechoose) != SEL_OK)
            return SEL_NO_MEMORY;
    }
    return r->benches ? SEL_OK : SEL_NO_MEMORY;
}

static sel_status set_up(struct robust *r) {
    const struct sel_robust_input *in = r->input;
    sel_status status = sel_choice_problem_init(
        &r->whole, in->items, in->count, in->occupied, in->occupied_count, in->rule);
    r->kept_number = calloc(in->count + 1, sizeof *r->kept_number);
    if (!r->kept_number)
        return SEL_NO_MEMORY;
    for (size_t k = 0; k < in->kept_count; k++)
        r->kept_number[in->kept[k]] = k + 1;
    if (status == SEL_OK)
        status = find_locals(r);
    if (status != SEL_OK)
        return status;
    r->runs = 1 + r->rule->draws + (int64_t)r->rule->criteria * HUNDREDTHS;
    r->kept_at = calloc(in->kept_count + 1, sizeof *r->kept_at);
    r->chosen_at = calloc(in->chosen_count + 1, sizeof *r->chosen_at);
    r->chosen = calloc(in->kept_count + 1, 1);
    r->taken = calloc((size_t)r->runs * in->kept_count + 1, 1);
    r->ranks = malloc(((size_t)r->rule->draws * in->kept_count + 1) * sizeof *r->ranks);
    if (!r->kept_at || !r->chosen_at || !r->chosen || !r->taken || !r->ranks)
        return SEL_NO_MEMORY;
    place_kept(r);
    status = list_near(r);
    if (status != SEL_OK)
        return status;
    note_taken(r, r->chosen, r->chosen_at, (int)in->chosen_count);
    return set_up_benches(r);
}

static void tear_down(struct robust *r) {
    for (int i = 0; r->benches && i < r->rule->threads; i++) {
        sel_reweigh_free(r->benches[i].reweigh);
        sel_greedy_free(r->benches[i].greedy);
        sel_rechoose_free(r->benches[i].rechoose);
        free(r->benches[i].sites);
        free(r->benches[i].found);
    }
    free(r->benches);
    for (int c = 0; c < SEL_CRITERIA_MOST; c++)
        free(r->value_room[c]);
    free(r->kept_number);
    free(r->kept_at);
    free(r->chosen_at);
    free(r->chosen);
    free(r->near_starts);
    free(r->near_items);
    free(r->taken);
    free(r->ranks);
    sel_choice_problem_clear(&r->whole);
    sel_choice_problem_clear(&r->locals);
}

// ---- summing up ----

static bool taken_in(const struct robust *r, int64_t run, size_t k) {
    return r->taken[(size_t)run * r->input->kept_count + k] != 0;
}

static bool taken_at(const struct robust *r, int criterion, int hundredth, size_t k) {
    return taken_in(r, 1 + r->rule->draws + (int64_t)criterion * HUNDREDTHS + hundredth, k);
}

static int by_rank(const void *left, const void *right) {
    uint32_t a = *(const uint32_t *)left, b = *(const uint32_t *)right;
    return (a > b) - (a < b);
}

// The smallest rank that at least such a share of the draws does not exceed.
static int percentile(const uint32_t *sorted, int draws, double share) {
    int at = (int)ceil(share * draws) - 1;
    return (int)sorted[at < 0 ? 0 : at];
}

static void sum_up_draws(
    const struct robust *r, size_t k, uint32_t *sorted, struct sel_robust_site *site) {
    int taken = 0, draws = r->rule->draws;
    for (int draw = 0; draw < draws; draw++) {
        taken += taken_in(r, 1 + draw, k);
        sorted[draw] = r->ranks[(size_t)draw * r->input->kept_count + k];
    }
    qsort(sorted, (size_t)draws, sizeof *sorted, by_rank);
    site->taken = taken_in(r, 0, k);
    site->share_taken = (double)taken / draws;
    site->rank_low = percentile(sorted, draws, LOW);
    site->rank_high = percentile(sorted, draws, HIGH);
}

static void sum_up_shifts(const struct robust *r, size_t k, struct sel_robust_site *site) {
    const double step = 1.0 / (HUNDREDTHS - 1);
    for (int c = 0; c < r->rule->criteria; c++) {
        double weight = r->rule->weights[c];
        site->lower[c] = site->higher[c] = (double)NAN;
        for (int h = 0; h < HUNDREDTHS && r->chosen[k] && has_others(r, c); h++) {
            if (taken_at(r, c, h, k))
                continue;
            if (h * step < weight)
                site->lower[c] = h * step;
            else if (h * step > weight && isnan(site->higher[c]))
                site->higher[c] = h * step;
        }
    }
}

static sel_status sum_up(const struct robust *r, struct sel_robust_site *sites) {
    uint32_t *sorted = malloc(((size_t)r->rule->draws + 1) * sizeof *sorted);
    if (!sorted)
        return SEL_NO_MEMORY;
    for (size_t k = 0; k < r->input->kept_count; k++) {
        sum_up_draws(r, k, sorted, &sites[k]);
        sum_up_shifts(r, k, &sites[k]);
    }
    free(sorted);
    return SEL_OK;
}

sel_status sel_robust_run(sel_context *context, const struct sel_robust_input *input,
    const struct sel_robust_rule *rule, struct sel_robust_site *sites, size_t *local_bests) {
    struct robust r = {.context = context, .input = input, .rule = rule};
    sel_status status = set_up(&r);
    if (status == SEL_NO_MEMORY)
        sel_fail_memory(context);
    if (status == SEL_OK)
        status = sel_pool_run(context, "varying the weights", rule->threads,
            (r.runs + RUNS_PER_JOB - 1) / RUNS_PER_JOB, run_some, &r);
    if (status == SEL_OK && sum_up(&r, sites) != SEL_OK)
        status = sel_fail_memory(context);
    *local_bests = r.locals.open_count;
    tear_down(&r);
    return status;
}
