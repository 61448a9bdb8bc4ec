// SPDX-License-Identifier: MIT
//
// Reads whole tables back into arrays of structs by the column lists that wrote them.
#include "output/columns.h"

#include <cpl_string.h>
#include <gdal.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/array.h"
#include "output/gdal_guard.h"

// Field numbers by column; -1 for those that are geometry.
static sel_status find_fields(sel_context *context, const char *path, OGRLayerH layer,
    const struct sel_table_kind *kind, int fields[SEL_TABLE_COLUMNS_MOST]) {
    OGRFeatureDefnH definition = OGR_L_GetLayerDefn(layer);
    for (int i = 0; i < kind->column_count; i++) {
        const struct sel_column *column = &kind->columns[i];
        fields[i] = -1;
        if (column->kind == SEL_COLUMN_POINT_X || column->kind == SEL_COLUMN_POINT_Y)
            continue;
        fields[i] = OGR_FD_GetFieldIndex(definition, column->name);
        if (fields[i] < 0)
            return sel_fail(context, SEL_BAD_INPUT,
                "%s: table %s: column %s is missing: the file was changed or comes from another "
                "version; rank again",
                path, kind->name, column->name);
    }
    return SEL_OK;
}

static double point_part(OGRFeatureH feature, bool x) {
    OGRGeometryH point = OGR_F_GetGeometryRef(feature);
    if (!point || wkbFlatten(OGR_G_GetGeometryType(point)) != wkbPoint)
        return (double)NAN;
    return x ? OGR_G_GetX(point, 0) : OGR_G_GetY(point, 0);
}

static double real_field(OGRFeatureH feature, int field, enum sel_column_kind kind) {
    if (kind == SEL_COLUMN_POINT_X || kind == SEL_COLUMN_POINT_Y)
        return point_part(feature, kind == SEL_COLUMN_POINT_X);
    return OGR_F_IsFieldSetAndNotNull(feature, field) ? OGR_F_GetFieldAsDouble(feature, field)
                                                      : (double)NAN;
}

static bool read_text(OGRFeatureH feature, int field, char *to) {
    char *text = NULL;
    if (OGR_F_IsFieldSetAndNotNull(feature, field)) {
        text = strdup(OGR_F_GetFieldAsString(feature, field));
        if (!text)
            return false;
    }
    memcpy(to, &text, sizeof text);
    return true;
}

static bool read_bytes(OGRFeatureH feature, int field, char *to) {
    struct sel_bytes bytes = {0};
    int length = 0;
    const GByte *data = OGR_F_IsFieldSetAndNotNull(feature, field)
                            ? OGR_F_GetFieldAsBinary(feature, field, &length)
                            : NULL;
    if (data && length > 0) {
        unsigned char *copy = malloc((size_t)length);
        if (!copy)
            return false;
        memcpy(copy, data, (size_t)length);
        bytes.data = copy;
        bytes.length = (size_t)length;
    }
    memcpy(to, &bytes, sizeof bytes);
    return true;
}

static bool read_field(OGRFeatureH feature, int field, const struct sel_column *column, void *row) {
    char *to = (char *)row + column->offset;
    if (column->kind == SEL_COLUMN_TEXT)
        return read_text(feature, field, to);
    if (column->kind == SEL_COLUMN_BYTES)
        return read_bytes(feature, field, to);
    if (column->kind == SEL_COLUMN_INTEGER) {
        int64_t value = OGR_F_IsFieldSetAndNotNull(feature, field)
                            ? OGR_F_GetFieldAsInteger64(feature, field)
                            : SEL_NO_INTEGER;
        memcpy(to, &value, sizeof value);
    } else if (column->kind == SEL_COLUMN_BOOLEAN) {
        int value = OGR_F_IsFieldSetAndNotNull(feature, field)
                        ? OGR_F_GetFieldAsInteger(feature, field)
                        : SEL_UNSAID;
        memcpy(to, &value, sizeof value);
    } else {
        double value = real_field(feature, field, column->kind);
        memcpy(to, &value, sizeof value);
    }
    return true;
}

struct row_list {
    char *rows;
    size_t count, capacity;
};

static bool read_row(OGRFeatureH feature, const struct sel_table_kind *kind, const int *fields,
    struct row_list *list) {
    char *grown = sel_grow(list->rows, list->count + 1, &list->capacity, kind->row_size);
    if (!grown)
        return false;
    list->rows = grown;
    char *row = grown + list->count++ * kind->row_size;
    memset(row, 0, kind->row_size);
    for (int i = 0; i < kind->column_count; i++)
        if (!read_field(feature, fields[i], &kind->columns[i], row))
            return false;
    return true;
}

static bool read_all(
    OGRLayerH layer, const struct sel_table_kind *kind, const int *fields, struct row_list *list) {
    OGRFeatureH feature;
    bool read = true;
    OGR_L_ResetReading(layer);
    while (read && (feature = OGR_L_GetNextFeature(layer)) != NULL) {
        read = read_row(feature, kind, fields, list);
        OGR_F_Destroy(feature);
    }
    return read;
}

// Lets only the rows of a site through; NULL: all of them.
static bool filter(OGRLayerH layer, const char *site) {
    if (!site)
        return OGR_L_SetAttributeFilter(layer, NULL) == OGRERR_NONE;
    char *quoted = CPLEscapeString(site, -1, CPLES_SQL);
    bool set = OGR_L_SetAttributeFilter(layer, CPLSPrintf("site = '%s'", quoted)) == OGRERR_NONE;
    CPLFree(quoted);
    return set;
}

sel_status sel_rows_read_of(sel_context *context, const char *path, GDALDatasetH dataset,
    const struct sel_table_kind *kind, const char *site, void **rows, size_t *count) {
    OGRLayerH layer = GDALDatasetGetLayerByName(dataset, kind->name);
    if (!layer)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: table %s is missing: the file is no result of selvedge rank, or was changed", path,
            kind->name);
    int fields[SEL_TABLE_COLUMNS_MOST] = {0};
    sel_status status = find_fields(context, path, layer, kind, fields);
    if (status != SEL_OK)
        return status;
    struct row_list list = {0};
    bool filtered = filter(layer, site);
    if (filtered && !read_all(layer, kind, fields, &list))
        status = sel_fail_memory(context);
    else if (!filtered || sel_gdal_failed())
        status = sel_fail_gdal(context, SEL_IO, path, "reading failed");
    filter(layer, NULL);
    if (status != SEL_OK) {
        sel_rows_free(kind, list.rows, list.count);
        return status;
    }
    *rows = list.rows;
    *count = list.count;
    return SEL_OK;
}

sel_status sel_rows_read(sel_context *context, const char *path, GDALDatasetH dataset,
    const struct sel_table_kind *kind, void **rows, size_t *count) {
    return sel_rows_read_of(context, path, dataset, kind, NULL, rows, count);
}

static void free_field(const struct sel_column *column, const char *row) {
    char *text;
    struct sel_bytes bytes;
    if (column->kind == SEL_COLUMN_TEXT) {
        memcpy(&text, row + column->offset, sizeof text);
        free(text);
    } else if (column->kind == SEL_COLUMN_BYTES) {
        memcpy(&bytes, row + column->offset, sizeof bytes);
        free((void *)bytes.data);
    }
}

void sel_rows_free(const struct sel_table_kind *kind, void *rows, size_t count) {
    for (size_t row = 0; rows && row < count; row++) {
        const char *fields = (char *)rows + row * kind->row_size;
        for (int i = 0; i < kind->column_count; i++)
            free_field(&kind->columns[i], fields);
    }
    free(rows);
}
