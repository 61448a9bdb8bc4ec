// SPDX-License-Identifier: MIT
//
// The pool is enlarged until the choice made from it is provably the choice from all candidates:
// a set of N sites with one that was left aside totals at most the best N - 1 of the pool plus the
// most that one could score, and when that is less than what was chosen, no such set is better.
#include "survey/judge.h"

#include <math.h>
#include <stdlib.h>

#include "survey/rivals.h"

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
    for (size_t i = 0; i < survey->eligible_count; i++)
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
    for (size_t i = 0; i < survey->eligible_count; i++)
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

static sel_status choose(sel_context *context, const struct sel_job *job,
    const struct sel_survey *survey, const int32_t *dense, struct sel_choice *choice) {
    struct sel_choice_item *items = choice_items(survey, dense);
    struct sel_choice_rule rule = choice_rule(survey);
    if (!items)
        return sel_fail_memory(context);
    sel_status status = sel_choose(
        context, items, survey->candidate_count, job->occupied, job->occupied_count, &rule, choice);
    free(items);
    return status;
}

// The most that `sites` candidates of the pool can total under the quota per pair; spacing and
// occupied places are not asked for. `taken` has a zeroed slot per pair.
static double most_total(
    const struct sel_survey *survey, const int32_t *dense, int sites, int *taken) {
    int most = survey->plan->choose.pair_max > 0 ? survey->plan->choose.pair_max : sites;
    double total = 0;
    for (size_t i = 0; i < survey->candidate_count && sites > 0; i++) {
        const struct sel_candidate *candidate = &survey->candidates[i];
        int *of_pair = &taken[dense[pair_slot(survey, candidate->a, candidate->b)]];
        if (*of_pair == most)
            continue;
        ++*of_pair;
        total += candidate->score;
        sites--;
    }
    return total;
}

// Whether no candidate left aside could have a place in a choice as good as this one.
static sel_status prove(sel_context *context, const struct sel_survey *survey, const int32_t *dense,
    const struct sel_choice *choice, bool *proven) {
    *proven = survey->candidate_count == survey->eligible_count;
    if (*proven || choice->count < survey->plan->choose.sites)
        return SEL_OK;
    int *taken = calloc(survey->pair_count + 1, sizeof *taken);
    if (!taken)
        return sel_fail_memory(context);
    double most = survey->left_most + most_total(survey, dense, choice->count - 1, taken);
    *proven = most < choice->total_score;
    free(taken);
    return SEL_OK;
}

// A least number per pair may call for a pair's best candidate however low it scores.
static size_t first_pool(const struct sel_crew *crew, const struct sel_survey *survey) {
    return survey->plan->choose.pair_min > 0 ? survey->eligible_count : crew->pool_least;
}

// Chooses from a pool that is large enough for the choice to be that from all candidates.
static sel_status choose_proven(sel_context *context, struct sel_crew *crew,
    struct sel_survey *survey, const int32_t *dense, struct sel_choice *choice) {
    size_t least = first_pool(crew, survey);
    for (;; least *= 4) {
        bool proven = false;
        sel_choice_clear(choice);
        sel_status status = sel_pool_fill(context, crew, least, survey);
        if (status == SEL_OK)
            status = choose(context, &crew->job, survey, dense, choice);
        if (status != SEL_OK && status != SEL_NOTHING)
            return status;
        sel_status asked = prove(context, survey, dense, choice, &proven);
        if (asked != SEL_OK || proven)
            return asked != SEL_OK ? asked : status;
    }
}

// Reserves and rivals are looked for around the sites: there the pool is made complete, and the
// choice made again with them.
static sel_status choose_around(sel_context *context, struct sel_crew *crew,
    struct sel_survey *survey, const int32_t *dense, struct sel_choice *choice) {
    if (survey->candidate_count == survey->eligible_count)
        return SEL_OK;
    size_t *centres = malloc(((size_t)choice->count + 1) * sizeof *centres);
    if (!centres)
        return sel_fail_memory(context);
    for (int i = 0; i < choice->count; i++)
        centres[i] = choice->sites[i].item;
    double reach = fmax(SEL_RIVAL_REACH_M, choice_rule(survey).reserve_reach_m);
    sel_status status =
        sel_pool_add_near(context, crew, centres, (size_t)choice->count, reach, survey);
    free(centres);
    sel_choice_clear(choice);
    return status == SEL_OK ? choose(context, &crew->job, survey, dense, choice) : status;
}

static sel_status fail_nothing(sel_context *context, const struct sel_survey *survey) {
    return sel_fail(context, SEL_NOTHING,
        "%s: no place qualifies: the account above tells where places were lost; loosen a limit, a "
        "zone or choose.apart_m",
        survey->plan->path);
}

sel_status sel_settle(sel_context *context, struct sel_crew *crew,
    const struct sel_findings *findings, struct sel_survey *survey) {
    size_t side = (size_t)survey->plan->habitats.count + 1;
    struct sel_choice choice = {0};
    int32_t *dense = malloc(side * side * sizeof *dense);
    if (!dense)
        return sel_fail_memory(context);
    sel_status status = number_pairs(context, findings, survey, dense);
    if (status == SEL_OK)
        status = choose_proven(context, crew, survey, dense, &choice);
    if (status == SEL_OK)
        status = choose_around(context, crew, survey, dense, &choice);
    if (status == SEL_NOTHING)
        fail_nothing(context, survey);
    if (status == SEL_OK || status == SEL_NOTHING) {
        sel_status listed = list_sites(context, &choice, dense, survey);
        status = listed == SEL_OK ? status : listed;
    }
    sel_choice_clear(&choice);
    free(dense);
    return status;
}
