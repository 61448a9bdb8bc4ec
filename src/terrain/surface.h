// SPDX-License-Identifier: MIT
//
// The surface that shades a place: ground and canopy on three levels of ever larger cells.
//
// Level l has cells of 4^l x 4^l study cells, anchored so that level cell (0, 0) covers study cells
// (0..4^l-1, 0..4^l-1); so a level cell is the same whatever window it is built for.
#ifndef SEL_TERRAIN_SURFACE_H
#define SEL_TERRAIN_SURFACE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "grid/grid.h"

enum { SEL_SURFACE_LEVELS = 3 };

// One level of the surface, a window of it in level cells. Borrowed arrays, row-major. Cells of the
// window for which there are no data are unknown (NAN).
struct sel_surface_level {
    struct sel_window window;
    const float *ground_m; // NAN where unknown. Level 0: the cell's own; above: from coarsen
    // Level 0: ground + canopy, and -INFINITY where there is no canopy or no ground is known.
    // Above: from coarsen, at least the ground, and NAN with it.
    const float *canopy_top_m;
    const uint8_t *cover; // canopy closure in 1/255; read only where there is canopy
};

struct sel_surface {
    struct sel_surface_level levels[SEL_SURFACE_LEVELS];
};

// The level cells that cover a window of study cells.
struct sel_window sel_surface_window(struct sel_window study, int level);

// Builds level l + 1 from level l for a window (level-(l+1) cells). The crossing height of a cell
// is the mean of the highest known cells of its four rows and four columns: what a ray that crosses
// the cell meets. Ground is three quarters of the ground's crossing height and a quarter of its
// mean. The canopy top adds to it what canopy adds to the crossing height. Cover is the mean over
// the cells that have canopy. A cell none of whose sixteen is known is unknown; cells outside the
// fine window are unknown: so level 1 must cover all of level 2, and level 0 all of level 1. Pure.
void sel_surface_coarsen(const struct sel_surface_level *fine, struct sel_window coarse_window,
    float *ground_m, float *canopy_top_m, uint8_t *cover);

#endif
