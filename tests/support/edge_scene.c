// SPDX-License-Identifier: MIT
//
// Habitat scenes with a known truth, and random ones.
#include "edge_scene.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <gdal.h>

#include "scene.h"

static const double PI = 3.14159265358979323846;

struct edge_scene edge_scene_new(int64_t rows, int64_t cols) {
    struct edge_scene scene = {.window = {0, 0, rows, cols}};
    scene.ids = calloc((size_t)(rows * cols) + 1, 1);
    if (!scene.ids)
        abort();
    return scene;
}

void edge_scene_free(struct edge_scene *scene) {
    free(scene->ids);
    scene->ids = NULL;
}

struct sel_habitat_view edge_scene_view(const struct edge_scene *scene) {
    return (struct sel_habitat_view){scene->window, scene->ids};
}

sel_habitat_id *edge_scene_cell(struct edge_scene *scene, int64_t row, int64_t col) {
    return &scene->ids[(row - scene->window.row) * scene->window.cols + col - scene->window.col];
}

struct edge_scene edge_scene_text(const char *rows) {
    int64_t count = 1, cols = (int64_t)strcspn(rows, "/");
    for (const char *c = rows; *c; c++)
        count += *c == '/';
    struct edge_scene scene = edge_scene_new(count, cols);
    int64_t at = 0;
    for (const char *c = rows; *c; c++) {
        if (*c != '/')
            scene.ids[at++] = *c == '.' ? 0 : (sel_habitat_id)(*c - 'a' + 1);
    }
    if (at != count * cols)
        abort();
    return scene;
}

void edge_scene_half_plane(
    struct edge_scene *scene, double degrees, double offset, double cell_x, double cell_y) {
    double c = cos(degrees * PI / 180), s = sin(degrees * PI / 180);
    struct sel_window w = scene->window;
    for (int64_t i = 0; i < w.rows; i++) {
        for (int64_t j = 0; j < w.cols; j++) {
            double x = ((double)j + 0.5 - 0.5 * (double)w.cols) * cell_x;
            double y = ((double)i + 0.5 - 0.5 * (double)w.rows) * cell_y;
            // Left of (c, -s), y south, is (-s, -c).
            scene->ids[i * w.cols + j] = -s * x - c * y > offset ? 1 : 2;
        }
    }
}

void edge_scene_disc(struct edge_scene *scene, double x, double y, double radius,
    sel_habitat_id inside, sel_habitat_id outside) {
    struct sel_window w = scene->window;
    for (int64_t i = 0; i < w.rows; i++) {
        for (int64_t j = 0; j < w.cols; j++) {
            double dx = (double)j + 0.5 - x, dy = (double)i + 0.5 - y;
            scene->ids[i * w.cols + j] = dx * dx + dy * dy <= radius * radius ? inside : outside;
        }
    }
}

uint32_t edge_random(uint32_t *state) {
    *state ^= *state << 13;
    *state ^= *state >> 17;
    *state ^= *state << 5;
    return *state;
}

double edge_uniform(uint32_t *state) {
    return edge_random(state) / 4294967296.0;
}

enum { WAVES = 6 };

// The habitat whose sum of a few random waves is highest.
static sel_habitat_id highest(
    int habitats, double waves[][WAVES][3], double row, double col, double size) {
    int best = 0;
    double most = -1e9;
    for (int h = 0; h < habitats; h++) {
        double sum = 0;
        for (int k = 0; k < WAVES; k++)
            sum += cos((waves[h][k][0] * row + waves[h][k][1] * col) / size + waves[h][k][2]);
        if (sum > most) {
            most = sum;
            best = h + 1;
        }
    }
    return (sel_habitat_id)best;
}

void edge_scene_patches(struct edge_scene *scene, uint32_t start, int habitats, double size,
    double noise, double unknown) {
    uint32_t state = start;
    double waves[8][WAVES][3];
    if (habitats > 8)
        abort();
    for (int h = 0; h < habitats; h++) {
        for (int k = 0; k < WAVES; k++) {
            waves[h][k][0] = 4 * edge_uniform(&state) - 2;
            waves[h][k][1] = 4 * edge_uniform(&state) - 2;
            waves[h][k][2] = 2 * PI * edge_uniform(&state);
        }
    }
    struct sel_window w = scene->window;
    for (int64_t i = 0; i < w.rows; i++) {
        for (int64_t j = 0; j < w.cols; j++) {
            sel_habitat_id id = highest(habitats, waves, (double)i, (double)j, size);
            double draw = edge_uniform(&state);
            if (draw < noise)
                id = (sel_habitat_id)(1 + edge_random(&state) % (uint32_t)habitats);
            if (draw > 1 - unknown)
                id = SEL_HABITAT_UNKNOWN;
            scene->ids[i * w.cols + j] = id;
        }
    }
}

struct edge_scene edge_scene_cut(const struct edge_scene *scene, struct sel_window window) {
    struct edge_scene cut = edge_scene_new(window.rows, window.cols);
    cut.window = window;
    struct sel_habitat_view view = edge_scene_view(scene);
    for (int64_t i = 0; i < window.rows; i++) {
        for (int64_t j = 0; j < window.cols; j++)
            cut.ids[i * window.cols + j] = sel_view_at(&view, window.row + i, window.col + j);
    }
    return cut;
}

struct edge_scene edge_scene_mirrored(const struct edge_scene *scene) {
    int64_t rows = scene->window.rows, cols = scene->window.cols;
    struct edge_scene made = edge_scene_new(rows, cols);
    for (int64_t i = 0; i < rows; i++) {
        for (int64_t j = 0; j < cols; j++)
            made.ids[i * cols + cols - 1 - j] = scene->ids[i * cols + j];
    }
    return made;
}

struct edge_scene edge_scene_turned(const struct edge_scene *scene) {
    int64_t rows = scene->window.rows, cols = scene->window.cols;
    struct edge_scene made = edge_scene_new(cols, rows);
    for (int64_t i = 0; i < rows; i++) {
        for (int64_t j = 0; j < cols; j++)
            made.ids[j * rows + rows - 1 - i] = scene->ids[i * cols + j];
    }
    return made;
}

struct edge_scene edge_scene_read(const char *path) {
    GDALAllRegister();
    GDALDatasetH raster = GDALOpen(path, GA_ReadOnly);
    if (!raster)
        abort();
    int cols = GDALGetRasterXSize(raster), rows = GDALGetRasterYSize(raster);
    struct edge_scene scene = edge_scene_new(rows, cols);
    if (GDALRasterIO(GDALGetRasterBand(raster, 1), GF_Read, 0, 0, cols, rows, scene.ids, cols, rows,
            GDT_Byte, 0, 0) != CE_None)
        abort();
    GDALClose(raster);
    return scene;
}

bool edge_scene_real(struct edge_scene *scene) {
    const char *data = scene_real_data();
    char path[4200];
    if (!data)
        return false;
    snprintf(path, sizeof path, "%s/zion/nlcd2011.tif", data);
    *scene = edge_scene_read(path);
    return true;
}

void edge_scene_write(const struct edge_scene *scene, const char *path, bool unknown_is_nodata) {
    GDALAllRegister();
    int cols = (int)scene->window.cols, rows = (int)scene->window.rows;
    GDALDatasetH raster =
        GDALCreate(GDALGetDriverByName("GTiff"), path, cols, rows, 1, GDT_Byte, NULL);
    if (!raster)
        abort();
    double north_up[6] = {1000, 1, 0, 2000, 0, -1};
    GDALSetGeoTransform(raster, north_up);
    GDALRasterBandH band = GDALGetRasterBand(raster, 1);
    if (unknown_is_nodata)
        GDALSetRasterNoDataValue(band, SEL_HABITAT_UNKNOWN);
    if (GDALRasterIO(band, GF_Write, 0, 0, cols, rows, scene->ids, cols, rows, GDT_Byte, 0, 0) !=
        CE_None)
        abort();
    GDALClose(raster);
}

static int by_value(const void *a, const void *b) {
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

double edge_quantile(double *values, size_t count, double share) {
    qsort(values, count, sizeof *values, by_value);
    return values[(size_t)(share * (double)(count - 1) + 0.5)];
}
