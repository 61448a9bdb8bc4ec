// SPDX-License-Identifier: MIT
//
// Whole surveys held against general-purpose tools: slope against gdaldem, access against
// ST_Distance, and scenes told in three coordinate systems against themselves.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <gdal.h>
#include <math.h>
#include <ogr_api.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "survey_scene.h"

enum { ROWS = 300, COLS = 360 };

// Smooth hills and large soft-edged patches: a scene whose shapes outlive resampling.
static struct survey_scene hills(void) {
    struct survey_scene scene = survey_scene_new(ROWS, COLS, 10);
    for (int row = 0; row < ROWS; row++)
        for (int col = 0; col < COLS; col++) {
            double x = col / 40.0, y = row / 40.0;
            double wave = sin(x + 0.7 * sin(y)) + cos(1.3 * y - 0.4 * x);
            int at = row * COLS + col;
            scene.classes[at] = wave > 0.7 ? 1 : wave > -0.6 ? 2 : 5;
            scene.metres[at] = (float)(200 + 25 * sin(0.9 * x) * cos(0.6 * y) + 0.05 * row);
        }
    return scene;
}

static void shell(const char *format, ...) __attribute__((format(printf, 1, 2)));
static void shell(const char *format, ...) {
    char command[8192];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(command, sizeof command, format, arguments);
    va_end(arguments);
    if (survey_scene_shell(command, NULL) != 0)
        fail_msg("failed: %s", command);
}

static void rank(const struct survey_scene *scene, const char *name) {
    const char *message;
    if (survey_scene_rank(scene, name, &(sel_run_options){.threads = 1}, &message) != SEL_OK)
        fail_msg("rank: %s", message);
}

static GDALDatasetH open_vector(const struct survey_scene *scene, const char *name) {
    GDALDatasetH file =
        GDALOpenEx(survey_scene_path(scene, name), GDAL_OF_VECTOR, NULL, NULL, NULL);
    assert_non_null(file);
    return file;
}

// The steepest of the cells that touch a half-cell position.
static double steepest(const float *slope, long hx, long hy) {
    double most = 0;
    for (long row = (hy - 1) / 2; row <= hy / 2; row++)
        for (long col = (hx - 1) / 2; col <= hx / 2; col++)
            most = fmax(most, (double)slope[row * COLS + col]);
    return most;
}

// gdaldem slope (GDAL's own Horn) at every candidate: where the trap may stand on both sides the
// site is a crack's middle and the steeper cell counts, else it is a cell's middle.
static void slopes_agree_with_gdaldem(void **state) {
    (void)state;
    struct survey_scene scene = hills();
    survey_scene_write(&scene, "choose: { sites: 5, apart_m: 300 }\n");
    rank(&scene, "sites.gpkg");
    shell("gdaldem slope -q '%s/elevation.tif' '%s/slope.tif'", scene.folder, scene.folder);
    float *slope = malloc(sizeof(float) * ROWS * COLS);
    GDALDatasetH raster = GDALOpen(survey_scene_path(&scene, "slope.tif"), GA_ReadOnly);
    assert_non_null(raster);
    assert_int_equal(GDALRasterIO(GDALGetRasterBand(raster, 1), GF_Read, 0, 0, COLS, ROWS, slope,
                         COLS, ROWS, GDT_Float32, 0, 0),
        CE_None);
    GDALClose(raster);
    GDALDatasetH file = open_vector(&scene, "sites.gpkg");
    OGRLayerH layer = GDALDatasetGetLayerByName(file, "candidates");
    int compared = 0;
    for (OGRFeatureH at = OGR_L_GetNextFeature(layer); at; at = OGR_L_GetNextFeature(layer)) {
        OGRGeometryH point = OGR_F_GetGeometryRef(at);
        long hx = lround((OGR_G_GetX(point, 0) - scene.x0) / 5);
        long hy = lround((scene.y0 - OGR_G_GetY(point, 0)) / 5);
        double told = OGR_F_GetFieldAsDouble(at, OGR_F_GetFieldIndex(at, "slope_deg"));
        double wanted = steepest(slope, hx, hy);
        if (fabs(told - wanted) > 1e-3)
            fail_msg("slope %g, gdaldem %g at half-cell %ld, %ld", told, wanted, hx, hy);
        compared++;
        OGR_F_Destroy(at);
    }
    assert_true(compared > 300);
    GDALClose(file);
    free(slope);
    survey_scene_free(&scene);
}

// ST_Distance of SQLite with SpatiaLite, through ogrinfo, from every site to the road.
static void access_agrees_with_st_distance(void **state) {
    (void)state;
    struct survey_scene scene = hills();
    shell("printf '%%s' '{\"type\":\"FeatureCollection\",\"crs\":{\"type\":\"name\",\"properties\":"
          "{\"name\":\"EPSG:32633\"}},\"features\":[{\"type\":\"Feature\",\"properties\":{},"
          "\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[500100,5399900],"
          "[501234,5398500],[503300,5397300]]}}]}' > '%s/road.geojson'",
        scene.folder);
    shell("ogr2ogr -q '%s/road.gpkg' '%s/road.geojson' -a_srs EPSG:32633 -nln road", scene.folder,
        scene.folder);
    survey_scene_write(&scene, "access: [ { file: road.gpkg, role: start } ]\n"
                               "choose: { sites: 6, apart_m: 300 }\n");
    rank(&scene, "sites.gpkg");
    char command[8192], *out;
    snprintf(command, sizeof command,
        "ogrinfo -q '%s/sites.gpkg' -dialect INDIRECT_SQLITE -sql \"SELECT max(abs(s.access_m - "
        "ST_Distance(s.geom, r.geom))) AS worst, count(*) AS n FROM sites s, '%s/road.gpkg'.road "
        "r\"",
        scene.folder, scene.folder);
    assert_int_equal(survey_scene_shell(command, &out), 0);
    const char *worst = strstr(out, "worst (Real) = "), *n = strstr(out, "n (Integer) = ");
    if (!worst) {
        fprintf(stderr, "SKIPPED: this GDAL has no SpatiaLite, so no ST_Distance\n");
    } else {
        assert_true(strtod(worst + strlen("worst (Real) = "), NULL) < 0.01);
        assert_true(n && strtol(n + strlen("n (Integer) = "), NULL, 10) >= 6);
    }
    free(out);
    survey_scene_free(&scene);
}

// For how many of the sites of one file the other has a candidate of the same pair within 50 m
// whose score differs by less than 0.05.
static double share_found(
    const struct survey_scene *scene, const char *sites, const char *candidates) {
    GDALDatasetH a = open_vector(scene, sites), b = open_vector(scene, candidates);
    OGRLayerH from = GDALDatasetGetLayerByName(a, "sites");
    OGRLayerH to = GDALDatasetGetLayerByName(b, "candidates");
    int all = 0, found = 0;
    for (OGRFeatureH site = OGR_L_GetNextFeature(from); site; site = OGR_L_GetNextFeature(from)) {
        OGRGeometryH point = OGR_F_GetGeometryRef(site);
        const char *pair = OGR_F_GetFieldAsString(site, OGR_F_GetFieldIndex(site, "pair"));
        double score = OGR_F_GetFieldAsDouble(site, OGR_F_GetFieldIndex(site, "score"));
        bool hit = false;
        OGR_L_SetSpatialFilterRect(to, OGR_G_GetX(point, 0) - 50, OGR_G_GetY(point, 0) - 50,
            OGR_G_GetX(point, 0) + 50, OGR_G_GetY(point, 0) + 50);
        OGR_L_ResetReading(to);
        for (OGRFeatureH at = OGR_L_GetNextFeature(to); at; at = OGR_L_GetNextFeature(to)) {
            OGRGeometryH there = OGR_F_GetGeometryRef(at);
            double apart = hypot(OGR_G_GetX(point, 0) - OGR_G_GetX(there, 0),
                OGR_G_GetY(point, 0) - OGR_G_GetY(there, 0));
            double other = OGR_F_GetFieldAsDouble(at, OGR_F_GetFieldIndex(at, "score"));
            hit = hit || (apart <= 50 && fabs(score - other) < 0.05 &&
                             strcmp(pair,
                                 OGR_F_GetFieldAsString(at, OGR_F_GetFieldIndex(at, "pair"))) == 0);
            OGR_F_Destroy(at);
        }
        all++;
        found += hit;
        OGR_F_Destroy(site);
    }
    GDALClose(a);
    GDALClose(b);
    assert_true(all >= 10);
    return (double)found / all;
}

// The rasters of the scene, warped from the kept originals.
static void replace_rasters(const struct survey_scene *scene, const char *crs) {
    static const char *const NAMES[] = {"landcover", "elevation"};
    for (int i = 0; i < 2; i++) {
        shell("gdalwarp -q -overwrite -t_srs %s -r %s '%s/utm_%s.tif' '%s/%s.tif'", crs,
            i == 0 ? "near" : "bilinear", scene->folder, NAMES[i], scene->folder, NAMES[i]);
    }
}

static void one_scene_in_three_systems_gives_the_same_places(void **state) {
    (void)state;
    struct survey_scene scene = hills();
    survey_scene_write(&scene, "grid: { crs: EPSG:32633 }\nflyways: { every_m: 50 }\n"
                               "choose: { sites: 12, apart_m: 300, reserves: 0 }\n");
    rank(&scene, "own.gpkg");
    shell("cp '%s/landcover.tif' '%s/utm_landcover.tif'", scene.folder, scene.folder);
    shell("cp '%s/elevation.tif' '%s/utm_elevation.tif'", scene.folder, scene.folder);
    replace_rasters(&scene, "EPSG:4326");
    rank(&scene, "degrees.gpkg");
    replace_rasters(&scene, "EPSG:3857");
    rank(&scene, "web.gpkg");
    assert_true(share_found(&scene, "own.gpkg", "degrees.gpkg") >= 0.9);
    assert_true(share_found(&scene, "degrees.gpkg", "own.gpkg") >= 0.9);
    assert_true(share_found(&scene, "own.gpkg", "web.gpkg") >= 0.9);
    assert_true(share_found(&scene, "web.gpkg", "degrees.gpkg") >= 0.9);
    survey_scene_free(&scene);
}

// The sample valley as it is, or warped as anyone would do it; the grid is left to the program.
static void rank_sample_in(const struct survey_scene *scene, const char *crs, const char *name) {
    shell("cp '%s'/sample-rasters/*.gpkg '%s'/sample-rasters/*.tif '%s'/sample-rasters/*.csv "
          "'%s'/sample-rasters/survey.yaml '%s'",
        SEL_TEST_SOURCE, SEL_TEST_SOURCE, SEL_TEST_SOURCE, SEL_TEST_SOURCE, scene->folder);
    shell("echo 'output: { candidates: 1000000 }' >> '%s/survey.yaml'", scene->folder);
    if (crs) {
        shell("cp '%s/landcover.tif' '%s/utm_landcover.tif'", scene->folder, scene->folder);
        shell("cp '%s/elevation.tif' '%s/utm_elevation.tif'", scene->folder, scene->folder);
        replace_rasters(scene, crs);
    }
    rank(scene, name);
}

// Ragged edges do not outlive a resampling to cells of another size (10.9 m through degrees) as
// smooth ones do: docs/method.md tells how far they do. Held here is a little less than measured.
static void the_sample_valley_in_three_systems_gives_much_the_same_places(void **state) {
    (void)state;
    struct survey_scene scene = survey_scene_new(2, 2, 10);
    rank_sample_in(&scene, NULL, "own.gpkg");
    rank_sample_in(&scene, "EPSG:3857", "web.gpkg");
    rank_sample_in(&scene, "EPSG:4326", "degrees.gpkg");
    double web[2] = {
        share_found(&scene, "own.gpkg", "web.gpkg"), share_found(&scene, "web.gpkg", "own.gpkg")};
    double degrees[2] = {share_found(&scene, "own.gpkg", "degrees.gpkg"),
        share_found(&scene, "degrees.gpkg", "own.gpkg")};
    printf("found again: %.2f and %.2f through EPSG:3857, %.2f and %.2f through EPSG:4326\n",
        web[0], web[1], degrees[0], degrees[1]);
    assert_true(fmin(web[0], web[1]) >= 0.9);
    assert_true(fmin(degrees[0], degrees[1]) >= 0.65);
    survey_scene_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slopes_agree_with_gdaldem),
        cmocka_unit_test(access_agrees_with_st_distance),
        cmocka_unit_test(one_scene_in_three_systems_gives_the_same_places),
        cmocka_unit_test(the_sample_valley_in_three_systems_gives_much_the_same_places),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
