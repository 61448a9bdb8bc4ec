// SPDX-License-Identifier: MIT
//
// Tables of the GeoPackage described by data: a C struct per kind of row and a list of columns that
// says where each value sits in it. The same list writes the table and reads it back.
#ifndef SEL_OUTPUT_COLUMNS_H
#define SEL_OUTPUT_COLUMNS_H

#include <gdal.h>
#include <ogr_api.h>
#include <stddef.h>
#include <stdint.h>

#include "base/status.h"

enum sel_column_kind {
    SEL_COLUMN_INTEGER, // int64_t; SEL_NO_INTEGER is NULL
    SEL_COLUMN_BOOLEAN, // int; SEL_UNSAID is NULL
    SEL_COLUMN_REAL,    // double; NAN is NULL
    SEL_COLUMN_TEXT,    // const char *; NULL is NULL
    SEL_COLUMN_BYTES,   // struct sel_bytes; no data is NULL
    SEL_COLUMN_POINT_X, // double; the geometry, no attribute
    SEL_COLUMN_POINT_Y
};

static const int64_t SEL_NO_INTEGER = INT64_MIN;
enum { SEL_UNSAID = -1 };

// The most columns of a table that is read back.
enum { SEL_TABLE_COLUMNS_MOST = 128 };

struct sel_bytes {
    const unsigned char *data;
    size_t length;
};

// Stored as it is; the decimals that make no sense are rounded away otherwise.
enum { SEL_ALL_DIGITS = -1 };

struct sel_column {
    const char *name;
    enum sel_column_kind kind;
    size_t offset; // in the row's struct
    int digits;    // REAL: decimals kept when written, or SEL_ALL_DIGITS
    // For docs/output.md, as Markdown in a table's cell.
    const char *unit; // "": none; "CRS": that of the study grid's coordinate system
    const char *meaning;
};

// A kind of table.
struct sel_table_kind {
    const char *name;  // of the table
    const char *about; // one sentence, for gpkg_contents
    OGRwkbGeometryType geometry;
    bool index_at_end; // the spatial index is asked for separately
    const struct sel_column *columns;
    int column_count;
    size_t row_size;
};

// A table being written.
struct sel_table {
    const struct sel_table_kind *kind;
    OGRLayerH layer;     // of the data set
    OGRFeatureH feature; // owned; reused for every row
};

// The vertices of a line, CRS units. `z` and `m` count for wkbLineStringZM only.
struct sel_shape {
    const double *x, *y;
    int count;
    const double *z, *m;
};

// Makes the table. `crs` counts for tables with a geometry. `path` names the file in messages.
sel_status sel_table_create(sel_context *context, const char *path, GDALDatasetH dataset,
    OGRSpatialReferenceH crs, const struct sel_table_kind *kind, struct sel_table *table);

// Adds a row; `fid` 0 takes the next number. `shape` counts for lines only.
sel_status sel_table_add(sel_context *context, const char *path, struct sel_table *table,
    int64_t fid, const void *row, const struct sel_shape *shape);

// Adds a row with a geometry of any kind, which is copied.
sel_status sel_table_add_geometry(sel_context *context, const char *path, struct sel_table *table,
    const void *row, OGRGeometryH geometry);

// Writes what the driver still holds back, so that tables come in the order of their making.
sel_status sel_table_settle(sel_context *context, const char *path, struct sel_table *table);

// Frees what the table owns. Zeroed tables are allowed.
void sel_table_close(struct sel_table *table);

// Rounds half away from zero to so many decimals; never gives -0.
double sel_round_to(double value, int digits);

// All rows of a table in the order of their numbers. *rows is an array of kind->row_size structs,
// freed with its texts and bytes by sel_rows_free.
sel_status sel_rows_read(sel_context *context, const char *path, GDALDatasetH dataset,
    const struct sel_table_kind *kind, void **rows, size_t *count);

// The same, but only the rows with that text in the column `site`; NULL: all.
sel_status sel_rows_read_of(sel_context *context, const char *path, GDALDatasetH dataset,
    const struct sel_table_kind *kind, const char *site, void **rows, size_t *count);
void sel_rows_free(const struct sel_table_kind *kind, void *rows, size_t count);

#endif
