// SPDX-License-Identifier: MIT
//
// One scan of the candidates per site; the reasons are the choice's own.
#include "survey/rivals.h"

#include <math.h>
#include <stdlib.h>

#include "base/array.h"

struct scan {
    struct sel_survey *survey;
    size_t capacity;
};

static double separation(
    const struct sel_grid *grid, const struct sel_candidate *a, const struct sel_candidate *b) {
    return hypot(0.5 * (double)(a->hx - b->hx) * grid->cell_x_m,
        0.5 * (double)(a->hy - b->hy) * grid->cell_y_m);
}

const char *sel_choice_fate_name(uint8_t fate) {
    static const char *const NAMES[SEL_CHOICE_FATES] = {
        [SEL_CHOICE_SITE] = "site",
        [SEL_CHOICE_RESERVE] = "reserve",
        [SEL_CHOICE_NEAR_OCCUPIED] = "too near an occupied place",
        [SEL_CHOICE_NEAR_CHOSEN] = "too near a chosen site",
        [SEL_CHOICE_PAIR_FULL] = "quota of its pair is full",
        [SEL_CHOICE_BLOCK_FULL] = "quota of its block is full",
        [SEL_CHOICE_FOR_MINIMUM] = "gave way to a minimum",
        [SEL_CHOICE_FOR_SPREAD] = "gave way to even spread",
        [SEL_CHOICE_LOWER_SCORE] = "lower score",
    };
    return NAMES[fate];
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
        if (distance > SEL_RIVAL_REACH_M)
            continue;
        if (survey->fates[i] != SEL_CHOICE_SITE)
            status = add_rival(context, scan,
                (struct sel_rival){.candidate = i,
                    .site_rank = site->rank,
                    .distance_m = distance,
                    .reason = sel_choice_fate_name(survey->fates[i])});
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

sel_status sel_rivals_find(sel_context *context, struct sel_survey *survey) {
    struct scan scan = {.survey = survey};
    sel_status status = SEL_OK;
    for (size_t i = 0; i < survey->site_count && status == SEL_OK; i++)
        if (survey->sites[i].reserve == 0)
            status = scan_around(context, &scan, &survey->sites[i]);
    if (status == SEL_OK && survey->rival_count > 0)
        qsort(survey->rivals, survey->rival_count, sizeof *survey->rivals, by_site_then_distance);
    return status;
}
