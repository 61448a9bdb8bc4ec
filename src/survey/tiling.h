// SPDX-License-Identifier: MIT
//
// How the ground is cut: into the fixed lattice of 512-cell blocks, a run of which is a part, and
// the blocks of a part into tiles. Blocks, and so parts, depend on the plan and its data alone;
// tiles also on the memory and the threads at hand.
#ifndef SEL_SURVEY_TILING_H
#define SEL_SURVEY_TILING_H

#include "survey/job.h"

// A run of the blocks that the focus touches, counted row by row.
struct sel_cut {
    struct sel_window blocks; // all of them, in blocks of the grid
    int64_t first, end;       // those of the run: first <= number < end
};

struct sel_cut sel_cut_of(const struct sel_job *job, const sel_run_options *options);

// A rectangle of blocks and the tiles that cover it.
struct sel_tile_field {
    struct sel_window blocks, tiles;
};

// A run of blocks is at most three rectangles: the rest of a row, whole rows, the begin of a row.
enum { SEL_TILE_FIELDS = 3 };

struct sel_tiling {
    struct sel_cut cut;
    int64_t tile_cells; // multiple of 512
    int64_t count;      // of tiles
    struct sel_tile_field fields[SEL_TILE_FIELDS];
    int field_count;
};
struct sel_tiling sel_tiling_of(const struct sel_job *job, const sel_run_options *options);

// The cells of a tile, 0 <= index < count: whole blocks, which may reach beyond the grid.
struct sel_window sel_tile_core(const struct sel_tiling *tiling, int64_t index);

// The working memory of that many tiles at a time, MiB: an estimate.
double sel_tiling_memory_mb(
    const struct sel_tiling *tiling, const struct sel_job *job, int threads);

#endif
