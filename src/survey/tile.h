// SPDX-License-Identifier: MIT
//
// One tile: from habitats and elevation to measured candidates and traced edges.
#ifndef SEL_SURVEY_TILE_H
#define SEL_SURVEY_TILE_H

#include "survey/worker.h"

struct sel_candidates {
    struct sel_candidate *items; // owned
    size_t count, capacity;
};
void sel_candidates_clear(struct sel_candidates *candidates);

// Takes the traced lines of one block; may be called from several threads.
struct sel_edge_sink {
    sel_status (*add)(
        void *user, int64_t block_row, int64_t block_col, const struct sel_traced_lines *lines);
    void *user;
};

// What a tile yields besides its candidates; sums over tiles are exact whole numbers.
struct sel_tile_counts {
    int64_t cracks;
    int64_t fates[SEL_FATES];
    int64_t *edge_mm; // (habitats + 1)^2, by a * (habitats + 1) + b; owned by the caller
};

// `core` is a window of whole 512-cell blocks, which may reach beyond the grid. Appends the
// candidates of the lattice squares it owns, hands its blocks' edges to the sink and adds to the
// counts.
sel_status sel_tile_run(sel_context *context, struct sel_worker *worker, struct sel_window core,
    const struct sel_edge_sink *sink, struct sel_candidates *candidates,
    struct sel_tile_counts *counts);

#endif
