// SPDX-License-Identifier: MIT
//
// The inside of a season. Internal to the exposure.
#ifndef SEL_TERRAIN_SEASON_H
#define SEL_TERRAIN_SEASON_H

#include "terrain/exposure.h"

enum {
    SEL_STEPS_PER_DAY = 96, // quarters of an hour
    SEL_SEASON_STEPS_MOST = SEL_SEASON_DAYS_MOST * SEL_STEPS_PER_DAY,
    SEL_PATH_STEPS = 288 // five minutes, on the middle day
};

// A quarter of an hour with the sun above the horizontal.
struct sel_sun_step {
    float azimuth;     // true, in directions of the horizon: 0..72
    float tangent;     // of its elevation
    float beam;        // W per square metre of the horizontal
    float east, north; // the same as a vector toward the sun
};

// Where the sun stands at a moment of the middle day.
struct sel_sun_moment {
    float azimuth, tangent; // as above; a tangent of 0 or less: not up
};

struct sel_season {
    int days;
    double beam_sum, diffuse_sum; // over all steps, W per square metre
    double east_sum, north_sum;   // of beam, as a vector
    int morning_steps, afternoon_steps;
    // By true azimuth, one group per direction of the horizon, and by rising tangent in each: so
    // what a low horizon leaves alone need not be looked at.
    int group_begin[SEL_HORIZON_DIRECTIONS + 1];
    struct sel_sun_step steps[SEL_SEASON_STEPS_MOST];
    // The middle day, from midnight to midnight of true solar time, and what turns true into mean.
    struct sel_sun_moment path[SEL_PATH_STEPS + 1];
    int path_begin, path_end; // the moments from the first to after the last with the sun up
    double true_to_mean_h;
};

// Azimuth (true degrees) of a sum of beam given as a vector; NAN when the vector is shorter than
// 0.05 of the sum.
double sel_beam_azimuth(double east, double north, double sum);

#endif
