// SPDX-License-Identifier: MIT
//
// Reads polygons through OGR, repairs invalid ones with GEOS (MakeValid) and keeps them as
// well-known binary, which any number of threads may read.
#include "grid/polygons.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cpl_conv.h>
#include <cpl_string.h>
#include <geos_c.h>

#include "base/array.h"
#include "base/text.h"
#include "grid/layer.h"

void sel_geos_keep_error(const char *message, void *text) {
    snprintf(text, SEL_GEOS_TEXT, "%s", message);
}

void sel_polygons_free(struct sel_polygons *polygons) {
    if (!polygons)
        return;
    for (size_t i = 0; i < polygons->count; i++) {
        free(polygons->items[i].wkb);
        free(polygons->items[i].name);
        free(polygons->items[i].owner);
    }
    free(polygons->items);
    free(polygons->file);
    free(polygons);
}

// Everything that lives only while polygons are being read.
struct reading {
    sel_context *context;
    struct sel_layer layer;
    struct sel_polygons *polygons;
    double grid_extent[4];
    const struct sel_layer_column *name, *owner;
    int name_index, owner_index; // column numbers; -1: not asked for
    int64_t repaired, other_kinds;
    GEOSContextHandle_t geos;
    GEOSGeometry *grid_box;
    GEOSWKBReader *from_wkb;
    GEOSWKBWriter *to_wkb;
    char geos_error[SEL_GEOS_TEXT];
};

static sel_status fail_column(struct reading *r, const struct sel_layer_column *wanted) {
    OGRFeatureDefnH fields = OGR_L_GetLayerDefn(r->layer.layer);
    struct sel_text names;
    sel_text_init(&names);
    for (int i = 0; i < OGR_FD_GetFieldCount(fields); i++)
        sel_text_addf(
            &names, "%s%s", i ? ", " : "", OGR_Fld_GetNameRef(OGR_FD_GetFieldDefn(fields, i)));
    sel_status status =
        names.failed
            ? sel_fail_memory(r->context)
            : sel_fail(r->context, SEL_BAD_INPUT,
                  "%s: layer %s: %s: %s: there is no such column: name one of those it has: %s",
                  r->layer.file, r->layer.name, wanted->key, wanted->column,
                  names.chars && names.length ? names.chars : "none");
    sel_text_clear(&names);
    return status;
}

static sel_status find_column(
    struct reading *r, const struct sel_layer_column *wanted, int *index) {
    *index = -1;
    if (!wanted || !wanted->column)
        return SEL_OK;
    *index = OGR_FD_GetFieldIndex(OGR_L_GetLayerDefn(r->layer.layer), wanted->column);
    return *index >= 0 ? SEL_OK : fail_column(r, wanted);
}

// Free with free; NULL: out of memory. Text that is not UTF-8 is taken for Latin-1.
static char *attribute_text(OGRFeatureH feature, int index) {
    if (index < 0 || !OGR_F_IsFieldSetAndNotNull(feature, index))
        return strdup("");
    const char *text = OGR_F_GetFieldAsString(feature, index);
    if (CPLIsUTF8(text, -1))
        return strdup(text);
    char *recoded = CPLRecode(text, CPL_ENC_ISO8859_1, CPL_ENC_UTF8);
    char *copy = strdup(recoded);
    CPLFree(recoded);
    return copy;
}

// The polygons of a geometry, flat; NULL when it is of another kind. Free with
// OGR_G_DestroyGeometry.
static OGRGeometryH only_polygons(OGRGeometryH geometry) {
    OGRwkbGeometryType type = wkbFlatten(OGR_G_GetGeometryType(geometry));
    if (type == wkbPoint || type == wkbLineString || type == wkbMultiPoint ||
        type == wkbMultiLineString)
        return NULL;
    OGRGeometryH forced = OGR_G_ForceToMultiPolygon(OGR_G_Clone(geometry));
    if (forced && wkbFlatten(OGR_G_GetGeometryType(forced)) == wkbMultiPolygon &&
        !OGR_G_IsEmpty(forced)) {
        OGR_G_FlattenTo2D(forced);
        return forced;
    }
    OGR_G_DestroyGeometry(forced);
    return NULL;
}

static bool may_meet_grid(const struct reading *r, const OGREnvelope *envelope) {
    return envelope->MinX <= r->grid_extent[2] && envelope->MaxX >= r->grid_extent[0] &&
           envelope->MinY <= r->grid_extent[3] && envelope->MaxY >= r->grid_extent[1];
}

static sel_status fail_geos(const struct reading *r) {
    return sel_fail(r->context, SEL_BAD_INPUT,
        "%s: layer %s: feature %lld: is no usable polygon (%s): mend it in a map editor",
        r->layer.file, r->layer.name, (long long)OGR_F_GetFID(r->layer.feature),
        r->geos_error[0] ? r->geos_error : "no reason given");
}

// Takes the shape over and gives it back, repaired when it is not valid; NULL: it cannot be.
static GEOSGeometry *make_valid(struct reading *r, GEOSGeometry *shape) {
    char valid = GEOSisValid_r(r->geos, shape);
    if (valid == 1)
        return shape;
    GEOSGeometry *repaired = valid == 0 ? GEOSMakeValid_r(r->geos, shape) : NULL;
    GEOSGeom_destroy_r(r->geos, shape);
    r->repaired++;
    return repaired;
}

static sel_status keep_shape(
    struct reading *r, const GEOSGeometry *shape, struct sel_polygon *polygon) {
    unsigned char *written = GEOSWKBWriter_write_r(r->geos, r->to_wkb, shape, &polygon->size);
    if (!written)
        return fail_geos(r);
    polygon->wkb = malloc(polygon->size);
    if (polygon->wkb)
        memcpy(polygon->wkb, written, polygon->size);
    GEOSFree_r(r->geos, written);
    return polygon->wkb ? SEL_OK : sel_fail_memory(r->context);
}

static void widen(double extent[4], const OGREnvelope *envelope) {
    extent[0] = fmin(extent[0], envelope->MinX);
    extent[1] = fmin(extent[1], envelope->MinY);
    extent[2] = fmax(extent[2], envelope->MaxX);
    extent[3] = fmax(extent[3], envelope->MaxY);
}

static bool is_blank(const char *text) {
    return text[strspn(text, " \t\r\n")] == '\0';
}

static sel_status check_filled(
    const struct reading *r, const struct sel_layer_column *column, const char *text) {
    if (!column || !column->filled || !is_blank(text))
        return SEL_OK;
    return sel_fail(r->context, SEL_BAD_INPUT,
        "%s: layer %s: feature %lld: %s: %s: is empty: fill it in, name another column, or take "
        "the polygon out",
        r->layer.file, r->layer.name, (long long)OGR_F_GetFID(r->layer.feature), column->key,
        column->column);
}

static sel_status append(struct reading *r, const GEOSGeometry *shape) {
    struct sel_polygons *polygons = r->polygons;
    struct sel_polygon *items =
        sel_grow(polygons->items, polygons->count + 1, &polygons->capacity, sizeof *items);
    if (!items)
        return sel_fail_memory(r->context);
    polygons->items = items;
    struct sel_polygon *polygon = &items[polygons->count++];
    *polygon = (struct sel_polygon){
        .name = attribute_text(r->layer.feature, r->name_index),
        .owner = attribute_text(r->layer.feature, r->owner_index),
    };
    if (!polygon->name || !polygon->owner)
        return sel_fail_memory(r->context);
    sel_status status = check_filled(r, r->name, polygon->name);
    return status == SEL_OK ? keep_shape(r, shape, polygon) : status;
}

// The valid form, to be destroyed by the caller; NULL after a failure.
static sel_status valid_shape(struct reading *r, OGRGeometryH geometry, GEOSGeometry **shape) {
    size_t size = OGR_G_WkbSizeEx(geometry);
    unsigned char *wkb = malloc(size);
    *shape = NULL;
    if (!wkb)
        return sel_fail_memory(r->context);
    OGR_G_ExportToIsoWkb(geometry, wkbNDR, wkb);
    GEOSGeometry *read = GEOSWKBReader_read_r(r->geos, r->from_wkb, wkb, size);
    free(wkb);
    *shape = read ? make_valid(r, read) : NULL;
    return *shape ? SEL_OK : fail_geos(r);
}

// Keeps a polygon that meets the grid.
static sel_status take(struct reading *r, OGRGeometryH geometry, const OGREnvelope *envelope) {
    GEOSGeometry *shape;
    sel_status status = valid_shape(r, geometry, &shape);
    char meets = shape ? GEOSIntersects_r(r->geos, shape, r->grid_box) : 0;
    if (meets == 2)
        status = fail_geos(r);
    if (meets == 1) {
        widen(r->polygons->extent, envelope);
        status = append(r, shape);
    }
    if (shape)
        GEOSGeom_destroy_r(r->geos, shape);
    return status;
}

static sel_status read_feature(struct reading *r, OGRGeometryH geometry) {
    OGRGeometryH polygons = only_polygons(geometry);
    if (!polygons) {
        r->other_kinds++;
        return SEL_OK;
    }
    r->polygons->seen++;
    OGREnvelope envelope;
    OGR_G_GetEnvelope(polygons, &envelope);
    sel_status status = may_meet_grid(r, &envelope) ? take(r, polygons, &envelope) : SEL_OK;
    OGR_G_DestroyGeometry(polygons);
    return status;
}

static void tell(const struct reading *r) {
    if (r->repaired > 0)
        sel_note(r->context, "%s: layer %s: %lld invalid polygon%s repaired", r->layer.file,
            r->layer.name, (long long)r->repaired, r->repaired == 1 ? " was" : "s were");
    if (r->other_kinds > 0)
        sel_note(r->context, "%s: layer %s: %lld feature%s no polygon and left out", r->layer.file,
            r->layer.name, (long long)r->other_kinds, r->other_kinds == 1 ? " is" : "s are");
}

static sel_status read_features(struct reading *r) {
    OGRGeometryH geometry;
    do {
        sel_status status = sel_layer_next(r->context, &r->layer, &geometry);
        if (status == SEL_OK && geometry)
            status = read_feature(r, geometry);
        if (status != SEL_OK)
            return status;
    } while (geometry);
    if (r->polygons->seen == 0)
        return sel_fail_empty(r->context, &r->layer, "polygons");
    tell(r);
    return SEL_OK;
}

static sel_status start_geos(struct reading *r) {
    r->geos = GEOS_init_r();
    if (!r->geos)
        return sel_fail_memory(r->context);
    GEOSContext_setErrorMessageHandler_r(r->geos, sel_geos_keep_error, r->geos_error);
    r->from_wkb = GEOSWKBReader_create_r(r->geos);
    r->to_wkb = GEOSWKBWriter_create_r(r->geos);
    r->grid_box = GEOSGeom_createRectangle_r(
        r->geos, r->grid_extent[0], r->grid_extent[1], r->grid_extent[2], r->grid_extent[3]);
    return r->from_wkb && r->to_wkb && r->grid_box ? SEL_OK : sel_fail_memory(r->context);
}

static void end_geos(struct reading *r) {
    if (r->from_wkb)
        GEOSWKBReader_destroy_r(r->geos, r->from_wkb);
    if (r->to_wkb)
        GEOSWKBWriter_destroy_r(r->geos, r->to_wkb);
    if (r->grid_box)
        GEOSGeom_destroy_r(r->geos, r->grid_box);
    if (r->geos)
        GEOS_finish_r(r->geos);
}

static struct sel_polygons *new_polygons(const char *file) {
    struct sel_polygons *polygons = calloc(1, sizeof *polygons);
    if (!polygons)
        return NULL;
    const double infinite = (double)INFINITY;
    polygons->extent[0] = polygons->extent[1] = infinite;
    polygons->extent[2] = polygons->extent[3] = -infinite;
    polygons->file = strdup(file);
    if (polygons->file)
        return polygons;
    free(polygons);
    return NULL;
}

static sel_status read_polygons(
    struct reading *r, const struct sel_layer_ref *source, const struct sel_grid *grid) {
    sel_status status = sel_layer_open(r->context, source, grid, &r->layer);
    if (status == SEL_OK)
        status = find_column(r, r->name, &r->name_index);
    if (status == SEL_OK)
        status = find_column(r, r->owner, &r->owner_index);
    if (status == SEL_OK)
        status = start_geos(r);
    if (status == SEL_OK)
        status = read_features(r);
    end_geos(r);
    sel_layer_close(&r->layer);
    return status;
}

sel_status sel_polygons_new(sel_context *context, const struct sel_layer_ref *source,
    const struct sel_grid *grid, const struct sel_layer_column *name,
    const struct sel_layer_column *owner, struct sel_polygons **polygons) {
    *polygons = new_polygons(source->file);
    if (!*polygons)
        return sel_fail_memory(context);
    struct reading r = {.context = context,
        .polygons = *polygons,
        .name = name,
        .owner = owner,
        .grid_extent = {grid->x0, grid->y0 - (double)grid->rows * grid->dy,
            grid->x0 + (double)grid->cols * grid->dx, grid->y0}};
    sel_status status = read_polygons(&r, source, grid);
    if (status != SEL_OK) {
        sel_polygons_free(*polygons);
        *polygons = NULL;
    }
    return status;
}

const char *sel_polygons_name(const struct sel_polygons *polygons, int64_t index) {
    return polygons->items[index].name;
}

const char *sel_polygons_owner(const struct sel_polygons *polygons, int64_t index) {
    return polygons->items[index].owner;
}

void sel_polygons_extent(const struct sel_polygons *polygons, double extent[4]) {
    memcpy(extent, polygons->extent, sizeof polygons->extent);
}

int64_t sel_polygons_count(const struct sel_polygons *polygons) {
    return (int64_t)polygons->count;
}

struct sel_layer_tally sel_polygons_tally(const struct sel_polygons *polygons) {
    return (struct sel_layer_tally){
        .features = polygons->seen, .met = (int64_t)polygons->count, .off_m = (double)NAN};
}
