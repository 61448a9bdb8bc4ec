// SPDX-License-Identifier: MIT
//
// The far field of a horizon: rays over the coarser levels. Internal to the horizon.
//
// Ground and canopy tops are met where a ray crosses a main line of level cells, and are linear
// between the two centres there. A ray goes block by block, and where a block's bound cannot rise
// above what was seen before, its lines are left out; that never changes a result.
#ifndef SEL_TERRAIN_FAR_H
#define SEL_TERRAIN_FAR_H

#include "terrain/ray.h"

// Where the observer stands on one coarse level.
struct sel_far_start {
    const struct sel_surface_level *level;
    int number;   // of the level, 1..
    int64_t x, y; // from the centre of the window's north-west cell, in level cells, 2^-32
    float eye_m;
};

// Looks over one level in one direction, after the levels below it.
void sel_far_look(
    const struct sel_far_start *start, const struct sel_ray *ray, struct sel_sight *sight);

#endif
