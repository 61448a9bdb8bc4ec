// SPDX-License-Identifier: MIT
//
// The point layer `candidates`: those of the pool, best first, up to the plan's limit, and beyond
// it those that became sites, so that whoever chooses anew among them finds the run's own choice. A
// feature's number is its place in the survey's order, from 1.
#include <math.h>
#include <stdlib.h>

#include "output/writer.h"
#include "survey/rivals.h"

static size_t rows_wanted(const struct sel_survey *survey) {
    int64_t limit = survey->plan->candidates_limit;
    if (limit <= 0)
        return 0;
    return (uint64_t)limit < survey->candidate_count ? (size_t)limit : survey->candidate_count;
}

int64_t sel_candidates_written(const struct sel_survey *survey) {
    size_t rows = rows_wanted(survey);
    int64_t beyond = 0;
    for (size_t i = 0; rows > 0 && i < survey->site_count; i++)
        beyond += survey->sites[i].candidate >= rows;
    return (int64_t)rows + beyond;
}

// For each candidate of the pool, which site was made of it; -1: none. NULL: out of memory.
static int32_t *sites_by_candidate(const struct sel_survey *survey) {
    int32_t *sites = malloc((survey->candidate_count + 1) * sizeof *sites);
    for (size_t i = 0; sites && i < survey->candidate_count; i++)
        sites[i] = -1;
    for (size_t i = 0; sites && i < survey->site_count; i++)
        sites[survey->sites[i].candidate] = (int32_t)i;
    return sites;
}

static sel_status add_candidate(struct sel_geopackage *file, const struct sel_survey *survey,
    struct sel_table *table, size_t index, const struct sel_site *site) {
    const struct sel_candidate *candidate = &survey->candidates[index];
    const struct sel_grid *grid = &file->study->grid;
    const struct sel_habitats *habitats = &file->plan->habitats;
    char id[SEL_SITE_ID_SIZE];
    if (site)
        sel_site_id(survey, site, id);
    char *pair = sel_pair_label(habitats, candidate->a, candidate->b);
    if (!pair)
        return sel_fail_memory(file->context);
    struct sel_candidate_row row = {.score = candidate->score,
        .habitat_a = sel_habitat_label(habitats, candidate->a),
        .habitat_b = sel_habitat_label(habitats, candidate->b),
        .pair = pair,
        .block = sel_block_name(survey, candidate),
        .edge_contrast = sel_measure_told(survey, candidate, SEL_CRITERION_EDGE_CONTRAST),
        .slope_deg = sel_measure_told(survey, candidate, SEL_CRITERION_SLOPE),
        .sun_share = sel_measure_told(survey, candidate, SEL_CRITERION_SUN),
        .sun_hours = survey->in_use[SEL_CRITERION_SUN] ? (double)candidate->sun_hours : (double)NAN,
        .access_m = candidate->access_m,
        .walk_min = sel_walk_told(survey, candidate),
        .elevation_m = (double)candidate->elevation_m,
        .edge_straightness = (double)candidate->straightness,
        .depth_a_m = (double)candidate->depth_a_m,
        .depth_b_m = (double)candidate->depth_b_m,
        .horizon_complete = candidate->horizon_complete,
        .site = site ? id : NULL,
        .fate = survey->fates ? sel_choice_fate_name(survey->fates[index]) : NULL,
        .x = sel_grid_x(grid, candidate->hx),
        .y = sel_grid_y(grid, candidate->hy)};
    sel_status status =
        sel_table_add(file->context, file->path, table, (int64_t)index + 1, &row, NULL);
    free(pair);
    return status;
}

sel_status sel_write_candidates(struct sel_geopackage *file, const struct sel_survey *survey) {
    size_t rows = rows_wanted(survey);
    if (survey->plan->candidates_limit <= 0)
        return SEL_OK;
    struct sel_table table = {0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_CANDIDATES, &table);
    int32_t *sites = sites_by_candidate(survey);
    if (status == SEL_OK && !sites)
        status = sel_fail_memory(file->context);
    for (size_t i = 0; sites && i < survey->candidate_count && status == SEL_OK; i++) {
        if (i >= rows && sites[i] < 0)
            continue;
        const struct sel_site *site = sites[i] < 0 ? NULL : &survey->sites[sites[i]];
        status = add_candidate(file, survey, &table, i, site);
    }
    if (status == SEL_OK)
        status = sel_table_settle(file->context, file->path, &table);
    free(sites);
    sel_table_close(&table);
    return status;
}
