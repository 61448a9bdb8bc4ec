// SPDX-License-Identifier: MIT
//
// Limits, scores, order and choice. Order: score, then position, so that ties do not depend on
// tiles or threads.
#include "survey/judge.h"

#include <math.h>
#include <stdlib.h>

#include "score/score.h"

void sel_candidate_values(const struct sel_survey *survey, const struct sel_candidate *candidate,
    double values[SEL_CRITERIA]) {
    for (int i = 0; i < SEL_CRITERIA; i++)
        values[i] = survey->in_use[i] ? sel_value(&survey->plan->criteria[i], candidate->measure[i])
                                      : (double)NAN;
}

// The first criterion whose limit strikes; SEL_CRITERIA when none does.
static int struck_limit(const struct sel_survey *survey, const struct sel_candidate *candidate) {
    for (int i = 0; i < SEL_CRITERIA; i++)
        if (survey->in_use[i] &&
            sel_beyond_limit(&survey->plan->criteria[i], candidate->measure[i]))
            return i;
    return SEL_CRITERIA;
}

static double score_of(const struct sel_survey *survey, const struct sel_candidate *candidate) {
    double values[SEL_CRITERIA];
    sel_candidate_values(survey, candidate, values);
    return sel_aggregate_values(survey->plan->aggregate, survey->weights, values);
}

static int compare_numbers(int64_t a, int64_t b) {
    return (a > b) - (a < b);
}

static int by_score(const void *left, const void *right) {
    const struct sel_candidate *a = left, *b = right;
    if (a->score != b->score)
        return a->score > b->score ? -1 : 1;
    if (a->hy != b->hy)
        return compare_numbers(a->hy, b->hy);
    if (a->hx != b->hx)
        return compare_numbers(a->hx, b->hx);
    if (a->a != b->a)
        return compare_numbers(a->a, b->a);
    if (a->b != b->b)
        return compare_numbers(a->b, b->b);
    int by_row = compare_numbers(a->crack_hy, b->crack_hy);
    return by_row != 0 ? by_row : compare_numbers(a->crack_hx, b->crack_hx);
}

void sel_judge(struct sel_findings *findings, struct sel_survey *survey) {
    struct sel_candidate *candidates = findings->candidates.items;
    struct sel_tally *tally = &survey->tally;
    size_t kept = 0;
    tally->cracks = findings->counts.cracks;
    tally->no_horizon = findings->counts.no_horizon;
    for (int i = 0; i < SEL_FATES; i++)
        tally->fates[i] = findings->counts.fates[i];
    for (size_t i = 0; i < findings->candidates.count; i++) {
        int struck = struck_limit(survey, &candidates[i]);
        if (struck < SEL_CRITERIA) {
            tally->beyond_limit[struck]++;
            continue;
        }
        candidates[kept] = candidates[i];
        candidates[kept].score = score_of(survey, &candidates[kept]);
        kept++;
    }
    if (kept > 0)
        qsort(candidates, kept, sizeof *candidates, by_score);
    tally->eligible = (int64_t)kept;
    survey->candidates = candidates;
    survey->candidate_count = kept;
    findings->candidates = (struct sel_candidates){0};
}

static size_t pair_slot(const struct sel_survey *survey, sel_habitat_id a, sel_habitat_id b) {
    return (size_t)a * ((size_t)survey->plan->habitats.count + 1) + b;
}

// Numbers the pairs that have edges or candidates, in order of a, then b. `dense` has a slot per
// possible pair; -1: not met.
static sel_status number_pairs(sel_context *context, const struct sel_findings *findings,
    struct sel_survey *survey, int32_t *dense) {
    size_t side = (size_t)survey->plan->habitats.count + 1, slots = side * side, met = 0;
    for (size_t i = 0; i < slots; i++)
        dense[i] = findings->counts.edge_mm[i] > 0 ? 0 : -1;
    for (size_t i = 0; i < survey->candidate_count; i++)
        dense[pair_slot(survey, survey->candidates[i].a, survey->candidates[i].b)] = 0;
    for (size_t i = 0; i < slots; i++)
        if (dense[i] == 0)
            dense[i] = (int32_t)met++;
    survey->pairs = calloc(met > 0 ? met : 1, sizeof *survey->pairs);
    if (!survey->pairs)
        return sel_fail_memory(context);
    survey->pair_count = met;
    for (size_t i = 0; i < slots; i++)
        if (dense[i] >= 0)
            survey->pairs[dense[i]] = (struct sel_pair_total){.a = (sel_habitat_id)(i / side),
                .b = (sel_habitat_id)(i % side),
                .length_m = (double)findings->counts.edge_mm[i] / 1000.0};
    for (size_t i = 0; i < survey->candidate_count; i++)
        survey->pairs[dense[pair_slot(survey, survey->candidates[i].a, survey->candidates[i].b)]]
            .candidates++;
    return SEL_OK;
}

static struct sel_choice_item *choice_items(const struct sel_survey *survey, const int32_t *dense) {
    struct sel_choice_item *items =
        malloc((survey->candidate_count > 0 ? survey->candidate_count : 1) * sizeof *items);
    const struct sel_grid *grid = &survey->study->grid;
    for (size_t i = 0; items && i < survey->candidate_count; i++) {
        const struct sel_candidate *candidate = &survey->candidates[i];
        items[i] = (struct sel_choice_item){.score = candidate->score,
            .x_m = 0.5 * candidate->hx * grid->cell_x_m,
            .y_m = 0.5 * candidate->hy * grid->cell_y_m,
            .hy = candidate->hy,
            .hx = candidate->hx,
            .pair = dense[pair_slot(survey, candidate->a, candidate->b)]};
    }
    return items;
}

// A reserve is looked for as far off as sites must stand apart: near enough to serve the same
// flyway country, and never nearer than that to another site.
static struct sel_choice_rule choice_rule(const struct sel_survey *survey) {
    const struct sel_plan_choose *choose = &survey->plan->choose;
    return (struct sel_choice_rule){.sites = choose->sites,
        .apart_m = choose->apart_m,
        .reserves = choose->reserves,
        .reserve_reach_m = fmax(choose->apart_m, 2 * survey->lengths.every_m),
        .pair_min = choose->pair_min,
        .pair_max = choose->pair_max,
        .pair_count = (int32_t)survey->pair_count};
}

static void add_site(
    struct sel_survey *survey, const int32_t *dense, size_t candidate, int rank, int reserve) {
    const struct sel_candidate *at = &survey->candidates[candidate];
    survey->sites[survey->site_count++] =
        (struct sel_site){.candidate = candidate, .rank = rank, .reserve = reserve};
    if (reserve == 0)
        survey->pairs[dense[pair_slot(survey, at->a, at->b)]].sites++;
}

// Lists the sites; the survey takes the fates over.
static sel_status list_sites(sel_context *context, struct sel_choice *choice, const int32_t *dense,
    struct sel_survey *survey) {
    size_t room = (size_t)choice->count * (1 + SEL_RESERVES_MOST);
    survey->sites = calloc(room > 0 ? room : 1, sizeof *survey->sites);
    if (!survey->sites)
        return sel_fail_memory(context);
    for (int i = 0; i < choice->count; i++) {
        add_site(survey, dense, choice->sites[i].item, i + 1, 0);
        for (int k = 0; k < choice->sites[i].reserve_count; k++)
            add_site(survey, dense, choice->sites[i].reserves[k], i + 1, k + 1);
    }
    struct sel_tally *tally = &survey->tally;
    tally->sites = choice->count;
    tally->reserves = choice->reserve_total;
    tally->near_occupied = choice->near_occupied;
    tally->near_chosen = choice->near_chosen;
    tally->over_quota = choice->over_quota;
    tally->lower_score = choice->lower_score;
    survey->fates = choice->fates;
    choice->fates = NULL;
    return SEL_OK;
}

sel_status sel_settle(sel_context *context, const struct sel_job *job,
    const struct sel_findings *findings, struct sel_survey *survey) {
    size_t side = (size_t)survey->plan->habitats.count + 1;
    struct sel_choice choice = {0};
    struct sel_choice_item *items = NULL;
    int32_t *dense = malloc(side * side * sizeof *dense);
    sel_status status = dense ? SEL_OK : sel_fail_memory(context);
    if (status == SEL_OK)
        status = number_pairs(context, findings, survey, dense);
    if (status == SEL_OK) {
        items = choice_items(survey, dense);
        status = items ? SEL_OK : sel_fail_memory(context);
    }
    if (status == SEL_OK) {
        struct sel_choice_rule rule = choice_rule(survey);
        status = sel_choose(context, items, survey->candidate_count, job->occupied,
            job->occupied_count, &rule, &choice);
    }
    if (status == SEL_NOTHING)
        sel_fail(context, SEL_NOTHING,
            "%s: no place qualifies: the account above tells where places were lost; loosen a "
            "limit, a zone or choose.apart_m",
            survey->plan->path);
    if (status == SEL_OK || status == SEL_NOTHING) {
        sel_status listed = list_sites(context, &choice, dense, survey);
        status = listed == SEL_OK ? status : listed;
    }
    sel_choice_clear(&choice);
    free(items);
    free(dense);
    return status;
}
