// SPDX-License-Identifier: MIT
//
// The far field of a horizon: rays over the coarser levels. Internal to the horizon.
//
// Ground and canopy tops are met where a ray crosses a main line of level cells, and are linear
// between the two centres there. Unknown cells are passed over.
#ifndef SEL_TERRAIN_FAR_H
#define SEL_TERRAIN_FAR_H

#include "terrain/strips.h"

// Where the observer stands in a far field.
struct sel_far_start {
    const struct sel_far_field *field;
    const struct sel_strips *strips;
    int64_t x, y; // from the centre of the window's north-west cell, in level cells, 2^-32
    float eye_m;  // height of the eye
};

// Looks in all directions, after the nearer fields; raises the sights.
void sel_far_look(const struct sel_far_start *start,
    const struct sel_ray rays[SEL_HORIZON_DIRECTIONS],
    struct sel_sight sights[SEL_HORIZON_DIRECTIONS]);

// Whether a ray meets unknown ground.
bool sel_far_meets_unknown(
    const struct sel_far_start *start, const struct sel_ray rays[SEL_HORIZON_DIRECTIONS]);

#endif
