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

// The area is the ground from x 519000, y 5382000 of 40 cells to the south and 45 to the east.
static const char *const AREA[] = {
    "POLYGON ((519000 5382000, 528000 5382000, 528000 5374400, 519000 5374000, 519000 5382000))",
    NULL};
static const char *const ROAD[] = {"LINESTRING (519300 5381800, 519300 5374600)", NULL};
static const char *const PATH[] = {"LINESTRING (519300 5378000, 527800 5377900)", NULL};
static const char *const HEDGE[] = {"LINESTRING (525500 5381800, 525600 5378600)", NULL};
static const char *const RUNNING[] = {"POINT (522900 5380100)", NULL};
static const char *const ZONES[] = {
    "POLYGON ((524000 5382000, 527800 5382000, 527800 5377000, 524000 5377000, 524000 5382000))",
    NULL};
static const char PARCELS[] =
    "7,mill,\"POLYGON((519000 5382000,523000 5382000,523000 5374000,519000 5374000,519000 "
    "5382000))\"\\n8,weir,\"POLYGON((523000 5382000,528000 5382000,528000 5374000,523000 "
    "5374000,523000 5382000))\"\\n";

// %s: the folder by another name, so that a file beside the land cover must be resolved.
static const char PLAN[] =
    "plan: 1\ntitle: Alder Brook\nhabitats: habitats.csv\n"
    "rasters: { landcover: /.%s/landcover.tif, elevation: elevation.tif, canopy: canopy.tif }\n"
    "area: area.gpkg\n"
    "lines:\n  - { file: hedge.gpkg, habitat: scrub, width_m: 80 }\n"
    "access:\n  - { file: road.gpkg, role: start }\n  - { file: path.gpkg, role: way }\n"
    "parcels: { file: parcels.gpkg, name: sort, owner: id }\n"
    "zones:\n  - { file: zones.gpkg, rule: no_clearing, reason: hay }\n"
    "occupied: running.gpkg\n"
    "contrast:\n  - { a: wood, b: meadow, contrast: 0.8 }\n"
    "criteria: { access: { by: time, limit: 60 } }\n"
    "choose: { sites: 3, apart_m: 2000, reserves: 1, per_block: { max: 2 }, per_pair: { max: 3 },\n"
    "  blocks: { file: parcels.gpkg, column: sort }, spread: 0.2 }\n"
    "edges: { min_patch_m2: 1000000 }\n"
    "uncertainty: { elevation_rmse_m: 2, landcover_accuracy: 0.9 }\n"
    "permit: { applicant: Alder Brook survey, clearing_m: [2, 4] }\n";

static void paint(struct survey_scene *scene) {
    survey_scene_paint(scene, TOP + 5, LEFT + 6, 12, 13, 1);
    survey_scene_paint(scene, TOP + 16, LEFT + 26, 14, 12, 1);
    survey_scene_paint(scene, TOP + 24, LEFT + 4, 10, 14, 5);
    for (int row = 0; row < ROWS; row++)
        for (int col = 0; col < COLS; col++)
            scene->metres[row * COLS + col] = 100.0f + 4.0f * (float)col + 2.0f * (float)row;
}

static void name_file(const struct survey_scene *scene, const char *name, char *path) {
    snprintf(path, ALLOC_GROUND_PATH, "%s", survey_scene_path(scene, name));
}

static void write_text(const struct survey_scene *scene, const char *name, const char *text) {
    FILE *file = fopen(survey_scene_path(scene, name), "w");
    if (!file || fputs(text, file) < 0 || fclose(file) != 0)
        abort();
}

static void write_ground(const struct survey_scene *scene) {
    static float canopy[ROWS * COLS];
    char plan[4096];
    for (int i = 0; i < ROWS * COLS; i++)
        canopy[i] = scene->classes[i] == 1 ? 14.0f : 0.5f;
    survey_scene_lines(scene, "road.gpkg", ROAD);
    survey_scene_lines(scene, "path.gpkg", PATH);
    survey_scene_lines(scene, "hedge.gpkg", HEDGE);
    survey_scene_lines(scene, "running.gpkg", RUNNING);
    survey_scene_lines(scene, "area.gpkg", AREA);
    survey_scene_lines(scene, "zones.gpkg", ZONES);
    survey_scene_polygons(scene, "parcels.gpkg", PARCELS);
    survey_scene_write(scene, "");
    survey_scene_heights(scene, "canopy.tif", canopy);
    snprintf(plan, sizeof plan, PLAN, scene->folder);
    write_text(scene, "survey.yaml", plan);
    write_text(scene, "landcover.tif.aux.xml", "<PAMDataset></PAMDataset>\n");
}

static bool must_rank(const struct survey_scene *scene, const char *name, int parts) {
    const char *message;
    const sel_run_options options = {.threads = 1, .part = parts, .parts = parts};
    sel_status status = survey_scene_rank(scene, name, &options, &message);
    if (status != SEL_OK)
        fprintf(stderr, "rank: %s\n", message);
    return status == SEL_OK;
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
    name_file(scene, "part.gpkg", ground->part);
    name_file(scene, "actual.csv", ground->actual);
    name_file(scene, "out", ground->out);
    *state = ground;
    write_text(scene, "actual.csv",
        "site,service,from,to,latitude,longitude,uncertainty_m,remarks\n"
        "S01,1,2027-05-15,2027-05-22,48.5,15.3,10,windy\n"
        "S02,1,2027-05-16,2027-05-23,48.5,15.3,10,\n");
    if (!must_rank(scene, "ranked.gpkg", 0) || !must_rank(scene, "part.gpkg", 1))
        return -1;
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

void alloc_ground_sweep(const char *name, alloc_fail_call *call, void **state) {
    struct alloc_ground *ground = *state;
    struct alloc_fail_sweep sweep = {name, call, ground, ground->out, 1};
    alloc_fail_everywhere(&sweep);
}
