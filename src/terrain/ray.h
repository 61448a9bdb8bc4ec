// SPDX-License-Identifier: MIT
//
// What the near and the far part of a horizon's rays share. Internal to the horizon.
//
// A ray crosses lines of cell centres: its main lines (rows, or columns when it runs more east-west
// than north-south) and its cross lines. Places are whole numbers of 2^-32 cells, so that a ray
// does the same wherever it starts and a mirrored or turned scene gives the mirrored or turned
// horizon.
#ifndef SEL_TERRAIN_RAY_H
#define SEL_TERRAIN_RAY_H

#include "base/vec2.h"
#include "terrain/horizon.h"

// Curvature lowers what stands at distance d by (1 - k) d^2 / (2 R), k = 1/7.
static const double SEL_DROP_PER_M = (1.0 - 1.0 / 7.0) / (2.0 * 6371000.0);
static const int64_t SEL_ONE_CELL = (int64_t)1 << 32;

struct sel_ray_lines {
    int64_t slope; // cells along the line from one line to the next, 2^-32; a multiple of 32
    int sign;      // the way in which the lines' indices go; 0: the ray runs along them
    double line_m; // metres of ray from one line to the next
};

struct sel_ray {
    bool along_x; // the main lines are columns
    struct sel_ray_lines main, cross;
    // Where each level's main lines begin (after) and end (at): lines of that level, 2^-32.
    int64_t from[SEL_SURFACE_LEVELS], to[SEL_SURFACE_LEVELS];
    int64_t cross_to; // how far the cross lines of level 0 are looked at too
};

// A direction of the horizon as a unit vector on the map, x east, y south.
struct vec2 sel_ray_vector(int direction);

// The ray of a direction of the horizon; cells in metres.
struct sel_ray sel_ray_of(
    const struct sel_horizon_rule *rule, int direction, double cell_x_m, double cell_y_m);

// What one ray has seen so far.
struct sel_sight {
    float ground_tan; // of the highest elevation angle of the ground
    float canopy_tan; // of the canopy; never less than the ground's
    float cover;      // closure of the canopy that made it; 0 where the ground did
};

static inline void sel_sight_raise_ground(struct sel_sight *sight, float tangent) {
    sight->ground_tan = tangent;
    if (tangent >= sight->canopy_tan) {
        sight->canopy_tan = tangent;
        sight->cover = 0.0f;
    }
}

#endif
