// SPDX-License-Identifier: MIT
//
// Clear-sky irradiance: Kasten & Young (1989) air mass, a Meinel-type beam with an altitude term,
// Liu & Jordan (1960) diffuse.
#ifndef SEL_TERRAIN_CLEAR_SKY_H
#define SEL_TERRAIN_CLEAR_SKY_H

#include "plan/plan.h"

// Relative optical air mass; zenith angle in degrees, 0..90. Below the horizon: INFINITY.
double sel_air_mass(double zenith_deg);

struct sel_irradiance {
    double beam_normal; // W per square metre on a surface facing the sun
    double beam;        // on the horizontal
    double diffuse;     // on the horizontal, open sky
};

// For a sun elevation (degrees), distance (AU) and ground altitude (m).
struct sel_irradiance sel_clear_sky(double elevation_deg, double distance_au, double altitude_m);

// Extraterrestrial radiation on the horizontal over a day, MJ per square metre (Allen et al. 1998,
// FAO Irrigation and Drainage Paper 56, equation 21); day_of_year 1..366.
double sel_daily_extraterrestrial(double latitude_deg, int day_of_year);

// Daylight hours, 24/pi ws (same source, equation 34).
double sel_day_length(double latitude_deg, int day_of_year);

#endif
