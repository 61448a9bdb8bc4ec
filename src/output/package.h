// SPDX-License-Identifier: MIT
//
// A finished GeoPackage of ours, opened to be read: what explain, map and later outputs build on.
#ifndef SEL_OUTPUT_PACKAGE_H
#define SEL_OUTPUT_PACKAGE_H

#include <gdal.h>

#include "output/rows.h"

struct sel_package {
    sel_context *context;
    char *path;                 // owned
    GDALDatasetH dataset;       // layers and tables
    struct sel_fact_row *facts; // owned
    size_t fact_count;
    struct sel_site_row *sites; // owned; in the order of the file: by rank, reserves after
    size_t site_count;
};

// Opens read-only. SEL_BAD_INPUT when the file is missing, is no GeoPackage, or was not written by
// selvedge. Clear with sel_package_close whatever comes.
sel_status sel_package_open(sel_context *context, const char *path, struct sel_package *package);
void sel_package_close(struct sel_package *package);

// A fact of the table `run`; NULL when it is not there. Borrowed.
const char *sel_package_fact(const struct sel_package *package, const char *key);

// The same as a number; NAN when it is not there or no number.
double sel_package_number(const struct sel_package *package, const char *key);

// A whole table; free with sel_rows_free(kind, *rows, *count).
sel_status sel_package_rows(
    struct sel_package *package, const struct sel_table_kind *kind, void **rows, size_t *count);

// The same, of one site alone ("S01"); the table has a column `site`.
sel_status sel_package_rows_of(struct sel_package *package, const struct sel_table_kind *kind,
    const char *site, void **rows, size_t *count);

#endif
