// SPDX-License-Identifier: MIT
//
// Scale factors as `proj -S` prints them (PROJ 9, run by hand; the table in this file), convergence
// against the closed form for transverse Mercator and against PROJ's own forward transform by the
// `proj` command, the southern hemisphere and the poles.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <ogr_srs_api.h>
#include <proj.h>

#include "grid/gdal_support.h"
#include "grid/projector.h"
#include "grid_scene.h"

static const double DEGREE = 3.14159265358979323846 / 180;

static struct sel_projector *projector_of(const char *crs) {
    sel_context *context = sel_context_new();
    struct sel_projector *projector = NULL;
    if (sel_projector_for_crs(context, crs, &projector) != SEL_OK)
        fail_msg("%s", sel_context_message(context));
    sel_context_free(context);
    return projector;
}

// Map position of a longitude and latitude in the CRS's own datum.
static void forward(const char *crs, double longitude, double latitude, double *x, double *y) {
    OGRSpatialReferenceH target = sel_crs_from_text(crs);
    assert_non_null(target);
    OGRSpatialReferenceH own = OSRCloneGeogCS(target);
    OSRSetAxisMappingStrategy(own, OAMS_TRADITIONAL_GIS_ORDER);
    OGRCoordinateTransformationH transform = OCTNewCoordinateTransformation(own, target);
    *x = longitude;
    *y = latitude;
    assert_true(OCTTransform(transform, 1, x, y, NULL));
    OCTDestroyCoordinateTransformation(transform);
    OSRDestroySpatialReference(own);
    OSRDestroySpatialReference(target);
}

struct scale_row {
    const char *crs;
    double longitude, latitude;
    double meridian, parallel; // h, k
};

static void scale_factors_are_those_of_proj(void **state) {
    (void)state;
    static const char utm[] = "EPSG:32633";
    static const char lambert[] = "+proj=lcc +lat_1=44 +lat_2=49 +lat_0=46.5 +lon_0=3 +ellps=WGS84";
    static const char mercator[] = "+proj=merc +ellps=WGS84";
    // Source: proj -S, PROJ 9.1.1, six digits as printed.
    static const struct scale_row rows[] = {{utm, 15, 0, 0.9996, 0.9996},
        {utm, 15, 45, 0.9996, 0.9996}, {utm, 15, 60, 0.9996, 0.9996},
        {utm, 16, 45, 0.999676, 0.999676}, {utm, 18, 0, 1.00098, 1.00098},
        {utm, 18, 45, 1.00029, 1.00029}, {utm, 18, 60, 0.999943, 0.999943},
        {mercator, 0, 45, 1.41184, 1.41184}, {mercator, 0, 60, 1.99497, 1.99497},
        {lambert, 3, 46.5, 0.999051, 0.999051}, {lambert, 3, 44, 1, 1},
        {lambert, 3, 42, 1.00207, 1.00207}, {"EPSG:3035", 10, 60, 0.997412, 1.0026},
        {"EPSG:3035", 20, 52, 1.00145, 0.998549}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const struct scale_row *row = &rows[i];
        struct sel_projector *projector = projector_of(row->crs);
        double x, y;
        forward(row->crs, row->longitude, row->latitude, &x, &y);
        struct sel_distortion distortion;
        assert_true(sel_distortion_at(projector, x, y, &distortion));
        assert_true(near(distortion.meridian, row->meridian, 6e-6));
        assert_true(near(distortion.parallel, row->parallel, 6e-6));
        sel_projector_free(projector);
    }
}

static void the_largest_and_smallest_scale_are_tissots_axes(void **state) {
    (void)state;
    // Source: proj -S +proj=laea +lat_0=52 +lon_0=10 +ellps=GRS80 at 20 E 52 N, last two numbers.
    struct sel_projector *projector = projector_of("EPSG:3035");
    double x, y;
    struct sel_distortion distortion;
    forward("EPSG:3035", 20, 52, &x, &y);
    assert_true(sel_distortion_at(projector, x, y, &distortion));
    assert_true(near(distortion.largest, 1.00146, 6e-6));
    assert_true(near(distortion.smallest, 0.998547, 6e-7));
    assert_true(near(sel_scale_error(&distortion), 0.00146, 6e-6));
    sel_projector_free(projector);
}

static void scale_and_convergence_agree_with_proj_factors(void **state) {
    (void)state;
    // PROJ's own numbers through its library, whose convergence turns from grid to true north with
    // the sign of the transverse Mercator closed form.
    PJ_CONTEXT *context = proj_context_create();
    PJ *utm = proj_create(context, "+proj=utm +zone=33 +ellps=WGS84");
    struct sel_projector *projector = projector_of("EPSG:32633");
    for (double longitude = 11; longitude <= 19; longitude += 0.7) {
        for (double latitude = -79; latitude <= 83; latitude += 9) {
            PJ_COORD place = proj_coord(longitude * DEGREE, latitude * DEGREE, 0, 0);
            PJ_COORD at = proj_trans(utm, PJ_FWD, place);
            PJ_FACTORS factors = proj_factors(utm, place);
            struct sel_distortion distortion;
            assert_true(sel_distortion_at(projector, at.xy.x, at.xy.y, &distortion));
            assert_true(near(distortion.meridian, factors.meridional_scale, 1e-8));
            assert_true(near(distortion.parallel, factors.parallel_scale, 1e-8));
            assert_true(near(
                fabs(distortion.convergence), fabs(factors.meridian_convergence) / DEGREE, 1e-6));
        }
    }
    sel_projector_free(projector);
    proj_destroy(utm);
    proj_context_destroy(context);
}

static struct sel_geographic project(const char *crs, double x, double y) {
    sel_context *context = sel_context_new();
    struct sel_grid grid = {
        .rows = 1, .cols = 1, .dx = 1, .dy = 1, .metres = 1, .crs = strdup(crs)};
    struct sel_projector *projector;
    struct sel_geographic out;
    assert_int_equal(sel_projector_new(context, &grid, &projector), SEL_OK);
    assert_int_equal(sel_project(context, projector, x, y, &out), SEL_OK);
    sel_projector_free(projector);
    free(grid.crs);
    sel_context_free(context);
    return out;
}

static void utm_convergence_is_near_its_closed_form(void **state) {
    (void)state;
    // tan(gamma) = tan(lon - lon0) sin(lat) on the sphere (Snyder 1987, section 8); the ellipsoid
    // adds less than 0.002 degrees within a zone.
    for (double latitude = -75; latitude <= 75; latitude += 15) {
        for (double longitude = 12; longitude <= 18; longitude += 1.5) {
            const char *crs = latitude < 0 ? "EPSG:32733" : "EPSG:32633";
            double x, y;
            forward(crs, longitude, latitude, &x, &y);
            struct sel_geographic at = project(crs, x, y);
            double closed = atan(tan((longitude - 15) * DEGREE) * sin(latitude * DEGREE)) / DEGREE;
            assert_true(near(at.convergence, closed, 0.002));
            assert_true(near(at.latitude, latitude, 1e-8));
            assert_true(near(at.longitude, longitude, 1e-8));
        }
    }
}

static void true_bearing_is_grid_bearing_plus_convergence(void **state) {
    (void)state;
    // Two ends of a short line, forward projected, against the geodesic's azimuth from PROJ.
    static const char *const crs[] = {"EPSG:32633", "EPSG:32733", "EPSG:2056", "EPSG:3413",
        "EPSG:3031", "EPSG:32119", "EPSG:5514", "EPSG:27700"};
    static const double places[][2] = {{17.5, 49}, {13, -33}, {8.2, 46.9}, {-60, 75}, {120, -78},
        {-79.5, 35.4}, {15.2, 49.9}, {-4.4, 56.2}};
    PJ_CONTEXT *context = proj_context_create();
    PJ *ellipsoid = proj_create(context, "+proj=latlong +ellps=GRS80");
    for (size_t i = 0; i < sizeof crs / sizeof crs[0]; i++) {
        double longitude = places[i][0], latitude = places[i][1];
        for (double turn = 0; turn < 360; turn += 45) {
            double reach = 1e-5; // degrees, about a metre
            double far_longitude = longitude + reach * sin(turn * DEGREE) / cos(latitude * DEGREE);
            double far_latitude = latitude + reach * cos(turn * DEGREE);
            double x0, y0, x1, y1;
            forward(crs[i], longitude, latitude, &x0, &y0);
            forward(crs[i], far_longitude, far_latitude, &x1, &y1);
            PJ_COORD geodesic =
                proj_geod(ellipsoid, proj_coord(longitude * DEGREE, latitude * DEGREE, 0, 0),
                    proj_coord(far_longitude * DEGREE, far_latitude * DEGREE, 0, 0));
            double grid_bearing = atan2(x1 - x0, y1 - y0) / DEGREE;
            double convergence = project(crs[i], x0, y0).convergence;
            double off = grid_bearing + convergence - geodesic.v[1];
            off -= 360 * round(off / 360);
            assert_true(near(off, 0, 0.01));
        }
    }
    proj_destroy(ellipsoid);
    proj_context_destroy(context);
}

static void a_us_survey_foot_grid_has_the_scale_of_its_projection(void **state) {
    (void)state;
    // EPSG:2264 and EPSG:32119 are one Lambert projection in feet and in metres.
    double x, y, x_ft, y_ft;
    forward("EPSG:32119", -78.5, 35.1, &x, &y);
    forward("EPSG:2264", -78.5, 35.1, &x_ft, &y_ft);
    struct sel_geographic metres = project("EPSG:32119", x, y);
    struct sel_geographic feet = project("EPSG:2264", x_ft, y_ft);
    assert_true(near(x_ft * 1200 / 3937, x, 1e-3)); // the false eastings are rounded apart
    assert_true(near(feet.scale, metres.scale, 1e-8));
    assert_true(near(feet.convergence, metres.convergence, 1e-8));
    assert_true(near(metres.scale, 1, 0.001));
}

static void the_poles_have_a_scale(void **state) {
    (void)state;
    // Polar stereographic, Snyder (1987) section 21: k at the pole of EPSG:3413 (true at 70 N) is
    // (1 + sin 70) / 2 on the sphere, 0.96985; on the ellipsoid 0.9698583 (EPSG guidance note 7-2).
    struct sel_geographic pole = project("EPSG:3413", 0, 0);
    assert_true(near(pole.latitude, 90, 1e-6));
    assert_true(near(pole.scale, 0.9698583, 2e-5));
}

static void a_position_off_the_world_is_told(void **state) {
    (void)state;
    sel_context *context = sel_context_new();
    struct sel_grid grid = {.crs = strdup("EPSG:3035")};
    struct sel_projector *projector;
    struct sel_geographic out;
    assert_int_equal(sel_projector_new(context, &grid, &projector), SEL_OK);
    assert_int_equal(sel_project(context, projector, 9e7, 9e7, &out), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context), "90000000"));
    assert_non_null(strstr(sel_context_message(context), "grid: { crs:"));
    sel_projector_free(projector);
    free(grid.crs);
    sel_context_free(context);
}

static void a_text_that_is_no_crs_is_told(void **state) {
    (void)state;
    static const char *const texts[] = {"nonsense", "EPSG:1", "/etc/hostname", ""};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        sel_context *context = sel_context_new();
        struct sel_projector *projector;
        sel_gdal_hush();
        assert_int_equal(sel_projector_for_crs(context, texts[i], &projector), SEL_BAD_INPUT);
        sel_gdal_speak();
        assert_null(projector);
        assert_non_null(strstr(sel_context_message(context), "EPSG:32633"));
        sel_context_free(context);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(scale_factors_are_those_of_proj),
        cmocka_unit_test(the_largest_and_smallest_scale_are_tissots_axes),
        cmocka_unit_test(scale_and_convergence_agree_with_proj_factors),
        cmocka_unit_test(utm_convergence_is_near_its_closed_form),
        cmocka_unit_test(true_bearing_is_grid_bearing_plus_convergence),
        cmocka_unit_test(a_us_survey_foot_grid_has_the_scale_of_its_projection),
        cmocka_unit_test(the_poles_have_a_scale),
        cmocka_unit_test(a_position_off_the_world_is_told),
        cmocka_unit_test(a_text_that_is_no_crs_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
