// SPDX-License-Identifier: MIT
//
// With p = 3.5 |s| and q = 3.5 * 0.05, the mean of exp|p + q| and exp|p - q| is exp(p) cosh(q) for
// p >= q and exp(q) cosh(p) below: one exponential instead of two, or none, as up to p = 0.175 the
// first terms of cosh's series reach the last bit of a double.
#include "access/pace.h"

#include <math.h>

static const double TOP_KMH = 6;
static const double STEEPNESS = 3.5;
static const double FASTEST_SLOPE = -0.05;
static const double METRES_PER_MINUTE = 1000.0 / 60; // in 1 km/h
static const double EXP_Q = 1.191246216612358;       // exp(0.175)
static const double COSH_Q = 1.0153516186907827;     // cosh(0.175)

double sel_walk_speed_kmh(double slope) {
    return TOP_KMH * exp(-STEEPNESS * fabs(slope - FASTEST_SLOPE));
}

double sel_walk_pace_one_way(double slope) {
    return exp(STEEPNESS * fabs(slope - FASTEST_SLOPE)) / (TOP_KMH * METRES_PER_MINUTE);
}

// 1 + p^2/2! + ... + p^10/10!; the next term is below 2e-18 for p <= 0.175.
static double cosh_of_small(double p) {
    double square = p * p;
    double sum = 1 + square / 90;
    sum = 1 + square / 56 * sum;
    sum = 1 + square / 30 * sum;
    sum = 1 + square / 12 * sum;
    return 1 + square / 2 * sum;
}

double sel_walk_pace(double slope) {
    double p = STEEPNESS * fabs(slope), q = -STEEPNESS * FASTEST_SLOPE;
    double mean = p >= q ? exp(p) * COSH_Q : EXP_Q * cosh_of_small(p);
    return mean / (TOP_KMH * METRES_PER_MINUTE);
}

int64_t sel_walk_halo(double limit_min, double cell_m) {
    return (int64_t)ceil(limit_min / sel_walk_pace(0) / cell_m) + 1;
}
