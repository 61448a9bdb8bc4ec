// SPDX-License-Identifier: MIT
//
// Places by the mesh against exact transforms (PROJ through GDAL), between many systems.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdlib.h>

#include "grid/gdal_support.h"
#include "grid/mesh.h"
#include "grid_scene.h"

enum { SIDE = 256, PLACES = 500 };

// A file and a frame of study cells, and a block of them.
struct pair {
    const char *file_crs;
    double file_gt[6];
    const char *frame_crs;
    double frame_gt[6];
    int64_t row, col;
};

static struct sel_pixel_map *map_of(const struct pair *pair) {
    struct sel_shape file = {.crs = (char *)pair->file_crs};
    struct sel_shape frame = {.crs = (char *)pair->frame_crs};
    for (int i = 0; i < 6; i++) {
        file.gt[i] = pair->file_gt[i];
        frame.gt[i] = pair->frame_gt[i];
    }
    struct sel_pixel_map *map = NULL;
    sel_gdal_start();
    sel_context *context = sel_context_new();
    assert_int_equal(sel_pixel_map_new(context, &file, &frame, &map), SEL_OK);
    sel_context_free(context);
    return map;
}

static struct sel_mesh *mesh_over(
    const struct pair *pair, const struct sel_pixel_map *map, int side) {
    struct sel_mesh *mesh = NULL;
    sel_context *context = sel_context_new();
    assert_int_equal(sel_mesh_new(context, map, side, &mesh), SEL_OK);
    sel_context_free(context);
    sel_mesh_lay(mesh, pair->row, pair->col);
    return mesh;
}

// Any places of the block, its far borders among them.
static void scatter(const struct pair *pair, uint64_t *random, double *x, double *y) {
    for (int i = 0; i < PLACES; i++) {
        x[i] = (double)pair->col + grid_random(random, 4 * SIDE + 1) / 4.0;
        y[i] = (double)pair->row + grid_random(random, 4 * SIDE + 1) / 4.0;
    }
}

static bool same_place(double a, double b, double tolerance) {
    return isnan(a) ? isnan(b) : fabs(a - b) <= tolerance;
}

// The worst error in pixels of the file; both must lack the same places.
static void check_places(const struct pair *pair, double tolerance) {
    struct sel_pixel_map *map = map_of(pair);
    struct sel_mesh *mesh = mesh_over(pair, map, SIDE);
    uint64_t random = 7;
    for (int batch = 0; batch < 20; batch++) {
        double x[PLACES], y[PLACES], exact_x[PLACES], exact_y[PLACES];
        scatter(pair, &random, x, y);
        for (int i = 0; i < PLACES; i++) {
            exact_x[i] = x[i];
            exact_y[i] = y[i];
        }
        sel_pixel_map_back(map, PLACES, exact_x, exact_y);
        sel_mesh_back(mesh, PLACES, x, y);
        for (int i = 0; i < PLACES; i++)
            if (!same_place(x[i], exact_x[i], tolerance) ||
                !same_place(y[i], exact_y[i], tolerance))
                fail_msg("%s on %s: %.6f, %.6f instead of %.6f, %.6f", pair->file_crs,
                    pair->frame_crs, x[i], y[i], exact_x[i], exact_y[i]);
    }
    sel_mesh_free(mesh);
    sel_pixel_map_free(map);
}

static int64_t exact_for_a_block(const struct pair *pair) {
    struct sel_pixel_map *map = map_of(pair);
    struct sel_mesh *mesh = mesh_over(pair, map, SIDE);
    for (int row = 0; row < SIDE; row++) {
        double x[SIDE], y[SIDE];
        for (int col = 0; col < SIDE; col++) {
            x[col] = (double)(pair->col + col) + 0.5;
            y[col] = (double)(pair->row + row) + 0.5;
        }
        sel_mesh_back(mesh, SIDE, x, y);
    }
    int64_t exact = sel_mesh_exact(mesh);
    sel_mesh_free(mesh);
    sel_pixel_map_free(map);
    return exact;
}

// Degrees on a zone, a national grid on a zone, Web Mercator far north, cells of 10, 25 and 100 m.
static const struct pair ORDINARY[] = {
    {"EPSG:4326", {-25.9, 0.0002083333333, 0, 38.0, 0, -0.0002083333333}, "EPSG:32626",
        {0, 20.6, 0, 0, 0, -20.6}, -203000, 29000},
    {"EPSG:4326", {13.0, 0.0001, 0, 49.5, 0, -0.0001}, "EPSG:32633",
        {400000, 10, 0, 5500000, 0, -10}, 256, -512},
    {"EPSG:4326", {13.0, 0.001, 0, 70.5, 0, -0.001}, "EPSG:32633",
        {400000, 100, 0, 7800000, 0, -100}, 0, 0},
    {"EPSG:3035", {4000000, 25, 0, 3000000, 0, -25}, "EPSG:32632", {500000, 25, 0, 5500000, 0, -25},
        512, 256},
    {"EPSG:3857", {1500000, 30, 0, 11000000, 0, -30}, "EPSG:32633",
        {400000, 10, 0, 7800000, 0, -10}, 0, 0},
};

// Far less than the hundredth of a cell that the mesh asks for.
static void places_err_by_less_than_a_millionth_of_a_cell(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof ORDINARY / sizeof ORDINARY[0]; i++)
        check_places(&ORDINARY[i], 1e-6 * fmin(1, ORDINARY[i].frame_gt[1] / 30));
}

static void a_block_costs_few_exact_transforms(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof ORDINARY / sizeof ORDINARY[0]; i++)
        assert_true(exact_for_a_block(&ORDINARY[i]) <= SIDE * SIDE / 50);
}

// Across the antimeridian, over the pole, and with cells so large that the Earth bends within a
// gap, places are as they are without a mesh.
static const struct pair BENT[] = {
    {"EPSG:4326", {-180, 0.001, 0, 0, 0, -0.001}, "EPSG:3832", {3339000, 100, 0, 0, 0, -100}, 0, 0},
    {"EPSG:4326", {-180, 0.001, 0, 90, 0, -0.001}, "EPSG:3995", {-12800, 100, 0, 12800, 0, -100}, 0,
        0},
    {"EPSG:4326", {-180, 0.05, 0, 90, 0, -0.05}, "EPSG:3995",
        {-2000000, 15000, 0, 2000000, 0, -15000}, 0, 0},
};

static void places_where_the_lines_bend_are_exact(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof BENT / sizeof BENT[0]; i++) {
        check_places(&BENT[i], 0.01);
        assert_true(exact_for_a_block(&BENT[i]) > SIDE * SIDE / 50);
    }
}

// A block too small for a square, and a place beside the block.
static void places_without_a_mesh_are_exact(void **state) {
    (void)state;
    const struct pair *pair = &ORDINARY[1];
    struct sel_pixel_map *map = map_of(pair);
    const int sides[] = {8, SIDE};
    for (int i = 0; i < 2; i++) {
        struct sel_mesh *mesh = mesh_over(pair, map, sides[i]);
        int64_t before = sel_mesh_exact(mesh);
        double x = (double)pair->col + (i == 0 ? 4.5 : SIDE + 1.5), y = (double)pair->row + 3.5;
        double exact_x = x, exact_y = y;
        sel_pixel_map_back(map, 1, &exact_x, &exact_y);
        sel_mesh_back(mesh, 1, &x, &y);
        assert_true(x == exact_x && y == exact_y);
        assert_int_equal(sel_mesh_exact(mesh) - before, 1);
        sel_mesh_free(mesh);
    }
    sel_pixel_map_free(map);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(places_err_by_less_than_a_millionth_of_a_cell),
        cmocka_unit_test(a_block_costs_few_exact_transforms),
        cmocka_unit_test(places_where_the_lines_bend_are_exact),
        cmocka_unit_test(places_without_a_mesh_are_exact),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
