// SPDX-License-Identifier: MIT
//
// Opens a result through OGR and reads what every reader needs: facts and sites.
#include "output/package.h"

#include <cpl_conv.h>
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "output/gdal_guard.h"

static sel_status open_dataset(struct sel_package *package) {
    static const char *const DRIVERS[] = {"GPKG", NULL};
    struct stat facts;
    if (stat(package->path, &facts) != 0)
        return sel_fail(package->context, SEL_BAD_INPUT, "%s: cannot be read: %s", package->path,
            strerror(errno));
    GDALAllRegister();
    package->dataset =
        GDALOpenEx(package->path, GDAL_OF_VECTOR | GDAL_OF_READONLY, DRIVERS, NULL, NULL);
    if (!package->dataset)
        return sel_fail(package->context, SEL_BAD_INPUT,
            "%s: is no GeoPackage: give the file that selvedge rank wrote", package->path);
    return SEL_OK;
}

static sel_status read_facts(struct sel_package *package) {
    void *rows = NULL;
    bool ours = GDALDatasetGetLayerByName(package->dataset, SEL_TABLE_RUN.name) != NULL;
    if (ours) {
        sel_status status = sel_package_rows(package, &SEL_TABLE_RUN, &rows, &package->fact_count);
        if (status != SEL_OK)
            return status;
        package->facts = rows;
        const char *software = sel_package_fact(package, "software");
        ours = software && strcmp(software, "selvedge") == 0;
    }
    if (!ours)
        return sel_fail(package->context, SEL_BAD_INPUT,
            "%s: is a GeoPackage, but no result of selvedge: give the file that selvedge rank "
            "wrote",
            package->path);
    return SEL_OK;
}

static sel_status read_sites(struct sel_package *package) {
    void *rows = NULL;
    sel_status status = sel_package_rows(package, &SEL_TABLE_SITES, &rows, &package->site_count);
    package->sites = rows;
    return status;
}

sel_status sel_package_open(sel_context *context, const char *path, struct sel_package *package) {
    *package = (struct sel_package){.context = context, .path = strdup(path)};
    if (!package->path)
        return sel_fail_memory(context);
    sel_gdal_begin(NULL, NULL);
    sel_status status = open_dataset(package);
    if (status == SEL_OK)
        status = read_facts(package);
    if (status == SEL_OK)
        status = read_sites(package);
    sel_gdal_end(NULL);
    return status;
}

void sel_package_close(struct sel_package *package) {
    sel_rows_free(&SEL_TABLE_SITES, package->sites, package->site_count);
    sel_rows_free(&SEL_TABLE_RUN, package->facts, package->fact_count);
    if (package->dataset)
        GDALClose(package->dataset);
    free(package->path);
    *package = (struct sel_package){0};
}

const char *sel_package_fact(const struct sel_package *package, const char *key) {
    for (size_t i = 0; i < package->fact_count; i++)
        if (package->facts[i].key && strcmp(package->facts[i].key, key) == 0)
            return package->facts[i].value;
    return NULL;
}

double sel_package_number(const struct sel_package *package, const char *key) {
    const char *value = sel_package_fact(package, key);
    char *end = NULL;
    double number = value ? CPLStrtod(value, &end) : (double)NAN;
    return value && end != value && *end == '\0' ? number : (double)NAN;
}

sel_status sel_package_rows_of(struct sel_package *package, const struct sel_table_kind *kind,
    const char *site, void **rows, size_t *count) {
    sel_gdal_begin(NULL, NULL);
    sel_status status = sel_rows_read_of(
        package->context, package->path, package->dataset, kind, site, rows, count);
    sel_gdal_end(NULL);
    return status;
}

sel_status sel_package_rows(
    struct sel_package *package, const struct sel_table_kind *kind, void **rows, size_t *count) {
    return sel_package_rows_of(package, kind, NULL, rows, count);
}
