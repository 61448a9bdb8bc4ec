// SPDX-License-Identifier: MIT
//
// Sun exposure over the season: which share of a clear season's light reaches the head.
//
// At most 16 sample days evenly spread over the season, 15-minute steps at midpoints, counted from
// each day's true solar noon, so that no time zone is needed. Horizontal light. The sun stands
// where it geometrically stands: refraction, which lifts it by half a degree at the horizon, is
// left out. sun_share = (sum of beam let through + sum of diffuse x sky view) / (sum of beam + sum
// of diffuse).
#ifndef SEL_TERRAIN_EXPOSURE_H
#define SEL_TERRAIN_EXPOSURE_H

#include "plan/plan.h"
#include "terrain/horizon.h"

enum { SEL_SEASON_DAYS_MOST = 16 };

// The sun's path through the season at one latitude and altitude, ready to be met with horizons.
// Read-only once made: threads share it. Longitude matters little (the sun's declination at noon).
struct sel_season;
// `from` <= `to`. SEL_NO_MEMORY without message.
sel_status sel_season_new(struct sel_date from, struct sel_date to, double latitude_deg,
    double longitude_deg, double altitude_m, struct sel_season **season);
void sel_season_free(struct sel_season *season);

// Whether the sun rises on any of the sample days.
bool sel_season_has_sun(const struct sel_season *season);

// Irradiance-weighted mean beam azimuth (true degrees) in the open; NAN when the resultant is
// shorter than 0.05 of the sum (polar day, the equator at equinox) or the sun never rises.
double sel_season_light_azimuth(const struct sel_season *season);

struct sel_exposure {
    double sun_share; // 0..1; exactly 1 on open flat ground; NAN when the sun never rises
    double sun_hours; // mean daily hours with direct sun; canopy hours count 1 - cover
    double morning_h, afternoon_h; // of them, before and after true solar noon
    double sky_view;               // 0..1
    double light_azimuth_deg;      // of the beam that arrives, true; NAN as above
    double kwh_m2_day;             // clear-sky energy that arrives, mean per day
    // First and last direct sun on the middle day of the season, hours of local mean solar time;
    // NAN when there is none, 0 and 24 when it shines at midnight. What sun_hours counts, be it by
    // a fraction, lies between them.
    double first_sun_h, last_sun_h;
    // The same for sun that loses less than half to canopy.
    double first_bright_h, last_bright_h;
};

// `convergence_deg` turns the horizon's grid azimuths into true ones (true = grid + convergence).
struct sel_exposure sel_season_exposure(
    const struct sel_season *season, const struct sel_horizon *horizon, double convergence_deg);

#endif
