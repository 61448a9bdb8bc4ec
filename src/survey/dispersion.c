// SPDX-License-Identifier: MIT
//
// Brings the eligible candidates into the order of their places, since random sets are drawn by
// number.
#include "survey/dispersion.h"

#include <math.h>
#include <stdlib.h>

static struct sel_choice_item place_of(
    const struct sel_survey *survey, const struct sel_candidate *candidate) {
    const struct sel_grid *grid = &survey->study->grid;
    return (struct sel_choice_item){.x_m = 0.5 * candidate->hx * grid->cell_x_m,
        .y_m = 0.5 * candidate->hy * grid->cell_y_m,
        .hy = candidate->hy,
        .hx = candidate->hx};
}

static int by_place(const void *left, const void *right) {
    const struct sel_choice_item *a = left, *b = right;
    if (a->hy != b->hy)
        return a->hy < b->hy ? -1 : 1;
    return (a->hx > b->hx) - (a->hx < b->hx);
}

static int list_primaries(const struct sel_survey *survey, struct sel_choice_item *sites) {
    int count = 0;
    for (size_t i = 0; i < survey->site_count; i++)
        if (survey->sites[i].reserve == 0)
            sites[count++] = place_of(survey, &survey->candidates[survey->sites[i].candidate]);
    return count;
}

static void tell_nearest(
    struct sel_survey *survey, const struct sel_choice_item *sites, int count) {
    int rank = 0;
    for (size_t i = 0; i < survey->site_count; i++) {
        struct sel_site *site = &survey->sites[i];
        site->nearest_m = (double)NAN;
        if (site->reserve > 0)
            continue;
        const struct sel_choice_item *here = &sites[rank++];
        for (int k = 0; k < count; k++)
            if (&sites[k] != here)
                site->nearest_m = fmin(
                    site->nearest_m, hypot(sites[k].x_m - here->x_m, sites[k].y_m - here->y_m));
    }
}

sel_status sel_dispersion_find(sel_context *context, struct sel_survey *survey) {
    size_t count = survey->eligible_count;
    struct sel_choice_item *places = malloc((count + 1) * sizeof *places);
    struct sel_choice_item *sites = malloc((survey->site_count + 1) * sizeof *sites);
    bool ready = places && sites;
    for (size_t i = 0; ready && i < count; i++)
        places[i] = place_of(survey, &survey->candidates[i]);
    if (ready && survey->site_count > 0) {
        qsort(places, count, sizeof *places, by_place);
        int primaries = list_primaries(survey, sites);
        tell_nearest(survey, sites, primaries);
        ready = sel_dispersion_measure(
            sites, primaries, places, count, survey->plan->seed, &survey->dispersion);
    }
    free(places);
    free(sites);
    return ready ? SEL_OK : sel_fail_memory(context);
}
