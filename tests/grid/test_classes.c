// SPDX-License-Identifier: MIT
//
// Class counts of a file and its description; on the real island against the
// histogram that gdalinfo prints.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "grid/classes.h"
#include "grid_scene.h"
#include "scene.h"

static const char UTM[] = "EPSG:32633";

struct fixture {
    char *folder, *path;
    sel_context *context;
    struct sel_class_counts counts;
};

static int set_up(void **state) {
    struct fixture *f = calloc(1, sizeof *f);
    f->folder = scene_folder();
    f->context = sel_context_new();
    *state = f;
    return 0;
}

static int tear_down(void **state) {
    struct fixture *f = *state;
    sel_class_counts_clear(&f->counts);
    sel_context_free(f->context);
    free(f->path);
    scene_remove(f->folder);
    free(f);
    return 0;
}

// Columns of 10 cells: -3, 8, NoData, 8, 500.
static double columns_at(void *user, double x, double y) {
    (void)y;
    static const double values[] = {-3, 8, 0, 8, 500};
    int column = (int)((x - 400000) / 100);
    return column == 2 ? *(double *)user : values[column];
}

static void give(struct fixture *f, GDALDataType type, double nodata, bool declared) {
    struct grid_raster raster = grid_raster_at(UTM, 400000, 5440000, 10, 10, 30, 50);
    raster.type = type;
    raster.value = columns_at;
    raster.user = &nodata;
    raster.has_nodata = declared;
    raster.nodata = nodata;
    f->path = grid_make_raster(f->folder, "landcover.tif", &raster);
}

static sel_status scan(struct fixture *f, bool full) {
    const struct sel_raster_ref source = {.file = f->path, .band = 1};
    return sel_classes_scan(f->context, &source, full, &f->counts);
}

static void check_counts(struct fixture *f) {
    assert_int_equal(scan(f, false), SEL_OK);
    assert_int_equal(f->counts.count, 3);
    assert_int_equal(f->counts.items[0].value, -3);
    assert_int_equal(f->counts.items[0].cells, 300);
    assert_int_equal(f->counts.items[1].value, 8);
    assert_int_equal(f->counts.items[1].cells, 600);
    assert_int_equal(f->counts.items[2].value, 500);
    assert_int_equal(f->counts.items[2].cells, 300);
    assert_int_equal(f->counts.unknown, 300);
    assert_int_equal(f->counts.looked_at, 1500);
    assert_int_equal(f->counts.total, 1500);
    assert_true(!f->counts.sampled);
}

static void classes_are_counted(void **state) {
    struct fixture *f = *state;
    give(f, GDT_Int16, -32768, true);
    check_counts(f);
}

static void classes_in_floats_are_counted(void **state) {
    struct fixture *f = *state;
    give(f, GDT_Float32, (double)NAN, false);
    check_counts(f);
}

static void a_large_file_is_sampled(void **state) {
    struct fixture *f = *state;
    struct grid_raster raster = grid_raster_at(UTM, 400000, 5440000, 1, 1, 6000, 9000);
    static const char *const options[] = {"SPARSE_OK=TRUE", "TILED=YES", NULL};
    raster.options = options;
    f->path = grid_make_raster(f->folder, "landcover.tif", &raster);
    assert_int_equal(scan(f, false), SEL_OK);
    assert_true(f->counts.sampled);
    assert_int_equal(f->counts.total, 54000000);
    assert_true(f->counts.looked_at > 10000000 && f->counts.looked_at <= 25000000);
    assert_int_equal(f->counts.count, 1);
    assert_int_equal(f->counts.items[0].cells, f->counts.looked_at);
    sel_class_counts_clear(&f->counts);
    assert_int_equal(scan(f, true), SEL_OK);
    assert_true(!f->counts.sampled);
    assert_int_equal(f->counts.items[0].cells, 54000000);
}

static double fraction_at(void *user, double x, double y) {
    (void)user;
    return x > 400120 && x < 400130 && y > 5439950 && y < 5439960 ? 2.5 : 2;
}

static void a_fraction_is_told_with_its_place(void **state) {
    struct fixture *f = *state;
    struct grid_raster raster = grid_raster_at(UTM, 400000, 5440000, 10, 10, 30, 50);
    raster.type = GDT_Float32;
    raster.value = fraction_at;
    f->path = grid_make_raster(f->folder, "landcover.tif", &raster);
    assert_int_equal(scan(f, false), SEL_BAD_INPUT);
    const char *message = sel_context_message(f->context);
    assert_non_null(strstr(message, "landcover.tif: row 4, column 12"));
    assert_non_null(strstr(message, "2.5 is no whole number"));
    assert_non_null(strstr(message, "another band"));
    assert_null(f->counts.items);
}

static double every_cell_another_at(void *user, double x, double y) {
    (void)user;
    return floor(x - 400000) * 1000 + floor(5440000 - y);
}

static void an_elevation_raster_is_no_land_cover(void **state) {
    struct fixture *f = *state;
    struct grid_raster raster = grid_raster_at(UTM, 400000, 5440000, 1, 1, 120, 120);
    raster.type = GDT_Int32;
    raster.value = every_cell_another_at;
    f->path = grid_make_raster(f->folder, "landcover.tif", &raster);
    assert_int_equal(scan(f, false), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(f->context), "more than 10000 different values"));
    assert_non_null(strstr(sel_context_message(f->context), "name another file or band"));
}

static void a_file_that_is_not_there_is_told(void **state) {
    struct fixture *f = *state;
    f->path = strdup("/nowhere/landcover.tif");
    assert_int_equal(scan(f, false), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(f->context), "/nowhere/landcover.tif"));
}

static void the_islands_counts_are_those_of_gdalinfo(void **state) {
    struct fixture *f = *state;
    const char *data = scene_real_data();
    if (!data)
        skip();
    char path[4096];
    snprintf(path, sizeof path, "%s/saomiguel/clc2018_v2020_20u1.tif", data);
    f->path = strdup(path);
    assert_int_equal(scan(f, true), SEL_OK);
    // An outside count: gdalinfo -hist has one bin per byte value.
    char *said = grid_run("gdalinfo --config GDAL_PAM_ENABLED NO -hist %s 2>/dev/null | sed -n "
                          "'/buckets from/{n;p}'",
        path);
    assert_non_null(said);
    char *rest = said;
    size_t next = 0;
    for (int value = 0; value < 256; value++) {
        long long cells = strtoll(rest, &rest, 10);
        if (cells == 0)
            continue;
        assert_true(next < f->counts.count);
        assert_int_equal(f->counts.items[next].value, value);
        assert_int_equal(f->counts.items[next].cells, cells);
        next++;
    }
    assert_int_equal(next, f->counts.count);
    assert_int_equal(f->counts.unknown, 0);
    free(said);
}

static void a_file_is_described(void **state) {
    struct fixture *f = *state;
    give(f, GDT_Int16, -1, true);
    const struct sel_raster_ref source = {.file = f->path, .band = 1};
    struct sel_raster_summary summary;
    assert_int_equal(sel_raster_describe(f->context, &source, &summary), SEL_OK);
    assert_string_equal(summary.driver, "GTiff");
    assert_string_equal(summary.type, "Int16");
    assert_string_equal(summary.crs_name, "WGS 84 / UTM zone 33N");
    assert_string_equal(summary.unit, "metre");
    assert_int_equal(summary.rows, 30);
    assert_int_equal(summary.cols, 50);
    assert_int_equal(summary.bands, 1);
    assert_true(summary.has_nodata && near(summary.nodata, -1, 0));
    // proj -S: k 0.999722 there, so a pixel of 10 m on the map is 10 / k on the ground.
    assert_true(near(summary.pixel_x_m, 10 / 0.999722, 2e-5));
    assert_true(near(summary.latitude, 49.1034, 1e-3));
    assert_true(near(summary.longitude, 13.6334, 1e-3));
    assert_non_null(strstr(summary.extent, " N, 13.6"));
    sel_raster_summary_clear(&summary);
}

static void a_file_without_crs_is_not_described(void **state) {
    struct fixture *f = *state;
    struct grid_raster raster = grid_raster_at(NULL, 0, 0, 10, 10, 30, 50);
    f->path = grid_make_raster(f->folder, "landcover.tif", &raster);
    const struct sel_raster_ref source = {.file = f->path, .band = 1};
    struct sel_raster_summary summary;
    assert_int_equal(sel_raster_describe(f->context, &source, &summary), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(f->context), "gdal_edit.py -a_srs"));
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void) {
    const struct CMUnitTest tests[] = {
        TEST(classes_are_counted),
        TEST(classes_in_floats_are_counted),
        TEST(a_large_file_is_sampled),
        TEST(a_fraction_is_told_with_its_place),
        TEST(an_elevation_raster_is_no_land_cover),
        TEST(a_file_that_is_not_there_is_told),
        TEST(the_islands_counts_are_those_of_gdalinfo),
        TEST(a_file_is_described),
        TEST(a_file_without_crs_is_not_described),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
