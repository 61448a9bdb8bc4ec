// SPDX-License-Identifier: MIT
//
// The sun's place in the sky: heliocentric longitude and distance of the Earth from the leading
// terms of VSOP87 (Bretagnon & Francou 1988, as printed by Meeus 1998, appendix III), nutation and
// obliquity after Meeus chapter 22, sidereal time after chapter 12, horizontal coordinates after
// chapter 13, parallax in altitude. The terms left out together stay below 0.001 degrees from 1950
// to 2050; the sun's ecliptic latitude (at most 0.0003 degrees) and the difference between UTC and
// UT1 (at most 0.9 s, 0.004 degrees of hour angle) are left out too.
#include "terrain/sun_position.h"

#include <math.h>

static const double DEGREES = 57.29577951308232; // per radian
static const double J2000 = 2451545.0;
static const double DAYS_PER_CENTURY = 36525.0;
static const double ABERRATION_DEG = 20.4898 / 3600.0; // at one astronomical unit
static const double PARALLAX_DEG = 8.794 / 3600.0;     // horizontal, at one astronomical unit
static const double HORIZON_REFRACTION_DEG = 0.5667;   // Reda & Andreas (2004)
static const double SUN_RADIUS_DEG = 0.26667;

// amplitude * cos(phase + frequency * millennia); amplitudes in 1e-8 radians or astronomical units;
// tables end with a zero.
struct term {
    double amplitude, phase, frequency;
};

static const struct term LONGITUDE_0[] = {{175347046, 0, 0}, {3341656, 4.6692568, 6283.07585},
    {34894, 4.6261, 12566.1517}, {3497, 2.7441, 5753.3849}, {3418, 2.8289, 3.5231},
    {3136, 3.6277, 77713.7715}, {2676, 4.4181, 7860.4194}, {2343, 6.1352, 3930.2097},
    {1324, 0.7425, 11506.7698}, {1273, 2.0371, 529.691}, {1199, 1.1096, 1577.3435},
    {990, 5.233, 5884.927}, {902, 2.045, 26.298}, {857, 3.508, 398.149}, {780, 1.179, 5223.694},
    {753, 2.533, 5507.553}, {505, 4.583, 18849.228}, {492, 4.205, 775.523}, {357, 2.92, 0.067},
    {317, 5.849, 11790.629}, {284, 1.899, 796.298}, {271, 0.315, 10977.079}, {0, 0, 0}};
static const struct term LONGITUDE_1[] = {
    {628331966747, 0, 0}, {206059, 2.678235, 6283.07585}, {4303, 2.6351, 12566.1517}, {0, 0, 0}};
static const struct term LONGITUDE_2[] = {{52919, 0, 0}, {8720, 1.0721, 6283.0758}, {0, 0, 0}};
static const struct term DISTANCE_0[] = {{100013989, 0, 0}, {1670700, 3.0984635, 6283.07585},
    {13956, 3.05525, 12566.1517}, {3084, 5.1985, 77713.7715}, {1628, 1.1739, 5753.3849},
    {1576, 2.8469, 7860.4194}, {0, 0, 0}};
static const struct term DISTANCE_1[] = {
    {103019, 1.10749, 6283.07585}, {1721, 1.0644, 12566.1517}, {0, 0, 0}};

static double wrap_360(double degrees) {
    double turned = fmod(degrees, 360.0);
    return turned < 0.0 ? turned + 360.0 : turned;
}

// The sum of a table's terms, which end with a zero amplitude.
static double series(const struct term *terms, double millennia) {
    double sum = 0.0;
    for (; terms->amplitude != 0.0; terms++)
        sum += terms->amplitude * cos(terms->phase + terms->frequency * millennia);
    return sum * 1e-8;
}

static double geometric_longitude_deg(double millennia) {
    double heliocentric =
        series(LONGITUDE_0, millennia) +
        millennia * (series(LONGITUDE_1, millennia) + millennia * series(LONGITUDE_2, millennia));
    return heliocentric * DEGREES + 180.0;
}

static double distance_in_au(double millennia) {
    return series(DISTANCE_0, millennia) + millennia * series(DISTANCE_1, millennia);
}

struct nutation {
    double longitude_deg, obliquity_deg; // what is to be added
};

// The four largest terms (good to 0.5 arc-seconds in longitude).
static struct nutation nutation_at(double centuries) {
    double node = (125.04452 - 1934.136261 * centuries) / DEGREES;
    double sun = 2.0 * (280.4665 + 36000.7698 * centuries) / DEGREES;
    double moon = 2.0 * (218.3165 + 481267.8813 * centuries) / DEGREES;
    return (struct nutation){
        (-17.20 * sin(node) - 1.32 * sin(sun) - 0.23 * sin(moon) + 0.21 * sin(2.0 * node)) / 3600.0,
        (9.20 * cos(node) + 0.57 * cos(sun) + 0.10 * cos(moon) - 0.09 * cos(2.0 * node)) / 3600.0};
}

static double mean_obliquity_deg(double centuries) {
    return (84381.448 - centuries * (46.8150 + centuries * (0.00059 - centuries * 0.001813))) /
           3600.0;
}

static double mean_sidereal_deg(double julian_day_utc) {
    double days = julian_day_utc - J2000;
    double centuries = days / DAYS_PER_CENTURY;
    return 280.46061837 + 360.98564736629 * days +
           centuries * centuries * (0.000387933 - centuries / 38710000.0);
}

static void set_horizontal(struct sel_sun *sun, double latitude_deg) {
    double hour_angle = sun->hour_angle_deg / DEGREES, latitude = latitude_deg / DEGREES;
    double declination = sun->declination_deg / DEGREES;
    double east = -cos(declination) * sin(hour_angle);
    double north =
        sin(declination) * cos(latitude) - cos(declination) * cos(hour_angle) * sin(latitude);
    double up =
        sin(declination) * sin(latitude) + cos(declination) * cos(hour_angle) * cos(latitude);
    double elevation = atan2(up, sqrt(east * east + north * north));
    sun->azimuth_deg = wrap_360(atan2(east, north) * DEGREES);
    sun->elevation_deg = elevation * DEGREES - PARALLAX_DEG / sun->distance_au * cos(elevation);
}

struct sel_sun sel_sun_position(double julian_day_utc, double latitude_deg, double longitude_deg) {
    double ephemeris_day = julian_day_utc + sel_delta_t(julian_day_utc) / 86400.0;
    double centuries = (ephemeris_day - J2000) / DAYS_PER_CENTURY;
    struct nutation nutation = nutation_at(centuries);
    struct sel_sun sun;
    sun.distance_au = distance_in_au(centuries / 10.0);
    double longitude = (geometric_longitude_deg(centuries / 10.0) + nutation.longitude_deg -
                           ABERRATION_DEG / sun.distance_au) /
                       DEGREES;
    double obliquity = (mean_obliquity_deg(centuries) + nutation.obliquity_deg) / DEGREES;
    sun.right_ascension_deg =
        wrap_360(atan2(cos(obliquity) * sin(longitude), cos(longitude)) * DEGREES);
    sun.declination_deg = asin(sin(obliquity) * sin(longitude)) * DEGREES;
    double sidereal = mean_sidereal_deg(julian_day_utc) + nutation.longitude_deg * cos(obliquity);
    sun.hour_angle_deg =
        wrap_360(sidereal + longitude_deg - sun.right_ascension_deg + 180.0) - 180.0;
    set_horizontal(&sun, latitude_deg);
    return sun;
}

double sel_refraction(double elevation_deg, double pressure_hpa, double temperature_c) {
    if (elevation_deg < -(SUN_RADIUS_DEG + HORIZON_REFRACTION_DEG))
        return 0.0;
    double argument = (elevation_deg + 10.3 / (elevation_deg + 5.11)) / DEGREES;
    return pressure_hpa / 1010.0 * 283.0 / (273.0 + temperature_c) * 1.02 / (60.0 * tan(argument));
}
