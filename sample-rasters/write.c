// SPDX-License-Identifier: MIT
//
// The files of the sample, written through GDAL: GeoTIFF rasters and GeoPackage layers in UTM zone
// 33 north on WGS 84. The valley is invented; only the coordinate system is real.
#include <cpl_conv.h>
#include <cpl_string.h>
#include <gdal.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <stdio.h>
#include <stdlib.h>

#include "valley.h"

// The north-west corner of the wide grid.
static const double EAST_M = 457600, NORTH_M = 5531600;
enum { EPSG_UTM_33_NORTH = 32633 };

struct output {
    const char *folder;
    OGRSpatialReferenceH srs;
    bool failed;
};

static bool report(struct output *output, bool fine, const char *name) {
    if (!fine) {
        fprintf(stderr, "make_sample: cannot write %s/%s: %s\n", output->folder, name,
            CPLGetLastErrorMsg());
        output->failed = true;
    }
    return fine;
}

static void path_of(const struct output *output, const char *name, char path[4096]) {
    snprintf(path, 4096, "%s/%s", output->folder, name);
}

static GDALDatasetH raster_new(struct output *output, const char *name, int wide, int high,
    GDALDataType type, const char *predictor) {
    char path[4096];
    char **options = CSLSetNameValue(NULL, "PREDICTOR", predictor);
    options = CSLSetNameValue(options, "TILED", "YES");
    options = CSLSetNameValue(options, "COMPRESS", "DEFLATE");
    options = CSLSetNameValue(options, "ZLEVEL", "9");
    path_of(output, name, path);
    GDALDatasetH file =
        GDALCreate(GDALGetDriverByName("GTiff"), path, wide, high, 1, type, options);
    CSLDestroy(options);
    int margin = (WIDE - wide) / 2;
    double place[6] = {EAST_M + margin * CELL_M, CELL_M, 0, NORTH_M - margin * CELL_M, 0, -CELL_M};
    if (file) {
        GDALSetGeoTransform(file, place);
        GDALSetSpatialRef(file, output->srs);
    }
    return file;
}

static void paint(GDALRasterBandH band) {
    static const GDALColorEntry colours[] = {{0, 0, 0, 0}, {70, 130, 200, 255}, {20, 120, 80, 255},
        {120, 190, 190, 255}, {190, 225, 120, 255}, {155, 205, 110, 255}, {235, 215, 150, 255},
        {150, 150, 70, 255}, {60, 145, 50, 255}, {20, 75, 50, 255}, {185, 140, 175, 255},
        {200, 60, 60, 255}, {150, 150, 150, 255}};
    GDALColorTableH table = GDALCreateColorTable(GPI_RGB);
    for (int value = 0; value < (int)(sizeof colours / sizeof *colours); value++)
        GDALSetColorEntry(table, value, &colours[value]);
    GDALSetRasterColorTable(band, table);
    GDALDestroyColorTable(table);
}

static void write_cover(struct output *output, const struct valley *valley) {
    static uint8_t cells[COLS * ROWS];
    GDALDatasetH file = raster_new(output, "landcover.tif", COLS, ROWS, GDT_Byte, "1");
    if (!report(output, file != NULL, "landcover.tif"))
        return;
    for (int cell = 0; cell < COLS * ROWS; cell++)
        cells[cell] = valley->cover[(cell / COLS + MARGIN) * WIDE + cell % COLS + MARGIN];
    GDALRasterBandH band = GDALGetRasterBand(file, 1);
    GDALSetRasterNoDataValue(band, COVER_NONE);
    paint(band);
    CPLErr error =
        GDALRasterIO(band, GF_Write, 0, 0, COLS, ROWS, cells, COLS, ROWS, GDT_Byte, 0, 0);
    GDALClose(file);
    report(output, error == CE_None, "landcover.tif");
}

// Heights are kept to a sixteenth of a metre: that packs well and is exact in binary.
static void write_heights(struct output *output, const struct valley *valley) {
    static float metres[CELLS];
    GDALDatasetH file = raster_new(output, "elevation.tif", WIDE, HIGH, GDT_Float32, "3");
    if (!report(output, file != NULL, "elevation.tif"))
        return;
    for (int cell = 0; cell < CELLS; cell++)
        metres[cell] = (float)(floor(valley->height[cell] * 16 + 0.5) / 16);
    GDALRasterBandH band = GDALGetRasterBand(file, 1);
    GDALSetRasterNoDataValue(band, -9999);
    GDALSetRasterUnitType(band, "m");
    CPLErr error =
        GDALRasterIO(band, GF_Write, 0, 0, WIDE, HIGH, metres, WIDE, HIGH, GDT_Float32, 0, 0);
    GDALClose(file);
    report(output, error == CE_None, "elevation.tif");
}

static GDALDatasetH vector_new(struct output *output, const char *name) {
    char path[4096];
    path_of(output, name, path);
    remove(path);
    GDALDatasetH file = GDALCreate(GDALGetDriverByName("GPKG"), path, 0, 0, 0, GDT_Unknown, NULL);
    report(output, file && GDALDatasetStartTransaction(file, FALSE) == OGRERR_NONE, name);
    return file;
}

static void vector_close(struct output *output, GDALDatasetH file, const char *name) {
    if (file)
        report(output, GDALDatasetCommitTransaction(file) == OGRERR_NONE, name);
    GDALClose(file);
}

// A layer with up to two text fields (NULL: none).
static OGRLayerH layer_new(struct output *output, GDALDatasetH file, const char *name,
    OGRwkbGeometryType type, const char *first, const char *second) {
    OGRLayerH layer = file ? GDALDatasetCreateLayer(file, name, output->srs, type, NULL) : NULL;
    const char *names[2] = {first, second};
    for (int i = 0; layer && i < 2; i++)
        if (names[i]) {
            OGRFieldDefnH field = OGR_Fld_Create(names[i], OFTString);
            OGR_L_CreateField(layer, field, TRUE);
            OGR_Fld_Destroy(field);
        }
    report(output, layer != NULL, name);
    return layer;
}

// Adds a feature and frees its geometry.
static void add_feature(struct output *output, OGRLayerH layer, OGRGeometryH shape,
    const char *first, const char *second) {
    if (layer) {
        OGRFeatureH feature = OGR_F_Create(OGR_L_GetLayerDefn(layer));
        OGR_F_SetGeometry(feature, shape);
        if (first)
            OGR_F_SetFieldString(feature, 0, first);
        if (second)
            OGR_F_SetFieldString(feature, 1, second);
        report(output, OGR_L_CreateFeature(layer, feature) == OGRERR_NONE, OGR_L_GetName(layer));
        OGR_F_Destroy(feature);
    }
    OGR_G_DestroyGeometry(shape);
}

// Map coordinates, kept to the centimetre.
static void add_point(OGRGeometryH shape, struct point at) {
    OGR_G_AddPoint_2D(
        shape, floor((EAST_M + at.x) * 100 + 0.5) / 100, floor((NORTH_M - at.y) * 100 + 0.5) / 100);
}

static OGRGeometryH line_shape(const struct point *points, int count) {
    OGRGeometryH shape = OGR_G_CreateGeometry(wkbLineString);
    for (int i = 0; i < count; i++)
        add_point(shape, points[i]);
    return shape;
}

static OGRGeometryH polygon_shape(const struct point *points, int count) {
    OGRGeometryH ring = OGR_G_CreateGeometry(wkbLinearRing);
    OGRGeometryH shape = OGR_G_CreateGeometry(wkbPolygon);
    for (int i = 0; i < count; i++)
        add_point(ring, points[i]);
    OGR_G_CloseRings(ring);
    OGR_G_AddGeometryDirectly(shape, ring);
    return shape;
}

static OGRGeometryH point_shape(struct point at) {
    OGRGeometryH shape = OGR_G_CreateGeometry(wkbPoint);
    add_point(shape, at);
    return shape;
}

static void write_brook(struct output *output, const struct valley *valley) {
    GDALDatasetH file = vector_new(output, "brook.gpkg");
    OGRLayerH layer = layer_new(output, file, "brook", wkbLineString, "name", "kind");
    add_feature(output, layer, line_shape(valley->brook.points, valley->brook.count), "Alder Brook",
        "brook");
    for (int i = 0; i < valley->becks.count; i++) {
        char name[32];
        snprintf(name, sizeof name, "beck %d", i + 1);
        const struct line *beck = &valley->becks.items[i];
        add_feature(output, layer, line_shape(beck->points, beck->count), name, "beck");
    }
    vector_close(output, file, "brook.gpkg");
}

static void write_hedges(struct output *output, const struct valley *valley) {
    GDALDatasetH file = vector_new(output, "hedges.gpkg");
    OGRLayerH layer = layer_new(output, file, "hedges", wkbLineString, NULL, NULL);
    for (int i = 0; i < valley->hedge_count; i++) {
        struct point ends[2] = {valley->hedges[i].from, valley->hedges[i].to};
        add_feature(output, layer, line_shape(ends, 2), NULL, NULL);
    }
    vector_close(output, file, "hedges.gpkg");
}

// The first `big` ways are of the one kind, the others of the other.
static void write_ways(struct output *output, const char *name, const char *layer_name,
    const struct lines *ways, int big, const char *kind_big, const char *kind_small) {
    GDALDatasetH file = vector_new(output, name);
    OGRLayerH layer = layer_new(output, file, layer_name, wkbLineString, "kind", NULL);
    for (int i = 0; i < ways->count; i++) {
        OGRGeometryH shape = line_shape(ways->items[i].points, ways->items[i].count);
        add_feature(output, layer, shape, i < big ? kind_big : kind_small, NULL);
    }
    vector_close(output, file, name);
}

static void write_parcels(struct output *output, const struct valley *valley) {
    GDALDatasetH file = vector_new(output, "parcels.gpkg");
    OGRLayerH layer = layer_new(output, file, "parcels", wkbPolygon, "parcel", "owner_ref");
    for (int i = 0; i < valley->parcel_count; i++) {
        const struct parcel *parcel = &valley->parcels[i];
        char name[32], owner[32];
        snprintf(name, sizeof name, "%d/%d", parcel->block, parcel->row * 12 + parcel->col + 1);
        snprintf(owner, sizeof owner, "AB-%d", parcel->owner);
        add_feature(
            output, layer, polygon_shape(parcel->corners, parcel->corner_count), name, owner);
    }
    vector_close(output, file, "parcels.gpkg");
}

static void write_area(struct output *output) {
    struct line outline;
    area_make(&outline);
    GDALDatasetH file = vector_new(output, "area.gpkg");
    OGRLayerH layer = layer_new(output, file, "area", wkbPolygon, "name", NULL);
    add_feature(
        output, layer, polygon_shape(outline.points, outline.count), "Alder Brook valley", NULL);
    vector_close(output, file, "area.gpkg");
}

static void write_zones(struct output *output, const struct valley *valley) {
    struct line outline;
    GDALDatasetH file = vector_new(output, "zones.gpkg");
    OGRLayerH core = layer_new(output, file, "core", wkbPolygon, "name", NULL);
    colony_make(&outline);
    add_feature(output, core, polygon_shape(outline.points, outline.count), "heron colony", NULL);
    OGRLayerH meadow = layer_new(output, file, "meadow", wkbPolygon, "name", NULL);
    meadow_make(valley, 4900, 3700, &outline);
    add_feature(output, meadow, polygon_shape(outline.points, outline.count), "upper meadow", NULL);
    meadow_make(valley, 1900, 1050, &outline);
    add_feature(output, meadow, polygon_shape(outline.points, outline.count), "lower meadow", NULL);
    OGRLayerH pasture = layer_new(output, file, "pasture", wkbPolygon, "name", NULL);
    for (int i = 0; i < valley->parcel_count; i++)
        if (is_grazed(valley, i)) {
            const struct parcel *parcel = &valley->parcels[i];
            OGRGeometryH shape = polygon_shape(parcel->corners, parcel->corner_count);
            add_feature(output, pasture, shape, "summer grazing", NULL);
        }
    vector_close(output, file, "zones.gpkg");
}

static void write_running(struct output *output, const struct valley *valley) {
    GDALDatasetH file = vector_new(output, "running.gpkg");
    OGRLayerH layer = layer_new(output, file, "running", wkbPoint, "trap", "since");
    struct point at =
        edge_near(valley, (struct point){3100, 3150}, COVER_RIPARIAN_WOOD, COVER_HAY_MEADOW);
    add_feature(output, layer, point_shape(at), "AB-T1", "2026-04-18");
    at = edge_near(valley, (struct point){4800, 4300}, COVER_HEATH, COVER_BROADLEAF_WOOD);
    add_feature(output, layer, point_shape(at), "AB-T2", "2026-04-18");
    at = edge_near(valley, (struct point){1500, 2400}, COVER_PLANTATION, COVER_PASTURE);
    add_feature(output, layer, point_shape(at), "AB-T3", "2026-05-02");
    vector_close(output, file, "running.gpkg");
}

bool write_all(const struct valley *valley, const char *folder) {
    struct output output = {folder, OSRNewSpatialReference(NULL), false};
    GDALAllRegister();
    CPLSetConfigOption("OGR_CURRENT_DATE", "2027-01-01T00:00:00.000Z");
    OSRImportFromEPSG(output.srs, EPSG_UTM_33_NORTH);
    write_cover(&output, valley);
    write_heights(&output, valley);
    write_brook(&output, valley);
    write_hedges(&output, valley);
    write_ways(&output, "roads.gpkg", "roads", &valley->roads, 4, "road", "lane");
    write_ways(&output, "paths.gpkg", "paths", &valley->paths, 0, "path", "path");
    write_parcels(&output, valley);
    write_area(&output);
    write_zones(&output, valley);
    write_running(&output, valley);
    OSRDestroySpatialReference(output.srs);
    return !output.failed;
}
