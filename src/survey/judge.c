// SPDX-License-Identifier: MIT
//
// The pool is enlarged until the choice made from it is provably the choice from all candidates:
// a set of N sites with one that was left aside totals at most the best N - 1 of the pool plus the
// most that one could score, and when that is less than what the greedy choice totals, no such set
// is the best. The search for the best goes over the candidates that could be in it by the same
// reckoning, so that it does not depend on the pool's size either.
#include "survey/judge.h"

#include <math.h>
#include <stdlib.h>

#include "survey/blocks.h"
#include "survey/contest.h"
#include "survey/rivals.h"

// ---- pairs ----

static size_t pair_slot(const struct sel_survey *survey, sel_habitat_id a, sel_habitat_id b) {
    return (size_t)a * ((size_t)survey->plan->habitats.count + 1) + b;
}

// Lists the pairs that have edges or candidates, by a, then b. `dense` has a slot per possible
// pair.
static sel_status list_pairs(sel_context *context, const struct sel_findings *findings,
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

static sel_status number_groups(sel_context *context, const struct sel_job *job,
    const struct sel_findings *findings, struct sel_survey *survey) {
    size_t side = (size_t)survey->plan->habitats.count + 1;
    int32_t *dense = malloc(side * side * sizeof *dense);
    sel_status status =
        dense ? list_pairs(context, findings, survey, dense) : sel_fail_memory(context);
    free(dense);
    return status == SEL_OK ? sel_blocks_assign(context, job, survey) : status;
}

// ---- the pool ----

// The most that `sites` candidates of the pool can total under the quota per pair; spacing and
// occupied places are not asked for. `taken` has a zeroed slot per pair.
static double most_total(const struct sel_contest *contest, int sites, int *taken) {
    int most = contest->rule.quota[SEL_BY_PAIR].most;
    double total = 0;
    for (size_t i = 0; i < contest->count && sites > 0; i++) {
        int *of_pair = &taken[contest->items[i].group[SEL_BY_PAIR]];
        if (most > 0 && *of_pair == most)
            continue;
        ++*of_pair;
        total += contest->items[i].score;
        sites--;
    }
    return total;
}

// Scores are whole steps of 1e-9, their sums in floating point are not: half a step keeps what is
// equal on the side of the kept.
static const double HALF_A_STEP = 0.5e-9;

// The least score that a member of a choice as good as the greedy one can have, less half a step;
// with fewer sites than asked for any score will do.
static sel_status find_least(
    sel_context *context, const struct sel_contest *contest, double *least) {
    struct sel_choice greedy;
    struct sel_choice_rule rule = contest->rule;
    rule.reserves = 0;
    *least = -HUGE_VAL;
    int *taken = calloc(contest->pair_count + 1, sizeof *taken);
    if (!taken)
        return sel_fail_memory(context);
    sel_status status = sel_choose(context, contest->items, contest->count, contest->job->occupied,
        contest->job->occupied_count, &rule, &greedy);
    if (status == SEL_OK && greedy.count == rule.sites)
        *least = greedy.total_score - most_total(contest, greedy.count - 1, taken) - HALF_A_STEP;
    sel_choice_clear(&greedy);
    free(taken);
    return status == SEL_NOTHING ? SEL_OK : status;
}

// Minimums may call for a group's best candidate however low it scores, and even spread for any.
static bool needs_all(const struct sel_survey *survey) {
    const struct sel_plan_choose *choose = &survey->plan->choose;
    return choose->pair_min > 0 || choose->block_min > 0 || choose->spread > 0;
}

// Fills the pool until it holds every candidate that can be in the choice; *least is the lowest
// score of those.
static sel_status fill_pool(sel_context *context, struct sel_crew *crew, struct sel_survey *survey,
    struct sel_contest *contest, double *least) {
    bool all = needs_all(survey);
    bool few = survey->eligible_count <= crew->all_up_to;
    size_t wanted = all || few ? survey->eligible_count : crew->pool_least;
    *least = -HUGE_VAL;
    for (;; wanted *= 4) {
        sel_contest_clear(contest);
        sel_status status = sel_pool_fill(context, crew, wanted, survey);
        if (status == SEL_OK)
            status = sel_contest_init(context, &crew->job, survey, contest);
        if (status == SEL_OK && !all)
            status = find_least(context, contest, least);
        if (status != SEL_OK || wanted >= survey->eligible_count ||
            survey->candidate_count == survey->eligible_count || survey->left_most < *least)
            return status;
    }
}

// ---- the choice ----

// The best choice among the candidates of at least such a score. They come first in the pool, so
// indices are those of the survey.
static sel_status choose_best(sel_context *context, const struct sel_contest *contest, double least,
    struct sel_choice *choice) {
    struct sel_choice_rule rule = contest->rule;
    rule.reserves = 0; // looked for later, in the completed pool
    size_t count = contest->count;
    while (count > 0 && contest->items[count - 1].score < least)
        count--;
    return sel_choose_best(context, contest->items, count, contest->job->occupied,
        contest->job->occupied_count, &rule, choice);
}

static bool same_candidate(const struct sel_candidate *a, const struct sel_candidate *b) {
    return a->hx == b->hx && a->hy == b->hy && a->a == b->a && a->b == b->b &&
           a->crack_hx == b->crack_hx && a->crack_hy == b->crack_hy;
}

// Where the candidates stand in the pool now.
static void find_again(const struct sel_survey *survey, const struct sel_candidate *sought,
    int count, size_t *indices) {
    for (size_t i = 0; i < survey->candidate_count; i++)
        for (int k = 0; k < count; k++)
            if (same_candidate(&survey->candidates[i], &sought[k]))
                indices[k] = i;
}

// Reserves and rivals are looked for around the sites: there the pool is made complete. `sites`
// become their new indices.
static sel_status complete_pool(sel_context *context, struct sel_crew *crew,
    struct sel_survey *survey, struct sel_contest *contest, size_t *sites, int count) {
    if (survey->candidate_count == survey->eligible_count)
        return SEL_OK;
    struct sel_candidate *sought = malloc(((size_t)count + 1) * sizeof *sought);
    if (!sought)
        return sel_fail_memory(context);
    for (int i = 0; i < count; i++)
        sought[i] = survey->candidates[sites[i]];
    double reach = fmax(SEL_RIVAL_REACH_M, sel_reserve_reach(survey));
    sel_status status = sel_pool_add_near(context, crew, sites, (size_t)count, reach, survey);
    find_again(survey, sought, count, sites);
    free(sought);
    sel_contest_clear(contest);
    return status == SEL_OK ? sel_contest_init(context, &crew->job, survey, contest) : status;
}

// Adds reserves and fates in the completed pool; the bound stays that of the search.
static sel_status complete_choice(sel_context *context, struct sel_crew *crew,
    struct sel_survey *survey, struct sel_contest *contest, struct sel_choice *choice) {
    int count = choice->count;
    double bound = choice->bound;
    size_t *sites = malloc(((size_t)count + 1) * sizeof *sites);
    if (!sites)
        return sel_fail_memory(context);
    for (int i = 0; i < count; i++)
        sites[i] = choice->sites[i].item;
    sel_choice_clear(choice);
    sel_status status = complete_pool(context, crew, survey, contest, sites, count);
    if (status == SEL_OK)
        status = sel_choose_given(context, contest->items, contest->count, contest->job->occupied,
            contest->job->occupied_count, &contest->rule, sites, count, choice);
    choice->bound = bound;
    free(sites);
    return status;
}

static sel_status choose(sel_context *context, struct sel_crew *crew, struct sel_survey *survey,
    struct sel_contest *contest, struct sel_choice *choice) {
    double least;
    sel_status status = fill_pool(context, crew, survey, contest, &least);
    if (status == SEL_OK)
        status = choose_best(context, contest, least, choice);
    if (status == SEL_OK || status == SEL_NOTHING)
        status = complete_choice(context, crew, survey, contest, choice);
    return status;
}

// ---- what is told of it ----

static struct sel_site *add_site(
    struct sel_survey *survey, size_t candidate, int rank, int reserve) {
    const struct sel_candidate *at = &survey->candidates[candidate];
    struct sel_site *site = &survey->sites[survey->site_count++];
    *site = (struct sel_site){
        .candidate = candidate, .rank = rank, .reserve = reserve, .next_score = (double)NAN};
    if (reserve == 0) {
        survey->pairs[sel_pair_number(survey, at->a, at->b)].sites++;
        if (at->block >= 0)
            survey->blocks[at->block].sites++;
    }
    return site;
}

static void keep_counts(const struct sel_choice *choice, struct sel_tally *tally) {
    tally->sites = choice->count;
    tally->reserves = choice->met[SEL_CHOICE_RESERVE];
    tally->near_occupied = choice->met[SEL_CHOICE_NEAR_OCCUPIED];
    tally->near_chosen = choice->met[SEL_CHOICE_NEAR_CHOSEN];
    tally->over_quota = choice->met[SEL_CHOICE_PAIR_FULL];
    tally->over_block = choice->met[SEL_CHOICE_BLOCK_FULL];
    tally->outweighed = choice->met[SEL_CHOICE_FOR_MINIMUM] + choice->met[SEL_CHOICE_FOR_SPREAD];
    tally->lower_score = choice->met[SEL_CHOICE_LOWER_SCORE];
}

// Lists the sites; the survey takes the fates and the shortfalls over.
static sel_status list_sites(
    sel_context *context, struct sel_choice *choice, struct sel_survey *survey) {
    size_t room = (size_t)choice->count * (1 + SEL_RESERVES_MOST);
    survey->sites = calloc(room > 0 ? room : 1, sizeof *survey->sites);
    if (!survey->sites)
        return sel_fail_memory(context);
    for (int i = 0; i < choice->count; i++) {
        const struct sel_chosen *chosen = &choice->sites[i];
        struct sel_site *site = add_site(survey, chosen->item, i + 1, 0);
        site->reserve_search = chosen->search;
        site->next_score = chosen->drop_score;
        for (int k = 0; k < chosen->reserve_count; k++)
            add_site(survey, chosen->reserves[k], i + 1, k + 1);
    }
    keep_counts(choice, &survey->tally);
    survey->merit =
        (struct sel_merit){choice->total_score, choice->objective, choice->bound, choice->even_m};
    survey->fates = choice->fates;
    survey->shortfalls = choice->shortfalls;
    survey->shortfall_count = choice->shortfall_count;
    choice->fates = NULL;
    choice->shortfalls = NULL;
    return SEL_OK;
}

static sel_status fail_nothing(sel_context *context, const struct sel_survey *survey) {
    return sel_fail(context, SEL_NOTHING,
        "%s: no place qualifies: the account above tells where places were lost; loosen a limit, a "
        "zone or choose.apart_m",
        survey->plan->path);
}

sel_status sel_settle(sel_context *context, struct sel_crew *crew,
    const struct sel_findings *findings, struct sel_survey *survey) {
    struct sel_choice choice = {0};
    struct sel_contest contest = {0};
    sel_status status = SEL_OK;
    // Whom a limit of the sun strikes is no candidate of its pair or block.
    if (survey->plan->criteria[SEL_CRITERION_SUN].has_limit)
        status = sel_pool_fill(context, crew, survey->eligible_count, survey);
    if (status == SEL_OK)
        status = number_groups(context, &crew->job, findings, survey);
    if (status == SEL_OK)
        status = choose(context, crew, survey, &contest, &choice);
    if (status == SEL_NOTHING)
        fail_nothing(context, survey);
    if (status == SEL_OK || status == SEL_NOTHING) {
        sel_status listed = list_sites(context, &choice, survey);
        status = listed == SEL_OK ? status : listed;
    }
    sel_choice_clear(&choice);
    sel_contest_clear(&contest);
    return status;
}
