// SPDX-License-Identifier: MIT
//
// One scan of the candidates per site; reasons are asked in the order in which the choice gives
// them.
#include "survey/rivals.h"

#include <math.h>
#include <stdlib.h>

#include "base/array.h"

static const double RIVAL_REACH_M = 1000.0;

struct scan {
    const struct sel_job *job;
    struct sel_survey *survey;
    size_t capacity;
};

static double separation(
    const struct sel_grid *grid, const struct sel_candidate *a, const struct sel_candidate *b) {
    return hypot(0.5 * (double)(a->hx - b->hx) * grid->cell_x_m,
        0.5 * (double)(a->hy - b->hy) * grid->cell_y_m);
}

static bool near_occupied(const struct scan *scan, const struct sel_candidate *candidate) {
    const struct sel_grid *grid = &scan->survey->study->grid;
    double x = 0.5 * candidate->hx * grid->cell_x_m, y = 0.5 * candidate->hy * grid->cell_y_m;
    for (size_t i = 0; i < scan->job->occupied_count; i++)
        if (hypot(scan->job->occupied[i].x_m - x, scan->job->occupied[i].y_m - y) <
            scan->survey->plan->choose.apart_m)
            return true;
    return false;
}

static bool near_site(const struct scan *scan, const struct sel_candidate *candidate) {
    const struct sel_survey *survey = scan->survey;
    for (size_t i = 0; i < survey->site_count; i++)
        if (survey->sites[i].reserve == 0 &&
            separation(&survey->study->grid, candidate,
                &survey->candidates[survey->sites[i].candidate]) < survey->plan->choose.apart_m)
            return true;
    return false;
}

static bool quota_full(const struct scan *scan, const struct sel_candidate *candidate) {
    const struct sel_survey *survey = scan->survey;
    if (survey->plan->choose.pair_max == 0)
        return false;
    for (size_t i = 0; i < survey->pair_count; i++)
        if (survey->pairs[i].a == candidate->a && survey->pairs[i].b == candidate->b)
            return survey->pairs[i].sites >= survey->plan->choose.pair_max;
    return false;
}

// NULL for a primary site.
static const char *reason_of(const struct scan *scan, size_t index) {
    const struct sel_survey *survey = scan->survey;
    for (size_t i = 0; i < survey->site_count; i++)
        if (survey->sites[i].candidate == index)
            return survey->sites[i].reserve > 0 ? "reserve" : NULL;
    const struct sel_candidate *candidate = &survey->candidates[index];
    if (near_occupied(scan, candidate))
        return "too near an occupied place";
    if (near_site(scan, candidate))
        return "too near a chosen site";
    return quota_full(scan, candidate) ? "quota of its pair is full" : "lower score";
}

static sel_status add_rival(sel_context *context, struct scan *scan, struct sel_rival rival) {
    struct sel_survey *survey = scan->survey;
    struct sel_rival *grown =
        sel_grow(survey->rivals, survey->rival_count + 1, &scan->capacity, sizeof *grown);
    if (!grown)
        return sel_fail_memory(context);
    survey->rivals = grown;
    survey->rivals[survey->rival_count++] = rival;
    return SEL_OK;
}

static sel_status scan_around(
    sel_context *context, struct scan *scan, const struct sel_site *site) {
    const struct sel_survey *survey = scan->survey;
    const struct sel_candidate *here = &survey->candidates[site->candidate];
    sel_status status = SEL_OK;
    for (size_t i = 0; i < survey->candidate_count && status == SEL_OK; i++) {
        double distance = separation(&survey->study->grid, here, &survey->candidates[i]);
        if (distance > RIVAL_REACH_M)
            continue;
        const char *reason = reason_of(scan, i);
        if (reason)
            status = add_rival(context, scan,
                (struct sel_rival){.candidate = i,
                    .site_rank = site->rank,
                    .distance_m = distance,
                    .reason = reason});
    }
    return status;
}

static int by_site_then_distance(const void *left, const void *right) {
    const struct sel_rival *a = left, *b = right;
    if (a->site_rank != b->site_rank)
        return a->site_rank < b->site_rank ? -1 : 1;
    if (a->distance_m != b->distance_m)
        return a->distance_m < b->distance_m ? -1 : 1;
    return (a->candidate > b->candidate) - (a->candidate < b->candidate);
}

sel_status sel_rivals_find(
    sel_context *context, const struct sel_job *job, struct sel_survey *survey) {
    struct scan scan = {.job = job, .survey = survey};
    sel_status status = SEL_OK;
    for (size_t i = 0; i < survey->site_count && status == SEL_OK; i++)
        if (survey->sites[i].reserve == 0)
            status = scan_around(context, &scan, &survey->sites[i]);
    if (status == SEL_OK && survey->rival_count > 0)
        qsort(survey->rivals, survey->rival_count, sizeof *survey->rivals, by_site_then_distance);
    return status;
}
