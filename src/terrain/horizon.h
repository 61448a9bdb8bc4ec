// SPDX-License-Identifier: MIT
//
// Horizons at a point: how high ground and canopy stand in each direction, and the sky they leave.
//
// Rays over the surface in SEL_HORIZON_DIRECTIONS directions to reach_m, with Earth curvature and
// refraction (k = 1/7). Two horizons: the ground's, which blocks, and the canopy's (ground plus
// canopy height), which lets 1 - cover through. The observer is the collecting head, head_m above
// the ground at the point itself. Canopy cells are boxes, and those within opening_m of the point
// are cut away. The near field is walked at full resolution, the far field over coarser,
// grid-anchored levels; no level depends on the window.
#ifndef SEL_TERRAIN_HORIZON_H
#define SEL_TERRAIN_HORIZON_H

#include <stdbool.h>
#include <stdint.h>

#include "base/status.h"
#include "grid/grid.h"

enum {
    SEL_HORIZON_DIRECTIONS = 72, // azimuth i * 5 degrees from grid north, clockwise
    SEL_SURFACE_LEVELS = 3       // level l has cells of 4^l study cells
};

// One level of the surface, a window of it in level cells (anchored so that level cell (0, 0)
// covers study cells (0..4^l-1, 0..4^l-1)). Borrowed arrays, row-major.
struct sel_surface_level {
    struct sel_window window;
    const float *ground_m;     // NAN where unknown. Level 0: the cell's own; above: see docs/method
    const float *canopy_top_m; // ground + canopy, m; equal to ground where there is none
    const uint8_t *cover;      // canopy closure in 1/255
};

struct sel_surface {
    double cell_x_m, cell_y_m;
    struct sel_surface_level levels[SEL_SURFACE_LEVELS];
};

struct sel_horizon_rule {
    double reach_m;   // 10 000
    double head_m;    // 1.8
    double opening_m; // 4
};

// How far from the point each level is walked, in study cells; what a window must hold.
int64_t sel_horizon_level_reach(const struct sel_horizon_rule *rule, double cell_m, int level);

struct sel_horizon {
    float ground_tan[SEL_HORIZON_DIRECTIONS]; // tangent of the elevation angle; >= 0
    float canopy_tan[SEL_HORIZON_DIRECTIONS]; // >= ground_tan
    float
        cover[SEL_HORIZON_DIRECTIONS]; // closure of the canopy that makes the canopy horizon, 0..1
    bool complete; // false where the elevation ends within reach in some direction
};

// The horizon at a half-cell position. Ground height there is the mean of the cells that touch the
// position. False when it is unknown. Pure; no allocation.
bool sel_horizon_at(const struct sel_surface *surface, const struct sel_horizon_rule *rule,
    int64_t hx, int64_t hy, struct sel_horizon *out);

// Builds level l + 1 from level l for a window (level-(l+1) cells): ground is the mean of the known
// cells, canopy likewise its height above ground and its cover. Pure.
void sel_surface_coarsen(const struct sel_surface_level *fine, struct sel_window coarse_window,
    float *ground_m, float *canopy_top_m, uint8_t *cover);

// Sky view factor of the horizontal (cosine-weighted), 0..1, canopy letting 1 - cover through.
double sel_sky_view(const struct sel_horizon *horizon);

#endif
