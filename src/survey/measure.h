// SPDX-License-Identifier: MIT
//
// The tiled pass over the ground: everything that is measured, before anything is judged.
#ifndef SEL_SURVEY_MEASURE_H
#define SEL_SURVEY_MEASURE_H

#include "survey/tile.h"

// What the tiles found. Candidates are in no particular order: the judging sorts them.
struct sel_findings {
    struct sel_candidates candidates;
    struct sel_tile_counts counts; // edge_mm owned here
};
sel_status sel_findings_init(
    sel_context *context, const struct sel_plan *plan, struct sel_findings *findings);
void sel_findings_clear(struct sel_findings *findings);

// How a survey is cut into tiles: blocks of 512 cells, grouped; a part takes a run of tiles.
struct sel_tiling {
    int64_t tile_cells;           // multiple of 512
    int64_t first_row, first_col; // of the first tile, in tiles
    int64_t rows, cols;           // in tiles
    int64_t first, count;         // the tiles of this part, in row-major order
    struct sel_window blocks;     // the 512-cell blocks that the focus touches
};
struct sel_tiling sel_tiling_of(const struct sel_job *job, const sel_run_options *options);

// Runs the tiles of this part on the workers and adds what they find.
sel_status sel_measure(sel_context *context, const struct sel_job *job,
    const struct sel_tiling *tiling, struct sel_worker *workers, int threads,
    const struct sel_edge_sink *sink, struct sel_findings *findings);

#endif
