// SPDX-License-Identifier: MIT
//
// The surface that shades a place: ground and canopy on three levels of ever larger cells, with the
// greatest heights of blocks of cells, by which a ray passes over what cannot rise above what it
// has already seen.
//
// Level l has cells of 4^l x 4^l study cells, anchored so that level cell (0, 0) covers study cells
// (0..4^l-1, 0..4^l-1); so a level cell is the same whatever window it is built for.
#ifndef SEL_TERRAIN_SURFACE_H
#define SEL_TERRAIN_SURFACE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "grid/grid.h"

enum {
    SEL_SURFACE_LEVELS = 3,
    SEL_SURFACE_BLOCK = 16 // cells of a level along a block's side
};

// What a block of cells, and the cells around it, cannot exceed.
struct sel_surface_bound {
    float ground_m, canopy_top_m; // greatest; -INFINITY where there is none
    bool unknown;                 // some cell's ground is unknown
};

// One level of the surface, a window of it in level cells. Borrowed arrays, row-major. Cells of the
// window for which there are no data are unknown (NAN), and the window must be large enough: see
// sel_horizon_level_reach.
struct sel_surface_level {
    struct sel_window window;
    const float *ground_m; // NAN where unknown. Level 0: the cell's own; above: from coarsen
    // Level 0: ground + canopy, and -INFINITY where there is no canopy or no ground is known.
    // Above: from coarsen, at least the ground.
    const float *canopy_top_m;
    const uint8_t *cover; // canopy closure in 1/255; read only where there is canopy
    // From sel_surface_bound; NULL: none. They change how fast a horizon is found, never which.
    const struct sel_surface_bound *bounds;
};

struct sel_surface {
    struct sel_surface_level levels[SEL_SURFACE_LEVELS];
};

// The level cells that cover a window of study cells.
struct sel_window sel_surface_window(struct sel_window study, int level);

// How many bounds a window has: one per block, and at the end one for the whole window.
size_t sel_surface_bound_count(struct sel_window window);

// Fills a level's bounds from its ground and canopy tops. Pure.
void sel_surface_bound(const struct sel_surface_level *level, struct sel_surface_bound *bounds);

// Builds level l + 1 from level l for a window (level-(l+1) cells). Ground and canopy top are each
// the mean of the highest known cells of the four rows and the four columns: what a ray that
// crosses the cell meets. Cover is the mean over the cells that have canopy. A cell none of whose
// sixteen is known is unknown; cells outside the fine window are unknown. Pure.
void sel_surface_coarsen(const struct sel_surface_level *fine, struct sel_window coarse_window,
    float *ground_m, float *canopy_top_m, uint8_t *cover);

#endif
