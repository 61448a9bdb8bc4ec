// SPDX-License-Identifier: MIT
//
// Where the sun stands, good to 0.01 degrees from 1950 to 2050. After Meeus (1998), Astronomical
// Algorithms, chapters 7, 12, 13, 22 and appendix III; refraction after Reda & Andreas (2004),
// equation 42.
#ifndef SEL_TERRAIN_SUN_POSITION_H
#define SEL_TERRAIN_SUN_POSITION_H

#include "plan/plan.h"

struct sel_sun {
    double azimuth_deg;   // from true north, clockwise, 0..360
    double elevation_deg; // geometric (no refraction), topocentric
    double declination_deg, right_ascension_deg;
    double hour_angle_deg; // -180..180, positive after true solar noon
    double distance_au;
};

// Julian day of a UTC calendar date and time of day in hours (Gregorian calendar).
double sel_julian_day(struct sel_date date, double utc_hours);

// The Gregorian date of a Julian day (at 0 h of that day), and whole days between dates.
struct sel_date sel_date_of_julian_day(double julian_day);
int64_t sel_days_between(struct sel_date from, struct sel_date to);

// TT - UT in seconds; a polynomial fit good to some seconds, 1950..2050 (Espenak & Meeus 2006).
double sel_delta_t(double julian_day);

// Longitude is positive east.
struct sel_sun sel_sun_position(double julian_day_utc, double latitude_deg, double longitude_deg);

// What refraction adds to a geometric elevation, degrees, at a pressure (hPa) and temperature (C).
double sel_refraction(double elevation_deg, double pressure_hpa, double temperature_c);

#endif
