// SPDX-License-Identifier: MIT
//
// Rasters through GDAL, questions through OGR's SQL.
#include "survey_scene.h"

#include <cpl_conv.h>
#include <gdal.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include "scene.h"

struct survey_scene survey_scene_new(int rows, int cols, double cell) {
    size_t cells = (size_t)rows * (size_t)cols;
    struct survey_scene scene = {.folder = scene_folder(),
        .rows = rows,
        .cols = cols,
        .cell = cell,
        .x0 = 500000,
        .y0 = 5400000,
        .crs = "EPSG:32633",
        .classes = malloc(cells),
        .metres = malloc(cells * sizeof(float))};
    if (!scene.classes || !scene.metres)
        abort();
    memset(scene.classes, 2, cells);
    for (size_t i = 0; i < cells; i++)
        scene.metres[i] = 100.0f;
    GDALAllRegister();
    return scene;
}

void survey_scene_free(struct survey_scene *scene) {
    scene_remove(scene->folder);
    free(scene->classes);
    free(scene->metres);
}

void survey_scene_paint(
    struct survey_scene *scene, int row, int col, int rows, int cols, uint8_t value) {
    for (int i = row; i < row + rows; i++)
        memset(scene->classes + (size_t)i * (size_t)scene->cols + col, value, (size_t)cols);
}

const char *survey_scene_path(const struct survey_scene *scene, const char *name) {
    static char path[4096];
    snprintf(path, sizeof path, "%s/%s", scene->folder, name);
    return path;
}

static void write_raster(
    const struct survey_scene *scene, const char *name, GDALDataType type, void *values) {
    GDALDatasetH file = GDALCreate(GDALGetDriverByName("GTiff"), survey_scene_path(scene, name),
        scene->cols, scene->rows, 1, type, NULL);
    OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
    char *wkt = NULL;
    double corner[6] = {scene->x0, scene->cell, 0, scene->y0, 0, -scene->cell};
    if (!file || OSRSetFromUserInput(crs, scene->crs) != OGRERR_NONE ||
        OSRExportToWkt(crs, &wkt) != OGRERR_NONE)
        abort();
    GDALSetProjection(file, wkt);
    GDALSetGeoTransform(file, corner);
    GDALRasterBandH band = GDALGetRasterBand(file, 1);
    if (type == GDT_Byte)
        GDALSetRasterNoDataValue(band, 0);
    if (GDALRasterIO(band, GF_Write, 0, 0, scene->cols, scene->rows, values, scene->cols,
            scene->rows, type, 0, 0) != CE_None)
        abort();
    CPLFree(wkt);
    OSRRelease(crs);
    GDALClose(file);
}

void survey_scene_heights(const struct survey_scene *scene, const char *name, float *heights) {
    write_raster(scene, name, GDT_Float32, heights);
}

static void write_text(const struct survey_scene *scene, const char *name, const char *text) {
    FILE *file = fopen(survey_scene_path(scene, name), "w");
    if (!file || fputs(text, file) < 0 || fclose(file) != 0)
        abort();
}

void survey_scene_write(const struct survey_scene *scene, const char *more) {
    char plan[8192];
    write_raster(scene, "landcover.tif", GDT_Byte, scene->classes);
    write_raster(scene, "elevation.tif", GDT_Float32, scene->metres);
    write_text(scene, "habitats.csv",
        "value,habitat,canopy_m,cover,wetness,edge,walk,trap,water,ground,support\n"
        "1,wood,16,0.9,0.5,1,0.6,no,no,firm,yes\n"
        "2,meadow,0,0,0.5,1,1,yes,no,firm,no\n"
        "3,village,6,0.2,0.2,0,1,no,no,firm,no\n"
        "4,water,0,0,1,0.2,0,no,yes,wet,no\n"
        "5,scrub,4,0.5,0.5,1,0.7,yes,no,firm,yes\n");
    snprintf(plan, sizeof plan,
        "plan: 1\ntitle: Test ground\nrasters:\n  landcover: landcover.tif\n"
        "  elevation: elevation.tif\nhabitats: habitats.csv\n%s",
        more);
    write_text(scene, "survey.yaml", plan);
}

sel_status survey_scene_rank(const struct survey_scene *scene, const char *name,
    const sel_run_options *options, const char **message) {
    static char kept[4096];
    char plan[4096], *summary = NULL;
    sel_context *context = sel_context_new();
    snprintf(plan, sizeof plan, "%s", survey_scene_path(scene, "survey.yaml"));
    sel_status status = sel_rank(context, plan, survey_scene_path(scene, name), options, &summary);
    snprintf(kept, sizeof kept, "%s", sel_context_message(context));
    *message = kept;
    sel_text_free(summary);
    sel_context_free(context);
    return status;
}

double survey_scene_number(const struct survey_scene *scene, const char *name, const char *sql) {
    GDALDatasetH file =
        GDALOpenEx(survey_scene_path(scene, name), GDAL_OF_VECTOR, NULL, NULL, NULL);
    if (!file)
        abort();
    double value = (double)NAN;
    OGRLayerH answer = GDALDatasetExecuteSQL(file, sql, NULL, NULL);
    OGRFeatureH row = answer ? OGR_L_GetNextFeature(answer) : NULL;
    if (row && OGR_F_IsFieldSetAndNotNull(row, 0))
        value = OGR_F_GetFieldAsDouble(row, 0);
    if (row)
        OGR_F_Destroy(row);
    if (answer)
        GDALDatasetReleaseResultSet(file, answer);
    GDALClose(file);
    return value;
}

int survey_scene_shell(const char *command, char **out) {
    FILE *pipe = popen(command, "r");
    size_t length = 0, room = 1 << 16, got;
    char *text = malloc(room + 1);
    if (!pipe || !text)
        abort();
    while ((got = fread(text + length, 1, room - length, pipe)) > 0) {
        length += got;
        if (length == room && !(text = realloc(text, (room *= 2) + 1)))
            abort();
    }
    text[length] = '\0';
    int status = pclose(pipe);
    if (out)
        *out = text;
    else
        free(text);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}
