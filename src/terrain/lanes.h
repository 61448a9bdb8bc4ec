// SPDX-License-Identifier: MIT
//
// Four numbers at a time, by the vector types that GCC and Clang share. Every lane does what the
// same expression on one float does, so results do not depend on how a loop is cut into fours.
#ifndef SEL_TERRAIN_LANES_H
#define SEL_TERRAIN_LANES_H

#include <stdint.h>
#include <string.h>

enum { SEL_LANES = 4 };

typedef float sel_lanes __attribute__((vector_size(16)));
typedef int32_t sel_lane_integers __attribute__((vector_size(16)));

static inline sel_lanes sel_lanes_of(float value) {
    return (sel_lanes){value, value, value, value};
}

static inline sel_lanes sel_lanes_load(const float *values) {
    sel_lanes lanes;
    memcpy(&lanes, values, sizeof lanes);
    return lanes;
}

// The greater of both, lane by lane; `b` where `a` is not a number.
static inline sel_lanes sel_lanes_greater(sel_lanes a, sel_lanes b) {
    sel_lane_integers choose_a = a > b;
    return (sel_lanes)(((sel_lane_integers)a & choose_a) | ((sel_lane_integers)b & ~choose_a));
}

static inline float sel_lanes_greatest(sel_lanes lanes) {
    float one = lanes[0] > lanes[1] ? lanes[0] : lanes[1];
    float other = lanes[2] > lanes[3] ? lanes[2] : lanes[3];
    return one > other ? one : other;
}

#endif
