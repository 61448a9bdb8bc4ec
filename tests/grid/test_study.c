// SPDX-License-Identifier: MIT
//
// Which study grid comes of which rasters: docs/method.md, "Study grid". Ground sizes of pixels are
// held against the radii of curvature of the WGS 84 ellipsoid, worked out here.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cpl_conv.h>
#include <ogr_srs_api.h>

#include "grid/study.h"
#include "grid_fixture.h"
#include "scene.h"

static const double DEGREE = 3.14159265358979323846 / 180;

// Side of the square as large as a pixel of dx by dy degrees at a latitude, metres. Radii of
// curvature of the WGS 84 ellipsoid (NIMA TR8350.2).
static double pixel_side_m(double latitude, double dx, double dy) {
    double a = 6378137, f = 1 / 298.257223563, e2 = f * (2 - f);
    double w = 1 - e2 * sin(latitude * DEGREE) * sin(latitude * DEGREE);
    double across = a / sqrt(w), along = a * (1 - e2) / (w * sqrt(w));
    return sqrt(dx * DEGREE * across * cos(latitude * DEGREE) * dy * DEGREE * along);
}

static void open_study(struct grid_fixture *f) {
    if (sel_study_open(f->context, &f->plan, &f->study) != SEL_OK)
        fail_msg("%s", sel_context_message(f->context));
}

static void must_fail(struct grid_fixture *f, const char *const *parts) {
    assert_int_equal(sel_study_open(f->context, &f->plan, &f->study), SEL_BAD_INPUT);
    const char *message = sel_context_message(f->context);
    for (; *parts; parts++)
        if (!strstr(message, *parts))
            fail_msg("\"%s\" is not in: %s", *parts, message);
}

#define MUST_FAIL(f, ...) must_fail(f, (const char *const[]){__VA_ARGS__, NULL})

static bool crs_is(const struct sel_grid *grid, const char *crs) {
    OGRSpatialReferenceH have = OSRNewSpatialReference(grid->crs);
    OGRSpatialReferenceH want = OSRNewSpatialReference(NULL);
    OSRSetFromUserInput(want, crs);
    bool same = OSRIsSame(have, want);
    OSRDestroySpatialReference(have);
    OSRDestroySpatialReference(want);
    return same;
}

// Whether the grid's PROJ string has a word.
static bool crs_has(const struct sel_grid *grid, const char *word) {
    OGRSpatialReferenceH crs = OSRNewSpatialReference(grid->crs);
    char *text = NULL;
    OSRExportToProj4(crs, &text);
    bool has = text && strstr(text, word) != NULL;
    if (!has)
        fprintf(stderr, "no %s in %s\n", word, text ? text : "nothing");
    CPLFree(text);
    OSRDestroySpatialReference(crs);
    return has;
}

static const char UTM[] = "EPSG:32633";

static void a_projected_land_cover_keeps_its_grid(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400003, 5440007, 10, 10, 60, 80),
        grid_raster_at(UTM, 400003, 5440007, 10, 10, 60, 80));
    open_study(f);
    assert_int_equal(f->study.grid.rows, 60);
    assert_int_equal(f->study.grid.cols, 80);
    assert_true(near(f->study.grid.x0, 400003, 0));
    assert_true(near(f->study.grid.y0, 5440007, 0));
    assert_true(near(f->study.grid.cell_x_m, 10, 0));
    assert_true(near(f->study.grid.metres, 1, 0));
    assert_true(crs_is(&f->study.grid, UTM));
    assert_string_equal(f->study.landcover.method, "as it is");
    assert_string_equal(f->study.elevation.method, "as it is");
    assert_false(f->study.landcover.resampled);
    assert_string_equal(f->study.landcover.crs_name, "WGS 84 / UTM zone 33N");
    assert_string_equal(f->study.landcover.driver, "GTiff");
    assert_true(near(f->study.lost_share, 0, 1e-9));
    // proj -S +proj=utm +zone=33: k 0.999721 at the south-east corner.
    assert_true(near(f->study.scale_worst, 1 - 0.999721, 1e-6));
    assert_true(near(f->study.latitude, 49.1, 0.01));
    assert_true(near(f->study.longitude, 13.63, 0.01));
}

static void cells_that_are_not_square_are_kept(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 31.53, 31.525, 50, 40),
        grid_raster_at(UTM, 399000, 5441000, 90, 90, 60, 60));
    open_study(f);
    assert_true(near(f->study.grid.cell_x_m, 31.53, 1e-12));
    assert_true(near(f->study.grid.cell_y_m, 31.525, 1e-12));
    assert_int_equal(f->study.grid.rows, 50);
    assert_string_equal(f->study.elevation.method, "cubic");
}

static void survey_feet_are_kept_and_told_in_metres(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at("EPSG:2264", 2000000, 600000, 30, 30, 40, 40),
        grid_raster_at("EPSG:2264", 2000000, 600000, 30, 30, 40, 40));
    open_study(f);
    // 1200/3937 m, the US survey foot (Mendenhall order, 1893).
    assert_true(near(f->study.grid.metres, 1200.0 / 3937, 1e-12));
    assert_true(near(f->study.grid.cell_x_m, 30 * 1200.0 / 3937, 1e-10));
    assert_true(near(f->study.grid.dx, 30, 0));
    assert_string_equal(f->study.landcover.method, "as it is");
    assert_string_equal(f->study.landcover.unit, "US survey foot");
}

static void degrees_go_to_the_utm_zone_of_their_centre(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster raster =
        grid_raster_at("EPSG:4326", -25.6, 37.8, 0.000208333, 0.000208333, 500, 600);
    grid_fixture_give(f, raster, raster);
    open_study(f);
    double latitude = 37.8 - 250 * 0.000208333;
    double cell = round(pixel_side_m(latitude, 0.000208333, 0.000208333) * 10) / 10;
    assert_true(crs_is(&f->study.grid, "EPSG:32626"));
    assert_true(near(f->study.grid.cell_x_m, cell, 1e-12));
    assert_true(near(f->study.grid.cell_y_m, cell, 1e-12));
    assert_string_equal(f->study.landcover.method, "nearest");
    assert_string_equal(f->study.landcover.unit, "degree");
    // The corner lies on whole cells.
    double steps = f->study.grid.x0 / cell;
    assert_true(near(steps, round(steps), 1e-6));
    steps = f->study.grid.y0 / cell;
    assert_true(near(steps, round(steps), 1e-6));
    assert_true(near(f->study.latitude, latitude, 0.001));
}

static void southern_degrees_go_to_a_southern_zone(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster raster = grid_raster_at("EPSG:4326", 150.1, -33.2, 0.001, 0.001, 90, 90);
    grid_fixture_give(f, raster, raster);
    open_study(f);
    assert_true(crs_is(&f->study.grid, "EPSG:32756"));
}

static void fine_cells_are_rounded_to_a_centimetre(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster raster = grid_raster_at("EPSG:4326", 14, 49, 3e-6, 3e-6, 60, 60);
    grid_fixture_give(f, raster, raster);
    open_study(f);
    double cell = round(pixel_side_m(49, 3e-6, 3e-6) * 100) / 100;
    assert_true(cell > 0.2 && cell < 0.3);
    assert_true(near(f->study.grid.cell_x_m, cell, 1e-12));
}

static void web_mercator_is_resampled(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster raster = grid_raster_at("EPSG:3857", 1550000, 6275000, 30, 30, 200, 200);
    grid_fixture_give(f, raster, raster);
    open_study(f);
    // x = R lon, so the pixel is 30 m / R radians of longitude; dy from y = R ln tan(45 + lat / 2).
    double radius = 6378137, y = 6275000 - 3000;
    double latitude = (2 * atan(exp(y / radius)) - 90 * DEGREE) / DEGREE;
    double dx = 30 / radius / DEGREE, dy = dx * cos(latitude * DEGREE);
    assert_true(crs_is(&f->study.grid, "EPSG:32633"));
    assert_true(
        near(f->study.grid.cell_x_m, round(pixel_side_m(latitude, dx, dy) * 10) / 10, 1e-12));
    assert_string_equal(f->study.landcover.method, "nearest");
}

static void a_raster_far_out_of_its_zone_is_resampled(void **state) {
    struct grid_fixture *f = *state;
    // Zone 33's central meridian is 15 E; at 23.0 E, 0.09 N k = 1.0095 (proj -S).
    struct grid_raster raster = grid_raster_at(UTM, 1393000, 10000, 10, 10, 80, 80);
    grid_fixture_give(f, raster, raster);
    open_study(f);
    assert_true(crs_is(&f->study.grid, "EPSG:32634"));
    assert_string_equal(f->study.landcover.method, "nearest");
}

static void an_area_wider_than_a_zone_gets_an_equal_area_plane(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster raster = grid_raster_at("EPSG:4326", 10, 8, 0.05, 0.05, 320, 320);
    grid_fixture_give(f, raster, raster);
    open_study(f);
    assert_true(crs_has(&f->study.grid, "+proj=laea"));
    assert_true(crs_has(&f->study.grid, "+lon_0=18"));
    // Scale of the equal-area plane at angle c from its centre: 1 / cos(c / 2), c = 11.3 degrees.
    assert_true(f->study.scale_worst < 0.0051);
}

static void the_far_north_gets_a_polar_plane(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster raster = grid_raster_at("EPSG:4326", 20, 86.1, 0.002, 0.002, 100, 100);
    grid_fixture_give(f, raster, raster);
    open_study(f);
    assert_true(crs_has(&f->study.grid, "+proj=stere"));
    assert_true(crs_has(&f->study.grid, "+lat_0=90"));
    assert_true(f->study.scale_worst < 1e-3);
    assert_true(near(f->study.latitude, 86, 0.01));
    assert_true(near(f->study.longitude, 20.1, 0.05));
}

static void the_far_south_gets_a_polar_plane(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster raster = grid_raster_at("EPSG:4326", 160, -85, 0.002, 0.002, 100, 100);
    grid_fixture_give(f, raster, raster);
    open_study(f);
    assert_true(crs_has(&f->study.grid, "+proj=stere"));
    assert_true(crs_has(&f->study.grid, "+lat_0=-90"));
    assert_true(f->study.scale_worst < 1e-3);
}

static void a_south_up_raster_keeps_its_cells(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster south_up = grid_raster_at(UTM, 400000, 5439003, 10, 10, 100, 80);
    south_up.gt[5] = 10;
    grid_fixture_give(f, south_up, grid_raster_at(UTM, 400000, 5440003, 10, 10, 100, 80));
    open_study(f);
    assert_int_equal(f->study.grid.rows, 100);
    assert_int_equal(f->study.grid.cols, 80);
    assert_true(near(f->study.grid.y0, 5440003, 1e-9));
    assert_true(near(f->study.grid.x0, 400000, 1e-9));
    assert_string_equal(f->study.elevation.method, "as it is");
}

static void a_rotated_raster_stays_in_its_crs_on_upright_cells(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster rotated = grid_raster_at(UTM, 400000, 5440000, 10, 10, 100, 100);
    double c = 10 * cos(20 * DEGREE), s = 10 * sin(20 * DEGREE);
    rotated.gt[1] = c;
    rotated.gt[2] = s;
    rotated.gt[4] = s;
    rotated.gt[5] = -c;
    grid_fixture_give(f, rotated, grid_raster_at(UTM, 399000, 5441500, 10, 10, 300, 300));
    open_study(f);
    assert_true(crs_is(&f->study.grid, UTM));
    assert_true(near(f->study.grid.dx, 10, 1e-9));
    assert_true(near(fmod(f->study.grid.x0, 10), 0, 1e-9));
    assert_string_equal(f->study.landcover.method, "nearest");
    // The bounding box of a square turned by 20 degrees: 100 (cos 20 + sin 20) = 128.2 cells.
    assert_in_range(f->study.grid.rows, 126, 129);
    assert_in_range(f->study.grid.cols, 126, 129);
}

static void the_plan_names_crs_and_cell(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 100, 100),
        grid_raster_at(UTM, 400000, 5440000, 10, 10, 100, 100));
    f->plan.crs = (char *)"EPSG:3035";
    f->plan.cell_m = 12.5;
    open_study(f);
    assert_true(crs_is(&f->study.grid, "EPSG:3035"));
    assert_true(near(f->study.grid.cell_x_m, 12.5, 1e-12));
    assert_string_equal(f->study.landcover.method, "nearest");
}

static void the_plan_may_name_what_the_land_cover_has(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400003, 5440000, 10, 10, 100, 100),
        grid_raster_at(UTM, 400003, 5440000, 10, 10, 100, 100));
    f->plan.crs = (char *)UTM;
    f->plan.cell_m = 10;
    open_study(f);
    assert_true(near(f->study.grid.x0, 400003, 0));
    assert_string_equal(f->study.landcover.method, "as it is");
}

static void a_cell_of_the_plan_resamples(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400003, 5440000, 10, 10, 100, 100),
        grid_raster_at(UTM, 400003, 5440000, 10, 10, 100, 100));
    f->plan.cell_m = 25;
    open_study(f);
    assert_true(crs_is(&f->study.grid, UTM));
    assert_true(near(f->study.grid.dx, 25, 1e-12));
    assert_true(near(f->study.grid.x0, 400025, 1e-9));
    assert_int_equal(f->study.grid.cols, 39);
    assert_string_equal(f->study.landcover.method, "nearest");
    assert_string_equal(f->study.elevation.method, "average");
}

static void a_cell_of_the_plan_is_metres_in_a_foot_crs_too(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster raster = grid_raster_at("EPSG:2264", 2000000, 600000, 30, 30, 100, 100);
    grid_fixture_give(f, raster, raster);
    f->plan.cell_m = 20;
    open_study(f);
    assert_true(near(f->study.grid.cell_x_m, 20, 1e-9));
    assert_true(near(f->study.grid.dx, 20 * 3937.0 / 1200, 1e-9));
}

static void a_plan_crs_that_distorts_is_refused(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20),
        grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20));
    f->plan.crs = (char *)"EPSG:3857";
    MUST_FAIL(f, "survey.yaml", "grid.crs", "EPSG:3857", "52.", "auto");
}

static void a_plan_crs_that_distorts_a_little_is_noted(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster raster = grid_raster_at(UTM, 1393000, 10000, 10, 10, 80, 80);
    grid_fixture_give(f, raster, raster);
    f->plan.crs = (char *)UTM;
    open_study(f);
    assert_non_null(strstr(f->notes, "EPSG:32633"));
    assert_non_null(strstr(f->notes, "0.9"));
}

static void a_plan_crs_that_is_not_projected_is_refused(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20),
        grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20));
    f->plan.crs = (char *)"EPSG:4326";
    MUST_FAIL(f, "survey.yaml", "grid.crs", "EPSG:4326", "projected", "EPSG:32633");
}

static void a_plan_crs_that_is_none_is_refused(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20),
        grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20));
    f->plan.crs = (char *)"EPSG:999999";
    MUST_FAIL(f, "survey.yaml", "grid.crs", "EPSG:999999", "EPSG:32633");
}

static void only_the_common_part_is_used_and_the_loss_told(void **state) {
    struct grid_fixture *f = *state;
    // The elevation covers columns 30.. and rows ..49.5 of 100 x 100.
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 100, 100),
        grid_raster_at(UTM, 400300, 5440505, 10, 10, 100, 100));
    open_study(f);
    assert_int_equal(f->study.grid.cols, 70);
    assert_int_equal(f->study.grid.rows, 49);
    assert_true(near(f->study.grid.x0, 400300, 1e-9));
    assert_true(near(f->study.grid.y0, 5440000, 1e-9));
    assert_true(near(f->study.lost_share, 1 - 0.7 * 0.495, 1e-9));
}

static void the_loss_to_a_turned_elevation_is_told(void **state) {
    struct grid_fixture *f = *state;
    // A diamond on the middle of the land cover: half of its area.
    struct grid_raster diamond = grid_raster_at(UTM, 400500, 5440000, 10, 10, 1, 1);
    diamond.gt[1] = 10 * 0.5;
    diamond.gt[2] = -10 * 0.5;
    diamond.gt[4] = -10 * 0.5;
    diamond.gt[5] = -10 * 0.5;
    diamond.rows = diamond.cols = 100;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 100, 100), diamond);
    open_study(f);
    assert_true(near(f->study.lost_share, 0.5, 1e-6));
    assert_int_equal(f->study.grid.cols, 100);
}

static void a_world_wide_land_cover_is_used_where_the_elevation_lies(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at("EPSG:4326", -180, 90, 0.5, 0.5, 360, 720),
        grid_raster_at("EPSG:32719", 400000, 7800000, 1000, 1000, 100, 150));
    open_study(f);
    assert_true(crs_is(&f->study.grid, "EPSG:32719"));
    assert_true(near(f->study.longitude, -69, 1));
    assert_true(near(f->study.latitude, -20.3, 1));
    assert_true(f->study.lost_share > 0.9999);
}

static void a_world_wide_elevation_is_no_hindrance(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 100, 100, 100, 100),
        grid_raster_at("EPSG:4326", -180, 90, 0.5, 0.5, 360, 720));
    open_study(f);
    assert_int_equal(f->study.grid.rows, 100);
    assert_true(near(f->study.lost_share, 0, 1e-9));
    assert_string_equal(f->study.elevation.method, "cubic");
}

static void rasters_apart_are_refused_with_both_places(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 100, 100),
        grid_raster_at("EPSG:4326", -113, 37.5, 0.001, 0.001, 100, 100));
    MUST_FAIL(f, "landcover.tif", "elevation.tif", "do not overlap", "49.1", " N, 13.6", " E",
        "37.4000..37.5000 N", "113.0000..112.9000 W", "coordinate reference systems");
}

static void rasters_that_only_touch_are_apart(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 100, 100),
        grid_raster_at(UTM, 401000, 5440000, 10, 10, 100, 100));
    MUST_FAIL(f, "landcover.tif", "elevation.tif", "do not overlap");
}

static void a_missing_crs_is_refused_with_the_mend(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(NULL, 400000, 5440000, 10, 10, 20, 20),
        grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20));
    MUST_FAIL(f, "landcover.tif", "no coordinate reference system", "gdal_edit.py -a_srs");
}

static void a_missing_crs_of_the_elevation_names_that_file(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20),
        grid_raster_at(NULL, 400000, 5440000, 10, 10, 20, 20));
    MUST_FAIL(f, "elevation.tif", "no coordinate reference system", "gdal_edit.py -a_srs");
}

static void a_local_crs_is_refused_with_the_mend(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f,
        grid_raster_at("LOCAL_CS[\"site grid\",UNIT[\"metre\",1]]", 0, 0, 10, 10, 20, 20),
        grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20));
    MUST_FAIL(f, "landcover.tif", "site grid", "local", "gdal_edit.py -a_srs");
}

static void a_datum_without_a_name_works(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f,
        grid_raster_at("+proj=utm +zone=12 +ellps=GRS80 +units=m", 300000, 4150000, 30, 30, 50, 50),
        grid_raster_at("EPSG:4326", -113.3, 37.6, 0.001, 0.001, 200, 200));
    open_study(f);
    assert_int_equal(f->study.grid.rows, 50);
    assert_string_equal(f->study.landcover.method, "as it is");
    assert_true(near(f->study.longitude, -113.25, 0.02));
}

static void a_compound_crs_is_taken_flat(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at("EPSG:32633+5773", 400000, 5440000, 10, 10, 20, 20),
        grid_raster_at("EPSG:32633+5773", 400000, 5440000, 10, 10, 20, 20));
    open_study(f);
    assert_true(crs_is(&f->study.grid, UTM));
    assert_string_equal(f->study.elevation.value_unit, "metre");
}

static void the_crs_need_not_have_the_same_name_to_coincide(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20),
        grid_raster_at("+proj=utm +zone=33 +datum=WGS84", 399980, 5440010, 10, 10, 30, 30));
    open_study(f);
    assert_string_equal(f->study.elevation.method, "as it is");
}

static void a_file_that_is_no_raster_is_refused(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20),
        grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20));
    char *text = grid_make_file(f->folder, "notes.txt", "pencil on paper\n");
    f->plan.landcover.file = text;
    MUST_FAIL(f, "notes.txt", "cannot be opened", "check the path");
    free(text);
}

static void a_band_the_file_lacks_is_refused(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20),
        grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20));
    f->plan.elevation.band = 3;
    MUST_FAIL(f, "elevation.tif", "band 3", "has 1 band", "1..1");
}

static void complex_numbers_are_refused(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster odd = grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20);
    odd.type = GDT_CFloat32;
    grid_fixture_give(f, odd, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20));
    MUST_FAIL(f, "landcover.tif", "complex", "gdal_translate -ot");
}

static void a_raster_without_a_place_is_refused(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20),
        grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20));
    free(grid_run("gdal_translate -q -of PNG -co WORLDFILE=NO %s %s/bare.png && rm -f "
                  "%s/bare.png.aux.xml",
        f->landcover, f->folder, f->folder));
    char path[4096];
    snprintf(path, sizeof path, "%s/bare.png", f->folder);
    f->plan.landcover.file = path;
    MUST_FAIL(f, "bare.png", "no place on the map", "gdal_edit.py -a_ullr");
}

static void a_raster_placed_by_control_points_is_refused(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20),
        grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20));
    free(grid_run("gdal_translate -q -a_srs %s -gcp 0 0 400000 5440000 -gcp 20 0 400200 5440000 "
                  "-gcp 0 20 400000 5439800 %s %s/points.tif",
        UTM, f->landcover, f->folder));
    char path[4096];
    snprintf(path, sizeof path, "%s/points.tif", f->folder);
    f->plan.landcover.file = path;
    MUST_FAIL(f, "points.tif", "control points", "gdalwarp");
}

static void heights_in_an_unknown_unit_are_refused(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster fathoms = grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20);
    fathoms.unit = "fathom";
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20), fathoms);
    MUST_FAIL(f, "elevation.tif", "band 1", "fathom", "elevation: {", "unit:");
}

static void metres_are_assumed_aloud(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20),
        grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20));
    open_study(f);
    assert_non_null(strstr(f->notes, "elevation.tif"));
    assert_non_null(strstr(f->notes, "metres are taken"));
    assert_string_equal(f->study.elevation.value_unit, "metre, assumed");
}

static void metres_over_a_foot_map_are_assumed_louder(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster raster = grid_raster_at("EPSG:2264", 2000000, 600000, 30, 30, 40, 40);
    grid_fixture_give(f, raster, raster);
    open_study(f);
    assert_non_null(strstr(f->notes, "although the map's unit is a foot"));
    assert_non_null(strstr(f->notes, "unit: ft"));
}

static void a_nodata_value_no_cell_can_hold_is_noted(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster odd = grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20);
    odd.has_nodata = true;
    odd.nodata = -128;
    grid_fixture_give(f, odd, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20));
    open_study(f);
    assert_non_null(strstr(f->notes, "landcover.tif"));
    assert_non_null(strstr(f->notes, "NoData -128"));
    assert_non_null(strstr(f->notes, "Byte"));
}

static void a_nodata_value_that_the_table_lists_is_noted(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster odd = grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20);
    odd.has_nodata = true;
    odd.nodata = 3;
    grid_fixture_give(f, odd, grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20));
    open_study(f);
    assert_non_null(strstr(f->notes, "value 3 is NoData"));
    assert_non_null(strstr(f->notes, "habitats.csv"));
}

static void a_canopy_elsewhere_is_refused(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster here = grid_raster_at(UTM, 400000, 5440000, 10, 10, 20, 20);
    struct grid_raster there = grid_raster_at(UTM, 500000, 5440000, 10, 10, 20, 20);
    grid_fixture_give(f, here, here);
    f->canopy = grid_make_raster(f->folder, "canopy.tif", &there);
    f->plan.canopy = (struct sel_raster_ref){.file = f->canopy, .band = 1};
    MUST_FAIL(f, "canopy.tif", "do not overlap");
}

static void auto_lengths_follow_the_cell(void **state) {
    struct grid_fixture *f = *state;
    grid_plan_init(&f->plan, "", "");
    struct sel_study study = {.grid = {.cell_x_m = 10, .cell_y_m = 10}};
    struct sel_lengths fine = sel_study_lengths(&study, &f->plan);
    assert_true(near(fine.every_m, 50, 0) && near(fine.reach_m, 60, 0));
    assert_true(near(fine.belt_m, 20, 0) && near(fine.tangent_m, 50, 0));
    assert_int_equal(fine.every_half_cells, 10);
    study.grid.cell_x_m = 40;
    study.grid.cell_y_m = 90;
    struct sel_lengths coarse = sel_study_lengths(&study, &f->plan);
    assert_true(near(coarse.every_m, 180, 1e-9) && near(coarse.reach_m, 180, 1e-9));
    assert_true(near(coarse.belt_m, 120, 1e-9) && near(coarse.tangent_m, 300, 1e-9));
    assert_int_equal(coarse.every_half_cells, 6);
    f->plan.every_m = 1;
    f->plan.belt_m = 7;
    struct sel_lengths given = sel_study_lengths(&study, &f->plan);
    assert_int_equal(given.every_half_cells, 1);
    assert_true(near(given.every_m, 1, 0) && near(given.belt_m, 7, 0));
}

#define TEST(name)                                                                                 \
    cmocka_unit_test_setup_teardown(name, grid_fixture_set_up, grid_fixture_tear_down)

int main(void) {
    const struct CMUnitTest tests[] = {
        TEST(a_projected_land_cover_keeps_its_grid),
        TEST(cells_that_are_not_square_are_kept),
        TEST(survey_feet_are_kept_and_told_in_metres),
        TEST(degrees_go_to_the_utm_zone_of_their_centre),
        TEST(southern_degrees_go_to_a_southern_zone),
        TEST(fine_cells_are_rounded_to_a_centimetre),
        TEST(web_mercator_is_resampled),
        TEST(a_raster_far_out_of_its_zone_is_resampled),
        TEST(an_area_wider_than_a_zone_gets_an_equal_area_plane),
        TEST(the_far_north_gets_a_polar_plane),
        TEST(the_far_south_gets_a_polar_plane),
        TEST(a_south_up_raster_keeps_its_cells),
        TEST(a_rotated_raster_stays_in_its_crs_on_upright_cells),
        TEST(the_plan_names_crs_and_cell),
        TEST(the_plan_may_name_what_the_land_cover_has),
        TEST(a_cell_of_the_plan_resamples),
        TEST(a_cell_of_the_plan_is_metres_in_a_foot_crs_too),
        TEST(a_plan_crs_that_distorts_is_refused),
        TEST(a_plan_crs_that_distorts_a_little_is_noted),
        TEST(a_plan_crs_that_is_not_projected_is_refused),
        TEST(a_plan_crs_that_is_none_is_refused),
        TEST(only_the_common_part_is_used_and_the_loss_told),
        TEST(the_loss_to_a_turned_elevation_is_told),
        TEST(a_world_wide_land_cover_is_used_where_the_elevation_lies),
        TEST(a_world_wide_elevation_is_no_hindrance),
        TEST(rasters_apart_are_refused_with_both_places),
        TEST(rasters_that_only_touch_are_apart),
        TEST(a_missing_crs_is_refused_with_the_mend),
        TEST(a_missing_crs_of_the_elevation_names_that_file),
        TEST(a_local_crs_is_refused_with_the_mend),
        TEST(a_datum_without_a_name_works),
        TEST(a_compound_crs_is_taken_flat),
        TEST(the_crs_need_not_have_the_same_name_to_coincide),
        TEST(a_file_that_is_no_raster_is_refused),
        TEST(a_band_the_file_lacks_is_refused),
        TEST(complex_numbers_are_refused),
        TEST(a_raster_without_a_place_is_refused),
        TEST(a_raster_placed_by_control_points_is_refused),
        TEST(heights_in_an_unknown_unit_are_refused),
        TEST(metres_are_assumed_aloud),
        TEST(metres_over_a_foot_map_are_assumed_louder),
        TEST(a_nodata_value_no_cell_can_hold_is_noted),
        TEST(a_nodata_value_that_the_table_lists_is_noted),
        TEST(a_canopy_elsewhere_is_refused),
        TEST(auto_lengths_follow_the_cell),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
