// SPDX-License-Identifier: MIT
//
// The canopy next to a head at an edge: two half-planes, parted by the edge's tangent. Internal to
// the horizon.
#ifndef SEL_TERRAIN_MARGIN_H
#define SEL_TERRAIN_MARGIN_H

#include "base/vec2.h"
#include "terrain/horizon.h"

struct sel_margin_side {
    float tangent; // of the canopy's top where the opening ends; -INFINITY: no canopy
    float cover;
};

struct sel_margin {
    struct vec2 toward_a; // unit vector across the edge, x east, y south
    struct sel_margin_side a, b;
};

// Raises the canopy's horizon by the two sides.
void sel_margin_raise(const struct sel_margin *margin, struct sel_horizon *horizon);

#endif
