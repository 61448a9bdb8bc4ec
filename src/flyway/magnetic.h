// SPDX-License-Identifier: MIT
//
// Where a compass points: the Earth's main magnetic field by the World Magnetic Model 2025 (NOAA
// and British Geological Survey, 2024). It knows nothing of rocks, power lines, fences and steel
// near the compass, nor of magnetic storms.
// A compass that shows `true bearing - declination` looks along the true bearing:
//     sel_bearing_fold(true_deg - magnetic.declination_deg), or sel_axis_fold(...) for an axis.
#ifndef SEL_FLYWAY_MAGNETIC_H
#define SEL_FLYWAY_MAGNETIC_H

#include "plan/plan.h"

// How far a compass can be trusted, by the horizontal intensity that turns its needle. The bounds
// are the WMM report's; read in public implementations that quote it.
enum sel_compass {
    SEL_COMPASS_GOOD,
    SEL_COMPASS_CAUTION, // the report's caution zone: a compass may err by degrees
    SEL_COMPASS_USELESS  // its blackout zone, around the magnetic poles: give no magnetic bearing
};
static const double SEL_COMPASS_CAUTION_BELOW_NT = 6000, SEL_COMPASS_USELESS_BELOW_NT = 2000;

struct sel_magnetic {
    double x_nt, y_nt, z_nt; // north, east, down
    double horizontal_nt;
    double declination_deg;   // of magnetic from true north, east positive, -180..180
    double inclination_deg;   // below the horizontal, -90..90
    double annual_change_deg; // of the declination, degrees a year at that moment
    double uncertainty_deg;   // of the declination, one standard deviation, at most 180
    enum sel_compass compass;
};

// The field at a geodetic latitude and longitude (WGS 84, longitude positive east, any turn) and a
// height above the ellipsoid. A height above sea level will do: the two differ by less than 110 m,
// which turns the declination by some thousandths of a degree at most where a compass works.
// At a pole, north is along the given longitude's meridian, as everywhere on that meridian.
// False, and `out` untouched, outside the model: years 2025.0 to 2030.0 (both included), heights
// -1 to 850 km, latitudes -90 to 90, numbers that are not finite. Thread-safe.
bool sel_magnetic_at(double latitude_deg, double longitude_deg, double height_km,
    double decimal_year, struct sel_magnetic *out);

enum sel_compass sel_compass_where(double horizontal_nt);

// A real date's beginning as year and fraction: 2025-01-01 is 2025.0.
double sel_decimal_year(struct sel_date date);

#endif
