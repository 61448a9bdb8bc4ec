// SPDX-License-Identifier: MIT
//
// The point layer `sites`: a row for each primary and reserve, in the order of the survey.
#include <math.h>
#include <stdlib.h>

#include "output/writer.h"

// A bottle where more than this share of an open sky's light arrives is to be shaded (common
// practice says that bottles in hot, open places are; the number is our own). A share, since hours
// of sun tell the season's length of day more than the place.
static const double SUNNY_SHARE = 0.75;

double sel_measure_told(const struct sel_survey *survey, const struct sel_candidate *candidate,
    enum sel_criterion criterion) {
    return survey->in_use[criterion] ? candidate->measure[criterion] : (double)NAN;
}

double sel_walk_told(const struct sel_survey *survey, const struct sel_candidate *candidate) {
    if (survey->plan->criteria[SEL_CRITERION_ACCESS].by != SEL_ACCESS_BY_TIME)
        return (double)NAN;
    return sel_measure_told(survey, candidate, SEL_CRITERION_ACCESS);
}

static void fill_measures(const struct sel_survey *survey, const struct sel_site *site,
    const struct sel_candidate *candidate, struct sel_site_row *row) {
    row->score = candidate->score;
    row->edge_contrast = sel_measure_told(survey, candidate, SEL_CRITERION_EDGE_CONTRAST);
    row->slope_deg = sel_measure_told(survey, candidate, SEL_CRITERION_SLOPE);
    row->sun_share = sel_measure_told(survey, candidate, SEL_CRITERION_SUN);
    row->sun_hours = survey->in_use[SEL_CRITERION_SUN] ? (double)candidate->sun_hours : (double)NAN;
    for (int i = 0; i < SEL_CRITERIA; i++) {
        row->value[i] = survey->in_use[i] ? site->values[i] : (double)NAN;
        row->weight[i] = survey->in_use[i] ? survey->weights[i] : (double)NAN;
    }
}

static void fill_standing(
    const struct sel_survey *survey, const struct sel_site *site, struct sel_site_row *row) {
    bool drawn = survey->robustness.draws > 0;
    row->share_chosen = drawn ? site->standing.share_chosen : (double)NAN;
    row->rank_low = drawn ? site->standing.rank_low : SEL_NO_INTEGER;
    row->rank_high = drawn ? site->standing.rank_high : SEL_NO_INTEGER;
    row->by_greedy = drawn && site->reserve == 0 ? site->standing.taken : SEL_UNSAID;
    row->next_score = site->next_score;
    row->score_low = site->score_low;
    row->score_high = site->score_high;
    row->nearest_site_m = site->nearest_m;
    row->reserve_note = site->reserve_note;
    row->block = sel_block_name(survey, &survey->candidates[site->candidate]);
}

static void fill_access(const struct sel_survey *survey, const struct sel_site *site,
    const struct sel_candidate *candidate, struct sel_site_row *row) {
    bool walked = site->walk.place_count > 0;
    row->access_m = candidate->access_m;
    row->walk_min = sel_walk_told(survey, candidate);
    row->walk_m = walked ? site->walk.length_m : (double)NAN;
    row->climb_m = walked ? site->walk.climb_m : (double)NAN;
    row->access_x = site->access_x;
    row->access_y = site->access_y;
    row->access_latitude = site->access_latitude;
    row->access_longitude = site->access_longitude;
}

// Light beyond the criterion's own measure; NULL where the criterion is not in use.
static void fill_light(
    const struct sel_survey *survey, const struct sel_site *site, struct sel_site_row *row) {
    const struct sel_exposure *light = &site->exposure;
    bool in_use = survey->in_use[SEL_CRITERION_SUN];
    row->sky_view = in_use ? light->sky_view : (double)NAN;
    row->light_kwh_m2_day = in_use ? light->kwh_m2_day : (double)NAN;
    row->light_azimuth_true_deg = in_use ? light->light_azimuth_deg : (double)NAN;
    row->first_sun_h = in_use ? light->first_sun_h : (double)NAN;
    row->last_sun_h = in_use ? light->last_sun_h : (double)NAN;
    row->first_bright_h = in_use ? light->first_bright_h : (double)NAN;
    row->last_bright_h = in_use ? light->last_bright_h : (double)NAN;
    row->morning_sun_h = in_use ? light->morning_h : (double)NAN;
    row->afternoon_sun_h = in_use ? light->afternoon_h : (double)NAN;
}

static void fill_bearings(const struct sel_site *site, struct sel_site_row *row) {
    row->flyway_true_deg = site->bearings.flyway_deg;
    row->edge_true_deg = site->bearings.edge_deg;
    row->panel_true_deg = site->bearings.panel_deg;
    row->head_true_deg = site->bearings.head_deg;
    row->head_choice = site->bearings.head_clear ? "clear" : "weak";
    row->panel_magnetic_deg = site->panel_magnetic_deg;
    row->head_magnetic_deg = site->head_magnetic_deg;
    row->declination_deg = site->declination_deg;
}

static void fill_place(
    const struct sel_site *site, const struct sel_candidate *candidate, struct sel_site_row *row) {
    row->x = site->x;
    row->y = site->y;
    row->elevation_m = (double)candidate->elevation_m;
    row->latitude = site->latitude;
    row->longitude = site->longitude;
    row->coordinate_uncertainty_m = site->coordinate_uncertainty_m;
    row->parcel = site->parcel;
    row->owner_ref = site->owner;
    row->zone = site->zone;
}

static int shade_wanted(double sun_share) {
    if (isnan(sun_share))
        return SEL_UNSAID;
    return sun_share > SUNNY_SHARE;
}

static void fill_ground(
    const struct sel_site *site, const struct sel_candidate *candidate, struct sel_site_row *row) {
    row->clearing = site->clearing;
    row->support = site->support;
    row->shade = shade_wanted(row->sun_share);
    row->water_m = site->water_m;
    row->above_water_m = site->above_water_m;
    row->horizon_complete = candidate->horizon_complete;
    row->edge_straightness = (double)candidate->straightness;
    row->depth_a_m = (double)candidate->depth_a_m;
    row->depth_b_m = (double)candidate->depth_b_m;
    row->notes = site->notes ? site->notes : "";
}

static sel_status add_site(
    struct sel_geopackage *file, const struct sel_survey *survey, const struct sel_site *site) {
    const struct sel_candidate *candidate = &survey->candidates[site->candidate];
    const struct sel_habitats *habitats = &file->plan->habitats;
    char id[SEL_SITE_ID_SIZE], primary[SEL_SITE_ID_SIZE];
    sel_site_id(survey, site, id);
    sel_primary_id(survey, site->rank, primary);
    char *pair = sel_pair_label(habitats, candidate->a, candidate->b);
    if (!pair)
        return sel_fail_memory(file->context);
    struct sel_site_row row = {.rank = site->rank,
        .site = id,
        .role = sel_role_name(site),
        .reserve_for = site->reserve > 0 ? primary : NULL,
        .habitat_a = sel_habitat_label(habitats, candidate->a),
        .habitat_b = sel_habitat_label(habitats, candidate->b),
        .pair = pair};
    fill_measures(survey, site, candidate, &row);
    fill_access(survey, site, candidate, &row);
    fill_light(survey, site, &row);
    fill_bearings(site, &row);
    fill_place(site, candidate, &row);
    fill_ground(site, candidate, &row);
    fill_standing(survey, site, &row);
    sel_status status = sel_add_row(file, &file->sites, &row);
    free(pair);
    return status;
}

sel_status sel_write_sites(struct sel_geopackage *file, const struct sel_survey *survey) {
    sel_status status = SEL_OK;
    for (size_t i = 0; i < survey->site_count && status == SEL_OK; i++)
        status = add_site(file, survey, &survey->sites[i]);
    return status;
}
