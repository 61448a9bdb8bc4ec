// SPDX-License-Identifier: MIT
//
// The sun over a site on one day, met with the site's horizons. Internal to dossier/.
#ifndef SEL_DOSSIER_SUN_DAY_H
#define SEL_DOSSIER_SUN_DAY_H

#include "output/rows.h"
#include "plan/plan.h"

enum { SEL_SUN_STEPS = 288 }; // of five minutes, at their middles

struct sel_sun_moment {
    double azimuth_deg, elevation_deg; // true; without refraction
    double through;                    // 0 below the ground's horizon, 1 - cover below the
                                       // canopy's, 1 above both
};

struct sel_sun_day {
    struct sel_sun_moment moments[SEL_SUN_STEPS]; // from midnight, true solar time
    double hours_up, hours_through;               // the latter: hours times what comes through
};

// The horizon rows of one site, in the order of the file (azimuths rising in equal steps).
struct sel_sun_horizon {
    const struct sel_horizon_row *rows;
    size_t count;
};

void sel_sun_day_of(struct sel_date date, double latitude, double longitude,
    const struct sel_sun_horizon *horizon, struct sel_sun_day *day);

// Elevation angles of ground and canopy and the canopy's cover at a true azimuth, between the rows.
// Without rows all is 0.
struct sel_skyline {
    double ground_deg, canopy_deg, cover;
};
struct sel_skyline sel_skyline_at(const struct sel_sun_horizon *horizon, double azimuth_true_deg);

#endif
