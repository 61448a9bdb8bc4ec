// SPDX-License-Identifier: MIT
//
// Bearings of edge, flyway, panel and head from the edge's tangent, the flight and the light.
// The rule for the head is common practice (the collecting head belongs in daylight), no source.
#include "flyway/bearing.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double FULL_TURN = 360, HALF_TURN = 180, QUARTER_TURN = 90;
static const double WEAK_COMPONENT = 0.1; // below this the light does not decide: docs/method.md

static double fold(double degrees, double turn) {
    double folded = fmod(degrees, turn);
    if (folded < 0)
        folded += turn;
    return folded < turn ? folded : 0; // -1e-17 + 360 rounds to 360
}

double sel_bearing_fold(double degrees) {
    return fold(degrees, FULL_TURN);
}

double sel_axis_fold(double degrees) {
    return fold(degrees, HALF_TURN);
}

double sel_bearing_of(struct vec2 direction) {
    return sel_bearing_fold(atan2(direction.x, -direction.y) * HALF_TURN / PI);
}

// A panel axis in [0, 180) is itself the bearing of its eastern end, or of its northern end when it
// stands due north-south; the other end lies half a turn on.
static void point_head(struct sel_trap_bearings *bearings, double light_azimuth_deg) {
    double component = cos((light_azimuth_deg - bearings->panel_deg) * PI / HALF_TURN);
    bearings->head_clear = fabs(component) >= WEAK_COMPONENT; // false for a NAN azimuth
    bool far_end = bearings->head_clear && component < 0;
    bearings->head_deg = bearings->panel_deg + (far_end ? HALF_TURN : 0);
}

struct sel_trap_bearings sel_trap_bearings_of(const struct sel_tangent *tangent,
    enum sel_flight flight, double convergence_deg, double light_azimuth_deg) {
    struct sel_trap_bearings bearings = {
        .edge_deg = sel_axis_fold(sel_bearing_of(tangent->along) + convergence_deg)};
    bearings.flyway_deg = sel_axis_fold(bearings.edge_deg + QUARTER_TURN);
    bearings.panel_deg = flight == SEL_FLIGHT_ACROSS ? bearings.edge_deg : bearings.flyway_deg;
    point_head(&bearings, light_azimuth_deg);
    return bearings;
}
