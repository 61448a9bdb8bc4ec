// SPDX-License-Identifier: MIT
//
// A tract of walking ground: a window of the walking grid, filled part by part from the rasters,
// with the cells where walks begin, then searched. Belongs to one thread.
#ifndef SEL_SURVEY_WALK_TRACT_H
#define SEL_SURVEY_WALK_TRACT_H

#include "access/walk_blocks.h"
#include "survey/worker.h"

struct sel_walk_tract {
    struct sel_window window; // walking cells
    struct sel_walk walk;
    struct sel_walk_start *starts; // owned
    size_t start_count, start_capacity;
    struct vec2 *places; // owned; where each start's walk begins, metres from the grid's corner
    size_t place_capacity;
    // The part filled last, with a ring around it.
    struct sel_window ring; // walking cells
    struct sel_walk_study study;
    struct sel_walk_scratch *scratch;
    struct sel_buffer marks, piece, blocks;
};

// Zero-initialise a tract before its first use.
void sel_walk_tract_clear(struct sel_walk_tract *tract);

// Lays out a window without ground and starts.
sel_status sel_walk_tract_lay(sel_context *context, const struct sel_job *job,
    struct sel_walk_tract *tract, struct sel_window window);

// Fills a part of the window from the rasters, the narrow habitats and the access layers. Parts
// may come in any order; what is filled does not depend on how the window is cut.
sel_status sel_walk_tract_fill(sel_context *context, struct sel_worker *worker,
    struct sel_walk_tract *tract, struct sel_window part);

// The cells of the walk from which a place of the part filled last, at half-cells (hx, hy) of the
// study grid, can be reached: those of its study cell, or of the two that it lies between.
enum { SEL_TRACT_ANCHORS_MOST = 2 * SEL_WALK_ANCHORS_MOST };
int sel_walk_tract_anchors(
    struct sel_walk_tract *tract, int64_t hx, int64_t hy, int64_t anchors[SEL_TRACT_ANCHORS_MOST]);

sel_status sel_walk_tract_search(
    sel_context *context, struct sel_walk_tract *tract, double limit_min);

// Where the walk that begins in a cell of the window begins: on the start that runs through the
// cell's piece.
struct vec2 sel_walk_tract_beginning(const struct sel_walk_tract *tract, int64_t cell);

// How the place is reached from one of its anchors, after the search.
struct sel_walk_leg sel_walk_tract_leg(const struct sel_walk_tract *tract,
    const struct sel_job *job, int64_t anchor, int64_t hx, int64_t hy);

// The chunk, in chunks of the walking grid, that a place counts with.
void sel_walk_chunk_of(const struct sel_walk_rule *rule, int64_t hx, int64_t hy, int64_t *chunk_row,
    int64_t *chunk_col);

// A chunk's walking cells, cut to a window; without rows or columns where they do not meet.
struct sel_window sel_walk_chunk(const struct sel_walk_rule *rule, int64_t chunk_row,
    int64_t chunk_col, struct sel_window within);

// Whether a walk within the limit can lead from any start into a chunk; true may err.
bool sel_walk_chunk_in_reach(const struct sel_job *job, int64_t chunk_row, int64_t chunk_col);

// The middle of a walking cell, metres east and south of the study grid's corner.
struct vec2 sel_walk_middle(const struct sel_walk_rule *rule, int64_t row, int64_t col);

#endif
