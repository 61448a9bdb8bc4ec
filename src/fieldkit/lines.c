// SPDX-License-Identifier: MIT
//
// Coordinates go to WGS 84 through OGR, longitude first.
#include "fieldkit/lines.h"

#include <math.h>
#include <ogr_srs_api.h>
#include <stdlib.h>

#include "output/gdal_guard.h"

struct line_reader {
    struct sel_package *package;
    const char *layer;
    OGRCoordinateTransformationH transform;
    int site_field;
    sel_site_line_fn *take;
    void *user;
};

static OGRCoordinateTransformationH to_geographic(OGRLayerH layer) {
    OGRSpatialReferenceH crs = OGR_L_GetSpatialRef(layer);
    OGRSpatialReferenceH from = crs ? OSRClone(crs) : NULL, to = OSRNewSpatialReference(NULL);
    OGRCoordinateTransformationH transform = NULL;
    if (from && OSRImportFromEPSG(to, 4326) == OGRERR_NONE) {
        OSRSetAxisMappingStrategy(from, OAMS_TRADITIONAL_GIS_ORDER);
        OSRSetAxisMappingStrategy(to, OAMS_TRADITIONAL_GIS_ORDER);
        transform = OCTNewCoordinateTransformation(from, to);
    }
    if (from)
        OSRRelease(from);
    OSRRelease(to);
    return transform;
}

static void fill_line(OGRGeometryH geometry, struct sel_site_line *line) {
    bool has_height = OGR_G_Is3D(geometry) != 0;
    for (size_t i = 0; i < line->count; i++) {
        line->elevation_m[i] = has_height ? OGR_G_GetZ(geometry, (int)i) : (double)NAN;
        line->x[i] = line->longitude[i] = OGR_G_GetX(geometry, (int)i);
        line->y[i] = line->latitude[i] = OGR_G_GetY(geometry, (int)i);
    }
}

static sel_status place_line(struct line_reader *reader, struct sel_site_line *line) {
    bool placed = OCTTransform(reader->transform, (int)line->count, line->longitude, line->latitude,
                      NULL) != 0;
    for (size_t i = 0; placed && i < line->count; i++)
        placed = fabs(line->latitude[i]) <= 90.0 && fabs(line->longitude[i]) <= 180.0;
    if (placed)
        return reader->take(reader->user, line);
    return sel_fail(reader->package->context, SEL_BAD_INPUT,
        "%s: layer %s: the line of %s cannot be brought to latitude and longitude: the file was "
        "changed; rank again",
        reader->package->path, reader->layer, line->site);
}

static sel_status take_geometry(
    struct line_reader *reader, OGRGeometryH geometry, const char *site) {
    struct sel_site_line line = {.site = site, .count = (size_t)OGR_G_GetPointCount(geometry)};
    double *numbers = malloc(5 * line.count * sizeof *numbers);
    if (!numbers)
        return sel_fail_memory(reader->package->context);
    line.x = numbers;
    line.y = numbers + line.count;
    line.longitude = numbers + 2 * line.count;
    line.latitude = numbers + 3 * line.count;
    line.elevation_m = numbers + 4 * line.count;
    fill_line(geometry, &line);
    sel_status status = place_line(reader, &line);
    free(numbers);
    return status;
}

static sel_status take_feature(struct line_reader *reader, OGRFeatureH feature) {
    OGRGeometryH geometry = OGR_F_GetGeometryRef(feature);
    bool is_line = geometry && wkbFlatten(OGR_G_GetGeometryType(geometry)) == wkbLineString &&
                   OGR_G_GetPointCount(geometry) >= 2;
    if (!is_line || !OGR_F_IsFieldSetAndNotNull(feature, reader->site_field))
        return SEL_OK;
    return take_geometry(reader, geometry, OGR_F_GetFieldAsString(feature, reader->site_field));
}

static sel_status take_all(struct line_reader *reader, OGRLayerH layer) {
    OGRFeatureH feature;
    sel_status status = SEL_OK;
    OGR_L_ResetReading(layer);
    while (status == SEL_OK && (feature = OGR_L_GetNextFeature(layer)) != NULL) {
        status = take_feature(reader, feature);
        OGR_F_Destroy(feature);
    }
    return status;
}

static sel_status read_layer(struct line_reader *reader, OGRLayerH layer) {
    reader->site_field = OGR_FD_GetFieldIndex(OGR_L_GetLayerDefn(layer), "site");
    reader->transform = to_geographic(layer);
    sel_status status = SEL_OK;
    if (reader->site_field < 0)
        status = sel_fail(reader->package->context, SEL_BAD_INPUT,
            "%s: layer %s: column site is missing: the file was changed or comes from another "
            "version; rank again",
            reader->package->path, reader->layer);
    else if (!reader->transform)
        status = sel_fail(reader->package->context, SEL_BAD_INPUT,
            "%s: layer %s: its coordinate system cannot be brought to latitude and longitude: the "
            "file was changed; rank again",
            reader->package->path, reader->layer);
    else
        status = take_all(reader, layer);
    if (reader->transform)
        OCTDestroyCoordinateTransformation(reader->transform);
    return status;
}

sel_status sel_site_lines_read(struct sel_package *package, const char *layer,
    sel_site_line_fn *take, void *user, bool *found) {
    struct line_reader reader = {.package = package, .layer = layer, .take = take, .user = user};
    sel_gdal_begin(NULL, NULL);
    OGRLayerH lines = GDALDatasetGetLayerByName(package->dataset, layer);
    *found = lines != NULL;
    sel_status status = lines ? read_layer(&reader, lines) : SEL_OK;
    sel_gdal_end(NULL);
    return status;
}
