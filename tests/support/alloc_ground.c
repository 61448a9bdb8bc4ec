// SPDX-License-Identifier: MIT
//
// Blocks of wood in a meadow; a road, a path, parcels, zones, an area, hedges, a running trap.
#include "alloc_ground.h"

#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>

#include "survey_lines.h"

// Cells so large that the reach of a horizon, 10 km, is few of them, and the area so far from the
// corner that it lies in the first chunk of the far ground: a run takes a tenth of a second.
enum { ROWS = 220, COLS = 230, CELL_M = 200, TOP = 90, LEFT = 95 };

// The area is the ground from x 519000, y 5382000 of 60 cells to the south and 70 to the east.
static const char *const AREA[] = {
    "POLYGON ((519000 5382000, 533000 5382000, 533000 5371000, 519000 5370000, 519000 5382000))",
    NULL};
static const char *const ROAD[] = {"LINESTRING (519400 5381000, 519400 5371000)", NULL};
static const char *const PATH[] = {"LINESTRING (519400 5376000, 532800 5375800)", NULL};
static const char *const HEDGE[] = {"LINESTRING (526000 5381800, 526200 5370200)", NULL};
static const char *const RUNNING[] = {"POINT (523100 5380100)", NULL};
static const char *const ZONES[] = {
    "POLYGON ((529000 5382000, 532800 5382000, 532800 5379000, 529000 5379000, 529000 5382000))",
    NULL};

static const char PLAN[] =
    "area: area.gpkg\n"
    "lines:\n  - { file: hedge.gpkg, habitat: scrub, width_m: 80 }\n"
    "access:\n  - { file: road.gpkg, role: start }\n  - { file: path.gpkg, role: way }\n"
    "zones:\n  - { file: zones.gpkg, rule: no_clearing, reason: hay }\n"
    "occupied: running.gpkg\n"
    "contrast:\n  - { a: wood, b: meadow, contrast: 0.8 }\n"
    "criteria: { access: { by: time, limit: 60 } }\n"
    "choose: { sites: 3, apart_m: 2000, reserves: 1, block_m: 6000, per_block: { max: 2 },\n"
    "  per_pair: { max: 3 }, spread: 0.2 }\n"
    "edges: { min_patch_m2: 1000000 }\n"
    "uncertainty: { elevation_rmse_m: 2, landcover_accuracy: 0.9 }\n";

static void paint(struct survey_scene *scene) {
    survey_scene_paint(scene, TOP + 8, LEFT + 8, 20, 20, 1);
    survey_scene_paint(scene, TOP + 30, LEFT + 40, 22, 20, 1);
    survey_scene_paint(scene, TOP + 36, LEFT + 4, 14, 24, 5);
    for (int i = 0; i < ROWS * COLS; i++)
        scene->metres[i] = 100.0f + 4.0f * (float)(i % COLS) + 2.0f * (float)(i / COLS);
}

static void name_file(const struct survey_scene *scene, const char *name, char *path) {
    snprintf(path, ALLOC_GROUND_PATH, "%s", survey_scene_path(scene, name));
}

static void write_ground(const struct survey_scene *scene) {
    survey_scene_lines(scene, "road.gpkg", ROAD);
    survey_scene_lines(scene, "path.gpkg", PATH);
    survey_scene_lines(scene, "hedge.gpkg", HEDGE);
    survey_scene_lines(scene, "running.gpkg", RUNNING);
    survey_scene_lines(scene, "area.gpkg", AREA);
    survey_scene_lines(scene, "zones.gpkg", ZONES);
    survey_scene_write(scene, PLAN);
}

int alloc_ground_set_up(void **state) {
    struct alloc_ground *ground = calloc(1, sizeof *ground);
    if (!ground)
        return -1;
    struct survey_scene *scene = &ground->scene;
    *scene = survey_scene_new(ROWS, COLS, CELL_M);
    paint(scene);
    write_ground(scene);
    name_file(scene, "survey.yaml", ground->plan);
    name_file(scene, "landcover.tif", ground->landcover);
    name_file(scene, "elevation.tif", ground->elevation);
    name_file(scene, "road.gpkg", ground->road);
    name_file(scene, "ranked.gpkg", ground->ranked);
    name_file(scene, "out", ground->out);
    *state = ground;
    const char *message;
    const sel_run_options options = {.threads = 1};
    if (survey_scene_rank(scene, "ranked.gpkg", &options, &message) != SEL_OK) {
        fprintf(stderr, "rank: %s\n", message);
        return -1;
    }
    return mkdir(ground->out, 0777);
}

int alloc_ground_tear_down(void **state) {
    struct alloc_ground *ground = *state;
    survey_scene_free(&ground->scene);
    free(ground);
    return 0;
}

const char *alloc_ground_out(const struct alloc_ground *ground, const char *name) {
    static char path[2 * ALLOC_GROUND_PATH];
    snprintf(path, sizeof path, "%s/%s", ground->out, name);
    return path;
}
