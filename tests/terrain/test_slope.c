// SPDX-License-Identifier: MIT
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <gdal.h>

#include "scene.h"
#include "survey_scene.h"
#include "terrain/slope.h"
#include "terrain_near.h"

static const double DEGREES = 57.29577951308232;

// Published 3 x 3 examples, as printed by gdaldem 3.6.2.
static void published_windows_have_their_slopes(void **state) {
    (void)state;
    // By hand: dz/dx 0.05, dz/dy -3.8 -> atan(sqrt(14.4425)) = 75.25766.
    const float steep[9] = {50, 45, 50, 30, 30, 30, 8, 10, 10};
    assert_near(sel_horn_slope(steep, 5, 5), 75.25766, 5e-6);
    const float ridge[9] = {101, 92, 85, 101, 92, 85, 101, 91, 84};
    assert_near(sel_horn_slope(ridge, 1, 1), 82.99088, 1e-5);
    const float gentle[9] = {42, 45, 47, 40, 44, 49, 44, 48, 52};
    assert_near(sel_horn_slope(gentle, 10, 10), 22.791824, 2e-6);
    const float east[9] = {0, 10, 20, 0, 10, 20, 0, 10, 20};
    assert_near(sel_horn_slope(east, 10, 10), 45.0, 1e-12);
    const float north[9] = {20, 20, 20, 10, 10, 10, 0, 0, 0};
    assert_near(sel_horn_slope(north, 10, 10), 45.0, 1e-12);
    const float flat[9] = {7, 7, 7, 7, 7, 7, 7, 7, 7};
    assert_near(sel_horn_slope(flat, 10, 10), 0.0, 0.0);
}

// Closed form: Horn's estimate is exact on a plane, also when cells are not square.
static void planes_of_every_azimuth_have_their_dip(void **state) {
    (void)state;
    const double cells[2][2] = {{10.0, 10.0}, {31.530, 12.25}};
    for (int c = 0; c < 2; c++)
        for (int azimuth = 0; azimuth < 360; azimuth += 5)
            for (double dip = 1.0; dip < 80.0; dip += 13.0) {
                float window[9];
                for (int i = 0; i < 9; i++) {
                    double x = (i % 3 - 1) * cells[c][0], y = (1 - i / 3) * cells[c][1];
                    double along = x * sin(azimuth / DEGREES) + y * cos(azimuth / DEGREES);
                    window[i] = (float)(100.0 + along * tan(dip / DEGREES));
                }
                assert_near(sel_horn_slope(window, cells[c][0], cells[c][1]), dip, 1e-4);
            }
}

static void an_unknown_neighbour_or_centre_leaves_no_slope(void **state) {
    (void)state;
    for (int unknown = 0; unknown < 9; unknown++) {
        float window[9] = {1, 2, 3, 4, 5, 6, 7, 8, 9};
        window[unknown] = NAN;
        assert_true(isnan(sel_horn_slope(window, 10, 10)));
    }
}

static void the_border_of_a_raster_has_no_slope(void **state) {
    (void)state;
    float metres[5 * 7];
    for (int i = 0; i < 35; i++)
        metres[i] = (float)(i % 7) * 10.0f;
    for (int64_t row = 0; row < 5; row++)
        for (int64_t col = 0; col < 7; col++) {
            double slope = sel_slope_at(metres, 5, 7, row, col, 10, 10);
            if (row == 0 || row == 4 || col == 0 || col == 6)
                assert_true(isnan(slope));
            else
                assert_near(slope, 45.0, 1e-12);
        }
}

enum { ROWS = 60, COLS = 50 };

static void write_raster(const char *path, float *metres) {
    GDALAllRegister();
    GDALDatasetH file =
        GDALCreate(GDALGetDriverByName("GTiff"), path, COLS, ROWS, 1, GDT_Float32, NULL);
    double transform[6] = {400000, 12.5, 0, 5400000, 0, -8.0};
    GDALSetGeoTransform(file, transform);
    GDALSetRasterNoDataValue(GDALGetRasterBand(file, 1), -9999);
    assert_int_equal(GDALRasterIO(GDALGetRasterBand(file, 1), GF_Write, 0, 0, COLS, ROWS, metres,
                         COLS, ROWS, GDT_Float32, 0, 0),
        CE_None);
    GDALClose(file);
}

static void read_raster(const char *path, float *values) {
    GDALDatasetH file = GDALOpen(path, GA_ReadOnly);
    assert_non_null(file);
    assert_int_equal(GDALRasterIO(GDALGetRasterBand(file, 1), GF_Read, 0, 0, COLS, ROWS, values,
                         COLS, ROWS, GDT_Float32, 0, 0),
        CE_None);
    GDALClose(file);
}

static void rough_ground_agrees_with_gdaldem(void **state) {
    (void)state;
    char *folder = scene_folder(), ground[512], slopes[512], command[2048];
    snprintf(ground, sizeof ground, "%s/ground.tif", folder);
    snprintf(slopes, sizeof slopes, "%s/slope.tif", folder);
    float metres[ROWS * COLS], theirs[ROWS * COLS];
    uint32_t random = 1;
    for (int i = 0; i < ROWS * COLS; i++) {
        random = random * 1664525u + 1013904223u;
        metres[i] = (float)(300.0 + 40.0 * sin(i % COLS * 0.2) + (random >> 8) % 1000 * 0.01);
    }
    metres[20 * COLS + 20] = -9999;
    write_raster(ground, metres);
    snprintf(command, sizeof command, "gdaldem slope -q '%s' '%s'", ground, slopes);
    assert_int_equal(survey_scene_shell(command, NULL), 0);
    read_raster(slopes, theirs);
    metres[20 * COLS + 20] = NAN;
    int compared = 0;
    for (int64_t i = 0; i < ROWS * COLS; i++) {
        double ours = sel_slope_at(metres, ROWS, COLS, i / COLS, i % COLS, 12.5, 8.0);
        assert_int_equal(isnan(ours) != 0, theirs[i] < -9000.0f);
        if (!isnan(ours)) {
            assert_near(ours, (double)theirs[i], 1e-3);
            compared++;
        }
    }
    assert_int_equal(compared, (ROWS - 2) * (COLS - 2) - 9);
    scene_remove(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_windows_have_their_slopes),
        cmocka_unit_test(planes_of_every_azimuth_have_their_dip),
        cmocka_unit_test(an_unknown_neighbour_or_centre_leaves_no_slope),
        cmocka_unit_test(the_border_of_a_raster_has_no_slope),
        cmocka_unit_test(rough_ground_agrees_with_gdaldem),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
