// SPDX-License-Identifier: MIT
//
// Attribute tables beside the geometries (styles, lookups) are no layers to choose from.
#include "grid/layer.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>
#include <strings.h>

#include <cpl_error.h>

#include "base/text.h"
#include "grid/gdal_support.h"

void sel_layer_close(struct sel_layer *layer) {
    if (layer->feature)
        OGR_F_Destroy(layer->feature);
    if (layer->to_grid)
        OCTDestroyCoordinateTransformation(layer->to_grid);
    if (layer->dataset)
        GDALClose(layer->dataset);
    *layer = (struct sel_layer){0};
}

static sel_status open_dataset(sel_context *context, struct sel_layer *layer) {
    sel_gdal_hush();
    layer->dataset = GDALOpenEx(
        layer->file, GDAL_OF_VECTOR | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, NULL, NULL, NULL);
    const char *reason = sel_gdal_speak();
    if (!layer->dataset)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: cannot be opened as a vector file (%s): check the path and the file", layer->file,
            reason);
    return SEL_OK;
}

static bool has_geometries(OGRLayerH layer) {
    return OGR_L_GetGeomType(layer) != wkbNone;
}

static int count_layers(GDALDatasetH dataset, OGRLayerH *only) {
    int count = 0;
    for (int i = 0; i < GDALDatasetGetLayerCount(dataset); i++) {
        OGRLayerH layer = GDALDatasetGetLayer(dataset, i);
        if (!has_geometries(layer))
            continue;
        *only = layer;
        count++;
    }
    return count;
}

// "roads, paths"; free with sel_text_clear.
static void list_layers(GDALDatasetH dataset, struct sel_text *text) {
    sel_text_init(text);
    for (int i = 0; i < GDALDatasetGetLayerCount(dataset); i++) {
        OGRLayerH layer = GDALDatasetGetLayer(dataset, i);
        if (has_geometries(layer))
            sel_text_addf(text, "%s%s", text->length ? ", " : "", OGR_L_GetName(layer));
    }
}

static sel_status fail_choice(
    sel_context *context, const struct sel_layer *layer, const char *wanted, int count) {
    struct sel_text names;
    list_layers(layer->dataset, &names);
    const char *listed = names.chars && names.length ? names.chars : "none";
    sel_status status = SEL_BAD_INPUT;
    if (names.failed)
        status = sel_fail_memory(context);
    else if (wanted)
        sel_fail(context, status,
            "%s: layer: %s: the file has no such layer: name one of those it has: %s", layer->file,
            wanted, listed);
    else if (count == 0)
        sel_fail(context, status, "%s: holds no layer with geometries: check the file with ogrinfo",
            layer->file);
    else
        sel_fail(context, status, "%s: holds %d layers: say which as layer: ..., one of: %s",
            layer->file, count, listed);
    sel_text_clear(&names);
    return status;
}

static sel_status pick_layer(sel_context *context, struct sel_layer *layer, const char *wanted) {
    int count = 0;
    if (wanted) {
        layer->layer = GDALDatasetGetLayerByName(layer->dataset, wanted);
    } else {
        OGRLayerH only = NULL;
        count = count_layers(layer->dataset, &only);
        layer->layer = count == 1 ? only : NULL;
    }
    if (!layer->layer)
        return fail_choice(context, layer, wanted, count);
    layer->name = OGR_L_GetName(layer->layer);
    if (!has_geometries(layer->layer))
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: layer %s: is a table without geometries: name another layer", layer->file,
            layer->name);
    return SEL_OK;
}

// A GeoPackage layer without a CRS has one of the two undefined ones that the standard asks for
// (OGC 12-128, requirement 11), and GDAL would take the geographic one for degrees on the Earth.
static bool is_told(OGRSpatialReferenceH crs) {
    static const char UNDEFINED[] = "Undefined ";
    const char *name = crs ? OSRGetName(crs) : NULL;
    return crs && !(name && strncasecmp(name, UNDEFINED, sizeof UNDEFINED - 1) == 0);
}

static sel_status find_transform(
    sel_context *context, const struct sel_grid *grid, struct sel_layer *layer) {
    OGRSpatialReferenceH given = OGR_L_GetSpatialRef(layer->layer);
    if (!is_told(given))
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: layer %s: has no coordinate reference system: tell it with ogr2ogr -a_srs "
            "EPSG:code fixed.gpkg %s",
            layer->file, layer->name, layer->file);
    OGRSpatialReferenceH source = sel_crs_flat(given);
    OGRSpatialReferenceH target = sel_crs_from_text(grid->crs);
    sel_gdal_hush();
    if (source && target)
        layer->to_grid = OCTNewCoordinateTransformation(source, target);
    const char *reason = sel_gdal_speak();
    sel_status status = SEL_OK;
    if (!layer->to_grid)
        status = sel_fail(context, SEL_BAD_INPUT,
            "%s: layer %s: no transform leads from \"%s\" to the study grid (%s): give the layer "
            "in a known coordinate reference system",
            layer->file, layer->name, source ? OSRGetName(source) : "unknown", reason);
    OSRDestroySpatialReference(source);
    OSRDestroySpatialReference(target);
    return status;
}

sel_status sel_layer_open(sel_context *context, const struct sel_layer_ref *source,
    const struct sel_grid *grid, struct sel_layer *layer) {
    *layer = (struct sel_layer){.file = source->file};
    sel_gdal_start();
    sel_status status = open_dataset(context, layer);
    if (status == SEL_OK)
        status = pick_layer(context, layer, source->layer);
    if (status == SEL_OK)
        status = find_transform(context, grid, layer);
    if (status == SEL_OK)
        OGR_L_ResetReading(layer->layer);
    else
        sel_layer_close(layer);
    return status;
}

sel_status sel_fail_empty(sel_context *context, const struct sel_layer *layer, const char *what) {
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: layer %s: holds no %s: name another layer or leave the entry out", layer->file,
        layer->name, what);
}

static sel_status fail_feature(
    sel_context *context, const struct sel_layer *layer, const char *reason) {
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: layer %s: feature %lld: cannot be brought to the study grid (%s): clip the layer to "
        "the area with ogr2ogr -clipsrc, or mend the feature",
        layer->file, layer->name, (long long)OGR_F_GetFID(layer->feature), reason);
}

// Replaces curves by chords that leave them by 4 degrees of arc at most (OGR's default).
static OGRGeometryH straighten(OGRFeatureH feature) {
    OGRGeometryH given = OGR_F_GetGeometryRef(feature);
    if (given && OGR_G_HasCurveGeometry(given, TRUE))
        OGR_F_SetGeometryDirectly(feature, OGR_G_GetLinearGeometry(given, 0, NULL));
    return OGR_F_GetGeometryRef(feature);
}

static sel_status bring_to_grid(sel_context *context, struct sel_layer *layer, OGRGeometryH *out) {
    OGRGeometryH geometry = straighten(layer->feature);
    *out = NULL;
    if (!geometry || OGR_G_IsEmpty(geometry))
        return SEL_OK;
    sel_gdal_hush();
    OGRErr result = OGR_G_Transform(geometry, layer->to_grid);
    const char *reason = sel_gdal_speak();
    if (result != OGRERR_NONE)
        return fail_feature(context, layer, reason);
    OGREnvelope envelope;
    OGR_G_GetEnvelope(geometry, &envelope);
    if (!isfinite(envelope.MinX) || !isfinite(envelope.MaxX) || !isfinite(envelope.MinY) ||
        !isfinite(envelope.MaxY))
        return fail_feature(context, layer, "it has coordinates that are no numbers");
    *out = geometry;
    return SEL_OK;
}

static bool step(struct sel_layer *layer, const char **reason) {
    if (layer->feature)
        OGR_F_Destroy(layer->feature);
    sel_gdal_hush();
    layer->feature = OGR_L_GetNextFeature(layer->layer);
    *reason = sel_gdal_speak();
    return layer->feature || CPLGetLastErrorType() < CE_Failure;
}

sel_status sel_layer_next(sel_context *context, struct sel_layer *layer, OGRGeometryH *geometry) {
    *geometry = NULL;
    do {
        const char *reason;
        if (!step(layer, &reason))
            return sel_fail(context, SEL_IO, "%s: layer %s: cannot be read (%s): check the file",
                layer->file, layer->name, reason);
        if (!layer->feature)
            return SEL_OK;
        sel_status status = bring_to_grid(context, layer, geometry);
        if (status != SEL_OK)
            return status;
    } while (!*geometry);
    return SEL_OK;
}
