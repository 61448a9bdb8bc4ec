// SPDX-License-Identifier: MIT
//
// One ray over one level of the surface: how high it must look to pass over the ground, and over
// the canopy. Internal to the horizon.
//
// A ray is a run over main lines: rows or columns of cell centres for what is interpolated, rows or
// columns of cells for boxes. It goes block by block, and where a block's bound cannot rise above
// what was seen before, its lines are left out. The comparison is the one made for a line, at the
// block's nearest line and with a height that nothing in the block exceeds, and float arithmetic is
// monotone, so leaving out never changes a result. Places are whole numbers of 2^-32 cells, so that
// a ray does the same wherever it starts.
//
// Curvature lowers what stands at distance d by (1 - k) d^2 / (2 R); refraction k = 1/7, as in
// surveying practice and GDAL's viewshed.
#ifndef SEL_TERRAIN_RAY_H
#define SEL_TERRAIN_RAY_H

#include "terrain/horizon.h"

static const float SEL_RAY_DROP = (float)((1.0 - 1.0 / 7.0) / (2.0 * 6371000.0));
static const float SEL_RAY_MARGIN_M = 0.01f; // above rounding in an interpolated height

// Where the observer stands on one level.
struct sel_ray_start {
    const struct sel_surface_level *level;
    int number;    // of the level
    int64_t x, y;  // from the centre of the window's north-west cell, in level cells, 2^-32
    bool roomy;    // no ray of this level leaves the window
    float eye_m;   // height of the eye
    float opening_m;
};

// What a ray has seen so far.
struct sel_sight {
    float tangent;   // of the highest elevation angle
    float cover;     // closure of the canopy that made it
    bool incomplete; // it met unknown ground or left a window
};

// Lines still to be crossed.
struct sel_ray_run {
    int64_t main_stride, minor_stride; // elements from line to line, and along a line
    int64_t block_main_stride, block_minor_stride;
    int64_t main, minor; // index of the next line; place along it, 2^-32
    int64_t slope;       // along the line, from one line to the next, 2^-32
    int64_t count;
    int sign;
    float lines, line_m; // distance of the next line in lines; metres per line
};

// A run over the lines beyond `from` up to `to` (2^-32 lines); `half` is 2^31 when places are
// counted from cell borders, 0 from centres. Lines out of the window are cut off.
struct sel_ray_run sel_ray_run_begin(
    const struct sel_ray_start *start, const struct sel_ray_lines *lines, bool along_x);

// Raises the sight over the ground of one level.
void sel_ray_ground(
    const struct sel_ray_start *start, const struct sel_horizon_ray *ray, struct sel_sight *sight);

// The same over the interpolated canopy tops of a coarse level. The sight must already be at least
// the ground's, here and below.
void sel_ray_canopy(
    const struct sel_ray_start *start, const struct sel_horizon_ray *ray, struct sel_sight *sight);

// The same over the canopy boxes of level 0.
void sel_ray_boxes(
    const struct sel_ray_start *start, const struct sel_horizon_ray *ray, struct sel_sight *sight);

// The parts shared by the walks.
static inline void sel_ray_pass(struct sel_ray_run *run, int64_t count) {
    run->main += run->sign * count;
    run->minor += run->slope * count;
    run->lines += (float)count;
    run->count -= count;
}

// Lines up to the end of the block.
static inline int64_t sel_ray_lines_in_block(const struct sel_ray_run *run) {
    int64_t inside = run->main & (SEL_SURFACE_BLOCK - 1);
    int64_t left = run->sign > 0 ? SEL_SURFACE_BLOCK - inside : inside + 1;
    return left < run->count ? left : run->count;
}

#endif
