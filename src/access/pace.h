// SPDX-License-Identifier: MIT
//
// How fast people walk on slopes: Tobler (1993), Three presentations on geographical analysis and
// modeling, NCGIA technical report 93-1: v = 6 exp(-3.5 |s + 0.05|) km/h, times 0.6 off a path.
// A walk to a site is made there and back, so its cost is the mean of both, the same either way.
#ifndef SEL_ACCESS_PACE_H
#define SEL_ACCESS_PACE_H

#include <stdint.h>

// Share of the path's speed that is left off a path.
static const double SEL_WALK_OFF_PATH = 0.6;

// Speed on a path, km/h; slope is rise over run, uphill positive.
double sel_walk_speed_kmh(double slope);

// Minutes per map metre on a path, one way. INFINITY on a cliff.
double sel_walk_pace_one_way(double slope);

// The same, mean of out and back; the sign of the slope does not matter. Least on the flat, where
// it is 1 / (5.0367 km/h).
double sel_walk_pace(double slope);

// How many cells around a window can matter for a walk of at most limit_min minutes: no walk within
// the limit leads farther, so a window with this halo gets the same times as the whole country.
// At 60 minutes about 5.04 km.
int64_t sel_walk_halo(double limit_min, double cell_m);

#endif
