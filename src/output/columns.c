// SPDX-License-Identifier: MIT
//
// Makes and fills tables through OGR from column lists. Reading them back is in columns_read.c.
#include "output/columns.h"

#include <cpl_string.h>
#include <gdal.h>
#include <math.h>
#include <string.h>

#include "output/gdal_guard.h"
#include "output/utf8.h"

static const char GEOMETRY_NAME[] = "geom";

double sel_round_to(double value, int digits) {
    if (digits == SEL_ALL_DIGITS || !isfinite(value))
        return value + 0.0;
    double power = 1.0;
    for (int i = 0; i < digits; i++)
        power *= 10.0;
    return round(value * power) / power + 0.0;
}

static bool is_geometry(const struct sel_column *column) {
    return column->kind == SEL_COLUMN_POINT_X || column->kind == SEL_COLUMN_POINT_Y;
}

static OGRFieldType field_type(enum sel_column_kind kind) {
    switch (kind) {
    case SEL_COLUMN_INTEGER:
        return OFTInteger64;
    case SEL_COLUMN_BOOLEAN:
        return OFTInteger;
    case SEL_COLUMN_REAL:
        return OFTReal;
    case SEL_COLUMN_BYTES:
        return OFTBinary;
    default:
        return OFTString;
    }
}

static bool add_field(OGRLayerH layer, const struct sel_column *column) {
    if (is_geometry(column))
        return true;
    OGRFieldDefnH field = OGR_Fld_Create(column->name, field_type(column->kind));
    if (column->kind == SEL_COLUMN_BOOLEAN)
        OGR_Fld_SetSubType(field, OFSTBoolean);
    OGRErr error = OGR_L_CreateField(layer, field, FALSE);
    OGR_Fld_Destroy(field);
    return error == OGRERR_NONE;
}

static OGRLayerH make_layer(
    GDALDatasetH dataset, OGRSpatialReferenceH crs, const struct sel_table_kind *kind) {
    char **options = CSLSetNameValue(NULL, "DESCRIPTION", kind->about);
    options = CSLSetNameValue(options, "GEOMETRY_NAME", GEOMETRY_NAME);
    if (kind->index_at_end)
        options = CSLSetNameValue(options, "SPATIAL_INDEX", "NO");
    OGRSpatialReferenceH used = kind->geometry == wkbNone ? NULL : crs;
    OGRLayerH layer = GDALDatasetCreateLayer(dataset, kind->name, used, kind->geometry, options);
    CSLDestroy(options);
    return layer;
}

sel_status sel_table_create(sel_context *context, const char *path, GDALDatasetH dataset,
    OGRSpatialReferenceH crs, const struct sel_table_kind *kind, struct sel_table *table) {
    OGRLayerH layer = make_layer(dataset, crs, kind);
    bool made = layer != NULL;
    for (int i = 0; made && i < kind->column_count; i++)
        made = add_field(layer, &kind->columns[i]);
    if (!made) {
        char what[96];
        snprintf(what, sizeof what, "table %s cannot be made", kind->name);
        return sel_fail_gdal(context, SEL_IO, path, what);
    }
    *table = (struct sel_table){kind, layer, OGR_F_Create(OGR_L_GetLayerDefn(layer))};
    return table->feature ? SEL_OK : sel_fail_memory(context);
}

static const void *at(const void *row, const struct sel_column *column) {
    return (const char *)row + column->offset;
}

static double real_at(const void *row, const struct sel_column *column) {
    double value;
    memcpy(&value, at(row, column), sizeof value);
    return value;
}

static void set_integer(OGRFeatureH feature, int field, int64_t value) {
    if (value == SEL_NO_INTEGER)
        OGR_F_SetFieldNull(feature, field);
    else
        OGR_F_SetFieldInteger64(feature, field, value);
}

static void set_boolean(OGRFeatureH feature, int field, int value) {
    if (value == SEL_UNSAID)
        OGR_F_SetFieldNull(feature, field);
    else
        OGR_F_SetFieldInteger(feature, field, value != 0);
}

static void set_real(OGRFeatureH feature, int field, double value, int digits) {
    if (isnan(value))
        OGR_F_SetFieldNull(feature, field);
    else
        OGR_F_SetFieldDouble(feature, field, sel_round_to(value, digits));
}

// False: out of memory.
static bool set_text(OGRFeatureH feature, int field, const char *value) {
    if (!value) {
        OGR_F_SetFieldNull(feature, field);
        return true;
    }
    if (sel_utf8_valid(value)) {
        OGR_F_SetFieldString(feature, field, value);
        return true;
    }
    struct sel_text text;
    sel_text_init(&text);
    sel_utf8_add(&text, value);
    bool added = !text.failed;
    if (added)
        OGR_F_SetFieldString(feature, field, text.chars);
    sel_text_clear(&text);
    return added;
}

static void set_bytes(OGRFeatureH feature, int field, struct sel_bytes bytes) {
    if (bytes.data)
        OGR_F_SetFieldBinary(feature, field, (int)bytes.length, bytes.data);
    else
        OGR_F_SetFieldNull(feature, field);
}

static bool set_field(
    OGRFeatureH feature, int field, const void *row, const struct sel_column *column) {
    int64_t integer;
    int boolean;
    const char *text;
    struct sel_bytes bytes;
    switch (column->kind) {
    case SEL_COLUMN_INTEGER:
        memcpy(&integer, at(row, column), sizeof integer);
        set_integer(feature, field, integer);
        return true;
    case SEL_COLUMN_BOOLEAN:
        memcpy(&boolean, at(row, column), sizeof boolean);
        set_boolean(feature, field, boolean);
        return true;
    case SEL_COLUMN_TEXT:
        memcpy(&text, at(row, column), sizeof text);
        return set_text(feature, field, text);
    case SEL_COLUMN_BYTES:
        memcpy(&bytes, at(row, column), sizeof bytes);
        set_bytes(feature, field, bytes);
        return true;
    default:
        set_real(feature, field, real_at(row, column), column->digits);
        return true;
    }
}

static OGRGeometryH point_of(const struct sel_table_kind *kind, const void *row) {
    double x = (double)NAN, y = (double)NAN;
    for (int i = 0; i < kind->column_count; i++) {
        if (kind->columns[i].kind == SEL_COLUMN_POINT_X)
            x = real_at(row, &kind->columns[i]);
        if (kind->columns[i].kind == SEL_COLUMN_POINT_Y)
            y = real_at(row, &kind->columns[i]);
    }
    OGRGeometryH point = OGR_G_CreateGeometry(wkbPoint);
    if (point)
        OGR_G_SetPoint_2D(point, 0, x, y);
    return point;
}

static OGRGeometryH line_of(const struct sel_table_kind *kind, const struct sel_shape *shape) {
    enum { STRIDE = sizeof(double) };
    OGRGeometryH line = OGR_G_CreateGeometry(kind->geometry);
    if (line && kind->geometry == wkbLineStringZM)
        OGR_G_SetPointsZM(line, shape->count, shape->x, STRIDE, shape->y, STRIDE, shape->z, STRIDE,
            shape->m, STRIDE);
    else if (line)
        OGR_G_SetPoints(line, shape->count, shape->x, STRIDE, shape->y, STRIDE, NULL, 0);
    return line;
}

static bool set_geometry(struct sel_table *table, const void *row, const struct sel_shape *shape) {
    if (table->kind->geometry == wkbNone)
        return true;
    OGRGeometryH geometry = table->kind->geometry == wkbPoint ? point_of(table->kind, row)
                                                              : line_of(table->kind, shape);
    return geometry && OGR_F_SetGeometryDirectly(table->feature, geometry) == OGRERR_NONE;
}

static bool set_fields(struct sel_table *table, const void *row) {
    int field = 0;
    for (int i = 0; i < table->kind->column_count; i++) {
        const struct sel_column *column = &table->kind->columns[i];
        if (!is_geometry(column) && !set_field(table->feature, field++, row, column))
            return false;
    }
    return true;
}

static sel_status fail_writing(sel_context *context, const char *path, const char *table) {
    char what[128];
    snprintf(what, sizeof what, "table %s: writing failed (is the disk full?)", table);
    return sel_fail_gdal(context, SEL_IO, path, what);
}

sel_status sel_table_add(sel_context *context, const char *path, struct sel_table *table,
    int64_t fid, const void *row, const struct sel_shape *shape) {
    if (!set_geometry(table, row, shape) || !set_fields(table, row))
        return sel_fail_memory(context);
    OGR_F_SetFID(table->feature, fid == 0 ? OGRNullFID : fid);
    if (OGR_L_CreateFeature(table->layer, table->feature) != OGRERR_NONE)
        return fail_writing(context, path, table->kind->name);
    return SEL_OK;
}

sel_status sel_table_add_geometry(sel_context *context, const char *path, struct sel_table *table,
    const void *row, OGRGeometryH geometry) {
    if (OGR_F_SetGeometry(table->feature, geometry) != OGRERR_NONE || !set_fields(table, row))
        return sel_fail_memory(context);
    OGR_F_SetFID(table->feature, OGRNullFID);
    if (OGR_L_CreateFeature(table->layer, table->feature) != OGRERR_NONE)
        return fail_writing(context, path, table->kind->name);
    return SEL_OK;
}

sel_status sel_table_settle(sel_context *context, const char *path, struct sel_table *table) {
    if (OGR_L_SyncToDisk(table->layer) != OGRERR_NONE)
        return fail_writing(context, path, table->kind->name);
    return SEL_OK;
}

void sel_table_close(struct sel_table *table) {
    if (table->feature)
        OGR_F_Destroy(table->feature);
    *table = (struct sel_table){0};
}
