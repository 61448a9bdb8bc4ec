// SPDX-License-Identifier: MIT
//
// Spherical harmonic synthesis of the World Magnetic Model as its technical report describes it:
// geodetic to geocentric coordinates on WGS 84, Schmidt semi-normalised associated Legendre
// functions by recursion over the degree (Langel 1987), three sums for the north, east and down
// components, and their rotation back to the geodetic vertical.
// The poles need no case of their own: the functions of order 1 and above all hold the cosine of
// the latitude as a factor, so the recursion runs on what is left when it is taken out; the
// eastward sum divides by that cosine, and here it is never multiplied in.
#include "flyway/magnetic.h"

#include <math.h>

#include "flyway/wmm2025.h"
#include "plan/dates.h"

static const double PI = 3.14159265358979323846;
static const double FULL_TURN = 360, HALF_TURN = 180;

static const double ELLIPSOID_RADIUS_KM = 6378.137; // WGS 84, equatorial
static const double ELLIPSOID_FLATTENING = 1 / 298.257223563;
static const double MODEL_RADIUS_KM = 6371.2;
static const double HEIGHT_LEAST_KM = -1, HEIGHT_MOST_KM = 850; // WMM2025 report

// WMM2025 report, the declination's error model: sqrt(a^2 + (b / H)^2), read in a public
// implementation that quotes it.
static const double ERROR_DEG = 0.26, ERROR_DEG_NT = 5417;

enum { ORDERS = SEL_WMM_DEGREE + 1 };

struct vector {
    double north, east, down;
};

// Geocentric place; `tilt` is the geocentric less the geodetic latitude.
struct place {
    double sin_latitude, cos_latitude, radius_km;
    double sin_tilt, cos_tilt;
};

// What the sums need at a place, by degree and order.
struct harmonics {
    double legendre[ORDERS][ORDERS]; // order 0: P; else P over the cosine of the latitude
    double cos_latitude, sin_latitude;
    double cos_longitude[ORDERS], sin_longitude[ORDERS]; // of the order's multiple
    double reach[ORDERS];                                // (model radius / radius)^(degree + 2)
};

static double radians(double degrees) {
    return degrees * (PI / HALF_TURN);
}

static double degrees(double radians) {
    return radians * (HALF_TURN / PI);
}

static double root(int square) {
    return sqrt((double)square);
}

static struct place geocentric(double latitude_deg, double height_km) {
    double sine = sin(radians(latitude_deg)), cosine = cos(radians(latitude_deg));
    double eccentricity2 = ELLIPSOID_FLATTENING * (2 - ELLIPSOID_FLATTENING);
    double normal_km = ELLIPSOID_RADIUS_KM / sqrt(1 - eccentricity2 * sine * sine);
    double from_axis = (normal_km + height_km) * cosine;
    double from_equator = (normal_km * (1 - eccentricity2) + height_km) * sine;
    struct place place = {.radius_km = hypot(from_axis, from_equator)};
    place.sin_latitude = from_equator / place.radius_km;
    place.cos_latitude = from_axis / place.radius_km;
    place.sin_tilt = place.sin_latitude * cosine - place.cos_latitude * sine;
    place.cos_tilt = place.cos_latitude * cosine + place.sin_latitude * sine;
    return place;
}

// Recursion over the degree within one order m, from the two lowest degrees already there:
// sqrt(n^2 - m^2) P(n) = (2n - 1) sin(latitude) P(n - 1) - sqrt((n - 1)^2 - m^2) P(n - 2).
static void climb(struct harmonics *at, int m) {
    for (int n = 2; n < ORDERS; n++)
        if (n > m)
            at->legendre[n][m] = ((2 * n - 1) * at->sin_latitude * at->legendre[n - 1][m] -
                                     root((n - 1) * (n - 1) - m * m) * at->legendre[n - 2][m]) /
                                 root(n * n - m * m);
}

static void fill_legendre(struct harmonics *at) {
    at->legendre[0][0] = 1;
    at->legendre[1][0] = at->sin_latitude;
    at->legendre[1][1] = 1;
    for (int m = 2; m < ORDERS; m++)
        at->legendre[m][m] = at->cos_latitude * sqrt(1 - 0.5 / m) * at->legendre[m - 1][m - 1];
    for (int m = 0; m < ORDERS; m++)
        climb(at, m);
}

static void fill_waves(struct harmonics *at, double longitude_deg) {
    double longitude = radians(remainder(longitude_deg, FULL_TURN));
    for (int m = 0; m < ORDERS; m++) {
        at->cos_longitude[m] = cos(m * longitude);
        at->sin_longitude[m] = sin(m * longitude);
    }
}

static void fill_reach(struct harmonics *at, double radius_km) {
    double ratio = MODEL_RADIUS_KM / radius_km;
    at->reach[0] = ratio * ratio;
    for (int n = 1; n < ORDERS; n++)
        at->reach[n] = at->reach[n - 1] * ratio;
}

static struct harmonics harmonics_at(const struct place *place, double longitude_deg) {
    struct harmonics at = {
        .cos_latitude = place->cos_latitude, .sin_latitude = place->sin_latitude};
    fill_legendre(&at);
    fill_waves(&at, longitude_deg);
    fill_reach(&at, place->radius_km);
    return at;
}

static double value_of(const struct harmonics *at, int n, int m) {
    return at->legendre[n][m] * (m == 0 ? 1 : at->cos_latitude);
}

// Derivative with respect to the colatitude.
static double slope_of(const struct harmonics *at, int n, int m) {
    if (m == 0)
        return -root(n * (n + 1) / 2) * at->cos_latitude * at->legendre[n][1];
    return n * at->sin_latitude * at->legendre[n][m] - root(n * n - m * m) * at->legendre[n - 1][m];
}

static void add_term(
    struct vector *sum, const struct harmonics *at, int n, int m, double g, double h) {
    double along = g * at->cos_longitude[m] + h * at->sin_longitude[m];
    double across = g * at->sin_longitude[m] - h * at->cos_longitude[m];
    sum->north += at->reach[n] * along * slope_of(at, n, m);
    sum->east += at->reach[n] * m * across * at->legendre[n][m];
    sum->down -= at->reach[n] * (n + 1) * along * value_of(at, n, m);
}

static struct vector to_geodetic(struct vector field, const struct place *place) {
    return (struct vector){.north = field.north * place->cos_tilt - field.down * place->sin_tilt,
        .east = field.east,
        .down = field.north * place->sin_tilt + field.down * place->cos_tilt};
}

// The model is linear in time: the field at the epoch and its change a year.
static void synthesise(const struct place *place, double longitude_deg, struct vector *at_epoch,
    struct vector *change) {
    struct harmonics at = harmonics_at(place, longitude_deg);
    struct vector field = {0}, rate = {0};
    for (int i = 0; i < SEL_WMM_TERMS; i++) {
        const struct sel_wmm_term *term = &sel_wmm2025[i];
        add_term(&field, &at, term->degree, term->order, term->g, term->h);
        add_term(&rate, &at, term->degree, term->order, term->g_rate, term->h_rate);
    }
    *at_epoch = to_geodetic(field, place);
    *change = to_geodetic(rate, place);
}

// Exactly at a magnetic pole, where declination means nothing, its change is given as 0.
static double declination_change_deg(const struct sel_magnetic *field, const struct vector *rate) {
    double square = field->horizontal_nt * field->horizontal_nt;
    double turn = field->x_nt * rate->east - field->y_nt * rate->north;
    return square > 0 ? degrees(turn / square) : 0;
}

static double uncertainty_deg(double horizontal_nt) {
    return fmin(hypot(ERROR_DEG, ERROR_DEG_NT / horizontal_nt), HALF_TURN);
}

static struct sel_magnetic elements_of(const struct vector *field, const struct vector *rate) {
    struct sel_magnetic out = {.x_nt = field->north, .y_nt = field->east, .z_nt = field->down};
    out.horizontal_nt = hypot(out.x_nt, out.y_nt);
    out.declination_deg = degrees(atan2(out.y_nt, out.x_nt));
    out.inclination_deg = degrees(atan2(out.z_nt, out.horizontal_nt));
    out.annual_change_deg = declination_change_deg(&out, rate);
    out.uncertainty_deg = uncertainty_deg(out.horizontal_nt);
    out.compass = sel_compass_where(out.horizontal_nt);
    return out;
}

// False for NAN, too.
static bool within(double value, double least, double most) {
    return value >= least && value <= most;
}

bool sel_magnetic_at(double latitude_deg, double longitude_deg, double height_km,
    double decimal_year, struct sel_magnetic *out) {
    if (!within(decimal_year, SEL_WMM_EPOCH, SEL_WMM_END) || !within(latitude_deg, -90, 90) ||
        !within(height_km, HEIGHT_LEAST_KM, HEIGHT_MOST_KM) || !isfinite(longitude_deg))
        return false;
    struct place place = geocentric(latitude_deg, height_km);
    struct vector field, rate;
    synthesise(&place, longitude_deg, &field, &rate);
    double years = decimal_year - SEL_WMM_EPOCH;
    field.north += years * rate.north;
    field.east += years * rate.east;
    field.down += years * rate.down;
    *out = elements_of(&field, &rate);
    return true;
}

enum sel_compass sel_compass_where(double horizontal_nt) {
    if (horizontal_nt >= SEL_COMPASS_CAUTION_BELOW_NT)
        return SEL_COMPASS_GOOD;
    return horizontal_nt >= SEL_COMPASS_USELESS_BELOW_NT ? SEL_COMPASS_CAUTION
                                                         : SEL_COMPASS_USELESS;
}

double sel_decimal_year(struct sel_date date) {
    struct sel_date new_year = {date.year, 1, 1}, next = {date.year + 1, 1, 1};
    int64_t start = sel_date_day_number(new_year);
    double days = (double)(sel_date_day_number(date) - start);
    return date.year + days / (double)(sel_date_day_number(next) - start);
}
