// SPDX-License-Identifier: MIT
//
// Every candidate's walking time against walk_reference.py, which follows docs/method-walking.md
// and shares nothing with the program: Python lists, a heap, GDAL's and GEOS's own geometry.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <gdal.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "scene.h"
#include "survey_lines.h"
#include "survey_scene.h"

// The walking factors of survey_scene_write's table.
static const char FACTORS[] = "1=0.6,2=1,3=1,4=0,5=0.7";

static void rank(const struct survey_scene *scene) {
    const char *message;
    if (survey_scene_rank(scene, "sites.gpkg", &(sel_run_options){.threads = 2}, &message) !=
        SEL_OK)
        fail_msg("rank: %s", message);
}

// The file's columns keep 0.0001 minutes.
static void expect_agreement(
    const struct survey_scene *scene, int limit, const char *layers, int least) {
    char command[8192], *out, *end;
    snprintf(command, sizeof command,
        "cd '%s' && /usr/bin/python3 '%s/tests/survey/walk_reference.py' landcover.tif "
        "elevation.tif %s %d sites.gpkg %s",
        scene->folder, SEL_TEST_SOURCE, FACTORS, limit, layers);
    if (survey_scene_shell(command, &out) != 0)
        fail_msg("failed: %s", command);
    long compared = strtol(out, &end, 10);
    double worst = strtod(end, NULL);
    if (compared < least || worst > 0.00006)
        fail_msg("compared %ld, worst %g minutes", compared, worst);
    free(out);
}

// Hills with woods, scrub, lakes and gaps in the elevation; classes change from cell to cell, so
// blocks of all kinds come up.
static struct survey_scene hills(int rows, int cols, double cell) {
    struct survey_scene scene = survey_scene_new(rows, cols, cell);
    for (int row = 0; row < rows; row++)
        for (int col = 0; col < cols; col++) {
            double x = col * cell / 10, y = row * cell / 10;
            double wave = sin(x / 17) + cos(y / 21 + x / 60) + 0.2 * sin(7 * x + 3 * y);
            double lake = sin(x / 13 + 2) * sin(y / 9) + 0.1 * sin(5 * x);
            int at = row * cols + col;
            scene.classes[at] = wave > 0.6 ? 1 : wave < -0.9 ? 5 : 2;
            if (lake > 0.93)
                scene.classes[at] = 4;
            if ((row * 31 + col * 17) % 401 == 0)
                scene.classes[at] = 0;
            scene.metres[at] = (float)(200 + 45 * sin(x / 23) * cos(y / 29) + 2 * sin(x + y));
        }
    return scene;
}

static const char ON_FOOT[] = "lines: [ { file: brook.gpkg, habitat: water, width_m: 12 } ]\n"
                              "access: [ road.gpkg, { file: path.gpkg, role: way } ]\n"
                              "criteria: { access: { by: time, limit: 45 } }\n"
                              "choose: { sites: 5, apart_m: 150 }\n";

// A road in the west, a brook beside it and across, paths with and without a bridge, a car park.
static void walk_made_ground(int rows, int cols, double cell) {
    struct survey_scene scene = hills(rows, cols, cell);
    survey_scene_lines(&scene, "road.gpkg",
        (const char *const[]){"LINESTRING (500200 5399990, 500263 5399101, 500190 5398312)",
            "POINT (501711 5399433)", NULL});
    survey_scene_lines(&scene, "brook.gpkg",
        (const char *const[]){"LINESTRING (500224 5399990, 500287 5399100, 501200 5398850, 501903 "
                              "5398810)",
            NULL});
    survey_scene_lines(&scene, "path.gpkg",
        (const char *const[]){"LINESTRING (500231 5399500, 500903 5399210, 501711 5399433)",
            "LINESTRING (500230 5398700, 501300 5398760)",
            "LINESTRING (500830 5399240, 500845 5398755)", NULL});
    survey_scene_write(&scene, ON_FOOT);
    rank(&scene);
    expect_agreement(
        &scene, 45, "start:road.gpkg way:path.gpkg 0@12:brook.gpkg", (int)(rows * cols / 500));
    survey_scene_free(&scene);
}

static void on_made_ground_of_ten_metres(void **state) {
    (void)state;
    walk_made_ground(171, 190, 10);
}

static void on_made_ground_of_eight_metres(void **state) {
    (void)state;
    walk_made_ground(211, 238, 8); // blocks of 3 x 3, the last ones cut off by the grid
}

static void on_made_ground_of_five_metres(void **state) {
    (void)state;
    walk_made_ground(338, 381, 5);
}

// Roads, trails and streams (as water 3 m wide) of a coastal watershed in California, 10 m ground;
// the habitats are made up.
static void on_real_ground(void **state) {
    (void)state;
    const char *data = scene_real_data();
    if (!data)
        skip();
    char command[8192];
    struct survey_scene scene = hills(260, 300, 10);
    scene.x0 = 544000, scene.y0 = 4161000, scene.crs = "EPSG:26910";
    snprintf(command, sizeof command, "%s/sanpedro/dem.tif", data);
    GDALDatasetH ground = GDALOpen(command, GA_ReadOnly); // its corner: 541800, 4162500
    assert_non_null(ground);
    assert_int_equal(GDALRasterIO(GDALGetRasterBand(ground, 1), GF_Read, 220, 150, scene.cols,
                         scene.rows, scene.metres, scene.cols, scene.rows, GDT_Float32, 0, 0),
        CE_None);
    GDALClose(ground);
    snprintf(command, sizeof command,
        "cd '%s' && for name in roads trails streams; do ogr2ogr -f GPKG $name.gpkg "
        "'%s'/sanpedro/$name.shp -nlt MULTILINESTRING -nln lines -a_srs EPSG:26910 || exit 1; done",
        scene.folder, data);
    if (survey_scene_shell(command, NULL) != 0)
        fail_msg("failed: %s", command);
    survey_scene_write(&scene,
        "lines: [ { file: streams.gpkg, habitat: water, width_m: 3 } ]\n"
        "access: [ roads.gpkg, { file: trails.gpkg, role: way } ]\n"
        "criteria: { access: { by: time, limit: 60 }, slope: { limit: none } }\n"
        "choose: { sites: 8, apart_m: 300 }\n");
    rank(&scene);
    expect_agreement(&scene, 60, "start:roads.gpkg way:trails.gpkg 0@3:streams.gpkg", 500);
    survey_scene_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(on_made_ground_of_ten_metres),
        cmocka_unit_test(on_made_ground_of_eight_metres),
        cmocka_unit_test(on_made_ground_of_five_metres),
        cmocka_unit_test(on_real_ground),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
