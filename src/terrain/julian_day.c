// SPDX-License-Identifier: MIT
//
// The calendar behind the sun's position: Julian days of Gregorian dates and back (Meeus 1998,
// Astronomical Algorithms, chapter 7, in whole numbers), and the difference between terrestrial and
// universal time (polynomials of Espenak & Meeus 2006, Five Millennium Canon of Solar Eclipses).
// The Gregorian calendar is used for every date, also before 1582.
#include <math.h>

#include "terrain/sun_position.h"

// The day number of 1 March of the year 0 at noon, and the days of whole Gregorian cycles.
static const int64_t MARCH_OF_YEAR_0 = 1721120;
static const int64_t DAYS_IN_400_YEARS = 146097;

static int64_t floor_divide(int64_t a, int64_t b) {
    int64_t quotient = a / b;
    return quotient - (a % b < 0);
}

// Years are counted from March, so that the leap day ends the year.
static int64_t day_number(struct sel_date date) {
    int64_t month = (date.month + 9) % 12;
    int64_t year = date.year - (date.month <= 2);
    int64_t century = floor_divide(year, 100);
    return MARCH_OF_YEAR_0 + 365 * year + floor_divide(year, 4) - century +
           floor_divide(century, 4) + (153 * month + 2) / 5 + date.day - 1;
}

double sel_julian_day(struct sel_date date, double utc_hours) {
    return (double)day_number(date) - 0.5 + utc_hours / 24.0;
}

struct sel_date sel_date_of_julian_day(double julian_day) {
    int64_t days = (int64_t)floor(julian_day + 0.5) - MARCH_OF_YEAR_0;
    int64_t cycle = floor_divide(days, DAYS_IN_400_YEARS);
    int64_t in_cycle = days - cycle * DAYS_IN_400_YEARS; // 0..146096
    int64_t year = (in_cycle - in_cycle / 1460 + in_cycle / 36524 - in_cycle / 146096) / 365;
    int64_t in_year = in_cycle - (365 * year + year / 4 - year / 100);
    int64_t month = (5 * in_year + 2) / 153; // from March
    struct sel_date date;
    date.day = (int)(in_year - (153 * month + 2) / 5 + 1);
    date.month = (int)(month < 10 ? month + 3 : month - 9);
    date.year = (int)(cycle * 400 + year + (date.month <= 2));
    return date;
}

int64_t sel_days_between(struct sel_date from, struct sel_date to) {
    return day_number(to) - day_number(from);
}

double sel_delta_t(double julian_day) {
    double year = 2000.0 + (julian_day - 2451544.5) / 365.25;
    if (year >= 2005.0 && year < 2050.0) {
        double t = year - 2000.0;
        return 62.92 + t * (0.32217 + t * 0.005589);
    }
    if (year >= 1986.0 && year < 2005.0) {
        double t = year - 2000.0;
        return 63.86 +
               t * (0.3345 +
                       t * (-0.060374 + t * (0.0017275 + t * (0.000651814 + t * 0.00002373599))));
    }
    if (year >= 1961.0 && year < 1986.0) {
        double t = year - 1975.0;
        return 45.45 + t * (1.067 - t * (1.0 / 260.0 + t / 718.0));
    }
    if (year >= 1941.0 && year < 1961.0) {
        double t = year - 1950.0;
        return 29.07 + t * (0.407 - t * (1.0 / 233.0 - t / 2547.0));
    }
    double centuries = (year - 1820.0) / 100.0; // the long-term parabola
    return -20.0 + 32.0 * centuries * centuries;
}
