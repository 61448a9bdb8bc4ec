// SPDX-License-Identifier: MIT
//
// The flyway transect: a belt across the edge, reach_m to each side, belt_m wide, and what it
// meets.
//
// Both sides start at the crack's middle, at right angles to the tangent. First the centre line
// decides how long a side's belt is (centre_line.h has the exact rules): it ends where the side's
// own habitat ends, but is at least two cells long, so that a narrow strip is not diluted by what
// lies beyond it. Then the belt is sampled by points no more than half a cell apart (half the
// shorter side of a cell), rows centred in equal steps and an even number of lanes, none on the
// centre line. Composition p (side a) and q (side b); edge contrast = sum p_i q_j c_ij over the
// known samples.
#ifndef SEL_FLYWAY_BELT_H
#define SEL_FLYWAY_BELT_H

#include "edge/tangent.h"
#include "flyway/contrast.h"

struct sel_belt_rule {
    double cell_x_m, cell_y_m;
    double reach_m, belt_m;
};

struct sel_belt {
    float contrast;             // 0..1, rounded to 1e-6
    float known_a, known_b;     // share of each side's samples that are known, 0..1
    float depth_a_m, depth_b_m; // along the centre line until the own habitat ends, at most reach_m
};

// Least share of the belt that must be known (on each side).
static const double SEL_BELT_KNOWN_LEAST = 0.8;

// Cells around the crack that the view must hold.
int sel_belt_halo(const struct sel_belt_rule *rule);

// Pure; no allocation. False when less than SEL_BELT_KNOWN_LEAST of either side is known (`out` is
// filled all the same). A shift by whole cells changes nothing, to the last bit; mirroring and
// turning agree to 1e-6.
bool sel_measure_belt(const struct sel_habitat_view *view, const struct sel_crack *crack,
    const struct sel_tangent *tangent, const struct sel_belt_rule *rule,
    const struct sel_contrast *contrast, struct sel_belt *out);

#endif
