// SPDX-License-Identifier: MIT
//
// Place, convergence and scale of a map position, by differencing PROJ's exact forward projection
// about the point and comparing with the ellipsoid's radii of curvature.
//
// Method: Snyder, Map Projections - A Working Manual (USGS Professional Paper 1395, 1987), section
// 4: h and k are the lengths of the map's derivatives by latitude and longitude over those of the
// ellipsoid; Tissot's axes follow from h, k and the area scale. PROJ's proj_factors does the same;
// doing it here keeps one transform per thread instead of a new one per call and leaves the sign
// of the convergence beyond doubt: it is the grid bearing of true north with its sign turned.
#include "grid/projector.h"

#include <math.h>
#include <stdlib.h>

#include <ogr_srs_api.h>

#include "grid/gdal_support.h"
#include "grid/pixel_map.h"

static const double DEGREE = 3.14159265358979323846 / 180.0;

// Half the differencing step, radians: about 64 m on the ground; truncation and rounding errors
// are then both near 1e-10 of the scale.
static const double STEP = 1e-5;

// Nearer the pole than this the meridians are too close to difference along the parallel.
static const double HIGHEST_LATITUDE = 90.0 - 0.002;

struct sel_projector {
    OGRCoordinateTransformationH to_wgs84;
    OGRCoordinateTransformationH to_own; // map -> the CRS's own longitude, latitude
    OGRCoordinateTransformationH from_own;
    double own_unit; // radians per angular unit of the own longitude and latitude
    double metres;   // metres per map unit
    double semi_major, squared_eccentricity;
};

void sel_projector_free(struct sel_projector *projector) {
    if (!projector)
        return;
    OCTDestroyCoordinateTransformation(projector->to_wgs84);
    OCTDestroyCoordinateTransformation(projector->to_own);
    OCTDestroyCoordinateTransformation(projector->from_own);
    free(projector);
}

static void measure_ellipsoid(struct sel_projector *projector, OGRSpatialReferenceH crs) {
    OGRErr error = OGRERR_NONE;
    double inverse_flattening = OSRGetInvFlattening(crs, &error);
    double flattening = inverse_flattening > 0 ? 1 / inverse_flattening : 0;
    projector->semi_major = OSRGetSemiMajor(crs, &error);
    projector->squared_eccentricity = flattening * (2 - flattening);
}

static bool connect(struct sel_projector *projector, OGRSpatialReferenceH crs,
    OGRSpatialReferenceH own, OGRSpatialReferenceH wgs84) {
    projector->to_wgs84 = OCTNewCoordinateTransformation(crs, wgs84);
    projector->to_own = OCTNewCoordinateTransformation(crs, own);
    projector->from_own = OCTNewCoordinateTransformation(own, crs);
    projector->own_unit = OSRGetAngularUnits(own, NULL);
    projector->metres = OSRIsProjected(crs) ? OSRGetLinearUnits(crs, NULL) : 1;
    measure_ellipsoid(projector, crs);
    return projector->to_wgs84 && projector->to_own && projector->from_own;
}

static sel_status connect_or_fail(
    sel_context *context, struct sel_projector *projector, OGRSpatialReferenceH crs) {
    OGRSpatialReferenceH own = OSRCloneGeogCS(crs);
    OGRSpatialReferenceH wgs84 = sel_crs_from_text(sel_wgs84());
    if (own)
        OSRSetAxisMappingStrategy(own, OAMS_TRADITIONAL_GIS_ORDER);
    sel_gdal_hush();
    bool connected = own && wgs84 && connect(projector, crs, own, wgs84);
    const char *reason = sel_gdal_speak();
    OSRDestroySpatialReference(own);
    OSRDestroySpatialReference(wgs84);
    if (connected)
        return SEL_OK;
    return sel_fail(context, SEL_BAD_INPUT,
        "no transform leads from \"%s\" to WGS 84 (%s): name another coordinate reference system",
        OSRGetName(crs), reason);
}

sel_status sel_projector_for_crs(
    sel_context *context, const char *crs, struct sel_projector **projector) {
    *projector = calloc(1, sizeof **projector);
    if (!*projector)
        return sel_fail_memory(context);
    sel_gdal_start();
    OGRSpatialReferenceH parsed = sel_crs_from_text(crs);
    sel_status status = parsed ? connect_or_fail(context, *projector, parsed)
                               : sel_fail(context, SEL_BAD_INPUT,
                                     "\"%.200s\": is no coordinate reference system: name one like "
                                     "EPSG:32633",
                                     crs);
    OSRDestroySpatialReference(parsed);
    if (status != SEL_OK) {
        sel_projector_free(*projector);
        *projector = NULL;
    }
    return status;
}

sel_status sel_projector_new(
    sel_context *context, const struct sel_grid *grid, struct sel_projector **projector) {
    return sel_projector_for_crs(context, grid->crs, projector);
}

static bool transform(OGRCoordinateTransformationH through, int count, double *x, double *y) {
    int known[4] = {0};
    if (!OCTTransformEx(through, count, x, y, NULL, known))
        return false;
    for (int i = 0; i < count; i++)
        if (!known[i] || !isfinite(x[i]) || !isfinite(y[i]))
            return false;
    return true;
}

bool sel_place_at(const struct sel_projector *projector, double x, double y, double *latitude,
    double *longitude) {
    sel_gdal_hush();
    bool known = transform(projector->to_wgs84, 1, &x, &y);
    sel_gdal_speak();
    *longitude = x;
    *latitude = y;
    return known;
}

// Map derivatives in metres per metre on the ellipsoid.
struct derivatives {
    double east_x, east_y, north_x, north_y;
};

static bool differentiate(const struct sel_projector *projector, double longitude, double latitude,
    struct derivatives *out) {
    double unit = projector->own_unit;
    double x[4] = {longitude + STEP / unit, longitude - STEP / unit, longitude, longitude};
    double y[4] = {latitude, latitude, latitude + STEP / unit, latitude - STEP / unit};
    if (!transform(projector->from_own, 4, x, y))
        return false;
    double sine = sin(latitude * unit);
    double curvature = 1 - projector->squared_eccentricity * sine * sine;
    double across = projector->semi_major / sqrt(curvature);
    double along = across * (1 - projector->squared_eccentricity) / curvature;
    double per_east = projector->metres / (2 * STEP * across * cos(latitude * unit));
    double per_north = projector->metres / (2 * STEP * along);
    *out = (struct derivatives){(x[0] - x[1]) * per_east, (y[0] - y[1]) * per_east,
        (x[2] - x[3]) * per_north, (y[2] - y[3]) * per_north};
    return true;
}

static struct sel_distortion distortion_of(const struct derivatives *d) {
    struct sel_distortion out;
    out.meridian = hypot(d->north_x, d->north_y);
    out.parallel = hypot(d->east_x, d->east_y);
    double area = fabs(d->east_x * d->north_y - d->east_y * d->north_x);
    double squares = out.meridian * out.meridian + out.parallel * out.parallel;
    double sum = sqrt(squares + 2 * area);
    double difference = sqrt(fmax(0, squares - 2 * area));
    out.largest = 0.5 * (sum + difference);
    out.smallest = 0.5 * (sum - difference);
    out.convergence = -atan2(d->north_x, d->north_y) / DEGREE;
    return out;
}

static bool distortion_here(
    const struct sel_projector *projector, double x, double y, struct sel_distortion *out) {
    if (!transform(projector->to_own, 1, &x, &y))
        return false;
    double highest = HIGHEST_LATITUDE * DEGREE / projector->own_unit;
    struct derivatives derivatives;
    if (!differentiate(projector, x, fmax(-highest, fmin(highest, y)), &derivatives))
        return false;
    *out = distortion_of(&derivatives);
    return true;
}

bool sel_distortion_at(
    const struct sel_projector *projector, double x, double y, struct sel_distortion *out) {
    sel_gdal_hush();
    bool known = distortion_here(projector, x, y, out);
    sel_gdal_speak();
    return known;
}

double sel_scale_error(const struct sel_distortion *distortion) {
    return fmax(fabs(distortion->largest - 1), fabs(distortion->smallest - 1));
}

sel_status sel_project(sel_context *context, struct sel_projector *projector, double x, double y,
    struct sel_geographic *out) {
    struct sel_distortion distortion;
    if (!sel_place_at(projector, x, y, &out->latitude, &out->longitude) ||
        !sel_distortion_at(projector, x, y, &distortion))
        return sel_fail(context, SEL_BAD_INPUT,
            "map position %.3f, %.3f: has no latitude and longitude in the study grid's coordinate "
            "reference system: name a fitting one as grid: { crs: EPSG:code }",
            x, y);
    out->convergence = distortion.convergence;
    out->scale = 0.5 * (distortion.meridian + distortion.parallel);
    return SEL_OK;
}
