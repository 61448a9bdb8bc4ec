// SPDX-License-Identifier: MIT
//
// Steps of five minutes through a day of local mean solar time (noon when the mean sun stands
// highest), so that no time zone is needed. Refraction is left out, as in the run itself.
#include "output/dossier_sun_day.h"

#include <math.h>

#include "terrain/sun_position.h"

static const double HOURS_PER_STEP = 24.0 / SEL_SUN_STEPS;

struct sel_skyline sel_skyline_at(const struct sel_sun_horizon *horizon, double azimuth_true_deg) {
    if (horizon->count == 0)
        return (struct sel_skyline){0, 0, 0};
    double step = 360.0 / (double)horizon->count;
    double from_first = azimuth_true_deg - horizon->rows[0].azimuth_true_deg;
    double at = fmod(fmod(from_first, 360.0) + 360.0, 360.0) / step;
    size_t low = (size_t)floor(at) % horizon->count, high = (low + 1) % horizon->count;
    double share = at - floor(at);
    const struct sel_horizon_row *a = &horizon->rows[low], *b = &horizon->rows[high];
    return (struct sel_skyline){a->ground_deg + share * (b->ground_deg - a->ground_deg),
        a->canopy_deg + share * (b->canopy_deg - a->canopy_deg), share < 0.5 ? a->cover : b->cover};
}

static double through(const struct sel_sun_horizon *horizon, const struct sel_sun *sun) {
    struct sel_skyline line = sel_skyline_at(horizon, sun->azimuth_deg);
    if (sun->elevation_deg <= 0.0 || sun->elevation_deg < line.ground_deg)
        return 0.0;
    return sun->elevation_deg < line.canopy_deg ? 1.0 - line.cover : 1.0;
}

void sel_sun_day_of(struct sel_date date, double latitude, double longitude,
    const struct sel_sun_horizon *horizon, struct sel_sun_day *day) {
    day->hours_up = day->hours_direct = 0.0;
    for (int i = 0; i < SEL_SUN_STEPS; i++) {
        double solar = (i + 0.5) * HOURS_PER_STEP;
        double utc = solar - longitude / 15.0;
        struct sel_sun sun = sel_sun_position(sel_julian_day(date, utc), latitude, longitude);
        double passes = through(horizon, &sun);
        day->moments[i] = (struct sel_sun_moment){sun.azimuth_deg, sun.elevation_deg, passes};
        day->hours_up += sun.elevation_deg > 0.0 ? HOURS_PER_STEP : 0.0;
        day->hours_direct += passes * HOURS_PER_STEP;
    }
}
