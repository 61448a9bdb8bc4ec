// SPDX-License-Identifier: MIT
//
// The array holds the pool, then the candidates left aside. What is measured next is decided by
// thresholds on scores alone, never by the order of the array.
#include "survey/pool.h"

#include <math.h>
#include <stdlib.h>

#include "score/score.h"
#include "survey/lit.h"

void sel_candidate_values(const struct sel_survey *survey, const struct sel_candidate *candidate,
    double values[SEL_CRITERIA]) {
    for (int i = 0; i < SEL_CRITERIA; i++)
        values[i] = survey->in_use[i] ? sel_value(&survey->plan->criteria[i], candidate->measure[i])
                                      : (double)NAN;
}

static double best_worth(const struct sel_plan_criterion *criterion) {
    double best = 0;
    for (int i = 0; i < criterion->value_count; i++)
        best = fmax(best, criterion->value[i].worth);
    return best;
}

// The score; before light is measured, the most it could be.
static double score_of(const struct sel_survey *survey, const struct sel_candidate *candidate) {
    double values[SEL_CRITERIA];
    sel_candidate_values(survey, candidate, values);
    if (!candidate->lit)
        values[SEL_CRITERION_SUN] = best_worth(&survey->plan->criteria[SEL_CRITERION_SUN]);
    return sel_aggregate_values(survey->plan->aggregate, survey->weights, values);
}

// The first criterion whose limit strikes; SEL_CRITERIA when none does. A measure that is not known
// yet never strikes.
static int struck_limit(const struct sel_survey *survey, const struct sel_candidate *candidate) {
    for (int i = 0; i < SEL_CRITERIA; i++)
        if (survey->in_use[i] &&
            sel_beyond_limit(&survey->plan->criteria[i], candidate->measure[i]))
            return i;
    return SEL_CRITERIA;
}

// Scores the candidates from `first` on and drops those beyond a limit.
static void sift(struct sel_survey *survey, size_t first) {
    struct sel_tally *tally = &survey->tally;
    size_t kept = first;
    for (size_t i = first; i < survey->eligible_count; i++) {
        int struck = struck_limit(survey, &survey->candidates[i]);
        if (struck < SEL_CRITERIA) {
            tally->beyond_limit[struck]++;
            continue;
        }
        survey->candidates[kept] = survey->candidates[i];
        survey->candidates[kept].score = score_of(survey, &survey->candidates[kept]);
        kept++;
    }
    survey->eligible_count = kept;
    tally->eligible = (int64_t)kept;
}

void sel_pool_begin(struct sel_findings *findings, struct sel_survey *survey) {
    survey->tally.cracks = findings->counts.cracks;
    for (int i = 0; i < SEL_FATES; i++)
        survey->tally.fates[i] = findings->counts.fates[i];
    survey->candidates = findings->candidates.items;
    survey->eligible_count = findings->candidates.count;
    survey->candidate_count = 0;
    findings->candidates = (struct sel_candidates){0};
    sift(survey, 0);
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

static int falling(const void *left, const void *right) {
    double a = *(const double *)left, b = *(const double *)right;
    return (a < b) - (a > b);
}

// The `rank`-th greatest score (1: the greatest) of the candidates that are lit, or of those that
// are not; -HUGE_VAL when there are fewer.
static sel_status ranked_score(
    sel_context *context, const struct sel_survey *survey, bool lit, size_t rank, double *score) {
    double *scores = malloc((survey->eligible_count + 1) * sizeof *scores);
    size_t count = 0;
    if (!scores)
        return sel_fail_memory(context);
    for (size_t i = 0; i < survey->eligible_count; i++)
        if (survey->candidates[i].lit == lit)
            scores[count++] = survey->candidates[i].score;
    qsort(scores, count, sizeof *scores, falling);
    *score = rank <= count ? scores[rank - 1] : -HUGE_VAL;
    free(scores);
    return SEL_OK;
}

typedef bool wanted_fn(const struct sel_candidate *candidate, const void *user);

// Moves the wanted ones of [first, eligible_count) to the front of that stretch; returns where they
// end.
static size_t bring_forward(
    struct sel_survey *survey, size_t first, wanted_fn *wanted, const void *user) {
    size_t end = first;
    for (size_t i = first; i < survey->eligible_count; i++)
        if (wanted(&survey->candidates[i], user)) {
            struct sel_candidate moved = survey->candidates[i];
            survey->candidates[i] = survey->candidates[end];
            survey->candidates[end++] = moved;
        }
    return end;
}

static bool dark_and_at_least(const struct sel_candidate *candidate, const void *user) {
    return !candidate->lit && candidate->score >= *(const double *)user;
}

static bool lit_and_at_least(const struct sel_candidate *candidate, const void *user) {
    return candidate->lit && candidate->score >= *(const double *)user;
}

// Measures the light of every candidate that could score at least so much, and scores them anew.
static sel_status light_up(
    sel_context *context, struct sel_crew *crew, struct sel_survey *survey, double at_least) {
    size_t end = bring_forward(survey, 0, dark_and_at_least, &at_least);
    sel_status status = sel_lit_measure(context, crew, survey->candidates, end);
    for (size_t i = 0; i < end; i++)
        survey->candidates[i].score = score_of(survey, &survey->candidates[i]);
    return status;
}

// Makes the pool of the lit candidates of at least such a score.
static void close_pool(struct sel_survey *survey, double at_least) {
    survey->candidate_count = bring_forward(survey, 0, lit_and_at_least, &at_least);
    if (survey->candidate_count > 0)
        qsort(survey->candidates, survey->candidate_count, sizeof *survey->candidates, by_score);
    survey->left_most = (double)NAN;
    for (size_t i = survey->candidate_count; i < survey->eligible_count; i++)
        if (!(survey->left_most >= survey->candidates[i].score))
            survey->left_most = survey->candidates[i].score;
    survey->tally.left_aside = (int64_t)(survey->eligible_count - survey->candidate_count);
}

// Lights the brightest ceilings in growing steps until no dark candidate could reach the pool; then
// *threshold is the least score of the pool. Small steps first: the more are lit, the higher the
// threshold, and the fewer are left to light.
static sel_status light_steps(sel_context *context, struct sel_crew *crew, size_t least,
    struct sel_survey *survey, double *threshold) {
    sel_status status = ranked_score(context, survey, true, least, threshold);
    for (size_t step = 2 * least; status == SEL_OK; step *= 2) {
        double brightest = -HUGE_VAL, reach = -HUGE_VAL;
        status = ranked_score(context, survey, false, 1, &brightest);
        if (status != SEL_OK || brightest < *threshold || brightest == -HUGE_VAL)
            break;
        status = ranked_score(context, survey, false, step, &reach);
        if (status == SEL_OK)
            status = light_up(context, crew, survey, fmax(reach, *threshold));
        if (status == SEL_OK)
            status = ranked_score(context, survey, true, least, threshold);
    }
    return status;
}

sel_status sel_pool_fill(
    sel_context *context, struct sel_crew *crew, size_t least, struct sel_survey *survey) {
    double threshold = -HUGE_VAL;
    bool all =
        least >= survey->eligible_count || survey->plan->criteria[SEL_CRITERION_SUN].has_limit;
    sel_status status = all ? light_up(context, crew, survey, threshold)
                            : light_steps(context, crew, least, survey, &threshold);
    if (status != SEL_OK)
        return status;
    if (all)
        sift(survey, 0); // a limit of the sun can strike only now
    close_pool(survey, threshold);
    return SEL_OK;
}

// Places around which the pool is to be complete.
struct surroundings {
    const struct sel_survey *survey;
    const struct sel_candidate *centres;
    size_t centre_count;
    double reach_m;
};

static bool near_a_centre(const struct sel_candidate *candidate, const void *user) {
    const struct surroundings *around = user;
    const struct sel_grid *grid = &around->survey->study->grid;
    for (size_t i = 0; i < around->centre_count; i++) {
        const struct sel_candidate *centre = &around->centres[i];
        double x = 0.5 * (double)(candidate->hx - centre->hx) * grid->cell_x_m;
        double y = 0.5 * (double)(candidate->hy - centre->hy) * grid->cell_y_m;
        if (x * x + y * y <= around->reach_m * around->reach_m)
            return true;
    }
    return false;
}

static bool is_dark(const struct sel_candidate *candidate, const void *user) {
    (void)user;
    return !candidate->lit;
}

// Lights the dark ones of [first, end) and takes the whole stretch into the pool.
static sel_status take_in(sel_context *context, struct sel_crew *crew, struct sel_survey *survey,
    size_t first, size_t end) {
    size_t eligible = survey->eligible_count;
    survey->eligible_count = end;
    size_t dark_end = bring_forward(survey, first, is_dark, NULL);
    survey->eligible_count = eligible;
    sel_status status =
        sel_lit_measure(context, crew, survey->candidates + first, dark_end - first);
    for (size_t i = first; i < dark_end; i++)
        survey->candidates[i].score = score_of(survey, &survey->candidates[i]);
    survey->candidate_count = end;
    return status;
}

sel_status sel_pool_add_near(sel_context *context, struct sel_crew *crew, const size_t *centres,
    size_t centre_count, double reach_m, struct sel_survey *survey) {
    struct sel_candidate *copies = malloc((centre_count + 1) * sizeof *copies);
    if (!copies)
        return sel_fail_memory(context);
    for (size_t i = 0; i < centre_count; i++)
        copies[i] = survey->candidates[centres[i]];
    struct surroundings around = {survey, copies, centre_count, reach_m};
    size_t first = survey->candidate_count;
    size_t end = bring_forward(survey, first, near_a_centre, &around);
    sel_status status = take_in(context, crew, survey, first, end);
    if (survey->candidate_count > 0)
        qsort(survey->candidates, survey->candidate_count, sizeof *survey->candidates, by_score);
    survey->tally.left_aside = (int64_t)(survey->eligible_count - survey->candidate_count);
    free(copies);
    return status;
}
