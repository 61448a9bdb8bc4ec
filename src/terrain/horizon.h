// SPDX-License-Identifier: MIT
//
// Horizons at a point: how high ground and canopy stand in each direction, and the sky they leave.
//
// Rays over the surface in SEL_HORIZON_DIRECTIONS directions to reach_m, with Earth curvature and
// refraction (k = 1/7, as in surveying practice and GDAL's viewshed). Two horizons: the ground's,
// which blocks, and the canopy's (ground plus canopy height), which lets 1 - cover through. The
// observer is the collecting head, head_m above the ground at the point itself. Canopy cells are
// boxes, cut away within opening_m of the point. The near field is looked at in full resolution,
// the far field on coarser, grid-anchored levels; no level depends on the window.
// docs/method-sun.md defines the surface and gives the errors.
//
// Use: one plan per run; one view per thread, aimed at one tile after the other.
#ifndef SEL_TERRAIN_HORIZON_H
#define SEL_TERRAIN_HORIZON_H

#include <stdbool.h>
#include <stdint.h>

#include "base/status.h"
#include "terrain/surface.h"

enum { SEL_HORIZON_DIRECTIONS = 72 }; // azimuth i * 5 degrees from grid north, clockwise

struct sel_horizon_rule {
    double reach_m;   // 10 000
    double head_m;    // 1.8
    double opening_m; // 4
    // Canopy nearer than this is not looked at cell by cell: at an edge its two sides stand for it,
    // see sel_horizon_at_edge. 0: every cell from the opening on.
    double margin_m;
};

// The margin used at edges: one and a half cells, the larger side of a cell counting. 0 where the
// opening is as wide as a cell: what is cut then hides the steps of the cells.
double sel_horizon_margin(double opening_m, double cell_x_m, double cell_y_m);

// How far from the point a level is looked at, in study cells: what a window must hold on each side
// of every point. `cell_m` is the smaller side of a study cell.
int64_t sel_horizon_level_reach(const struct sel_horizon_rule *rule, double cell_m, int level);

// Everything about the rays that does not depend on the place, for level-0 windows of exactly
// `near_cols` columns. Read-only once made: threads share it.
struct sel_horizon_plan;
// SEL_NO_MEMORY without message.
sel_status sel_horizon_plan_new(const struct sel_horizon_rule *rule, double cell_x_m,
    double cell_y_m, int64_t near_cols, struct sel_horizon_plan **plan);
void sel_horizon_plan_free(struct sel_horizon_plan *plan);

// A tile's surface, made ready to look at from the points of its core. The plan is borrowed.
struct sel_horizon_view;
// For cores of at most core_most study cells along either axis. SEL_NO_MEMORY without message.
sel_status sel_horizon_view_new(
    const struct sel_horizon_plan *plan, int64_t core_most, struct sel_horizon_view **view);
void sel_horizon_view_free(struct sel_horizon_view *view);

// Aims the view: points may then lie anywhere in `core` (study cells), its border included. The
// surface's arrays are borrowed until the view is aimed anew; its windows must hold the core and
// sel_horizon_level_reach around it, and may be larger. False when they do not, when level 0 is not
// near_cols wide or the core is larger than the view was made for.
bool sel_horizon_view_aim(
    struct sel_horizon_view *view, const struct sel_surface *surface, struct sel_window core);

struct sel_horizon {
    float ground_tan[SEL_HORIZON_DIRECTIONS]; // tangent of the elevation angle; >= 0
    float canopy_tan[SEL_HORIZON_DIRECTIONS]; // >= ground_tan
    float
        cover[SEL_HORIZON_DIRECTIONS]; // closure of the canopy that makes the canopy horizon, 0..1
    bool complete;                     // false where a ray meets unknown ground within reach
};

// The horizon at a half-cell position of the core of a view that has been aimed. Ground height
// there is the mean of the cells that touch the position. False when that is unknown or the
// position is not in the core. Pure; no allocation. The result depends on the surface around the
// position alone, not on core or windows.
bool sel_horizon_at(
    const struct sel_horizon_view *view, int64_t hx, int64_t hy, struct sel_horizon *out);

// The canopy of one side of an edge.
struct sel_horizon_side {
    float height_m; // NAN: that of the crack's cell on this side
    float cover;    // 0: no canopy
};

// The edge that a head stands at.
struct sel_horizon_edge {
    int64_t hx, hy;                // the middle of a crack
    double toward_a_x, toward_a_y; // across the edge, a unit vector, x east, y south
    bool a_first;                  // side a is the crack's northern or western cell
    struct sel_horizon_side a, b;
};

// The same at an edge. Within the margin the steps that square cells make of an edge are no trees:
// there the edge is straight, and each side has its canopy from the opening on. In a direction
// along the edge the taller side makes the horizon, and each side's closure counts by its share of
// the five degrees around.
bool sel_horizon_at_edge(const struct sel_horizon_view *view, const struct sel_horizon_edge *edge,
    struct sel_horizon *out);

// Sky view factor of the horizontal (cosine-weighted), 0..1, canopy letting 1 - cover through;
// exactly 1 where nothing stands above the horizontal.
double sel_sky_view(const struct sel_horizon *horizon);

#endif
