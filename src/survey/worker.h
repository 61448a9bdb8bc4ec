// SPDX-License-Identifier: MIT
//
// What one thread owns while it works on tiles: its raster handles, query handles and buffers, all
// kept from tile to tile.
#ifndef SEL_SURVEY_WORKER_H
#define SEL_SURVEY_WORKER_H

#include "survey/job.h"
#include "terrain/exposure.h"

// The season's light in one block: see light.h.
struct sel_block_light {
    int64_t block_row, block_col;
    struct sel_season *season; // NULL: the slot is free
    double convergence;
};

enum { SEL_LIGHT_SLOTS = 32 };

// A byte buffer that only grows.
struct sel_buffer {
    void *bytes;
    size_t capacity;
};

// The arrays of one surface level.
struct sel_level_buffers {
    struct sel_buffer ground, top, cover;
};

// The horizon's rays laid out for level-0 windows of some width, and a view for cores of some size.
struct sel_lookout {
    int64_t near_cols, core_most;
    struct sel_horizon_plan *plan;
    struct sel_horizon_view *view; // NULL: the slot is free
};

enum { SEL_LOOKOUT_SLOTS = 4 };

struct sel_worker {
    const struct sel_job *job; // borrowed
    struct sel_reader *reader;
    struct sel_projector *projector;
    struct sel_polygons_query *area, **zones, *parcels;
    struct sel_speck_scratch *specks;
    struct sel_lattice_scratch *lattice;
    struct sel_trace_scratch *trace;
    struct sel_cracks cracks;
    struct sel_traced_lines lines;
    struct sel_prospect *prospects;
    size_t prospect_capacity;
    size_t *winners;
    size_t winner_capacity;
    struct sel_buffer wide, raw, used, elevation, canopy;
    struct sel_canopy_count canopy_count;
    struct sel_level_buffers surface[SEL_SURFACE_LEVELS], peek;
    struct sel_block_light light[SEL_LIGHT_SLOTS];
    int next_light;
    struct sel_lookout lookouts[SEL_LOOKOUT_SLOTS];
    int next_lookout;
};

sel_status sel_worker_new(
    sel_context *context, const struct sel_job *job, struct sel_worker *worker);
void sel_worker_clear(struct sel_worker *worker);

// Gives the windows' memory back; what is needed later is taken anew.
void sel_worker_rest(struct sel_worker *worker);

// At least `bytes` bytes; NULL when memory is out.
void *sel_buffer_take(struct sel_buffer *buffer, size_t bytes);

void sel_lookout_clear(struct sel_lookout *lookout);

// Room for `cells` cells of a surface level; false when memory is out.
bool sel_level_take(
    struct sel_level_buffers *buffers, size_t cells, float **ground, float **top, uint8_t **cover);

#endif
