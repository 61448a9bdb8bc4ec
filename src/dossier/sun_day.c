// SPDX-License-Identifier: MIT
//
// Steps of five minutes around true solar noon, so that no time zone is needed; between two of the
// horizon's directions its tangents and cover are interpolated. Both as the run itself does it
// (terrain/season.c, terrain/exposure.c); refraction is left out, as there.
#include "dossier/sun_day.h"

#include <math.h>

#include "terrain/sun_position.h"

static const double HOURS_PER_STEP = 24.0 / SEL_SUN_STEPS;
static const double DEGREES = 57.29577951308232; // per radian

static double mix_angles(double a_deg, double b_deg, double share) {
    double a = tan(a_deg / DEGREES), b = tan(b_deg / DEGREES);
    return atan(a + share * (b - a)) * DEGREES;
}

struct sel_skyline sel_skyline_at(const struct sel_sun_horizon *horizon, double azimuth_true_deg) {
    if (horizon->count == 0)
        return (struct sel_skyline){0, 0, 0};
    double step = 360.0 / (double)horizon->count;
    double from_first = azimuth_true_deg - horizon->rows[0].azimuth_true_deg;
    double at = fmod(fmod(from_first, 360.0) + 360.0, 360.0) / step;
    size_t low = (size_t)floor(at) % horizon->count, high = (low + 1) % horizon->count;
    double share = at - floor(at);
    const struct sel_horizon_row *a = &horizon->rows[low], *b = &horizon->rows[high];
    return (struct sel_skyline){mix_angles(a->ground_deg, b->ground_deg, share),
        mix_angles(a->canopy_deg, b->canopy_deg, share), a->cover + share * (b->cover - a->cover)};
}

static double through(const struct sel_sun_horizon *horizon, const struct sel_sun *sun) {
    struct sel_skyline line = sel_skyline_at(horizon, sun->azimuth_deg);
    if (sun->elevation_deg <= 0.0 || sun->elevation_deg < line.ground_deg)
        return 0.0;
    return sun->elevation_deg < line.canopy_deg ? 1.0 - line.cover : 1.0;
}

// The Julian day when the sun crosses the meridian on a date, as the place counts its days.
static double true_noon(struct sel_date date, double longitude) {
    double noon = sel_julian_day(date, 12.0 - longitude / 15.0);
    for (int i = 0; i < 3; i++)
        noon -= sel_sun_position(noon, 0.0, longitude).hour_angle_deg / 360.0;
    return noon;
}

void sel_sun_day_of(struct sel_date date, double latitude, double longitude,
    const struct sel_sun_horizon *horizon, struct sel_sun_day *day) {
    double midnight = true_noon(date, longitude) - 0.5;
    day->hours_up = day->hours_through = 0.0;
    for (int i = 0; i < SEL_SUN_STEPS; i++) {
        double hours = (i + 0.5) * HOURS_PER_STEP;
        struct sel_sun sun = sel_sun_position(midnight + hours / 24.0, latitude, longitude);
        double passes = through(horizon, &sun);
        day->moments[i] = (struct sel_sun_moment){sun.azimuth_deg, sun.elevation_deg, passes};
        day->hours_up += sun.elevation_deg > 0.0 ? HOURS_PER_STEP : 0.0;
        day->hours_through += passes * HOURS_PER_STEP;
    }
}
