// SPDX-License-Identifier: MIT
//
// Tables that belong to single sites: horizon, profile and rivals.
#include <math.h>

#include "output/writer.h"

#include <stdlib.h>

static const double DEGREES_PER_RADIAN = 57.29577951308232;

static double elevation_deg(float tangent) {
    return atan((double)tangent) * DEGREES_PER_RADIAN;
}

// --- horizon ---

static sel_status add_horizon(struct sel_geopackage *file, const struct sel_survey *survey,
    struct sel_table *table, const struct sel_site *site) {
    const struct sel_horizon *horizon = &site->horizon;
    char id[SEL_SITE_ID_SIZE];
    sel_site_id(survey, site, id);
    sel_status status = SEL_OK;
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS && status == SEL_OK; i++) {
        double azimuth = i * (360.0 / SEL_HORIZON_DIRECTIONS);
        double true_azimuth = fmod(azimuth + site->convergence + 720.0, 360.0);
        struct sel_horizon_row row = {.rank = site->rank,
            .site = id,
            .role = sel_role_name(site),
            .azimuth_deg = azimuth,
            .azimuth_true_deg = true_azimuth,
            .ground_deg = elevation_deg(horizon->ground_tan[i]),
            .canopy_deg = elevation_deg(horizon->canopy_tan[i]),
            .cover = (double)horizon->cover[i]};
        status = sel_add_row(file, table, &row);
    }
    return status;
}

sel_status sel_write_horizon(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct sel_table table = {0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_HORIZON, &table);
    for (size_t i = 0; i < survey->site_count && status == SEL_OK; i++)
        status = add_horizon(file, survey, &table, &survey->sites[i]);
    sel_table_close(&table);
    return status;
}

// --- profile ---

static sel_status add_profile(struct sel_geopackage *file, const struct sel_survey *survey,
    struct sel_table *table, const struct sel_site *site) {
    char id[SEL_SITE_ID_SIZE];
    sel_site_id(survey, site, id);
    sel_status status = SEL_OK;
    for (size_t i = 0; i < site->profile_count && status == SEL_OK; i++) {
        const struct sel_profile_point *point = &site->profile[i];
        struct sel_profile_row row = {.rank = site->rank,
            .site = id,
            .role = sel_role_name(site),
            .along_m = (double)point->along_m,
            .ground_m = (double)point->ground_m,
            .canopy_m = (double)point->canopy_m,
            .habitat = sel_habitat_label(&file->plan->habitats, point->habitat)};
        status = sel_add_row(file, table, &row);
    }
    return status;
}

sel_status sel_write_profile(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct sel_table table = {0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_PROFILE, &table);
    for (size_t i = 0; i < survey->site_count && status == SEL_OK; i++)
        status = add_profile(file, survey, &table, &survey->sites[i]);
    sel_table_close(&table);
    return status;
}

// --- rivals ---

static sel_status add_rival(struct sel_geopackage *file, const struct sel_survey *survey,
    struct sel_table *table, const struct sel_rival *rival) {
    const struct sel_candidate *candidate = &survey->candidates[rival->candidate];
    const struct sel_grid *grid = &file->study->grid;
    char id[SEL_SITE_ID_SIZE];
    sel_primary_id(survey, rival->site_rank, id);
    char *pair = sel_pair_label(&file->plan->habitats, candidate->a, candidate->b);
    if (!pair)
        return sel_fail_memory(file->context);
    int64_t number = (int64_t)rival->candidate + 1;
    struct sel_rival_row row = {.rank = rival->site_rank,
        .site = id,
        .distance_m = rival->distance_m,
        .reason = rival->reason,
        .score = candidate->score,
        .pair = pair,
        .edge_contrast = sel_measure_told(survey, candidate, SEL_CRITERION_EDGE_CONTRAST),
        .slope_deg = sel_measure_told(survey, candidate, SEL_CRITERION_SLOPE),
        .sun_share = sel_measure_told(survey, candidate, SEL_CRITERION_SUN),
        .access_m = candidate->access_m,
        .walk_min = sel_walk_told(survey, candidate),
        .candidate = number <= survey->plan->candidates_limit ? number : SEL_NO_INTEGER,
        .map_x = sel_grid_x(grid, candidate->hx),
        .map_y = sel_grid_y(grid, candidate->hy)};
    sel_status status = sel_add_row(file, table, &row);
    free(pair);
    return status;
}

sel_status sel_write_rivals(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct sel_table table = {0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_RIVALS, &table);
    for (size_t i = 0; i < survey->rival_count && status == SEL_OK; i++)
        status = add_rival(file, survey, &table, &survey->rivals[i]);
    sel_table_close(&table);
    return status;
}
