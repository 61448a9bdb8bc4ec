// SPDX-License-Identifier: MIT
//
// Sky view factor: the share of the light of an evenly bright sky that falls on the horizontal. A
// direction whose horizon stands at elevation H keeps cos^2 H of its light (Johnson & Watson 1984,
// Journal of Climate and Applied Meteorology 23; from memory), or loses tan^2 H / (1 + tan^2 H).
// Between the ground's and the canopy's horizon the canopy's closure is lost.
#include "terrain/horizon.h"

static inline float hidden(float tangent) {
    float square = tangent * tangent;
    return square / (1.0f + square);
}

double sel_sky_view(const struct sel_horizon *horizon) {
    double lost = 0.0;
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
        float ground = hidden(horizon->ground_tan[i]), canopy = hidden(horizon->canopy_tan[i]);
        lost += (double)(ground + (canopy - ground) * horizon->cover[i]);
    }
    return 1.0 - lost / SEL_HORIZON_DIRECTIONS;
}
