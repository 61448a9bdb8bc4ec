// SPDX-License-Identifier: MIT
//
// Made by GDAL itself, in the test's temporary folder.
#include "grid_scene.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <ogr_api.h>
#include <ogr_srs_api.h>

struct grid_raster grid_raster_at(
    const char *crs, double x0, double y0, double dx, double dy, int rows, int cols) {
    return (struct grid_raster){
        .crs = crs, .gt = {x0, dx, 0, y0, 0, -dy}, .rows = rows, .cols = cols, .type = GDT_Byte};
}

static char *join(const char *folder, const char *name) {
    size_t size = strlen(folder) + strlen(name) + 2;
    char *path = malloc(size);
    if (!path)
        abort();
    snprintf(path, size, "%s/%s", folder, name);
    return path;
}

static void place(GDALDatasetH dataset, const struct grid_raster *raster) {
    GDALSetGeoTransform(dataset, (double *)raster->gt);
    if (!raster->crs)
        return;
    OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
    if (OSRSetFromUserInput(crs, raster->crs) != OGRERR_NONE)
        abort();
    GDALSetSpatialRef(dataset, crs);
    OSRDestroySpatialReference(crs);
}

static void fill(GDALRasterBandH band, const struct grid_raster *raster) {
    double *line = malloc((size_t)raster->cols * sizeof *line);
    for (int row = 0; line && row < raster->rows; row++) {
        for (int col = 0; col < raster->cols; col++) {
            double px = col + 0.5, py = row + 0.5;
            double x = raster->gt[0] + px * raster->gt[1] + py * raster->gt[2];
            double y = raster->gt[3] + px * raster->gt[4] + py * raster->gt[5];
            line[col] = raster->value ? raster->value(raster->user, x, y) : 1;
        }
        if (GDALRasterIO(band, GF_Write, 0, row, raster->cols, 1, line, raster->cols, 1,
                GDT_Float64, 0, 0) != CE_None)
            abort();
    }
    free(line);
}

char *grid_make_raster(const char *folder, const char *name, const struct grid_raster *raster) {
    GDALAllRegister();
    char *path = join(folder, name);
    GDALDatasetH dataset = GDALCreate(GDALGetDriverByName("GTiff"), path, raster->cols,
        raster->rows, 1, raster->type, (char **)raster->options);
    if (!dataset)
        abort();
    place(dataset, raster);
    GDALRasterBandH band = GDALGetRasterBand(dataset, 1);
    if (raster->has_nodata)
        GDALSetRasterNoDataValue(band, raster->nodata);
    if (raster->unit)
        GDALSetRasterUnitType(band, raster->unit);
    fill(band, raster);
    GDALClose(dataset);
    return path;
}

char *grid_make_file(const char *folder, const char *name, const char *text) {
    char *path = join(folder, name);
    FILE *file = fopen(path, "wb");
    if (!file || fputs(text, file) < 0 || fclose(file) != 0)
        abort();
    return path;
}

static OGRSpatialReferenceH parse_crs(const char *text) {
    OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
    if (OSRSetFromUserInput(crs, text) != OGRERR_NONE)
        abort();
    OSRSetAxisMappingStrategy(crs, OAMS_TRADITIONAL_GIS_ORDER);
    return crs;
}

static void add_feature(OGRLayerH layer, const struct grid_feature *given) {
    OGRFeatureH feature = OGR_F_Create(OGR_L_GetLayerDefn(layer));
    if (given->name)
        OGR_F_SetFieldString(feature, OGR_F_GetFieldIndex(feature, "parcel"), given->name);
    if (given->owner)
        OGR_F_SetFieldString(feature, OGR_F_GetFieldIndex(feature, "owner_ref"), given->owner);
    if (given->wkt) {
        OGRGeometryH geometry = NULL;
        char *text = (char *)given->wkt;
        if (OGR_G_CreateFromWkt(&text, NULL, &geometry) != OGRERR_NONE)
            abort();
        OGR_F_SetGeometryDirectly(feature, geometry);
    }
    if (OGR_L_CreateFeature(layer, feature) != OGRERR_NONE)
        abort();
    OGR_F_Destroy(feature);
}

static void add_attribute(OGRLayerH layer, const char *name) {
    OGRFieldDefnH field = OGR_Fld_Create(name, OFTString);
    OGR_L_CreateField(layer, field, TRUE);
    OGR_Fld_Destroy(field);
}

char *grid_make_layer(const char *folder, const char *name, const char *layer_name, const char *crs,
    const struct grid_feature *features, size_t count) {
    GDALAllRegister();
    char *path = join(folder, name);
    FILE *there = fopen(path, "rb");
    if (there)
        fclose(there);
    GDALDatasetH dataset =
        there ? GDALOpenEx(path, GDAL_OF_VECTOR | GDAL_OF_UPDATE, NULL, NULL, NULL)
              : GDALCreate(GDALGetDriverByName("GPKG"), path, 0, 0, 0, GDT_Unknown, NULL);
    OGRSpatialReferenceH parsed = crs ? parse_crs(crs) : NULL;
    OGRLayerH layer = GDALDatasetCreateLayer(dataset, layer_name, parsed, wkbUnknown, NULL);
    if (!layer)
        abort();
    add_attribute(layer, "parcel");
    add_attribute(layer, "owner_ref");
    for (size_t i = 0; i < count; i++)
        add_feature(layer, &features[i]);
    if (parsed)
        OSRDestroySpatialReference(parsed);
    GDALClose(dataset);
    return path;
}

struct sel_grid grid_of(const char *crs, double x0, double y0, double cell, int rows, int cols) {
    OGRSpatialReferenceH parsed = parse_crs(crs);
    struct sel_grid grid = {.rows = rows,
        .cols = cols,
        .x0 = x0,
        .y0 = y0,
        .dx = cell,
        .dy = cell,
        .metres = OSRGetLinearUnits(parsed, NULL),
        .crs = strdup(crs)};
    grid.cell_x_m = grid.cell_y_m = cell * grid.metres;
    OSRDestroySpatialReference(parsed);
    return grid;
}

void grid_plan_values(struct sel_plan *plan, const int64_t *values, int count) {
    grid_plan_clear(plan);
    plan->habitats.items = calloc((size_t)count, sizeof *plan->habitats.items);
    plan->habitats.values = calloc((size_t)count, sizeof *plan->habitats.values);
    for (int i = 0; i < count; i++) {
        char name[32];
        snprintf(name, sizeof name, "habitat %lld", (long long)values[i]);
        plan->habitats.items[i].name = strdup(name);
        plan->habitats.values[i].value = values[i];
        plan->habitats.values[i].id = (sel_habitat_id)(i + 1);
    }
    plan->habitats.count = plan->habitats.value_count = count;
}

void grid_plan_init(struct sel_plan *plan, const char *landcover, const char *elevation) {
    static const int64_t values[] = {1, 2, 3, 4, 5, 6, 7, 8, 9};
    const double automatic = (double)NAN;
    *plan = (struct sel_plan){.path = (char *)"survey.yaml",
        .habitats_source = (char *)"habitats.csv",
        .landcover = {.file = (char *)landcover, .band = 1},
        .elevation = {.file = (char *)elevation, .band = 1},
        .cell_m = automatic,
        .every_m = automatic,
        .reach_m = automatic,
        .belt_m = automatic,
        .tangent_m = automatic};
    grid_plan_values(plan, values, 9);
}

void grid_plan_clear(struct sel_plan *plan) {
    for (int i = 0; i < plan->habitats.count; i++)
        free(plan->habitats.items[i].name);
    free(plan->habitats.items);
    free(plan->habitats.values);
    plan->habitats = (struct sel_habitats){0};
}

void grid_keep_notes(void *notes, const char *text) {
    size_t length = strlen(notes);
    if (length + strlen(text) + 2 < 4096)
        snprintf((char *)notes + length, 4096 - length, "%s\n", text);
}

char *grid_run(const char *format, ...) {
    char command[8192];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(command, sizeof command, format, arguments);
    va_end(arguments);
    FILE *pipe = popen(command, "r");
    if (!pipe)
        return NULL;
    size_t capacity = 1 << 20, length = 0;
    char *text = malloc(capacity);
    while (text && length + 1 < capacity) {
        size_t got = fread(text + length, 1, capacity - 1 - length, pipe);
        if (got == 0)
            break;
        length += got;
    }
    if (text)
        text[length] = '\0';
    if (pclose(pipe) == 0)
        return text;
    free(text);
    return NULL;
}

uint32_t grid_random(uint64_t *state, uint32_t bound) {
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (uint32_t)((*state >> 33) % bound);
}

bool near(double value, double wanted, double tolerance) {
    if (fabs(value - wanted) <= tolerance)
        return true;
    fprintf(stderr, "%.12g is not within %g of %.12g\n", value, tolerance, wanted);
    return false;
}
