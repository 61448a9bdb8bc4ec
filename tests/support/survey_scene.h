// SPDX-License-Identifier: MIT
//
// Whole surveys in a test: small rasters from plain arrays, a plan, a run, and questions to the
// GeoPackage that came out.
#ifndef SEL_TEST_SURVEY_SCENE_H
#define SEL_TEST_SURVEY_SCENE_H

#include <stdbool.h>
#include <stdint.h>

#include "selvedge.h"

struct survey_scene {
    char *folder;
    int rows, cols;
    double cell;      // CRS units
    double x0, y0;    // north-west corner
    const char *crs;  // "EPSG:32633"
    uint8_t *classes; // rows * cols, 0 = unknown; owned
    float *metres;    // rows * cols; owned
};

// A scene of one class and flat ground at 100 m, in a fresh folder. Aborts when out of memory.
struct survey_scene survey_scene_new(int rows, int cols, double cell);
void survey_scene_free(struct survey_scene *scene);

// Paints a rectangle [row, row + rows) x [col, col + cols) with a class.
void survey_scene_paint(
    struct survey_scene *scene, int row, int col, int rows, int cols, uint8_t value);

// Writes landcover.tif, elevation.tif, a habitat table of wood (1), meadow (2), village (3),
// water (4) and scrub (5), and survey.yaml: the two rasters, the table, and `more` (YAML lines).
void survey_scene_write(const struct survey_scene *scene, const char *more);

// Writes rows * cols heights on the scene's grid; NAN is NoData.
void survey_scene_heights(const struct survey_scene *scene, const char *name, float *heights);

// Runs sel_rank on the scene's plan into folder/NAME; the message, when it fails, is printed by the
// caller's assertion through *message (static storage).
sel_status survey_scene_rank(const struct survey_scene *scene, const char *name,
    const sel_run_options *options, const char **message);

// folder/NAME in static storage; a new call overwrites it.
const char *survey_scene_path(const struct survey_scene *scene, const char *name);

// The first column of the first row of an SQL answer as a number; NAN when NULL or no row.
double survey_scene_number(const struct survey_scene *scene, const char *name, const char *sql);

// Runs a shell command and returns its exit status; its standard output goes to *out (owned by the
// caller) when `out` is not NULL.
int survey_scene_shell(const char *command, char **out);

#endif
