// SPDX-License-Identifier: MIT
//
// Whole surveys with a canopy-height raster: its unit, its gaps, and heights that no tree has.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <gdal.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "survey_scene.h"

enum { ROWS = 160, COLS = 200, CELLS = ROWS * COLS };

static const char REST[] = "choose: { sites: 4, apart_m: 300, reserves: 0 }\n"
                           "season: { from: 2027-05-15, to: 2027-08-31 }\n";

// A wood in the middle; survey_scene_write says 16 m high and closed to 0.9.
static struct survey_scene wood(void) {
    struct survey_scene scene = survey_scene_new(ROWS, COLS, 10);
    survey_scene_paint(&scene, 60, 0, 40, COLS, 1);
    return scene;
}

// Heights by class, in a unit of `per_metre`; NAN is NoData.
static void write_canopy(
    const struct survey_scene *scene, double wood_m, double meadow_m, double per_metre) {
    float *heights = malloc(CELLS * sizeof *heights);
    assert_non_null(heights);
    for (int i = 0; i < CELLS; i++)
        heights[i] = (float)((scene->classes[i] == 1 ? wood_m : meadow_m) * per_metre);
    survey_scene_heights(scene, "canopy.tif", heights);
    free(heights);
}

// Adds the canopy's line to the plan that survey_scene_write makes.
static void write_plan(const struct survey_scene *scene, const char *unit) {
    char command[9000];
    survey_scene_write(scene, REST);
    snprintf(command, sizeof command,
        "sed -i 's|^  elevation:.*|&\\n  canopy: { file: canopy.tif, unit: %s }|' '%s'", unit,
        survey_scene_path(scene, "survey.yaml"));
    assert_int_equal(survey_scene_shell(command, NULL), 0);
}

static void rank(const struct survey_scene *scene, const char *name) {
    const char *message;
    if (survey_scene_rank(scene, name, &(sel_run_options){.threads = 1}, &message) != SEL_OK)
        fail_msg("rank: %s", message);
}

static double ask(const struct survey_scene *scene, const char *name, const char *sql) {
    return survey_scene_number(scene, name, sql);
}

static double remarks_like(const struct survey_scene *scene, const char *name, const char *words) {
    char sql[300];
    snprintf(sql, sizeof sql, "SELECT count(*) FROM run WHERE value LIKE '%%%s%%'", words);
    return ask(scene, name, sql);
}

static void expect_same(const struct survey_scene *scene, const char *one, const char *other) {
    static const char *const QUESTIONS[] = {"SELECT sum(sun_share) FROM candidates",
        "SELECT sum(score) FROM sites", "SELECT sum(ST_MinX(geom)) FROM sites",
        "SELECT sum(ST_MinY(geom)) FROM sites", "SELECT sum(light_kwh_m2_day) FROM sites"};
    for (size_t i = 0; i < sizeof QUESTIONS / sizeof *QUESTIONS; i++) {
        double a = ask(scene, one, QUESTIONS[i]), b = ask(scene, other, QUESTIONS[i]);
        if (!(fabs(a - b) <= 1e-4 * fabs(a)))
            fail_msg("%s: %.9g and %.9g", QUESTIONS[i], a, b);
    }
}

// The same trees in metres, decimetres and feet, and by the table alone.
static void the_unit_of_the_canopy_changes_nothing(void **state) {
    (void)state;
    struct survey_scene scene = wood();
    survey_scene_write(&scene, REST);
    rank(&scene, "table.gpkg");
    static const char *const UNITS[] = {"m", "dm", "ft"};
    static const double PER_METRE[] = {1, 10, 1 / 0.3048};
    for (int i = 0; i < 3; i++) {
        char name[20];
        snprintf(name, sizeof name, "%s.gpkg", UNITS[i]);
        write_canopy(&scene, 16, 0, PER_METRE[i]);
        write_plan(&scene, UNITS[i]);
        rank(&scene, name);
        expect_same(&scene, "table.gpkg", name);
        assert_true(remarks_like(&scene, name, "canopy raster") == 0);
    }
    survey_scene_free(&scene);
}

static void the_canopy_raster_s_heights_make_the_shade(void **state) {
    (void)state;
    static const char NORTH[] =
        "SELECT avg(sun_share) FROM candidates WHERE ST_MinY(geom) > 5400000 - 800";
    struct survey_scene scene = wood();
    double share[3];
    static const double HEIGHTS[] = {2, 8, 30};
    for (int i = 0; i < 3; i++) {
        char name[20];
        snprintf(name, sizeof name, "%d.gpkg", i);
        write_canopy(&scene, HEIGHTS[i], 0, 1);
        write_plan(&scene, "m");
        rank(&scene, name);
        share[i] = ask(&scene, name, NORTH);
    }
    assert_true(share[0] > 0.9); // 0.2 m above the head, 4 m off
    assert_true(share[1] < share[0] - 0.15 && share[2] < share[1] - 0.03);
    survey_scene_free(&scene);
}

// NoData over the eastern half of everything: 16 000 of 32 000 cells.
static void cells_without_a_height_are_counted_and_take_the_table_s(void **state) {
    (void)state;
    struct survey_scene scene = wood();
    survey_scene_write(&scene, REST);
    rank(&scene, "table.gpkg");
    float *heights = malloc(CELLS * sizeof *heights);
    assert_non_null(heights);
    for (int i = 0; i < CELLS; i++)
        heights[i] = i % COLS >= COLS / 2 ? NAN : scene.classes[i] == 1 ? 16.0f : 0.0f;
    survey_scene_heights(&scene, "canopy.tif", heights);
    free(heights);
    write_plan(&scene, "m");
    rank(&scene, "half.gpkg");
    expect_same(&scene, "table.gpkg", "half.gpkg");
    assert_true(remarks_like(&scene, "half.gpkg", "16000 cells (50.0 %)%no height") == 1);
    survey_scene_free(&scene);
}

// Trees of 20 m over meadow, whose cover is 0: 24 000 of 32 000 cells.
static void trees_over_a_habitat_without_cover_are_told(void **state) {
    (void)state;
    struct survey_scene scene = wood();
    write_canopy(&scene, 16, 20, 1);
    write_plan(&scene, "m");
    rank(&scene, "sites.gpkg");
    assert_true(
        remarks_like(&scene, "sites.gpkg", "24000 cells (75.0 %)%cover is 0: they cast no") == 1);
    survey_scene_free(&scene);
}

static void expect_refusal(const struct survey_scene *scene, int row, int col, float metres) {
    float *heights = calloc(CELLS, sizeof *heights);
    assert_non_null(heights);
    heights[row * COLS + col] = metres;
    survey_scene_heights(scene, "canopy.tif", heights);
    free(heights);
    write_plan(scene, "m");
    const char *message;
    char place[100], value[100];
    assert_int_equal(
        survey_scene_rank(scene, "bad.gpkg", &(sel_run_options){.threads = 1}, &message),
        SEL_BAD_INPUT);
    snprintf(place, sizeof place, "canopy.tif: at x %.2f, y %.2f: ", scene->x0 + 10 * (col + 0.5),
        scene->y0 - 10 * (row + 0.5));
    snprintf(value, sizeof value, "%.6g m is no canopy height", (double)metres);
    if (!strstr(message, place) || !strstr(message, value) || !strstr(message, "unit: dm") ||
        !strstr(message, "-a_nodata"))
        fail_msg("%s", message);
}

static void heights_that_no_tree_has_are_refused(void **state) {
    (void)state;
    struct survey_scene scene = wood();
    expect_refusal(&scene, 7, 11, 160.0f); // decimetres
    expect_refusal(&scene, 150, 199, -9999.0f);
    survey_scene_free(&scene);
}

static void a_little_below_zero_is_no_canopy(void **state) {
    (void)state;
    struct survey_scene scene = wood();
    survey_scene_write(&scene, REST);
    rank(&scene, "table.gpkg");
    write_canopy(&scene, 16, -0.7, 1);
    write_plan(&scene, "m");
    rank(&scene, "noise.gpkg");
    expect_same(&scene, "table.gpkg", "noise.gpkg");
    survey_scene_free(&scene);
}

// Half of the land cover's width has a canopy raster.
static void check_tells_how_much_has_no_canopy_raster(void **state) {
    (void)state;
    struct survey_scene scene = wood();
    write_canopy(&scene, 16, 0, 1);
    write_plan(&scene, "m");
    char command[9000];
    snprintf(command, sizeof command,
        "cd '%s' && gdal_translate -q -srcwin 0 0 100 160 canopy.tif half.tif && mv half.tif "
        "canopy.tif",
        scene.folder);
    assert_int_equal(survey_scene_shell(command, NULL), 0);
    sel_context *context = sel_context_new();
    char *report = NULL;
    assert_int_equal(sel_check(context, survey_scene_path(&scene, "survey.yaml"), false,
                         &(sel_run_options){.threads = 1}, &report),
        SEL_OK);
    assert_non_null(strstr(report, "50.0 % of it lies outside the canopy raster"));
    sel_text_free(report);
    sel_context_free(context);
    survey_scene_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_unit_of_the_canopy_changes_nothing),
        cmocka_unit_test(the_canopy_raster_s_heights_make_the_shade),
        cmocka_unit_test(cells_without_a_height_are_counted_and_take_the_table_s),
        cmocka_unit_test(trees_over_a_habitat_without_cover_are_told),
        cmocka_unit_test(heights_that_no_tree_has_are_refused),
        cmocka_unit_test(a_little_below_zero_is_no_canopy),
        cmocka_unit_test(check_tells_how_much_has_no_canopy_raster),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
