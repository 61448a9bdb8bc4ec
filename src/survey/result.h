// SPDX-License-Identifier: MIT
//
// What a survey found: candidates, the chosen sites with all that is told of them, and the counts
// that explain what was left out. Made by survey/, read by output/.
#ifndef SEL_SURVEY_RESULT_H
#define SEL_SURVEY_RESULT_H

#include "choose/choose.h"
#include "choose/dispersion.h"
#include "flyway/bearing.h"
#include "flyway/lattice.h"
#include "grid/study.h"
#include "plan/plan.h"
#include "terrain/exposure.h"

// A candidate with its criteria. Compact: there may be half a million.
struct sel_candidate {
    int32_t hx, hy; // the site: the crack's middle, or the middle of the cell that holds it
    int32_t crack_hx, crack_hy;
    sel_habitat_id a, b;
    bool a_first, trap_a, trap_b;
    bool lit; // its light is measured; until then sun, sky and horizon_complete do not count
    bool horizon_complete;
    float along_x, along_y; // unit tangent, x east, y south
    float toward_a_x, toward_a_y;
    float straightness;
    float depth_a_m, depth_b_m;
    float elevation_m;
    float sun_hours, sky_view, light_azimuth_deg;
    int32_t block; // of survey->blocks; SEL_NO_GROUP: in none
    // Edge contrast, slope deg, sun share, access m or (by time) minutes, INFINITY where nobody can
    // walk to it within the limit; NAN: not in use.
    double measure[SEL_CRITERIA];
    double access_m; // straight to the nearest start; NAN: no access layer
    double score;    // quantised to 1e-9; while it is not lit, the most it could have
};

// Why qualifying groups did not become eligible, or eligible ones were not chosen.
struct sel_tally {
    int64_t cracks;           // cell sides between two habitats
    int64_t fates[SEL_FATES]; // groups (pair x lattice square) by fate; CANDIDATE: the candidates
    int64_t beyond_limit[SEL_CRITERIA]; // candidates over a criterion's limit (first that strikes)
    int64_t eligible;
    int64_t left_aside; // eligible ones outside the pool: see survey/pool.h
    int64_t near_occupied, near_chosen, over_quota, over_block, outweighed, lower_score;
    int64_t sites, reserves;
};

// One step of the profile along a transect, from side a (negative) to side b (positive).
struct sel_profile_point {
    float along_m, ground_m, canopy_m;
    sel_habitat_id habitat;
};

// A coarse picture of the ground, row-major: habitat id and hillshade (0 dark .. 255 bright).
struct sel_picture {
    struct sel_window window; // cells covered
    int64_t step;             // cells per pixel
    int64_t rows, cols;       // pixels
    uint8_t *habitat, *shade; // owned
};

// How a site stands when weights vary: see choose/robust.h. Weights are NAN where there are none.
struct sel_standing {
    bool taken;
    double share_chosen;
    int rank_low, rank_high;
    double lower[SEL_CRITERIA], higher[SEL_CRITERIA];
};

// A place on the way to a site.
struct sel_walk_place {
    double x, y; // CRS units
    double elevation_m;
    double minutes; // from the start to here, mean of out and back
    bool by_way;    // whether the piece that leads here runs on a way or start
};

// The walk to a site, from the access geometry; none when place_count is 0. Lengths, times and
// climbs are sums over the pieces between places.
struct sel_site_walk {
    double length_m;                  // on the map
    double minutes;                   // mean of out and back
    double out_minutes, back_minutes; // to the site, and from it
    double climb_m, climb_back_m;     // metres risen on the way to it, and back
    struct sel_walk_place *places;    // owned
    size_t place_count;
    bool wades; // it leads through open water where no way does
};

// A chosen site or reserve with everything the output tells.
struct sel_site {
    size_t candidate;                         // index into candidates
    int rank;                                 // 1..; a reserve has its site's rank
    int reserve;                              // 0: primary, 1..: which reserve of that rank
    struct sel_reserve_search reserve_search; // of a primary that has fewer than asked for
    char *reserve_note;                       // owned; why it has; NULL: nothing to tell
    double x, y;                              // CRS units
    double latitude, longitude, convergence;
    struct sel_trap_bearings bearings; // true
    // At the season's middle; NAN where the model or a compass does not serve, with the reason.
    double declination_deg, panel_magnetic_deg, head_magnetic_deg;
    const char *magnetic_note;   // static; NULL: none
    double values[SEL_CRITERIA]; // 0..1; NAN: not in use
    double nearest_m;            // to the nearest other primary; NAN: a reserve, or none
    struct sel_standing standing;
    double next_score;            // of the candidate that could take a primary's place; NAN: none
    double score_low, score_high; // NAN: no uncertainty is asked for; see survey/uncertainty.h
    double coordinate_uncertainty_m;
    // Where the walk begins, or else the nearest place of the starts; NAN: no access layer.
    double access_x, access_y, access_latitude, access_longitude;
    struct sel_site_walk walk;
    char *parcel, *owner; // owned; NULL when unknown
    char *zone;           // owned; reasons of the no-clearing and note zones; NULL: none
    bool clearing;        // may a strip be cleared
    bool support;         // stems to tie to within the opening
    double water_m,
        above_water_m; // nearest open water within the picture, and height above it; NAN
    struct sel_horizon horizon;
    struct sel_exposure exposure;      // the season's light on it
    struct sel_profile_point *profile; // owned
    size_t profile_count;
    struct sel_picture close_up;
    char *notes; // owned; never NULL
};

// A candidate near a chosen site, and why it lost.
struct sel_rival {
    size_t candidate;
    int site_rank;
    double distance_m;
    const char *reason; // static, see survey/rivals.c
};

struct sel_pair_total {
    sel_habitat_id a, b;
    int64_t candidates, sites;
    double length_m; // smoothed edge length
};

// A block of ground with quotas of its own.
struct sel_block_total {
    char *name; // owned
    int64_t candidates, sites;
};

// How good the choice is: see struct sel_choice.
struct sel_merit {
    double total, objective, bound, even_m;
};

// What the standing of sites is founded on.
struct sel_robustness {
    int draws; // 0: none were made
    double concentration;
    int64_t local_bests;
};

struct sel_survey {
    const struct sel_plan *plan;   // borrowed
    const struct sel_study *study; // borrowed
    struct sel_lengths lengths;
    bool in_use[SEL_CRITERIA];
    double weights[SEL_CRITERIA]; // scaled, sum 1
    struct sel_tally tally;
    struct sel_candidate *candidates; // owned; the pool first, by score, then hy, hx, a, b
    size_t candidate_count;           // of the pool; the eligible ones left aside lie behind
    size_t eligible_count;            // all
    double left_most;                 // the most a candidate left aside could score; NAN: none is
    uint8_t *fates;                   // owned; enum sel_choice_fate of every candidate
    struct sel_site *sites;           // owned; by rank, each primary followed by its reserves
    size_t site_count;
    struct sel_rival *rivals; // owned
    size_t rival_count;
    struct sel_pair_total *pairs; // owned; by a, then b
    size_t pair_count;
    struct sel_block_total *blocks; // owned; none without block keys in the plan
    size_t block_count;             // with a candidate: those that quotas count by
    size_t empty_block_count;       // after them: named polygons without any
    struct sel_merit merit;
    struct sel_robustness robustness;
    struct sel_dispersion dispersion; // of the primaries; zeros when there are none
    struct sel_shortfall *shortfalls; // owned; minimums that the choice does not reach
    int shortfall_count;
    struct sel_picture backdrop;
    char **remarks; // owned strings: every assumption the run made, in order
    size_t remark_count;
};

#endif
