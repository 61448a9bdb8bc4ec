// SPDX-License-Identifier: MIT
//
// Hands the pool's values to choose/robust.c and takes the answers over.
#include "survey/robustness.h"

#include <math.h>
#include <stdlib.h>

#include "choose/robust.h"
#include "survey/contest.h"
#include "survey/pool.h"

// Draws are enough for a share to be good to 2 points (two standard errors); the concentration lets
// a weight of 0.25 vary by 0.08 (standard deviation): our own choice.
enum { DRAWS = 2000 };
static const double CONCENTRATION = 30;

_Static_assert((int)SEL_CRITERIA <= (int)SEL_CRITERIA_MOST, "raise SEL_CRITERIA_MOST");

struct robustness {
    struct sel_survey *survey;
    struct sel_contest contest;
    int criterion[SEL_CRITERIA]; // of the plan, by the numbers used here
    double *values[SEL_CRITERIA_MOST];
    size_t *kept, *chosen; // sites and reserves; sites
    size_t chosen_count;
    struct sel_robust_site *sites;
    struct sel_robust_rule rule;
};

static void set_rule(struct robustness *r, int threads) {
    const struct sel_survey *survey = r->survey;
    r->rule = (struct sel_robust_rule){.geometric = survey->plan->aggregate == SEL_MEAN_GEOMETRIC,
        .draws = DRAWS,
        .concentration = CONCENTRATION,
        .seed = survey->plan->seed,
        .threads = threads};
    for (int i = 0; i < SEL_CRITERIA; i++) {
        if (!survey->in_use[i])
            continue;
        r->criterion[r->rule.criteria] = i;
        r->rule.weights[r->rule.criteria++] = survey->weights[i];
    }
}

static bool set_values(struct robustness *r) {
    const struct sel_survey *survey = r->survey;
    for (int k = 0; k < r->rule.criteria; k++) {
        r->values[k] = malloc((survey->candidate_count + 1) * sizeof *r->values[k]);
        if (!r->values[k])
            return false;
    }
    for (size_t i = 0; i < survey->candidate_count; i++) {
        double values[SEL_CRITERIA];
        sel_candidate_values(survey, &survey->candidates[i], values);
        for (int k = 0; k < r->rule.criteria; k++)
            r->values[k][i] = values[r->criterion[k]];
    }
    return true;
}

static bool set_kept(struct robustness *r) {
    size_t count = r->survey->site_count;
    r->kept = malloc((count + 1) * sizeof *r->kept);
    r->sites = malloc((count + 1) * sizeof *r->sites);
    r->chosen = malloc((count + 1) * sizeof *r->chosen);
    if (!r->kept || !r->sites || !r->chosen)
        return false;
    for (size_t i = 0; i < count; i++) {
        const struct sel_site *site = &r->survey->sites[i];
        r->kept[i] = site->candidate;
        if (site->reserve == 0)
            r->chosen[r->chosen_count++] = site->candidate;
    }
    return true;
}

static void keep_standing(const struct robustness *r) {
    for (size_t i = 0; i < r->survey->site_count; i++) {
        const struct sel_robust_site *from = &r->sites[i];
        struct sel_standing *to = &r->survey->sites[i].standing;
        *to = (struct sel_standing){.taken = from->taken,
            .share_chosen = from->share_taken,
            .rank_low = from->rank_low,
            .rank_high = from->rank_high};
        for (int c = 0; c < SEL_CRITERIA; c++)
            to->lower[c] = to->higher[c] = (double)NAN;
        for (int k = 0; k < r->rule.criteria; k++) {
            to->lower[r->criterion[k]] = from->lower[k];
            to->higher[r->criterion[k]] = from->higher[k];
        }
    }
}

static sel_status run(sel_context *context, struct robustness *r) {
    struct sel_robust_input input = {.items = r->contest.items,
        .count = r->contest.count,
        .occupied = r->contest.job->occupied,
        .occupied_count = r->contest.job->occupied_count,
        .rule = &r->contest.rule,
        .kept = r->kept,
        .kept_count = r->survey->site_count,
        .chosen = r->chosen,
        .chosen_count = r->chosen_count};
    for (int k = 0; k < r->rule.criteria; k++)
        input.values[k] = r->values[k];
    size_t local_bests = 0;
    sel_status status = sel_robust_run(context, &input, &r->rule, r->sites, &local_bests);
    if (status == SEL_OK)
        keep_standing(r);
    r->survey->robustness = (struct sel_robustness){DRAWS, CONCENTRATION, (int64_t)local_bests};
    return status;
}

sel_status sel_robustness_find(
    sel_context *context, const struct sel_crew *crew, struct sel_survey *survey) {
    struct robustness r = {.survey = survey};
    if (survey->site_count == 0)
        return SEL_OK;
    set_rule(&r, crew->threads);
    sel_status status = sel_contest_init(context, &crew->job, survey, &r.contest);
    if (status == SEL_OK && (!set_values(&r) || !set_kept(&r)))
        status = sel_fail_memory(context);
    if (status == SEL_OK)
        status = run(context, &r);
    sel_contest_clear(&r.contest);
    for (int k = 0; k < SEL_CRITERIA_MOST; k++)
        free(r.values[k]);
    free(r.kept);
    free(r.chosen);
    free(r.sites);
    return status;
}
