// SPDX-License-Identifier: MIT
//
// Bearings of the flyway, the edge, the trap's panel and its collecting head. Degrees clockwise
// from grid north (true north after the convergence is added), 0 <= bearing < 360; axes
// (edge, panel, flyway) 0 <= bearing < 180.
#ifndef SEL_FLYWAY_BEARING_H
#define SEL_FLYWAY_BEARING_H

#include "edge/tangent.h"
#include "plan/plan.h"

// Grid bearing of a vector (x east, y south).
double sel_bearing_of(struct vec2 direction);

// Folds any angle into [0, 360), or an axis into [0, 180).
double sel_bearing_fold(double degrees);
double sel_axis_fold(double degrees);

struct sel_trap_bearings {
    double edge_deg, flyway_deg, panel_deg; // axes
    double head_deg;                        // a direction: the panel's lighter end
    bool head_clear;                        // false: weak choice, the eastern end was taken
};

// `convergence_deg` turns grid into true bearings. `light_azimuth_deg` is the season's
// irradiance-weighted mean beam azimuth, true; NAN when there is none.
// Across: the panel runs along the edge. Along: the panel stands at right angles to the edge.
// The head points to the panel end with the larger component along the light; where that component
// is below 0.1 the eastern end is taken and head_clear is false; for a panel due north-south with
// a weak choice, the end toward the equator's noon sun is not known here: the northern end.
struct sel_trap_bearings sel_trap_bearings_of(const struct sel_tangent *tangent,
    enum sel_flight flight, double convergence_deg, double light_azimuth_deg);

#endif
