// SPDX-License-Identifier: MIT
//
// Small rasters, vector files and plans for the tests of grid/.
#ifndef SEL_TEST_GRID_SCENE_H
#define SEL_TEST_GRID_SCENE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <gdal.h>

#include "grid/study.h"
#include "plan/plan.h"

// A raster to be made: `value` is asked for each pixel at its centre, in map coordinates.
struct grid_raster {
    const char *crs; // "EPSG:32633" or WKT; NULL: none
    double gt[6];
    int rows, cols;
    GDALDataType type;
    const char *unit; // NULL: none
    bool has_nodata;
    double nodata;
    double (*value)(void *user, double x, double y);
    void *user;
    const char *const *options; // creation options, NULL-ended; NULL: none
};

// A north-up raster shape: cells dx by dy from the corner x0, y0.
struct grid_raster grid_raster_at(
    const char *crs, double x0, double y0, double dx, double dy, int rows, int cols);

// Writes folder/name as GeoTIFF and returns the path (free with free). Aborts when it cannot.
char *grid_make_raster(const char *folder, const char *name, const struct grid_raster *raster);

// Writes text to folder/name; returns the path (free with free).
char *grid_make_file(const char *folder, const char *name, const char *text);

// A feature of a layer to be made; `name` and `owner` fill attributes `parcel` and `owner_ref`.
struct grid_feature {
    const char *wkt;          // NULL: no geometry
    const char *name, *owner; // NULL: null
};

// Adds a layer to folder/name, a GeoPackage made when missing, and returns the path (free with
// free). `crs` NULL: none.
char *grid_make_layer(const char *folder, const char *name, const char *layer, const char *crs,
    const struct grid_feature *features, size_t count);

// A study grid without rasters: square cells of `cell` from the corner x0, y0 of a CRS in metres.
struct sel_grid grid_of(const char *crs, double x0, double y0, double cell, int rows, int cols);

// A plan over two rasters with every number at its default and habitats 1..9 for values 1..9.
// Borrows the paths. Free nothing but by grid_plan_clear.
void grid_plan_init(struct sel_plan *plan, const char *landcover, const char *elevation);
void grid_plan_clear(struct sel_plan *plan);

// Sets the plan's habitat table: habitat i + 1 for values[i], which must rise.
void grid_plan_values(struct sel_plan *plan, const int64_t *values, int count);

// Collects notes: pass `notes` of at least 4096 chars to sel_context_on_note.
void grid_keep_notes(void *notes, const char *text);

// Runs a shell command and returns what it prints (free with free); NULL when it fails.
char *grid_run(const char *format, ...) __attribute__((format(printf, 1, 2)));

// Whether a value lies within a tolerance of the wanted one; says both on stderr when not.
bool near(double value, double wanted, double tolerance);

// A small deterministic random number: 0 .. bound - 1.
uint32_t grid_random(uint64_t *state, uint32_t bound);

#endif
