// SPDX-License-Identifier: MIT
//
// The column lists of all tables, in the order in which the file shows them.
#include "output/rows.h"

#include <assert.h>

// Decimals kept: bearings and horizons to 0.01 degrees, slope to 0.0001 (as good as it is
// computed), geographic coordinates to 1 cm, lengths to 1 cm; scores, worths and weights as they
// were summed.
enum { BEARING = 2, SLOPE = 4, GEOGRAPHIC = 7, METRES = 2, TIME = 4, SHARE = 6, WORTH = 9 };

static const struct sel_column SITES[] = {
    {"rank", SEL_COLUMN_INTEGER, offsetof(struct sel_site_row, rank), 0},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_site_row, site), 0},
    {"role", SEL_COLUMN_TEXT, offsetof(struct sel_site_row, role), 0},
    {"reserve_for", SEL_COLUMN_TEXT, offsetof(struct sel_site_row, reserve_for), 0},
    {"score", SEL_COLUMN_REAL, offsetof(struct sel_site_row, score), WORTH},
    {"habitat_a", SEL_COLUMN_TEXT, offsetof(struct sel_site_row, habitat_a), 0},
    {"habitat_b", SEL_COLUMN_TEXT, offsetof(struct sel_site_row, habitat_b), 0},
    {"pair", SEL_COLUMN_TEXT, offsetof(struct sel_site_row, pair), 0},
    {"edge_contrast", SEL_COLUMN_REAL, offsetof(struct sel_site_row, edge_contrast), SHARE},
    {"slope_deg", SEL_COLUMN_REAL, offsetof(struct sel_site_row, slope_deg), SLOPE},
    {"sun_share", SEL_COLUMN_REAL, offsetof(struct sel_site_row, sun_share), SHARE},
    {"sun_hours", SEL_COLUMN_REAL, offsetof(struct sel_site_row, sun_hours), TIME},
    {"access_m", SEL_COLUMN_REAL, offsetof(struct sel_site_row, access_m), METRES},
    {"walk_m", SEL_COLUMN_REAL, offsetof(struct sel_site_row, walk_m), METRES},
    {"walk_min", SEL_COLUMN_REAL, offsetof(struct sel_site_row, walk_min), TIME},
    {"climb_m", SEL_COLUMN_REAL, offsetof(struct sel_site_row, climb_m), METRES},
    {"access_x", SEL_COLUMN_REAL, offsetof(struct sel_site_row, access_x), METRES},
    {"access_y", SEL_COLUMN_REAL, offsetof(struct sel_site_row, access_y), METRES},
    {"access_latitude", SEL_COLUMN_REAL, offsetof(struct sel_site_row, access_latitude),
        GEOGRAPHIC},
    {"access_longitude", SEL_COLUMN_REAL, offsetof(struct sel_site_row, access_longitude),
        GEOGRAPHIC},
    {"v_edge_contrast", SEL_COLUMN_REAL,
        offsetof(struct sel_site_row, value[SEL_CRITERION_EDGE_CONTRAST]), WORTH},
    {"v_slope", SEL_COLUMN_REAL, offsetof(struct sel_site_row, value[SEL_CRITERION_SLOPE]), WORTH},
    {"v_sun", SEL_COLUMN_REAL, offsetof(struct sel_site_row, value[SEL_CRITERION_SUN]), WORTH},
    {"v_access", SEL_COLUMN_REAL, offsetof(struct sel_site_row, value[SEL_CRITERION_ACCESS]),
        WORTH},
    {"w_edge_contrast", SEL_COLUMN_REAL,
        offsetof(struct sel_site_row, weight[SEL_CRITERION_EDGE_CONTRAST]), WORTH},
    {"w_slope", SEL_COLUMN_REAL, offsetof(struct sel_site_row, weight[SEL_CRITERION_SLOPE]), WORTH},
    {"w_sun", SEL_COLUMN_REAL, offsetof(struct sel_site_row, weight[SEL_CRITERION_SUN]), WORTH},
    {"w_access", SEL_COLUMN_REAL, offsetof(struct sel_site_row, weight[SEL_CRITERION_ACCESS]),
        WORTH},
    {"next_score", SEL_COLUMN_REAL, offsetof(struct sel_site_row, next_score), WORTH},
    {"score_low", SEL_COLUMN_REAL, offsetof(struct sel_site_row, score_low), WORTH},
    {"score_high", SEL_COLUMN_REAL, offsetof(struct sel_site_row, score_high), WORTH},
    {"share_chosen", SEL_COLUMN_REAL, offsetof(struct sel_site_row, share_chosen), SHARE},
    {"rank_low", SEL_COLUMN_INTEGER, offsetof(struct sel_site_row, rank_low), 0},
    {"rank_high", SEL_COLUMN_INTEGER, offsetof(struct sel_site_row, rank_high), 0},
    {"by_greedy", SEL_COLUMN_BOOLEAN, offsetof(struct sel_site_row, by_greedy), 0},
    {"flyway_true_deg", SEL_COLUMN_REAL, offsetof(struct sel_site_row, flyway_true_deg), BEARING},
    {"edge_true_deg", SEL_COLUMN_REAL, offsetof(struct sel_site_row, edge_true_deg), BEARING},
    {"panel_true_deg", SEL_COLUMN_REAL, offsetof(struct sel_site_row, panel_true_deg), BEARING},
    {"head_true_deg", SEL_COLUMN_REAL, offsetof(struct sel_site_row, head_true_deg), BEARING},
    {"head_choice", SEL_COLUMN_TEXT, offsetof(struct sel_site_row, head_choice), 0},
    {"panel_magnetic_deg", SEL_COLUMN_REAL, offsetof(struct sel_site_row, panel_magnetic_deg),
        BEARING},
    {"head_magnetic_deg", SEL_COLUMN_REAL, offsetof(struct sel_site_row, head_magnetic_deg),
        BEARING},
    {"declination_deg", SEL_COLUMN_REAL, offsetof(struct sel_site_row, declination_deg), BEARING},
    {"elevation_m", SEL_COLUMN_REAL, offsetof(struct sel_site_row, elevation_m), METRES},
    {"latitude", SEL_COLUMN_REAL, offsetof(struct sel_site_row, latitude), GEOGRAPHIC},
    {"longitude", SEL_COLUMN_REAL, offsetof(struct sel_site_row, longitude), GEOGRAPHIC},
    {"coordinate_uncertainty_m", SEL_COLUMN_REAL,
        offsetof(struct sel_site_row, coordinate_uncertainty_m), METRES},
    {"parcel", SEL_COLUMN_TEXT, offsetof(struct sel_site_row, parcel), 0},
    {"owner_ref", SEL_COLUMN_TEXT, offsetof(struct sel_site_row, owner_ref), 0},
    {"zone", SEL_COLUMN_TEXT, offsetof(struct sel_site_row, zone), 0},
    {"clearing", SEL_COLUMN_BOOLEAN, offsetof(struct sel_site_row, clearing), 0},
    {"support", SEL_COLUMN_BOOLEAN, offsetof(struct sel_site_row, support), 0},
    {"shade", SEL_COLUMN_BOOLEAN, offsetof(struct sel_site_row, shade), 0},
    {"water_m", SEL_COLUMN_REAL, offsetof(struct sel_site_row, water_m), METRES},
    {"above_water_m", SEL_COLUMN_REAL, offsetof(struct sel_site_row, above_water_m), METRES},
    {"horizon_complete", SEL_COLUMN_BOOLEAN, offsetof(struct sel_site_row, horizon_complete), 0},
    {"edge_straightness", SEL_COLUMN_REAL, offsetof(struct sel_site_row, edge_straightness), SHARE},
    {"depth_a_m", SEL_COLUMN_REAL, offsetof(struct sel_site_row, depth_a_m), METRES},
    {"depth_b_m", SEL_COLUMN_REAL, offsetof(struct sel_site_row, depth_b_m), METRES},
    {"sky_view", SEL_COLUMN_REAL, offsetof(struct sel_site_row, sky_view), SHARE},
    {"light_kwh_m2_day", SEL_COLUMN_REAL, offsetof(struct sel_site_row, light_kwh_m2_day), TIME},
    {"light_azimuth_true_deg", SEL_COLUMN_REAL,
        offsetof(struct sel_site_row, light_azimuth_true_deg), BEARING},
    {"first_sun_h", SEL_COLUMN_REAL, offsetof(struct sel_site_row, first_sun_h), TIME},
    {"last_sun_h", SEL_COLUMN_REAL, offsetof(struct sel_site_row, last_sun_h), TIME},
    {"morning_sun_h", SEL_COLUMN_REAL, offsetof(struct sel_site_row, morning_sun_h), TIME},
    {"afternoon_sun_h", SEL_COLUMN_REAL, offsetof(struct sel_site_row, afternoon_sun_h), TIME},
    {"block", SEL_COLUMN_TEXT, offsetof(struct sel_site_row, block), 0},
    {"nearest_site_m", SEL_COLUMN_REAL, offsetof(struct sel_site_row, nearest_site_m), METRES},
    {"reserve_note", SEL_COLUMN_TEXT, offsetof(struct sel_site_row, reserve_note), 0},
    {"notes", SEL_COLUMN_TEXT, offsetof(struct sel_site_row, notes), 0},
    {"x", SEL_COLUMN_POINT_X, offsetof(struct sel_site_row, x), 0},
    {"y", SEL_COLUMN_POINT_Y, offsetof(struct sel_site_row, y), 0},
};

static_assert(sizeof SITES / sizeof *SITES <= SEL_TABLE_COLUMNS_MOST, "too many columns to read");

static const struct sel_column FLYWAYS[] = {
    {"rank", SEL_COLUMN_INTEGER, offsetof(struct sel_flyway_row, rank), 0},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_flyway_row, site), 0},
    {"role", SEL_COLUMN_TEXT, offsetof(struct sel_flyway_row, role), 0},
    {"pair", SEL_COLUMN_TEXT, offsetof(struct sel_flyway_row, pair), 0},
    {"habitat_a", SEL_COLUMN_TEXT, offsetof(struct sel_flyway_row, habitat_a), 0},
    {"habitat_b", SEL_COLUMN_TEXT, offsetof(struct sel_flyway_row, habitat_b), 0},
    {"flyway_true_deg", SEL_COLUMN_REAL, offsetof(struct sel_flyway_row, flyway_true_deg), BEARING},
    {"length_m", SEL_COLUMN_REAL, offsetof(struct sel_flyway_row, length_m), METRES},
    {"depth_a_m", SEL_COLUMN_REAL, offsetof(struct sel_flyway_row, depth_a_m), METRES},
    {"depth_b_m", SEL_COLUMN_REAL, offsetof(struct sel_flyway_row, depth_b_m), METRES},
};

static const struct sel_column WALKS[] = {
    {"rank", SEL_COLUMN_INTEGER, offsetof(struct sel_walk_row, rank), 0},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_walk_row, site), 0},
    {"role", SEL_COLUMN_TEXT, offsetof(struct sel_walk_row, role), 0},
    {"walk_m", SEL_COLUMN_REAL, offsetof(struct sel_walk_row, walk_m), METRES},
    {"walk_min", SEL_COLUMN_REAL, offsetof(struct sel_walk_row, walk_min), TIME},
    {"out_min", SEL_COLUMN_REAL, offsetof(struct sel_walk_row, out_min), TIME},
    {"back_min", SEL_COLUMN_REAL, offsetof(struct sel_walk_row, back_min), TIME},
    {"climb_m", SEL_COLUMN_REAL, offsetof(struct sel_walk_row, climb_m), METRES},
    {"climb_back_m", SEL_COLUMN_REAL, offsetof(struct sel_walk_row, climb_back_m), METRES},
};

static const struct sel_column EDGES[] = {
    {"habitat_a", SEL_COLUMN_TEXT, offsetof(struct sel_edge_row, habitat_a), 0},
    {"habitat_b", SEL_COLUMN_TEXT, offsetof(struct sel_edge_row, habitat_b), 0},
    {"pair", SEL_COLUMN_TEXT, offsetof(struct sel_edge_row, pair), 0},
    {"length_m", SEL_COLUMN_REAL, offsetof(struct sel_edge_row, length_m), METRES},
    {"cracks", SEL_COLUMN_INTEGER, offsetof(struct sel_edge_row, cracks), 0},
    {"closed", SEL_COLUMN_BOOLEAN, offsetof(struct sel_edge_row, closed), 0},
};

static const struct sel_column CANDIDATES[] = {
    {"score", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, score), WORTH},
    {"habitat_a", SEL_COLUMN_TEXT, offsetof(struct sel_candidate_row, habitat_a), 0},
    {"habitat_b", SEL_COLUMN_TEXT, offsetof(struct sel_candidate_row, habitat_b), 0},
    {"pair", SEL_COLUMN_TEXT, offsetof(struct sel_candidate_row, pair), 0},
    {"edge_contrast", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, edge_contrast), SHARE},
    {"slope_deg", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, slope_deg), SLOPE},
    {"sun_share", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, sun_share), SHARE},
    {"sun_hours", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, sun_hours), TIME},
    {"access_m", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, access_m), METRES},
    {"walk_min", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, walk_min), TIME},
    {"elevation_m", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, elevation_m), METRES},
    {"edge_straightness", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, edge_straightness),
        SHARE},
    {"depth_a_m", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, depth_a_m), METRES},
    {"depth_b_m", SEL_COLUMN_REAL, offsetof(struct sel_candidate_row, depth_b_m), METRES},
    {"horizon_complete", SEL_COLUMN_BOOLEAN, offsetof(struct sel_candidate_row, horizon_complete),
        0},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_candidate_row, site), 0},
    {"fate", SEL_COLUMN_TEXT, offsetof(struct sel_candidate_row, fate), 0},
    {"x", SEL_COLUMN_POINT_X, offsetof(struct sel_candidate_row, x), 0},
    {"y", SEL_COLUMN_POINT_Y, offsetof(struct sel_candidate_row, y), 0},
};

static const struct sel_column CRITERIA[] = {
    {"criterion", SEL_COLUMN_TEXT, offsetof(struct sel_criterion_row, criterion), 0},
    {"unit", SEL_COLUMN_TEXT, offsetof(struct sel_criterion_row, unit), 0},
    {"weight_as_written", SEL_COLUMN_REAL, offsetof(struct sel_criterion_row, weight_as_written),
        WORTH},
    {"weight", SEL_COLUMN_REAL, offsetof(struct sel_criterion_row, weight), WORTH},
    {"in_use", SEL_COLUMN_BOOLEAN, offsetof(struct sel_criterion_row, in_use), 0},
    {"value", SEL_COLUMN_TEXT, offsetof(struct sel_criterion_row, value), 0},
    {"limit", SEL_COLUMN_REAL, offsetof(struct sel_criterion_row, limit), SEL_ALL_DIGITS},
    {"min", SEL_COLUMN_REAL, offsetof(struct sel_criterion_row, least), SHARE},
    {"median", SEL_COLUMN_REAL, offsetof(struct sel_criterion_row, median), SHARE},
    {"max", SEL_COLUMN_REAL, offsetof(struct sel_criterion_row, most), SHARE},
};

static const struct sel_column RUN[] = {
    {"key", SEL_COLUMN_TEXT, offsetof(struct sel_fact_row, key), 0},
    {"value", SEL_COLUMN_TEXT, offsetof(struct sel_fact_row, value), 0},
};

static const struct sel_column PLAN[] = {
    {"key", SEL_COLUMN_TEXT, offsetof(struct sel_plan_row, key), 0},
    {"value", SEL_COLUMN_TEXT, offsetof(struct sel_plan_row, value), 0},
    {"is_default", SEL_COLUMN_BOOLEAN, offsetof(struct sel_plan_row, is_default), 0},
};

static const struct sel_column HORIZON[] = {
    {"rank", SEL_COLUMN_INTEGER, offsetof(struct sel_horizon_row, rank), 0},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_horizon_row, site), 0},
    {"role", SEL_COLUMN_TEXT, offsetof(struct sel_horizon_row, role), 0},
    {"azimuth_deg", SEL_COLUMN_REAL, offsetof(struct sel_horizon_row, azimuth_deg), BEARING},
    {"azimuth_true_deg", SEL_COLUMN_REAL, offsetof(struct sel_horizon_row, azimuth_true_deg),
        BEARING},
    {"ground_deg", SEL_COLUMN_REAL, offsetof(struct sel_horizon_row, ground_deg), BEARING},
    {"canopy_deg", SEL_COLUMN_REAL, offsetof(struct sel_horizon_row, canopy_deg), BEARING},
    {"cover", SEL_COLUMN_REAL, offsetof(struct sel_horizon_row, cover), SHARE},
};

static const struct sel_column PROFILE[] = {
    {"rank", SEL_COLUMN_INTEGER, offsetof(struct sel_profile_row, rank), 0},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_profile_row, site), 0},
    {"role", SEL_COLUMN_TEXT, offsetof(struct sel_profile_row, role), 0},
    {"along_m", SEL_COLUMN_REAL, offsetof(struct sel_profile_row, along_m), METRES},
    {"ground_m", SEL_COLUMN_REAL, offsetof(struct sel_profile_row, ground_m), METRES},
    {"canopy_m", SEL_COLUMN_REAL, offsetof(struct sel_profile_row, canopy_m), METRES},
    {"habitat", SEL_COLUMN_TEXT, offsetof(struct sel_profile_row, habitat), 0},
};

static const struct sel_column RIVALS[] = {
    {"rank", SEL_COLUMN_INTEGER, offsetof(struct sel_rival_row, rank), 0},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_rival_row, site), 0},
    {"distance_m", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, distance_m), METRES},
    {"reason", SEL_COLUMN_TEXT, offsetof(struct sel_rival_row, reason), 0},
    {"score", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, score), WORTH},
    {"pair", SEL_COLUMN_TEXT, offsetof(struct sel_rival_row, pair), 0},
    {"edge_contrast", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, edge_contrast), SHARE},
    {"slope_deg", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, slope_deg), SLOPE},
    {"sun_share", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, sun_share), SHARE},
    {"access_m", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, access_m), METRES},
    {"walk_min", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, walk_min), TIME},
    {"candidate", SEL_COLUMN_INTEGER, offsetof(struct sel_rival_row, candidate), 0},
    {"map_x", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, map_x), SEL_ALL_DIGITS},
    {"map_y", SEL_COLUMN_REAL, offsetof(struct sel_rival_row, map_y), SEL_ALL_DIGITS},
};

static const struct sel_column HABITATS[] = {
    {"id", SEL_COLUMN_INTEGER, offsetof(struct sel_habitat_row, id), 0},
    {"habitat", SEL_COLUMN_TEXT, offsetof(struct sel_habitat_row, habitat), 0},
    {"raster_values", SEL_COLUMN_TEXT, offsetof(struct sel_habitat_row, values), 0},
    {"canopy_m", SEL_COLUMN_REAL, offsetof(struct sel_habitat_row, canopy_m), SEL_ALL_DIGITS},
    {"cover", SEL_COLUMN_REAL, offsetof(struct sel_habitat_row, cover), SEL_ALL_DIGITS},
    {"wetness", SEL_COLUMN_REAL, offsetof(struct sel_habitat_row, wetness), SEL_ALL_DIGITS},
    {"edge", SEL_COLUMN_REAL, offsetof(struct sel_habitat_row, edge), SEL_ALL_DIGITS},
    {"walk", SEL_COLUMN_REAL, offsetof(struct sel_habitat_row, walk), SEL_ALL_DIGITS},
    {"trap", SEL_COLUMN_BOOLEAN, offsetof(struct sel_habitat_row, trap), 0},
    {"water", SEL_COLUMN_BOOLEAN, offsetof(struct sel_habitat_row, water), 0},
    {"ground", SEL_COLUMN_TEXT, offsetof(struct sel_habitat_row, ground), 0},
    {"support", SEL_COLUMN_BOOLEAN, offsetof(struct sel_habitat_row, support), 0},
    {"colour", SEL_COLUMN_TEXT, offsetof(struct sel_habitat_row, colour), 0},
    {"backdrop_share", SEL_COLUMN_REAL, offsetof(struct sel_habitat_row, backdrop_share), SHARE},
};

static const struct sel_column CLOSE_UP[] = {
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_close_up_row, site), 0},
    {"west", SEL_COLUMN_REAL, offsetof(struct sel_close_up_row, west), SEL_ALL_DIGITS},
    {"south", SEL_COLUMN_REAL, offsetof(struct sel_close_up_row, south), SEL_ALL_DIGITS},
    {"east", SEL_COLUMN_REAL, offsetof(struct sel_close_up_row, east), SEL_ALL_DIGITS},
    {"north", SEL_COLUMN_REAL, offsetof(struct sel_close_up_row, north), SEL_ALL_DIGITS},
    {"png", SEL_COLUMN_BYTES, offsetof(struct sel_close_up_row, png), 0},
};

static const struct sel_column PAIRS[] = {
    {"habitat_a", SEL_COLUMN_TEXT, offsetof(struct sel_pair_row, habitat_a), 0},
    {"habitat_b", SEL_COLUMN_TEXT, offsetof(struct sel_pair_row, habitat_b), 0},
    {"pair", SEL_COLUMN_TEXT, offsetof(struct sel_pair_row, pair), 0},
    {"length_m", SEL_COLUMN_REAL, offsetof(struct sel_pair_row, length_m), METRES},
    {"length_share", SEL_COLUMN_REAL, offsetof(struct sel_pair_row, length_share), SHARE},
    {"candidates", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, candidates), 0},
    {"sites", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, sites), 0},
    {"site_share", SEL_COLUMN_REAL, offsetof(struct sel_pair_row, site_share), SHARE},
    {"reserves", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, reserves), 0},
    {"near_occupied", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, near_occupied), 0},
    {"near_chosen", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, near_chosen), 0},
    {"pair_full", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, pair_full), 0},
    {"block_full", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, block_full), 0},
    {"outweighed", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, outweighed), 0},
    {"lower_score", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, lower_score), 0},
    {"left_aside", SEL_COLUMN_INTEGER, offsetof(struct sel_pair_row, left_aside), 0},
    {"best_left", SEL_COLUMN_REAL, offsetof(struct sel_pair_row, best_left), WORTH},
};

static const struct sel_column BLOCKS[] = {
    {"block", SEL_COLUMN_TEXT, offsetof(struct sel_block_row, block), 0},
    {"candidates", SEL_COLUMN_INTEGER, offsetof(struct sel_block_row, candidates), 0},
    {"sites", SEL_COLUMN_INTEGER, offsetof(struct sel_block_row, sites), 0},
};

static const struct sel_column SENSITIVITY[] = {
    {"rank", SEL_COLUMN_INTEGER, offsetof(struct sel_sensitivity_row, rank), 0},
    {"site", SEL_COLUMN_TEXT, offsetof(struct sel_sensitivity_row, site), 0},
    {"criterion", SEL_COLUMN_TEXT, offsetof(struct sel_sensitivity_row, criterion), 0},
    {"weight", SEL_COLUMN_REAL, offsetof(struct sel_sensitivity_row, weight), WORTH},
    {"out_below", SEL_COLUMN_REAL, offsetof(struct sel_sensitivity_row, lower), WORTH},
    {"out_above", SEL_COLUMN_REAL, offsetof(struct sel_sensitivity_row, higher), WORTH},
    {"smallest_change", SEL_COLUMN_REAL, offsetof(struct sel_sensitivity_row, change), WORTH},
};

static const struct sel_column DROPPED[] = {
    {"step", SEL_COLUMN_TEXT, offsetof(struct sel_dropped_row, step), 0},
    {"reason", SEL_COLUMN_TEXT, offsetof(struct sel_dropped_row, reason), 0},
    {"count", SEL_COLUMN_INTEGER, offsetof(struct sel_dropped_row, count), 0},
};

static const struct sel_column INPUTS[] = {
    {"role", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, role), 0},
    {"file", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, file), 0},
    {"belongs_to", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, belongs_to), 0},
    {"layer", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, layer), 0},
    {"band", SEL_COLUMN_INTEGER, offsetof(struct sel_input_row, band), 0},
    {"driver", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, driver), 0},
    {"size_bytes", SEL_COLUMN_INTEGER, offsetof(struct sel_input_row, size_bytes), 0},
    {"modified", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, modified), 0},
    {"crs", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, crs), 0},
    {"raster_columns", SEL_COLUMN_INTEGER, offsetof(struct sel_input_row, raster_columns), 0},
    {"raster_rows", SEL_COLUMN_INTEGER, offsetof(struct sel_input_row, raster_rows), 0},
    {"pixel_x", SEL_COLUMN_REAL, offsetof(struct sel_input_row, pixel_x), SEL_ALL_DIGITS},
    {"pixel_y", SEL_COLUMN_REAL, offsetof(struct sel_input_row, pixel_y), SEL_ALL_DIGITS},
    {"unit", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, unit), 0},
    {"resampling", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, resampling), 0},
    {"sha256", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, sha256), 0},
    {"note", SEL_COLUMN_TEXT, offsetof(struct sel_input_row, note), 0},
};

static const struct sel_column GROUND_AREA[] = {
    {"within_m", SEL_COLUMN_REAL, offsetof(struct sel_ground_area_row, within_m), METRES},
};

static const struct sel_column GROUND_ZONES[] = {
    {"rule", SEL_COLUMN_TEXT, offsetof(struct sel_ground_zone_row, rule), 0},
    {"reason", SEL_COLUMN_TEXT, offsetof(struct sel_ground_zone_row, reason), 0},
    {"within_m", SEL_COLUMN_REAL, offsetof(struct sel_ground_zone_row, within_m), METRES},
};

static const struct sel_column GROUND_ACCESS[] = {
    {"role", SEL_COLUMN_TEXT, offsetof(struct sel_ground_access_row, role), 0},
    {"within_m", SEL_COLUMN_REAL, offsetof(struct sel_ground_access_row, within_m), METRES},
};

static const struct sel_column GROUND_OCCUPIED[] = {
    {"x", SEL_COLUMN_POINT_X, offsetof(struct sel_ground_occupied_row, x), 0},
    {"y", SEL_COLUMN_POINT_Y, offsetof(struct sel_ground_occupied_row, y), 0},
};

const struct sel_table_kind SEL_TABLE_SITES = {"sites",
    "The ranked places for traps, each primary followed by its reserves", wkbPoint, false, SITES,
    sizeof SITES / sizeof *SITES, sizeof(struct sel_site_row)};

const struct sel_table_kind SEL_TABLE_FLYWAYS = {"flyways",
    "The transect across the edge at each site, from side a to side b", wkbLineString, false,
    FLYWAYS, sizeof FLYWAYS / sizeof *FLYWAYS, sizeof(struct sel_flyway_row)};

const struct sel_table_kind SEL_TABLE_WALKS = {"walks",
    "The walk to each site from where a vehicle can come; Z: elevation, metres, M: minutes walked, "
    "mean of out and back",
    wkbLineStringZM, false, WALKS, sizeof WALKS / sizeof *WALKS, sizeof(struct sel_walk_row)};

const struct sel_table_kind SEL_TABLE_EDGES = {"edges",
    "Traced and smoothed habitat edges, cut at junctions and every 512 cells; side a lies left of "
    "the line",
    wkbLineString, true, EDGES, sizeof EDGES / sizeof *EDGES, sizeof(struct sel_edge_row)};

const struct sel_table_kind SEL_TABLE_CANDIDATES = {"candidates",
    "Eligible candidates, best first; the table run tells the limit", wkbPoint, false, CANDIDATES,
    sizeof CANDIDATES / sizeof *CANDIDATES, sizeof(struct sel_candidate_row)};

const struct sel_table_kind SEL_TABLE_CRITERIA = {"criteria",
    "What was measured, its value function and weight, and its spread among the candidates",
    wkbNone, false, CRITERIA, sizeof CRITERIA / sizeof *CRITERIA, sizeof(struct sel_criterion_row)};

const struct sel_table_kind SEL_TABLE_RUN = {"run",
    "Facts of the run: software, study grid, lengths, remarks", wkbNone, false, RUN,
    sizeof RUN / sizeof *RUN, sizeof(struct sel_fact_row)};

const struct sel_table_kind SEL_TABLE_PLAN = {"plan", "The plan as used, every default included",
    wkbNone, false, PLAN, sizeof PLAN / sizeof *PLAN, sizeof(struct sel_plan_row)};

const struct sel_table_kind SEL_TABLE_HORIZON = {"horizon",
    "Elevation angles of ground and canopy around the collecting head of each site", wkbNone, false,
    HORIZON, sizeof HORIZON / sizeof *HORIZON, sizeof(struct sel_horizon_row)};

const struct sel_table_kind SEL_TABLE_PROFILE = {"profile",
    "Ground, canopy and habitat along the transect of each site; side a is negative", wkbNone,
    false, PROFILE, sizeof PROFILE / sizeof *PROFILE, sizeof(struct sel_profile_row)};

const struct sel_table_kind SEL_TABLE_RIVALS = {"rivals",
    "Candidates near each chosen site and why they lost", wkbNone, false, RIVALS,
    sizeof RIVALS / sizeof *RIVALS, sizeof(struct sel_rival_row)};

const struct sel_table_kind SEL_TABLE_CLOSE_UP = {"close_up",
    "The ground around each site as a PNG image, with its sides in the layers' coordinates",
    wkbNone, false, CLOSE_UP, sizeof CLOSE_UP / sizeof *CLOSE_UP, sizeof(struct sel_close_up_row)};

const struct sel_table_kind SEL_TABLE_HABITATS = {"habitats",
    "The habitat table and the colours of the pictures", wkbNone, false, HABITATS,
    sizeof HABITATS / sizeof *HABITATS, sizeof(struct sel_habitat_row)};

const struct sel_table_kind SEL_TABLE_PAIRS = {"pairs",
    "Edge length, candidates and sites by pair of habitats, and what became of the candidates",
    wkbNone, false, PAIRS, sizeof PAIRS / sizeof *PAIRS, sizeof(struct sel_pair_row)};

const struct sel_table_kind SEL_TABLE_BLOCKS = {"blocks",
    "Eligible candidates and sites by the blocks that quotas count by", wkbNone, false, BLOCKS,
    sizeof BLOCKS / sizeof *BLOCKS, sizeof(struct sel_block_row)};

const struct sel_table_kind SEL_TABLE_SENSITIVITY = {"sensitivity",
    "The nearest weights, in hundredths, at which a site would not be chosen, the other weights "
    "keeping their proportions",
    wkbNone, false, SENSITIVITY, sizeof SENSITIVITY / sizeof *SENSITIVITY,
    sizeof(struct sel_sensitivity_row)};

const struct sel_table_kind SEL_TABLE_DROPPED = {"dropped",
    "What was dropped at each step and why; the counts of a step add up to its row all", wkbNone,
    false, DROPPED, sizeof DROPPED / sizeof *DROPPED, sizeof(struct sel_dropped_row)};

const struct sel_table_kind SEL_TABLE_INPUTS = {"inputs",
    "The files the run read, with what belongs to them", wkbNone, false, INPUTS,
    sizeof INPUTS / sizeof *INPUTS, sizeof(struct sel_input_row)};

const struct sel_table_kind SEL_TABLE_GROUND_AREA = {"ground_area",
    "The study area as far as the backdrop shows it, thinned", wkbMultiPolygon, false, GROUND_AREA,
    sizeof GROUND_AREA / sizeof *GROUND_AREA, sizeof(struct sel_ground_area_row)};

const struct sel_table_kind SEL_TABLE_GROUND_ZONES = {"ground_zones",
    "The plan's zones as far as the backdrop shows them, thinned", wkbMultiPolygon, false,
    GROUND_ZONES, sizeof GROUND_ZONES / sizeof *GROUND_ZONES, sizeof(struct sel_ground_zone_row)};

const struct sel_table_kind SEL_TABLE_GROUND_ACCESS = {"ground_access",
    "The plan's access layers as far as the backdrop shows them, thinned", wkbUnknown, false,
    GROUND_ACCESS, sizeof GROUND_ACCESS / sizeof *GROUND_ACCESS,
    sizeof(struct sel_ground_access_row)};

const struct sel_table_kind SEL_TABLE_GROUND_OCCUPIED = {"ground_occupied",
    "Traps that stand already, from which the sites keep apart", wkbPoint, false, GROUND_OCCUPIED,
    sizeof GROUND_OCCUPIED / sizeof *GROUND_OCCUPIED, sizeof(struct sel_ground_occupied_row)};
