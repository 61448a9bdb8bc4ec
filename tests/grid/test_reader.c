// SPDX-License-Identifier: MIT
//
// Windows of habitats and heights from all kinds of rasters. What should come out is told by the
// functions the rasters are made from, never by another run of the reader, except where the test is
// that two ways of reading agree.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <ogr_srs_api.h>

#include "grid/gdal_support.h"
#include "grid/study.h"
#include "grid_fixture.h"
#include "scene.h"

static const char UTM[] = "EPSG:32633";
static const double X0 = 400000, Y0 = 5440000;

static void open_study(struct grid_fixture *f) {
    if (sel_study_open(f->context, &f->plan, &f->study) != SEL_OK ||
        sel_reader_new(f->context, &f->study, &f->reader) != SEL_OK)
        fail_msg("%s", sel_context_message(f->context));
}

static struct sel_window whole(const struct grid_fixture *f) {
    return (struct sel_window){0, 0, f->study.grid.rows, f->study.grid.cols};
}

static sel_habitat_id *habitats(struct grid_fixture *f, struct sel_window window) {
    sel_habitat_id *ids = malloc(sel_window_cells(window));
    memset(ids, 77, sel_window_cells(window));
    if (sel_read_habitats(f->context, f->reader, window, ids) != SEL_OK)
        fail_msg("%s", sel_context_message(f->context));
    return ids;
}

typedef sel_status read_fn(
    sel_context *context, struct sel_reader *reader, struct sel_window window, float *metres);

static float *heights(struct grid_fixture *f, read_fn *read, struct sel_window window) {
    float *metres = malloc(sel_window_cells(window) * sizeof *metres);
    for (size_t i = 0; i < sel_window_cells(window); i++)
        metres[i] = -12345;
    if (read(f->context, f->reader, window, metres) != SEL_OK)
        fail_msg("%s", sel_context_message(f->context));
    return metres;
}

static float *elevations(struct grid_fixture *f, struct sel_window window) {
    return heights(f, sel_read_elevation, window);
}

// Eight habitats in slanting bands and patches some hundred metres wide.
static double class_at(void *user, double x, double y) {
    (void)user;
    double u = (x - X0) / 170 + sin((y - Y0) / 230), v = (y - Y0) / 210 + cos((x - X0) / 190);
    return 1 + (((int)floor(u) + 3 * (int)floor(v)) % 8 + 8) % 8;
}

// Gentle hills: wavelength about 1 km, so that no resampling may be off by more than centimetres.
static double height_at(void *user, double x, double y) {
    (void)user;
    return 300 + 0.02 * (x - X0) + 25 * sin((x - X0) / 160) * cos((y - Y0) / 190);
}

static struct grid_raster with(
    struct grid_raster raster, GDALDataType type, double (*value)(void *user, double x, double y)) {
    raster.type = type;
    raster.value = value;
    return raster;
}

static struct grid_raster plain_classes(void) {
    return with(grid_raster_at(UTM, X0, Y0, 10, 10, 120, 150), GDT_Byte, class_at);
}

static struct grid_raster plain_heights(void) {
    return with(grid_raster_at(UTM, X0, Y0, 10, 10, 120, 150), GDT_Float32, height_at);
}

static void centre_of(
    const struct grid_fixture *f, int64_t row, int64_t col, double *x, double *y) {
    *x = sel_grid_x(&f->study.grid, 2 * (double)col + 1);
    *y = sel_grid_y(&f->study.grid, 2 * (double)row + 1);
}

static void check_exact_classes(struct grid_fixture *f) {
    sel_habitat_id *ids = habitats(f, whole(f));
    for (int64_t row = 0; row < f->study.grid.rows; row++) {
        for (int64_t col = 0; col < f->study.grid.cols; col++) {
            double x, y;
            centre_of(f, row, col, &x, &y);
            assert_int_equal(ids[row * f->study.grid.cols + col], (int)class_at(NULL, x, y));
        }
    }
    free(ids);
}

static void check_exact_heights(struct grid_fixture *f, double tolerance) {
    float *metres = elevations(f, whole(f));
    for (int64_t row = 0; row < f->study.grid.rows; row++) {
        for (int64_t col = 0; col < f->study.grid.cols; col++) {
            double x, y;
            centre_of(f, row, col, &x, &y);
            float metre = metres[row * f->study.grid.cols + col];
            assert_true(near((double)metre, height_at(NULL, x, y), tolerance));
        }
    }
    free(metres);
}

static void rasters_on_the_grid_are_read_as_they_are(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(), plain_heights());
    open_study(f);
    check_exact_classes(f);
    check_exact_heights(f, 5e-5);
}

static void a_south_up_raster_is_read_the_right_way_round(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster south_up = plain_classes();
    south_up.gt[3] = Y0 - 1200;
    south_up.gt[5] = 10;
    grid_fixture_give(f, south_up, plain_heights());
    open_study(f);
    assert_int_equal(f->study.grid.rows, 120);
    check_exact_classes(f);
}

static void a_south_up_elevation_is_read_the_right_way_round(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster south_up = plain_heights();
    south_up.gt[3] = Y0 - 1200;
    south_up.gt[5] = 10;
    grid_fixture_give(f, plain_classes(), south_up);
    open_study(f);
    check_exact_heights(f, 5e-5);
}

static void a_mirrored_raster_is_read_the_right_way_round(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster mirrored = plain_classes();
    mirrored.gt[0] = X0 + 1500;
    mirrored.gt[1] = -10;
    grid_fixture_give(f, mirrored, plain_heights());
    open_study(f);
    check_exact_classes(f);
}

// Share of cells, of those at least `margin` cells inside the grid, whose class is the scene's.
static double share_right(struct grid_fixture *f, int64_t margin) {
    const struct sel_grid *grid = &f->study.grid;
    sel_habitat_id *ids = habitats(f, whole(f));
    int64_t right = 0, all = 0;
    for (int64_t row = margin; row < grid->rows - margin; row++) {
        for (int64_t col = margin; col < grid->cols - margin; col++) {
            double x, y;
            centre_of(f, row, col, &x, &y);
            right += ids[row * grid->cols + col] == (int)class_at(NULL, x, y);
            all++;
        }
    }
    free(ids);
    assert_true(all > 5000);
    return (double)right / (double)all;
}

static double worst_height(struct grid_fixture *f, int64_t margin) {
    const struct sel_grid *grid = &f->study.grid;
    float *metres = elevations(f, whole(f));
    double worst = 0;
    for (int64_t row = margin; row < grid->rows - margin; row++) {
        for (int64_t col = margin; col < grid->cols - margin; col++) {
            double x, y;
            centre_of(f, row, col, &x, &y);
            double off = fabs((double)metres[row * grid->cols + col] - height_at(NULL, x, y));
            assert_true(!isnan(off));
            worst = fmax(worst, off);
        }
    }
    free(metres);
    return worst;
}

static void a_rotated_raster_shows_the_same_scene(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster rotated = plain_classes();
    double turn = 0.3;
    rotated.gt[1] = 10 * cos(turn);
    rotated.gt[2] = 10 * sin(turn);
    rotated.gt[4] = 10 * sin(turn);
    rotated.gt[5] = -10 * cos(turn);
    struct grid_raster hills =
        with(grid_raster_at(UTM, X0 - 500, Y0 + 800, 10, 10, 320, 320), GDT_Float32, height_at);
    grid_fixture_give(f, rotated, hills);
    open_study(f);
    sel_habitat_id *ids = habitats(f, whole(f));
    int64_t known = 0, right = 0;
    for (int64_t row = 0; row < f->study.grid.rows; row++) {
        for (int64_t col = 0; col < f->study.grid.cols; col++) {
            double x, y;
            centre_of(f, row, col, &x, &y);
            sel_habitat_id id = ids[row * f->study.grid.cols + col];
            known += id != SEL_HABITAT_UNKNOWN;
            right += id == (int)class_at(NULL, x, y);
        }
    }
    free(ids);
    // As many cells as the raster has, and wrong ones only along edges.
    assert_true(llabs(known - 120 * 150) < 300);
    assert_true((double)right > 0.93 * (double)known);
}

// The same scene drawn in another CRS: pixels are brought to UTM to ask what is there.
struct redrawn {
    OGRCoordinateTransformationH to_utm;
    double (*value)(void *user, double x, double y);
};

static double redrawn_at(void *user, double x, double y) {
    struct redrawn *redrawn = user;
    OCTTransform(redrawn->to_utm, 1, &x, &y, NULL);
    return redrawn->value(NULL, x, y);
}

static OGRCoordinateTransformationH between(const char *from, const char *to) {
    OGRSpatialReferenceH source = sel_crs_from_text(from), target = sel_crs_from_text(to);
    OGRCoordinateTransformationH transform = OCTNewCoordinateTransformation(source, target);
    OSRDestroySpatialReference(source);
    OSRDestroySpatialReference(target);
    return transform;
}

static void give_redrawn(struct grid_fixture *f, const char *crs, double x0, double y0, double cell,
    int rows, int cols) {
    struct redrawn classes = {between(crs, UTM), class_at};
    struct redrawn hills = {classes.to_utm, height_at};
    struct grid_raster landcover =
        with(grid_raster_at(crs, x0, y0, cell, cell, rows, cols), GDT_Byte, redrawn_at);
    struct grid_raster elevation =
        with(grid_raster_at(crs, x0, y0, cell, cell, rows, cols), GDT_Float32, redrawn_at);
    landcover.user = &classes;
    elevation.user = &hills;
    grid_fixture_give(f, landcover, elevation);
    OCTDestroyCoordinateTransformation(classes.to_utm);
}

static void a_scene_in_degrees_is_nearly_the_same(void **state) {
    struct grid_fixture *f = *state;
    give_redrawn(f, "EPSG:4326", 13.632, 49.1035, 0.0001, 120, 200);
    open_study(f);
    assert_string_equal(f->study.landcover.method, "nearest");
    assert_string_equal(f->study.elevation.method, "cubic");
    // A pixel holds the class of its centre, at most half a diagonal away; patches are about 18
    // cells wide, so some 4 % of the cells lie that near an edge.
    assert_true(share_right(f, 4) > 0.94);
    assert_true(worst_height(f, 4) < 0.05);
}

static void a_scene_in_web_mercator_is_nearly_the_same(void **state) {
    struct grid_fixture *f = *state;
    give_redrawn(f, "EPSG:3857", 1517500, 6291500, 15.25, 120, 150);
    open_study(f);
    assert_string_equal(f->study.landcover.method, "nearest");
    assert_true(near(f->study.grid.cell_x_m, 10, 0.06));
    assert_true(share_right(f, 4) > 0.94);
    assert_true(worst_height(f, 4) < 0.05);
}

static void a_scene_in_a_national_grid_is_nearly_the_same(void **state) {
    struct grid_fixture *f = *state;
    OGRCoordinateTransformationH there = between(UTM, "EPSG:5514");
    double x = X0, y = Y0;
    OCTTransform(there, 1, &x, &y, NULL);
    OCTDestroyCoordinateTransformation(there);
    give_redrawn(f, "EPSG:5514", round(x), round(y), 10, 120, 150);
    open_study(f);
    assert_string_equal(f->study.landcover.method, "as it is");
    // The same ground on another grid: judged where it lies.
    OGRCoordinateTransformationH back = between(f->study.grid.crs, UTM);
    float *metres = elevations(f, whole(f));
    sel_habitat_id *ids = habitats(f, whole(f));
    for (int64_t row = 0; row < f->study.grid.rows; row += 7) {
        for (int64_t col = 0; col < f->study.grid.cols; col += 7) {
            centre_of(f, row, col, &x, &y);
            OCTTransform(back, 1, &x, &y, NULL);
            int64_t at = row * f->study.grid.cols + col;
            assert_int_equal(ids[at], (int)class_at(NULL, x, y));
            assert_true(near((double)metres[at], height_at(NULL, x, y), 1e-3));
        }
    }
    OCTDestroyCoordinateTransformation(back);
    free(metres);
    free(ids);
}

static void finer_heights_are_averaged(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(),
        with(grid_raster_at(UTM, X0, Y0, 2.5, 2.5, 480, 600), GDT_Float32, height_at));
    open_study(f);
    assert_string_equal(f->study.elevation.method, "average");
    float *metres = elevations(f, whole(f));
    for (int64_t row = 0; row < 120; row += 11) {
        for (int64_t col = 0; col < 150; col += 11) {
            double x, y, sum = 0;
            centre_of(f, row, col, &x, &y);
            for (int i = 0; i < 16; i++)
                sum += height_at(NULL, x - 3.75 + 2.5 * (i % 4), y - 3.75 + 2.5 * (i / 4));
            assert_true(near((double)metres[row * 150 + col], sum / 16, 1e-3));
        }
    }
    free(metres);
}

static void much_finer_heights_are_averaged_too(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, with(grid_raster_at(UTM, X0, Y0, 200, 200, 6, 7), GDT_Byte, class_at),
        with(grid_raster_at(UTM, X0, Y0, 1, 1, 1200, 1400), GDT_Float32, height_at));
    open_study(f);
    float *metres = elevations(f, whole(f));
    for (int64_t row = 0; row < 6; row++) {
        for (int64_t col = 0; col < 7; col++) {
            double x, y, sum = 0;
            centre_of(f, row, col, &x, &y);
            for (int i = 0; i < 200 * 200; i++)
                sum += height_at(NULL, x - 99.5 + i % 200, y - 99.5 + i / 200);
            assert_true(near((double)metres[row * 7 + col], sum / 40000, 1e-3));
        }
    }
    free(metres);
}

static double feet_at(void *user, double x, double y) {
    return height_at(user, x, y) / 0.3048;
}

static double survey_feet_at(void *user, double x, double y) {
    return height_at(user, x, y) * 3937 / 1200;
}

static double decimetres_at(void *user, double x, double y) {
    return 10 * height_at(user, x, y);
}

static void feet_become_metres(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster feet = with(plain_heights(), GDT_Float32, feet_at);
    feet.unit = "ft";
    grid_fixture_give(f, plain_classes(), feet);
    open_study(f);
    assert_string_equal(f->study.elevation.value_unit, "ft");
    check_exact_heights(f, 2e-4);
}

static void survey_feet_become_metres_when_resampled(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster feet = with(
        grid_raster_at(UTM, X0 - 105, Y0 + 105, 10, 10, 150, 180), GDT_Float64, survey_feet_at);
    feet.unit = "US survey foot";
    grid_fixture_give(f, plain_classes(), feet);
    open_study(f);
    assert_string_equal(f->study.elevation.method, "cubic");
    check_exact_heights(f, 0.01);
}

static void the_plans_unit_stands_above_the_bands(void **state) {
    struct grid_fixture *f = *state;
    struct grid_raster raster = with(plain_heights(), GDT_Float32, decimetres_at);
    raster.unit = "ft";
    grid_fixture_give(f, plain_classes(), raster);
    f->plan.elevation.unit = SEL_UNIT_DECIMETRE;
    open_study(f);
    check_exact_heights(f, 1e-3);
}

static void a_band_scale_and_offset_are_applied(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(), with(plain_heights(), GDT_Float64, decimetres_at));
    GDALDatasetH dataset = GDALOpen(f->elevation, GA_Update);
    GDALSetRasterScale(GDALGetRasterBand(dataset, 1), 0.1);
    GDALSetRasterOffset(GDALGetRasterBand(dataset, 1), 50);
    GDALClose(dataset);
    open_study(f);
    float *metres = elevations(f, (struct sel_window){3, 4, 1, 1});
    assert_true(near((double)metres[0], height_at(NULL, X0 + 45, Y0 - 35) + 50, 1e-3));
    free(metres);
}

// --- windows -------------------------------------------------------------------------------------

static void check_random_windows(struct grid_fixture *f, int tries) {
    struct sel_window big = sel_window_grow(whole(f), 40);
    sel_habitat_id *all_ids = habitats(f, big);
    float *all_metres = elevations(f, big);
    uint64_t random = 20240707;
    for (int i = 0; i < tries; i++) {
        struct sel_window window = {big.row + grid_random(&random, (uint32_t)big.rows - 1),
            big.col + grid_random(&random, (uint32_t)big.cols - 1), 1, 1};
        window.rows += grid_random(&random, (uint32_t)(big.row + big.rows - window.row));
        window.cols += grid_random(&random, (uint32_t)(big.col + big.cols - window.col));
        struct sel_reader *kept = f->reader;
        struct sel_reader *fresh = NULL; // half of the windows by a reader without blocks in hand
        if (i % 2 == 0) {
            assert_int_equal(sel_reader_new(f->context, &f->study, &fresh), SEL_OK);
            f->reader = fresh;
        }
        sel_habitat_id *ids = habitats(f, window);
        float *metres = elevations(f, window);
        for (int64_t row = 0; row < window.rows; row++) {
            int64_t at = (window.row - big.row + row) * big.cols + (window.col - big.col);
            assert_memory_equal(
                ids + row * window.cols, all_ids + at, (size_t)window.cols * sizeof *ids);
            assert_memory_equal(
                metres + row * window.cols, all_metres + at, (size_t)window.cols * sizeof *metres);
        }
        free(ids);
        free(metres);
        f->reader = kept;
        sel_reader_free(fresh);
    }
    free(all_ids);
    free(all_metres);
}

static void any_window_of_rasters_on_the_grid_reads_the_same(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(), plain_heights());
    open_study(f);
    check_random_windows(f, 30);
}

// GDAL would warp on threads of its own, which would share a mesh.
static void gdals_own_threads_change_nothing(void **state) {
    struct grid_fixture *f = *state;
    setenv("GDAL_NUM_THREADS", "4", 1);
    give_redrawn(f, "EPSG:4326", 13.632, 49.1035, 0.00004, 300, 500);
    open_study(f);
    check_random_windows(f, 10);
    unsetenv("GDAL_NUM_THREADS");
}

static void any_window_of_resampled_rasters_reads_the_same(void **state) {
    struct grid_fixture *f = *state;
    give_redrawn(f, "EPSG:4326", 13.632, 49.1035, 0.00004, 300, 500);
    open_study(f);
    check_random_windows(f, 30);
}

static void any_window_of_averaged_heights_reads_the_same(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, with(grid_raster_at(UTM, X0, Y0, 30, 30, 300, 300), GDT_Byte, class_at),
        with(grid_raster_at(UTM, X0 - 101, Y0 + 99, 11, 13, 800, 900), GDT_Float32, height_at));
    open_study(f);
    assert_string_equal(f->study.elevation.method, "average");
    check_random_windows(f, 20);
}

// Cuts a file of the study down by hand and opens the study anew; the old grid is returned.
static struct sel_grid reopen_cut(struct grid_fixture *f, char **file) {
    struct sel_grid grid = f->study.grid;
    grid.crs = NULL;
    grid_fixture_close(f);
    char *part = malloc(4096);
    snprintf(part, 4096, "%s/part.tif", f->folder);
    free(grid_run("gdal_translate -q -srcwin 77 41 401 177 %s %s", *file, part));
    *file = part;
    open_study(f);
    return grid;
}

// Values at the same place on the ground must not depend on how the grid was cut: to the last bit
// where the file is the same, else as far as the cut file's own corner is rounded.
static void check_same_on_cut(struct grid_fixture *f, char **cut_file, double tolerance) {
    give_redrawn(f, "EPSG:4326", 13.632, 49.1035, 0.00004, 300, 500);
    open_study(f);
    sel_habitat_id *all_ids = habitats(f, whole(f));
    float *all_metres = elevations(f, whole(f));
    struct sel_grid grid = reopen_cut(f, cut_file);
    int64_t row0 = llround((grid.y0 - f->study.grid.y0) / grid.dy);
    int64_t col0 = llround((f->study.grid.x0 - grid.x0) / grid.dx);
    const int64_t rim = 12; // the file lies askew on the grid, and its rim is resampled from less
    assert_true(row0 > 30 && col0 > 60);
    assert_true(near(f->study.grid.dx, grid.dx, 0));
    sel_habitat_id *ids = habitats(f, whole(f));
    float *metres = elevations(f, whole(f));
    for (int64_t row = rim; row < f->study.grid.rows - rim; row++) {
        for (int64_t col = rim; col < f->study.grid.cols - rim; col++) {
            int64_t at = row * f->study.grid.cols + col;
            int64_t all_at = (row + row0) * grid.cols + col + col0;
            assert_int_equal(ids[at], all_ids[all_at]);
            assert_true(near((double)metres[at], (double)all_metres[all_at], tolerance));
        }
    }
    free(ids);
    free(metres);
    free(all_ids);
    free(all_metres);
    free(*cut_file);
}

static void a_cut_by_the_land_cover_changes_no_value(void **state) {
    struct grid_fixture *f = *state;
    check_same_on_cut(f, &f->plan.landcover.file, 0);
}

static void a_cut_by_the_elevation_changes_no_value(void **state) {
    struct grid_fixture *f = *state;
    check_same_on_cut(f, &f->plan.elevation.file, 1e-4);
}

static void elevation_reaches_beyond_the_grid_as_far_as_the_file_does(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(),
        with(grid_raster_at(UTM, X0 - 200, Y0 + 300, 10, 10, 200, 200), GDT_Float32, height_at));
    open_study(f);
    struct sel_window window = {-40, -30, 10, 20};
    float *metres = elevations(f, window);
    for (int64_t row = 0; row < 10; row++) {
        for (int64_t col = 0; col < 20; col++) {
            float metre = metres[row * 20 + col];
            double x, y;
            centre_of(f, row - 40, col - 30, &x, &y);
            bool inside = row - 40 >= -30 && col - 30 >= -20;
            if (inside)
                assert_true(near((double)metre, height_at(NULL, x, y), 1e-3));
            else
                assert_true(isnan(metre));
        }
    }
    sel_habitat_id *ids = habitats(f, window);
    for (int i = 0; i < 200; i++)
        assert_int_equal(ids[i], SEL_HABITAT_UNKNOWN);
    free(metres);
    free(ids);
}

static void land_cover_beyond_the_cut_grid_is_unknown(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(),
        with(grid_raster_at(UTM, X0 + 300, Y0, 10, 10, 120, 60), GDT_Float32, height_at));
    open_study(f);
    assert_int_equal(f->study.grid.cols, 60);
    sel_habitat_id *ids = habitats(f, (struct sel_window){10, -2, 1, 64});
    for (int col = 0; col < 64; col++) {
        double expected = class_at(NULL, X0 + 300 + 10 * (col - 2) + 5, Y0 - 105);
        bool inside = col >= 2 && col < 62;
        assert_int_equal(ids[col], inside ? (int)expected : SEL_HABITAT_UNKNOWN);
    }
    free(ids);
}

static void windows_far_away_hold_nothing(void **state) {
    struct grid_fixture *f = *state;
    give_redrawn(f, "EPSG:4326", 13.632, 49.1035, 0.0001, 120, 200);
    open_study(f);
    struct sel_window window = {900000, -3000000, 30, 30};
    float *metres = elevations(f, window);
    sel_habitat_id *ids = habitats(f, window);
    for (int i = 0; i < 900; i++)
        assert_true(isnan(metres[i]) && ids[i] == SEL_HABITAT_UNKNOWN);
    free(metres);
    free(ids);
    assert_int_equal(
        sel_read_habitats(f->context, f->reader, (struct sel_window){0, 0, 0, 0}, NULL), SEL_OK);
}

// --- unknown cells -------------------------------------------------------------------------------

static bool hidden(double x, double y) {
    return fmod(floor((x - X0) / 70) + floor((y - Y0) / 50), 3) == 0;
}

static double class_or_nodata(void *user, double x, double y) {
    return hidden(x, y) ? *(double *)user : class_at(NULL, x, y);
}

static double height_or_nodata(void *user, double x, double y) {
    return hidden(x, y) ? *(double *)user : height_at(NULL, x, y);
}

static void check_hidden_classes(struct grid_fixture *f) {
    sel_habitat_id *ids = habitats(f, whole(f));
    for (int64_t row = 0; row < f->study.grid.rows; row++) {
        for (int64_t col = 0; col < f->study.grid.cols; col++) {
            double x, y;
            centre_of(f, row, col, &x, &y);
            int expected = hidden(x, y) ? SEL_HABITAT_UNKNOWN : (int)class_at(NULL, x, y);
            assert_int_equal(ids[row * f->study.grid.cols + col], expected);
        }
    }
    free(ids);
}

static void check_hidden_heights(struct grid_fixture *f) {
    float *metres = elevations(f, whole(f));
    for (int64_t row = 0; row < f->study.grid.rows; row++) {
        for (int64_t col = 0; col < f->study.grid.cols; col++) {
            double x, y;
            centre_of(f, row, col, &x, &y);
            float metre = metres[row * f->study.grid.cols + col];
            if (hidden(x, y))
                assert_true(isnan(metre));
            else
                assert_true(near((double)metre, height_at(NULL, x, y), 1e-3));
        }
    }
    free(metres);
}

struct stored_as {
    GDALDataType type;
    double nodata;
};

static void nodata_of_every_type_is_unknown(void **state) {
    struct grid_fixture *f = *state;
    static const struct stored_as kinds[] = {{GDT_Byte, 255}, {GDT_UInt16, 65535},
        {GDT_Int16, -32768}, {GDT_Int32, -2147483647}, {GDT_UInt32, 4294967295},
        {GDT_Float32, -9999}, {GDT_Float32, -3.4028234663852886e38},
        {GDT_Float64, -1.7976931348623157e308}};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        struct grid_raster classes = with(plain_classes(), kinds[i].type, class_or_nodata);
        struct grid_raster hills = with(plain_heights(), GDT_Float64, height_or_nodata);
        double nodata = kinds[i].nodata;
        classes.user = hills.user = &nodata;
        classes.has_nodata = hills.has_nodata = true;
        classes.nodata = hills.nodata = nodata;
        grid_fixture_give(f, classes, hills);
        open_study(f);
        check_hidden_classes(f);
        check_hidden_heights(f);
        grid_fixture_close(f);
        grid_plan_clear(&f->plan);
        free(f->landcover);
        free(f->elevation);
        f->landcover = f->elevation = NULL;
    }
}

static void nan_is_unknown_without_being_declared(void **state) {
    struct grid_fixture *f = *state;
    double nan = (double)NAN;
    struct grid_raster classes = with(plain_classes(), GDT_Float32, class_or_nodata);
    struct grid_raster hills = with(plain_heights(), GDT_Float32, height_or_nodata);
    classes.user = hills.user = &nan;
    grid_fixture_give(f, classes, hills);
    open_study(f);
    check_hidden_classes(f);
    check_hidden_heights(f);
}

static void infinite_heights_are_unknown(void **state) {
    struct grid_fixture *f = *state;
    double infinite = -(double)INFINITY;
    struct grid_raster hills = with(plain_heights(), GDT_Float32, height_or_nodata);
    hills.user = &infinite;
    grid_fixture_give(f, plain_classes(), hills);
    open_study(f);
    check_hidden_heights(f);
}

// Writes a mask beside a file: 0 where hidden.
static void add_mask(const char *path) {
    GDALDatasetH dataset = GDALOpen(path, GA_Update);
    assert_int_equal(GDALCreateDatasetMaskBand(dataset, GMF_PER_DATASET), CE_None);
    GDALRasterBandH mask = GDALGetMaskBand(GDALGetRasterBand(dataset, 1));
    for (int row = 0; row < 120; row++) {
        uint8_t line[150];
        for (int col = 0; col < 150; col++)
            line[col] = hidden(X0 + 10 * col + 5, Y0 - 10 * row - 5) ? 0 : 255;
        assert_int_equal(
            GDALRasterIO(mask, GF_Write, 0, row, 150, 1, line, 150, 1, GDT_Byte, 0, 0), CE_None);
    }
    GDALClose(dataset);
}

static void masked_cells_are_unknown(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(), plain_heights());
    add_mask(f->landcover);
    add_mask(f->elevation);
    open_study(f);
    check_hidden_classes(f);
    check_hidden_heights(f);
}

static void masked_classes_of_other_types_are_unknown(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, with(plain_classes(), GDT_Float32, class_at), plain_heights());
    add_mask(f->landcover);
    open_study(f);
    check_hidden_classes(f);
}

// A file of the values and an alpha band that is 0 where hidden.
static char *with_alpha(struct grid_fixture *f, const char *path, const char *name) {
    char *both = malloc(4096);
    struct grid_raster opaque = plain_classes();
    double zero = 0;
    opaque.value = class_or_nodata;
    opaque.user = &zero;
    free(grid_make_raster(f->folder, "alpha.tif", &opaque));
    snprintf(both, 4096, "%s/%s", f->folder, name);
    free(grid_run("gdalbuildvrt -q -separate '%s' %s %s/alpha.tif && sed -i "
                  "'s|band=\"2\">|band=\"2\"><ColorInterp>Alpha</ColorInterp>|' '%s'",
        both, path, f->folder, both));
    return both;
}

static void transparent_cells_are_unknown(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(), plain_heights());
    char *landcover = with_alpha(f, f->landcover, "lc_alpha.vrt");
    char *elevation = with_alpha(f, f->elevation, "dem_alpha.vrt");
    f->plan.landcover.file = landcover;
    f->plan.elevation.file = elevation;
    open_study(f);
    check_hidden_classes(f);
    check_hidden_heights(f);
    free(landcover);
    free(elevation);
}

// Resampled by half a cell, a masked raster must know nothing within hidden blocks and be right
// away from them.
static void check_hidden_when_shifted(struct grid_fixture *f) {
    float *metres = elevations(f, whole(f));
    int64_t unknown = 0, known = 0;
    for (int64_t row = 2; row < f->study.grid.rows - 2; row++) {
        for (int64_t col = 2; col < f->study.grid.cols - 2; col++) {
            double x, y;
            centre_of(f, row, col, &x, &y);
            bool all = true, any = false;
            for (int i = 0; i < 25; i++) {
                bool here = hidden(x + 10 * (i % 5 - 2), y + 10 * (i / 5 - 2));
                all = all && here;
                any = any || here;
            }
            float metre = metres[row * f->study.grid.cols + col];
            if (all)
                assert_true(isnan(metre));
            else if (!any)
                assert_true(near((double)metre, height_at(NULL, x, y), 0.02));
            unknown += all;
            known += !any;
        }
    }
    free(metres);
    assert_true(unknown > 100 && known > 300);
}

static struct grid_raster shifted_classes(void) {
    return with(grid_raster_at(UTM, X0 + 4, Y0 - 3, 10, 10, 119, 149), GDT_Byte, class_at);
}

static void masked_heights_stay_unknown_when_resampled(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, shifted_classes(), plain_heights());
    add_mask(f->elevation);
    open_study(f);
    assert_string_equal(f->study.elevation.method, "cubic");
    check_hidden_when_shifted(f);
}

static void transparent_heights_stay_unknown_when_resampled(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, shifted_classes(), plain_heights());
    char *elevation = with_alpha(f, f->elevation, "dem alpha & co.vrt");
    f->plan.elevation.file = elevation;
    open_study(f);
    check_hidden_when_shifted(f);
    free(elevation);
}

static void nodata_heights_stay_unknown_when_resampled(void **state) {
    struct grid_fixture *f = *state;
    static const double kinds[] = {-9999, -3.4028234663852886e38, (double)NAN};
    for (int i = 0; i < 4; i++) {
        struct grid_raster hills = with(plain_heights(), GDT_Float32, height_or_nodata);
        double nodata = kinds[i % 3];
        hills.user = &nodata;
        hills.has_nodata = i < 3; // the last: NAN that is not declared
        hills.nodata = nodata;
        if (i == 3)
            hills.user = (void *)&kinds[2];
        grid_fixture_give(f, shifted_classes(), hills);
        open_study(f);
        check_hidden_when_shifted(f);
        grid_fixture_close(f);
        grid_plan_clear(&f->plan);
        free(f->landcover);
        free(f->elevation);
        f->landcover = f->elevation = NULL;
    }
}

static void masked_classes_stay_unknown_when_resampled(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(), plain_heights());
    add_mask(f->landcover);
    f->plan.cell_m = 5;
    open_study(f);
    assert_string_equal(f->study.landcover.method, "nearest");
    sel_habitat_id *ids = habitats(f, whole(f));
    for (int64_t row = 0; row < f->study.grid.rows; row++) {
        for (int64_t col = 0; col < f->study.grid.cols; col++) {
            double x, y;
            centre_of(f, row, col, &x, &y);
            x = X0 + 10 * floor((x - X0) / 10) + 5; // the pixel that holds it
            y = Y0 + 10 * floor((y - Y0) / 10) + 5;
            int expected = hidden(x, y) ? SEL_HABITAT_UNKNOWN : (int)class_at(NULL, x, y);
            assert_int_equal(ids[row * f->study.grid.cols + col], expected);
        }
    }
    free(ids);
}

// --- classes -------------------------------------------------------------------------------------

static double tens_at(void *user, double x, double y) {
    return 10 * class_at(user, x, y) - 60;
}

static double huge_codes_at(void *user, double x, double y) {
    return 1000000000 * (class_at(user, x, y) - 4) + 7;
}

static void check_codes(struct grid_fixture *f, double (*value)(void *user, double x, double y),
    double step, double first, GDALDataType type, const char *const *options) {
    struct grid_raster classes = with(plain_classes(), type, value);
    classes.options = options;
    grid_fixture_give(f, classes, plain_heights());
    int64_t codes[8];
    for (int i = 0; i < 8; i++)
        codes[i] = (int64_t)(first + step * i);
    grid_plan_values(&f->plan, codes, 8);
    open_study(f);
    check_exact_classes(f);
}

static void negative_codes_are_read(void **state) {
    check_codes(*state, tens_at, 10, -50, GDT_Int16, NULL);
}

static void negative_codes_in_signed_bytes_are_read(void **state) {
    static const char *const options[] = {"PIXELTYPE=SIGNEDBYTE", NULL};
    // GDAL 3.6 writes signed bytes as bytes modulo 256.
    struct grid_fixture *f = *state;
    struct grid_raster classes = with(plain_classes(), GDT_Int16, tens_at);
    grid_fixture_give(f, classes, plain_heights());
    free(grid_run("gdal_translate -q -ot Byte -scale -50 -1 206 255 -co %s %s %s/signed.tif",
        options[0], f->landcover, f->folder));
    char path[4096];
    snprintf(path, sizeof path, "%s/signed.tif", f->folder);
    GDALDatasetH from = GDALOpen(f->landcover, GA_ReadOnly), to = GDALOpen(path, GA_Update);
    for (int row = 0; row < 120; row++) {
        int16_t line[150];
        uint8_t bytes[150];
        assert_int_equal(GDALRasterIO(GDALGetRasterBand(from, 1), GF_Read, 0, row, 150, 1, line,
                             150, 1, GDT_Int16, 0, 0),
            CE_None);
        for (int col = 0; col < 150; col++)
            bytes[col] = (uint8_t)line[col];
        assert_int_equal(GDALRasterIO(GDALGetRasterBand(to, 1), GF_Write, 0, row, 150, 1, bytes,
                             150, 1, GDT_Byte, 0, 0),
            CE_None);
    }
    GDALClose(from);
    GDALClose(to);
    f->plan.landcover.file = path;
    static const int64_t codes[] = {-50, -40, -30, -20, -10, 0, 10, 20};
    grid_plan_values(&f->plan, codes, 8);
    open_study(f);
    check_exact_classes(f);
}

static void sparse_codes_are_searched(void **state) {
    check_codes(*state, huge_codes_at, 1000000000, -2999999993, GDT_Float64, NULL);
}

static void whole_numbers_in_floats_are_classes(void **state) {
    check_codes(*state, class_at, 1, 1, GDT_Float32, NULL);
}

static void must_fail(struct grid_fixture *f, const char *const *parts) {
    sel_habitat_id *ids = malloc(sel_window_cells(whole(f)));
    assert_int_equal(sel_read_habitats(f->context, f->reader, whole(f), ids), SEL_BAD_INPUT);
    free(ids);
    const char *message = sel_context_message(f->context);
    for (; *parts; parts++)
        if (!strstr(message, *parts))
            fail_msg("\"%s\" is not in: %s", *parts, message);
}

#define MUST_FAIL(f, ...) must_fail(f, (const char *const[]){__VA_ARGS__, NULL})

// One odd value in the cell of row 17, column 23.
static double one_odd(void *user, double x, double y) {
    bool there = fabs(x - (X0 + 235)) < 5 && fabs(y - (Y0 - 175)) < 5;
    return there ? *(double *)user : class_at(NULL, x, y);
}

static void a_class_the_table_lacks_is_told_with_its_place(void **state) {
    struct grid_fixture *f = *state;
    double odd = 42;
    struct grid_raster classes = with(plain_classes(), GDT_Byte, one_odd);
    classes.user = &odd;
    grid_fixture_give(f, classes, plain_heights());
    open_study(f);
    MUST_FAIL(f, "landcover.tif", "row 17, column 23", "x 400235.0, y 5439825.0", "49.10",
        " N, 13.63", "class 42", "add a row for 42 to habitats.csv");
}

static void a_class_the_legend_lacks_is_told_with_the_way_out(void **state) {
    struct grid_fixture *f = *state;
    double odd = 42;
    struct grid_raster classes = with(plain_classes(), GDT_Byte, one_odd);
    classes.user = &odd;
    grid_fixture_give(f, classes, plain_heights());
    f->plan.habitats_is_legend = true;
    f->plan.habitats_source = (char *)"nlcd";
    open_study(f);
    MUST_FAIL(f, "class 42", "legend \"nlcd\"", "selvedge legend nlcd");
}

static void a_class_the_table_lacks_is_told_when_resampled(void **state) {
    struct grid_fixture *f = *state;
    double odd = 42;
    struct grid_raster classes = with(plain_classes(), GDT_Byte, one_odd);
    classes.user = &odd;
    grid_fixture_give(f, classes, plain_heights());
    f->plan.cell_m = 7;
    open_study(f);
    MUST_FAIL(f, "row 17, column 23", "class 42", "add a row for 42");
}

static void a_fraction_is_no_class(void **state) {
    struct grid_fixture *f = *state;
    double odd = 3.25;
    struct grid_raster classes = with(plain_classes(), GDT_Float32, one_odd);
    classes.user = &odd;
    grid_fixture_give(f, classes, plain_heights());
    open_study(f);
    MUST_FAIL(f, "landcover.tif", "row 17, column 23", "x 400235.0", "3.25", "whole number",
        "another band");
}

static void an_unlisted_class_outside_the_window_does_no_harm(void **state) {
    struct grid_fixture *f = *state;
    double odd = 42;
    struct grid_raster classes = with(plain_classes(), GDT_Byte, one_odd);
    classes.user = &odd;
    grid_fixture_give(f, classes, plain_heights());
    f->plan.cell_m = 5; // the block that holds it is read, the cell is not asked for
    open_study(f);
    sel_habitat_id *ids = habitats(f, (struct sel_window){0, 0, 30, 30});
    free(ids);
}

static void the_plan_picks_the_band(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(), plain_heights());
    struct grid_raster ones = grid_raster_at(UTM, X0, Y0, 10, 10, 120, 150);
    char *other = grid_make_raster(f->folder, "ones.tif", &ones);
    free(grid_run("gdalbuildvrt -q -separate %s/both.vrt %s %s", f->folder, other, f->landcover));
    char path[4096];
    snprintf(path, sizeof path, "%s/both.vrt", f->folder);
    f->plan.landcover.file = path;
    f->plan.landcover.band = 2;
    open_study(f);
    check_exact_classes(f);
    free(other);
}

static void the_canopy_is_read_like_the_ground(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(), plain_heights());
    struct grid_raster tall =
        with(grid_raster_at(UTM, X0 + 5, Y0 + 5, 10, 10, 100, 100), GDT_Float32, decimetres_at);
    f->canopy = grid_make_raster(f->folder, "canopy.tif", &tall);
    f->plan.canopy =
        (struct sel_raster_ref){.file = f->canopy, .band = 1, .unit = SEL_UNIT_DECIMETRE};
    open_study(f);
    assert_true(f->study.has_canopy);
    assert_string_equal(f->study.canopy.method, "cubic");
    float *metres = heights(f, sel_read_canopy, (struct sel_window){40, 40, 1, 100});
    double x, y;
    centre_of(f, 40, 40, &x, &y);
    assert_true(near((double)metres[0], height_at(NULL, x, y), 0.02));
    assert_true(isnan(metres[99])); // beyond the canopy raster
    free(metres);
}

static void overviews_are_never_read(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(),
        with(grid_raster_at(UTM, X0, Y0, 2.5, 2.5, 480, 600), GDT_Float32, height_at));
    free(grid_run("gdaladdo -q -r nearest %s 2 4 && gdaladdo -q -r nearest %s 2 4", f->elevation,
        f->landcover));
    // Spoil the overviews: they hold 0 from now on.
    GDALDatasetH dataset = GDALOpen(f->elevation, GA_Update);
    for (int i = 0; i < 2; i++) {
        GDALRasterBandH overview = GDALGetOverview(GDALGetRasterBand(dataset, 1), i);
        assert_non_null(overview);
        GDALFillRaster(overview, 0, 0);
    }
    GDALClose(dataset);
    open_study(f);
    float *metres = elevations(f, whole(f));
    double x, y;
    centre_of(f, 60, 60, &x, &y);
    assert_true(near((double)metres[60 * 150 + 60], height_at(NULL, x, y), 0.05));
    free(metres);
}

static void a_file_that_breaks_off_is_told(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(), plain_heights());
    open_study(f);
    free(grid_run("truncate -s 30000 %s", f->elevation));
    grid_fixture_close(f);
    open_study(f);
    float *metres = malloc(sel_window_cells(whole(f)) * sizeof *metres);
    sel_status status = sel_read_elevation(f->context, f->reader, whole(f), metres);
    free(metres);
    assert_int_equal(status, SEL_IO);
    assert_non_null(strstr(sel_context_message(f->context), "elevation.tif"));
    assert_non_null(strstr(sel_context_message(f->context), "cannot be read"));
    assert_non_null(strstr(sel_context_message(f->context), "gdalinfo -checksum"));
}

static void a_reader_without_its_file_is_told(void **state) {
    struct grid_fixture *f = *state;
    grid_fixture_give(f, plain_classes(), plain_heights());
    open_study(f);
    remove(f->landcover);
    struct sel_reader *late = NULL;
    assert_int_equal(sel_reader_new(f->context, &f->study, &late), SEL_BAD_INPUT);
    assert_null(late);
    assert_non_null(strstr(sel_context_message(f->context), "landcover.tif"));
}

#define TEST(name)                                                                                 \
    cmocka_unit_test_setup_teardown(name, grid_fixture_set_up, grid_fixture_tear_down)

int main(void) {
    const struct CMUnitTest tests[] = {
        TEST(rasters_on_the_grid_are_read_as_they_are),
        TEST(a_south_up_raster_is_read_the_right_way_round),
        TEST(a_south_up_elevation_is_read_the_right_way_round),
        TEST(a_mirrored_raster_is_read_the_right_way_round),
        TEST(a_rotated_raster_shows_the_same_scene),
        TEST(a_scene_in_degrees_is_nearly_the_same),
        TEST(a_scene_in_web_mercator_is_nearly_the_same),
        TEST(a_scene_in_a_national_grid_is_nearly_the_same),
        TEST(finer_heights_are_averaged),
        TEST(much_finer_heights_are_averaged_too),
        TEST(feet_become_metres),
        TEST(survey_feet_become_metres_when_resampled),
        TEST(the_plans_unit_stands_above_the_bands),
        TEST(a_band_scale_and_offset_are_applied),
        TEST(any_window_of_rasters_on_the_grid_reads_the_same),
        TEST(any_window_of_resampled_rasters_reads_the_same),
        TEST(gdals_own_threads_change_nothing),
        TEST(any_window_of_averaged_heights_reads_the_same),
        TEST(a_cut_by_the_land_cover_changes_no_value),
        TEST(a_cut_by_the_elevation_changes_no_value),
        TEST(elevation_reaches_beyond_the_grid_as_far_as_the_file_does),
        TEST(land_cover_beyond_the_cut_grid_is_unknown),
        TEST(windows_far_away_hold_nothing),
        TEST(nodata_of_every_type_is_unknown),
        TEST(nan_is_unknown_without_being_declared),
        TEST(infinite_heights_are_unknown),
        TEST(masked_cells_are_unknown),
        TEST(masked_classes_of_other_types_are_unknown),
        TEST(transparent_cells_are_unknown),
        TEST(masked_heights_stay_unknown_when_resampled),
        TEST(transparent_heights_stay_unknown_when_resampled),
        TEST(nodata_heights_stay_unknown_when_resampled),
        TEST(masked_classes_stay_unknown_when_resampled),
        TEST(negative_codes_are_read),
        TEST(negative_codes_in_signed_bytes_are_read),
        TEST(sparse_codes_are_searched),
        TEST(whole_numbers_in_floats_are_classes),
        TEST(a_class_the_table_lacks_is_told_with_its_place),
        TEST(a_class_the_legend_lacks_is_told_with_the_way_out),
        TEST(a_class_the_table_lacks_is_told_when_resampled),
        TEST(a_fraction_is_no_class),
        TEST(an_unlisted_class_outside_the_window_does_no_harm),
        TEST(the_plan_picks_the_band),
        TEST(the_canopy_is_read_like_the_ground),
        TEST(overviews_are_never_read),
        TEST(a_file_that_breaks_off_is_told),
        TEST(a_reader_without_its_file_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
