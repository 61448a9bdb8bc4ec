// SPDX-License-Identifier: MIT
//
// All comparisons with NAN are false, so what is not known never counts as low or near.
#include "survey/flood.h"

#include <math.h>

const double SEL_FLOOD_LOW_M = 1.0, SEL_FLOOD_FAR_M = 100.0;
const double SEL_FLOOD_RAISED_M = 2.0, SEL_FLOOD_NEAR_M = 50.0;
const double SEL_FLOOD_BESIDE_M = 25.0;
const double SEL_WET_HABITAT = 0.6;

bool sel_may_flood(double water_m, double above_water_m) {
    bool low = above_water_m < SEL_FLOOD_LOW_M && water_m <= SEL_FLOOD_FAR_M;
    bool raised = above_water_m < SEL_FLOOD_RAISED_M && water_m <= SEL_FLOOD_NEAR_M;
    return low || raised || water_m <= SEL_FLOOD_BESIDE_M;
}

bool sel_water_is_unmapped(double water_m, double wetness_a, double wetness_b) {
    bool wet = wetness_a >= SEL_WET_HABITAT || wetness_b >= SEL_WET_HABITAT;
    bool mapped = water_m <= SEL_FLOOD_FAR_M;
    return wet && !mapped;
}
