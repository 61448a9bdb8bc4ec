// SPDX-License-Identifier: MIT
//
// Clear-sky light from three published pieces: relative air mass after Kasten & Young (1989); a
// beam after Meinel & Meinel (1976), I0 ((1 - 0.14 h) 0.7^(AM^0.678) + 0.14 h) with the altitude h
// in kilometres; diffuse light on the horizontal after Liu & Jordan (1960) in the form given by
// Campbell & Norman (1998), 0.3 times what the beam has lost. The daily extraterrestrial sums are
// those of FAO Irrigation and Drainage Paper 56 (Allen et al. 1998). No cloud, haze or season of
// the air enters: shares of light compare places under the same clear sky.
#include "terrain/clear_sky.h"

#include <math.h>

static const double DEGREES = 57.29577951308232; // per radian
static const double PI = 3.141592653589793;
static const double SOLAR_CONSTANT = 1367.0; // W per square metre: FAO-56's 0.0820 MJ m-2 min-1
static const double DIFFUSE_SHARE = 0.3;     // of what the beam has lost, Campbell & Norman (1998)
static const double MEINEL_ALTITUDE_MOST_KM = 7.0; // 0.14 h reaches 1 there

double sel_air_mass(double zenith_deg) {
    if (zenith_deg > 90.0)
        return HUGE_VAL;
    return 1.0 / (cos(zenith_deg / DEGREES) + 0.50572 * pow(96.07995 - zenith_deg, -1.6364));
}

// The share of the extraterrestrial beam that arrives.
static double beam_transmittance(double air_mass, double altitude_m) {
    double kilometres = fmin(fmax(altitude_m / 1000.0, 0.0), MEINEL_ALTITUDE_MOST_KM);
    double lifted = 0.14 * kilometres;
    return (1.0 - lifted) * pow(0.7, pow(air_mass, 0.678)) + lifted;
}

struct sel_irradiance sel_clear_sky(double elevation_deg, double distance_au, double altitude_m) {
    if (elevation_deg <= 0.0)
        return (struct sel_irradiance){0.0, 0.0, 0.0};
    double extraterrestrial = SOLAR_CONSTANT / (distance_au * distance_au);
    double transmittance = beam_transmittance(sel_air_mass(90.0 - elevation_deg), altitude_m);
    double rise = sin(elevation_deg / DEGREES);
    double diffuse = DIFFUSE_SHARE * (1.0 - transmittance);
    return (struct sel_irradiance){extraterrestrial * transmittance,
        extraterrestrial * transmittance * rise, extraterrestrial * diffuse * rise};
}

static double fao_declination(int day_of_year) {
    return 0.409 * sin(2.0 * PI / 365.0 * day_of_year - 1.39);
}

// Sunset hour angle, radians: 0 in the polar night, pi in the polar day.
static double sunset_angle(double latitude, double declination) {
    return acos(fmin(1.0, fmax(-1.0, -tan(latitude) * tan(declination))));
}

double sel_daily_extraterrestrial(double latitude_deg, int day_of_year) {
    double latitude = latitude_deg / DEGREES;
    double declination = fao_declination(day_of_year);
    double nearness = 1.0 + 0.033 * cos(2.0 * PI / 365.0 * day_of_year);
    double sunset = sunset_angle(latitude, declination);
    return 24.0 * 60.0 / PI * 0.0820 * nearness *
           (sunset * sin(latitude) * sin(declination) +
               cos(latitude) * cos(declination) * sin(sunset));
}

double sel_day_length(double latitude_deg, int day_of_year) {
    return 24.0 / PI * sunset_angle(latitude_deg / DEGREES, fao_declination(day_of_year));
}
