// SPDX-License-Identifier: MIT
//
// The rows of every table of the GeoPackage. NULL in the file is NAN, SEL_NO_INTEGER, SEL_UNSAID or
// a NULL text here. Units are in the names; how many decimals are kept is told in
// decimals.h.
#ifndef SEL_OUTPUT_ROWS_H
#define SEL_OUTPUT_ROWS_H

#include "output/columns.h"
#include "plan/plan.h"

struct sel_site_row {
    int64_t rank;
    const char *site;        // "S01", a reserve "S01R1"
    const char *role;        // "primary" or "reserve"
    const char *reserve_for; // the primary's id; NULL for a primary
    double score;
    const char *habitat_a, *habitat_b, *pair; // pair: "a | b"
    double edge_contrast, slope_deg, sun_share, sun_hours;
    double access_m;                  // straight to the nearest start
    double walk_m, walk_min, climb_m; // to the site; minutes: mean of out and back
    double access_x, access_y, access_latitude, access_longitude;
    double sky_view, light_kwh_m2_day, light_azimuth_true_deg;
    double first_sun_h, last_sun_h, first_bright_h, last_bright_h, morning_sun_h, afternoon_sun_h;
    double value[SEL_CRITERIA], weight[SEL_CRITERIA];
    double next_score;            // of the candidate that could take its place
    double score_low, score_high; // 5th and 95th percentile over errors of the data
    double share_chosen;
    int64_t rank_low, rank_high;
    int by_greedy; // would the greedy choice at the plan's weights take it
    double flyway_true_deg, edge_true_deg, panel_true_deg, head_true_deg;
    const char *head_choice; // "clear" or "weak"
    double panel_magnetic_deg, head_magnetic_deg, declination_deg;
    double elevation_m, latitude, longitude, coordinate_uncertainty_m;
    const char *parcel, *owner_ref, *zone;
    int clearing, support, shade;
    double water_m, above_water_m;
    int horizon_complete;
    double edge_straightness, depth_a_m, depth_b_m;
    const char *block;
    double nearest_site_m;
    const char *reserve_note;
    const char *notes;
    double x, y; // the point, CRS units
};

struct sel_flyway_row {
    int64_t rank;
    const char *site, *role;
    const char *pair;
    const char *habitat_a, *habitat_b; // at the line's first and last vertex
    double flyway_true_deg, length_m, depth_a_m, depth_b_m;
};

struct sel_walk_row {
    int64_t rank;
    const char *site, *role;
    double walk_m, walk_min, out_min, back_min, climb_m, climb_back_m;
};

struct sel_edge_row {
    const char *habitat_a, *habitat_b, *pair;
    double length_m;
    int64_t cracks;
    int closed;
};

struct sel_candidate_row {
    double score;
    const char *habitat_a, *habitat_b, *pair;
    const char *block; // NULL: in none
    double edge_contrast, slope_deg, sun_share, sun_hours, access_m, walk_min;
    double elevation_m, edge_straightness, depth_a_m, depth_b_m;
    int horizon_complete;
    const char *site; // the site made of it; NULL: not chosen
    const char *fate; // what the choice made of it
    double x, y;
};

struct sel_criterion_row {
    const char *criterion, *unit;
    double weight_as_written, weight;
    int in_use;
    const char *value;          // breakpoints as the plan writes them: [[at, worth], ...]
    double limit;               // NULL: none
    int64_t measured;           // eligible candidates that it was measured of: all, but for the sun
    double least, median, most; // among those
};

struct sel_fact_row {
    const char *key, *value;
};

struct sel_plan_row {
    const char *key, *value;
    int is_default;
};

struct sel_horizon_row {
    int64_t rank;
    const char *site, *role;
    double azimuth_deg;      // from grid north
    double azimuth_true_deg; // from true north
    double ground_deg, canopy_deg, cover;
};

struct sel_profile_row {
    int64_t rank;
    const char *site, *role;
    double along_m, ground_m, canopy_m;
    const char *habitat; // NULL: unknown
};

struct sel_rival_row {
    int64_t rank;
    const char *site; // the chosen site it lies near
    double distance_m;
    const char *reason;
    double score;
    const char *pair;
    double edge_contrast, slope_deg, sun_share, access_m, walk_min;
    int64_t candidate;   // its number in the layer `candidates`; NULL: not among those written
    double map_x, map_y; // CRS units
};

struct sel_habitat_row {
    int64_t id;
    const char *habitat, *values; // values: the raster values, "40, 41"; NULL: lines only
    double canopy_m, cover, wetness, edge, walk;
    int trap, water;
    const char *ground;
    int support;
    const char *colour;    // "#rrggbb" in every picture
    double backdrop_share; // of the known pixels of `backdrop`
};

// A picture of the ground around a site.
struct sel_close_up_row {
    const char *site;
    double west, south, east, north; // CRS units, the picture's outer sides
    struct sel_bytes png;
};

struct sel_pair_row {
    const char *habitat_a, *habitat_b, *pair;
    double length_m, length_share;
    int64_t candidates, sites;
    double site_share;
    // What became of its candidates, beside sites; the best of those that were not chosen.
    int64_t reserves, near_occupied, near_chosen, pair_full, block_full, outweighed, lower_score;
    int64_t left_aside;
    double best_left;
};

struct sel_block_row {
    const char *block;
    int64_t candidates, sites;
};

// What it takes to push a site out of the chosen set by one criterion's weight.
struct sel_sensitivity_row {
    int64_t rank;
    const char *site, *criterion;
    double weight;
    double lower, higher; // nearest weights at which it is out; NULL: none
    double change;        // to the nearer of them
};

struct sel_dropped_row {
    const char *step, *reason; // the counts of a step add up to its row "all"
    int64_t count;
};

struct sel_input_row {
    const char *role, *file, *belongs_to, *layer;
    int64_t band;
    const char *driver;
    int64_t size_bytes;
    const char *modified, *crs;
    int64_t raster_columns, raster_rows;
    double pixel_x, pixel_y;
    const char *unit, *resampling, *sha256, *note;
};

// How far the lines of these three may lie from the given ones is told by within_m.
struct sel_ground_area_row {
    double within_m;
};

struct sel_ground_zone_row {
    const char *rule, *reason; // rule: "exclude", "no_clearing" or "note"
    double within_m;
};

struct sel_ground_access_row {
    const char *role; // "start" or "way"
    double within_m;
};

struct sel_ground_occupied_row {
    double x, y;
};

extern const struct sel_table_kind SEL_TABLE_SITES, SEL_TABLE_FLYWAYS, SEL_TABLE_WALKS,
    SEL_TABLE_EDGES, SEL_TABLE_CANDIDATES, SEL_TABLE_CRITERIA, SEL_TABLE_RUN, SEL_TABLE_PLAN,
    SEL_TABLE_HORIZON, SEL_TABLE_PROFILE, SEL_TABLE_RIVALS, SEL_TABLE_CLOSE_UP, SEL_TABLE_HABITATS,
    SEL_TABLE_PAIRS, SEL_TABLE_BLOCKS, SEL_TABLE_SENSITIVITY, SEL_TABLE_DROPPED, SEL_TABLE_INPUTS,
    SEL_TABLE_GROUND_AREA, SEL_TABLE_GROUND_ZONES, SEL_TABLE_GROUND_ACCESS,
    SEL_TABLE_GROUND_OCCUPIED;

#endif
