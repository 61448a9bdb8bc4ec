// SPDX-License-Identifier: MIT
//
// Sun exposure over the season: which share of a clear season's light reaches the head.
//
// At most 16 sample days evenly spread over the season, 15-minute steps at midpoints (true solar
// day, so that no time zone is needed). sun_share = (sum beam let through + sum diffuse x sky view)
// / (sum beam + sum diffuse), on the horizontal.
#ifndef SEL_TERRAIN_EXPOSURE_H
#define SEL_TERRAIN_EXPOSURE_H

#include "plan/plan.h"
#include "terrain/horizon.h"

enum { SEL_SEASON_DAYS_MOST = 16 };

// The sun's path through the season at one latitude and altitude, ready to be met with horizons.
struct sel_season;
// SEL_NO_MEMORY without message.
sel_status sel_season_new(struct sel_date from, struct sel_date to, double latitude_deg,
    double longitude_deg, double altitude_m, struct sel_season **season);
void sel_season_free(struct sel_season *season);

// Irradiance-weighted mean beam azimuth (true degrees) in the open; NAN when the resultant is
// shorter than 0.05 of the sum (polar day, the equator at equinox) or the sun never rises.
double sel_season_light_azimuth(const struct sel_season *season);

struct sel_exposure {
    double sun_share;  // 0..1; exactly 1 on open flat ground; NAN when the sun never rises
    double sun_hours;  // mean daily hours with direct sun; canopy hours count 1 - cover
    double sky_view;   // 0..1
    double light_azimuth_deg; // of the beam that arrives, true; NAN as above
    double kwh_m2_day; // clear-sky energy that arrives, mean per day
};

// `convergence_deg` turns the horizon's grid azimuths into true ones.
struct sel_exposure sel_season_exposure(const struct sel_season *season,
    const struct sel_horizon *horizon, double convergence_deg);

#endif
