// SPDX-License-Identifier: MIT
//
// What every tile of a survey shares, read-only once set up: the plan and study, the rules of the
// kernels with their lengths filled in, and the vector layers brought to the study grid.
#ifndef SEL_SURVEY_JOB_H
#define SEL_SURVEY_JOB_H

#include "access/distance.h"
#include "edge/specks.h"
#include "edge/trace.h"
#include "flyway/lattice.h"
#include "grid/study.h"
#include "grid/vectors.h"
#include "survey/result.h"
#include "survey/walk_rule.h"
#include "terrain/horizon.h"

struct sel_coarse;

// Cells of known habitat that the first pass met, where a canopy raster is given.
struct sel_canopy_count {
    int64_t cells;
    int64_t unknown;   // of them without a height: the habitat's stands there
    int64_t coverless; // of them with trees above the head where the habitat has no cover
};

struct sel_job {
    const struct sel_plan *plan;   // borrowed
    const struct sel_study *study; // borrowed
    struct sel_lengths lengths;
    struct sel_contrast contrast;
    struct sel_speck_rule specks;
    struct sel_tangent_rule tangent;
    struct sel_belt_rule belt;
    struct sel_trace_rule trace;
    struct sel_horizon_rule horizon;
    struct sel_narrow *narrow;        // NULL: no narrow habitats
    struct sel_polygons *area;        // NULL: the whole grid
    struct sel_polygons **zones;      // one per plan zone, in the plan's order
    struct sel_polygons *parcels;     // NULL: none
    struct sel_polygons *blocks;      // for quotas; NULL: none
    struct sel_segment_index *access; // starts; NULL: no access layer
    struct sel_segment_index *ways;   // NULL: none
    struct sel_walk_rule walking;
    struct sel_choice_point *occupied;
    size_t occupied_count;
    struct sel_layer_tally *access_tallies; // owned; one per plan access layer
    struct sel_layer_tally occupied_tally;
    bool in_use[SEL_CRITERIA];
    double weights[SEL_CRITERIA];
    struct sel_window focus;        // the cells under study: the grid, or the study area's extent
    int64_t halo;                   // cells around a tile's core whose habitats the kernels see
    struct sel_coarse *coarse;      // far levels of the surface; set up by the first pass
    struct sel_canopy_count canopy; // counted by it
};

sel_status sel_job_new(sel_context *context, const struct sel_plan *plan,
    const struct sel_study *study, struct sel_job *job);
void sel_job_clear(struct sel_job *job);

#endif
