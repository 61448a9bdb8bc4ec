// SPDX-License-Identifier: MIT
//
// Our own model: a raster shows an edge as steps of a cell, which a survey of the same ground on
// another grid would put elsewhere. Taken for trees beside the head they made its light a matter of
// chance; docs/method-sun.md gives the figures.
#include "terrain/margin.h"

#include <math.h>

#include "terrain/ray.h"

static const double STEP = 2.0 * 3.141592653589793 / SEL_HORIZON_DIRECTIONS;

// Which share of the sector around a direction lies on side a: from 0 to 1 over one direction.
static float share_of_a(struct vec2 toward_a, int direction) {
    struct vec2 way = sel_ray_vector(direction);
    double across = way.x * toward_a.x + way.y * toward_a.y; // sine of the angle from the edge
    double share = 0.5 + asin(fmax(-1.0, fmin(1.0, across))) / STEP;
    return (float)fmax(0.0, fmin(1.0, share));
}

static struct sel_margin_side mixed(const struct sel_margin *margin, float share) {
    struct sel_margin_side a = margin->a, b = margin->b;
    if (share >= 1.0f)
        return a;
    if (share <= 0.0f)
        return b;
    return (struct sel_margin_side){
        a.tangent > b.tangent ? a.tangent : b.tangent, share * a.cover + (1.0f - share) * b.cover};
}

void sel_margin_raise(const struct sel_margin *margin, struct sel_horizon *horizon) {
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
        struct sel_margin_side side = mixed(margin, share_of_a(margin->toward_a, i));
        if (side.tangent > horizon->canopy_tan[i]) {
            horizon->canopy_tan[i] = side.tangent;
            horizon->cover[i] = side.cover;
        }
    }
}
