// SPDX-License-Identifier: MIT
//
// Rasters of one-metre pixels under cells of sixty metres: what a block of the grid looks at is too
// much to hold at once, so that it is read in pieces. Held against the closed forms they were drawn
// from.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "grid/source.h"
#include "grid/study.h"
#include "grid_scene.h"
#include "scene.h"

static const double X0 = 399960, Y0 = 5440020, PATCH = 500, CELL = 60;
enum { PIXELS = 4200, CELLS = PIXELS / 60 };

// Squares of 500 m in four classes; no edge of theirs meets the middle of a cell of 60 m.
static double class_at(void *user, double x, double y) {
    (void)user;
    return 1 + ((int)floor((x - X0) / PATCH) + 2 * (int)floor((Y0 - y) / PATCH)) % 4;
}

// A plane, whose mean over a cell is its height at the middle.
static double height_at(void *user, double x, double y) {
    (void)user;
    return 200 + 0.03 * (x - X0) - 0.05 * (y - Y0);
}

static char *make(const char *folder, const char *name, GDALDataType type,
    double (*value)(void *user, double x, double y)) {
    struct grid_raster raster = grid_raster_at("EPSG:32633", X0, Y0, 1, 1, PIXELS, PIXELS);
    raster.type = type;
    raster.value = value;
    return grid_make_raster(folder, name, &raster);
}

static void check(const struct sel_grid *grid, const sel_habitat_id *ids, const float *metres) {
    for (int64_t at = 0; at < CELLS * CELLS; at++) {
        double x = sel_grid_x(grid, 2 * (double)(at % CELLS) + 1);
        double y = sel_grid_y(grid, 2 * (double)(at / CELLS) + 1);
        assert_int_equal(ids[at], (int)class_at(NULL, x, y));
        assert_true(near((double)metres[at], height_at(NULL, x, y), 1e-3));
    }
}

static void a_block_that_looks_at_too_many_pixels_is_read_in_pieces(void **state) {
    (void)state;
    char *folder = scene_folder();
    char *landcover = make(folder, "landcover.tif", GDT_Byte, class_at);
    char *elevation = make(folder, "elevation.tif", GDT_Float32, height_at);
    sel_context *context = sel_context_new();
    struct sel_plan plan;
    struct sel_study study;
    struct sel_reader *reader;
    grid_plan_init(&plan, landcover, elevation);
    plan.cell_m = CELL;
    assert_int_equal(sel_study_open(context, &plan, &study), SEL_OK);
    // Wider than the program would take for such pixels: where a grid bends, as near a pole, a
    // block may look at more than its middle tells.
    study.sources->landcover.block = study.sources->elevation.block = 128;
    assert_int_equal(sel_reader_new(context, &study, &reader), SEL_OK);
    assert_int_equal(study.grid.rows, CELLS);
    assert_int_equal(study.grid.cols, CELLS);
    struct sel_window whole = {0, 0, CELLS, CELLS};
    sel_habitat_id ids[CELLS * CELLS];
    float metres[CELLS * CELLS];
    assert_int_equal(sel_read_habitats(context, reader, whole, ids), SEL_OK);
    assert_int_equal(sel_read_elevation(context, reader, whole, metres), SEL_OK);
    check(&study.grid, ids, metres);
    sel_reader_free(reader);
    sel_study_clear(&study);
    grid_plan_clear(&plan);
    sel_context_free(context);
    free(landcover);
    free(elevation);
    scene_remove(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_block_that_looks_at_too_many_pixels_is_read_in_pieces),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
