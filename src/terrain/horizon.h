// SPDX-License-Identifier: MIT
//
// Horizons at a point: how high ground and canopy stand in each direction, and the sky they leave.
//
// Rays over the surface in SEL_HORIZON_DIRECTIONS directions to reach_m, with Earth curvature and
// refraction (k = 1/7). Two horizons: the ground's, which blocks, and the canopy's (ground plus
// canopy height), which lets 1 - cover through. The observer is the collecting head, head_m above
// the ground at the point itself. Canopy cells are boxes, cut away within opening_m of the point.
// The near field is walked at full resolution, the far field over coarser, grid-anchored levels; no
// level depends on the window. docs/method-sun.md defines the surface and gives the errors.
#ifndef SEL_TERRAIN_HORIZON_H
#define SEL_TERRAIN_HORIZON_H

#include <stdbool.h>
#include <stdint.h>

#include "terrain/surface.h"

enum { SEL_HORIZON_DIRECTIONS = 72 }; // azimuth i * 5 degrees from grid north, clockwise

struct sel_horizon_rule {
    double reach_m;   // 10 000
    double head_m;    // 1.8
    double opening_m; // 4
};

// Lines of cell centres that a ray crosses: those of one axis, at one cell's distance.
struct sel_ray_lines {
    int64_t slope; // cells along the line from one line to the next, in 2^-32; a multiple of 32
    int sign;      // the way in which the lines' numbers go; 0: the ray runs along them
    float line_m;  // metres of ray from one line to the next
};

struct sel_horizon_ray {
    bool along_x; // the main lines are columns: the ray runs more east-west than north-south
    struct sel_ray_lines main, cross;
    // Where each level's lines begin (after) and end (at), in main lines of that level, 2^-32.
    int64_t from[SEL_SURFACE_LEVELS], to[SEL_SURFACE_LEVELS];
    int64_t cross_to; // how far the cross lines of level 0 are looked at too
    int64_t opening;  // the opening, in main lines of level 0, 2^-32
};

// Everything about the rays that does not depend on the place: made once per run.
struct sel_horizon_plan {
    float head_m, opening_m;
    int64_t level_reach[SEL_SURFACE_LEVELS]; // study cells
    struct sel_horizon_ray rays[SEL_HORIZON_DIRECTIONS];
};

void sel_horizon_plan_init(struct sel_horizon_plan *plan, const struct sel_horizon_rule *rule,
    double cell_x_m, double cell_y_m);

// How far from the point a level is looked at, in study cells: what a window must hold on each
// side, so that a horizon does not depend on it. `cell_m` is the smaller side of a cell.
int64_t sel_horizon_level_reach(const struct sel_horizon_rule *rule, double cell_m, int level);

struct sel_horizon {
    float ground_tan[SEL_HORIZON_DIRECTIONS]; // tangent of the elevation angle; >= 0
    float canopy_tan[SEL_HORIZON_DIRECTIONS]; // >= ground_tan
    float cover[SEL_HORIZON_DIRECTIONS]; // closure of the canopy that makes the canopy horizon, 0..1
    bool complete; // false where a ray meets unknown ground or leaves a level's window within reach
};

// The horizon at a half-cell position. Ground height there is the mean of the cells that touch the
// position. False when it is unknown. Pure; no allocation.
bool sel_horizon_at(const struct sel_surface *surface, const struct sel_horizon_plan *plan,
    int64_t hx, int64_t hy, struct sel_horizon *out);

// Sky view factor of the horizontal (cosine-weighted), 0..1, canopy letting 1 - cover through;
// exactly 1 where nothing stands above the horizontal.
double sel_sky_view(const struct sel_horizon *horizon);

#endif
