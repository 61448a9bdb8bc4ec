// SPDX-License-Identifier: MIT
//
// Life of the GeoPackage: a temporary file beside the output, filled in one transaction, closed,
// flushed and moved into place. SQLite's own journal is off, since a file that is not finished is
// thrown away whole.
#include "output/geopackage.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/files.h"
#include "base/text.h"
#include "output/not_an_input.h"
#include "output/writer.h"

sel_status sel_begin_table(
    struct sel_geopackage *file, const struct sel_table_kind *kind, struct sel_table *table) {
    return sel_table_create(file->context, file->path, file->dataset, file->crs, kind, table);
}

sel_status sel_add_row(struct sel_geopackage *file, struct sel_table *table, const void *row) {
    return sel_table_add(file->context, file->path, table, 0, row, NULL);
}

// --- opening ---

static sel_status check_path(sel_context *context, const char *path, bool overwrite) {
    sel_status status = sel_check_ending(context, path, ".gpkg", "the result is a GeoPackage");
    return status == SEL_OK ? sel_check_output(context, path, overwrite) : status;
}

// The temporary file and whatever SQLite may put beside it.
static const char *const BESIDE[] = {"", "-journal", "-wal", "-shm"};
enum { BESIDE_COUNT = sizeof BESIDE / sizeof *BESIDE };

static char *beside(const char *temporary, int which) {
    struct sel_text text;
    sel_text_init(&text);
    sel_text_addf(&text, "%s%s", temporary, BESIDE[which]);
    return sel_text_take(&text);
}

static sel_status begin_unfinished(sel_context *context, const char *temporary) {
    sel_status status = SEL_OK;
    for (int i = 0; i < BESIDE_COUNT && status == SEL_OK; i++) {
        char *name = beside(temporary, i);
        status = name ? sel_begin_unfinished(context, name) : sel_fail_memory(context);
        free(name);
    }
    return status;
}

static void remove_temporary(const char *temporary) {
    unlink(temporary);
    for (int i = 0; i < BESIDE_COUNT; i++) {
        char *name = beside(temporary, i);
        if (name)
            unlink(name);
        free(name);
    }
}

bool sel_run_sql(struct sel_geopackage *file, const char *sql) {
    OGRLayerH answer = GDALDatasetExecuteSQL(file->dataset, sql, NULL, NULL);
    if (answer)
        GDALDatasetReleaseResultSet(file->dataset, answer);
    return !sel_gdal_failed();
}

static sel_status create_dataset(struct sel_geopackage *file) {
    GDALDriverH driver = GDALGetDriverByName("GPKG");
    if (!driver)
        return sel_fail(file->context, SEL_IO,
            "%s: this GDAL has no GeoPackage driver: install one that has", file->path);
    remove_temporary(file->temporary);
    file->dataset = GDALCreate(driver, file->temporary, 0, 0, 0, GDT_Unknown, NULL);
    if (!file->dataset || !sel_run_sql(file, "PRAGMA journal_mode=OFF") ||
        !sel_run_sql(file, "PRAGMA cache_size=-8192")) // 8 MiB: enough for the spatial indexes
        return sel_fail_gdal(file->context, SEL_IO, file->path, "cannot be made");
    return SEL_OK;
}

static sel_status create_crs(struct sel_geopackage *file) {
    file->crs = OSRNewSpatialReference(NULL);
    if (!file->crs)
        return sel_fail_memory(file->context);
    if (OSRSetFromUserInput(file->crs, file->study->grid.crs) != OGRERR_NONE)
        return sel_fail_gdal(file->context, SEL_BAD_INPUT, file->path,
            "the study grid's coordinate reference system cannot be used");
    OSRSetAxisMappingStrategy(file->crs, OAMS_TRADITIONAL_GIS_ORDER);
    return SEL_OK;
}

// The layers a reader looks at first are made first.
static sel_status create_layers(struct sel_geopackage *file) {
    const struct sel_table_kind *kinds[] = {&SEL_TABLE_SITES, &SEL_TABLE_FLYWAYS, &SEL_TABLE_EDGES};
    struct sel_table *tables[] = {&file->sites, &file->flyways, &file->edges};
    sel_status status = SEL_OK;
    for (int i = 0; i < 3 && status == SEL_OK; i++) {
        status = sel_begin_table(file, kinds[i], tables[i]);
        if (status == SEL_OK)
            status = sel_table_settle(file->context, file->path, tables[i]);
    }
    if (status == SEL_OK && GDALDatasetStartTransaction(file->dataset, FALSE) != OGRERR_NONE)
        status = sel_fail_gdal(file->context, SEL_IO, file->path, "no transaction can be begun");
    return status;
}

static sel_status open_file(struct sel_geopackage *file) {
    struct sel_gdal_guard guard;
    sel_gdal_begin(&guard, file->date);
    sel_status status = create_dataset(file);
    if (status == SEL_OK)
        status = create_crs(file);
    if (status == SEL_OK)
        status = create_layers(file);
    sel_gdal_end(&guard);
    return status;
}

static sel_status fill(struct sel_geopackage *file, const char *path) {
    size_t habitats = (size_t)file->plan->habitats.count + 1;
    file->path = strdup(path);
    file->temporary = sel_temporary_name(path);
    file->pair_mm = calloc(habitats * habitats, sizeof *file->pair_mm);
    if (!file->path || !file->temporary || !file->pair_mm)
        return sel_fail_memory(file->context);
    sel_palette_build(&file->plan->habitats, file->colours);
    sel_status status = begin_unfinished(file->context, file->temporary);
    return status == SEL_OK ? sel_stamp(file->context, file->date) : status;
}

sel_status sel_geopackage_open(sel_context *context, const char *path, bool overwrite,
    const struct sel_plan *plan, const struct sel_study *study, struct sel_geopackage **file) {
    *file = NULL;
    sel_status status = check_path(context, path, overwrite);
    if (status == SEL_OK)
        status = sel_check_not_an_input(context, plan, path);
    if (status != SEL_OK)
        return status;
    GDALAllRegister();
    struct sel_geopackage *made = calloc(1, sizeof *made);
    if (!made || pthread_mutex_init(&made->lock, NULL) != 0) {
        free(made);
        return sel_fail_memory(context);
    }
    made->context = context;
    made->plan = plan;
    made->study = study;
    made->overwrite = overwrite;
    status = fill(made, path);
    if (status == SEL_OK)
        status = open_file(made);
    if (status == SEL_OK)
        *file = made;
    else
        sel_geopackage_abandon(made);
    return status;
}

// --- closing ---

static void close_dataset(struct sel_geopackage *file) {
    sel_table_close(&file->sites);
    sel_table_close(&file->flyways);
    sel_table_close(&file->edges);
    if (file->dataset)
        GDALClose(file->dataset);
    file->dataset = NULL;
}

static void free_file(struct sel_geopackage *file) {
    if (file->crs)
        OSRRelease(file->crs);
    pthread_mutex_destroy(&file->lock);
    sel_rows_free(&SEL_TABLE_INPUTS, file->inputs.rows, file->inputs.count);
    free(file->pair_mm);
    free(file->temporary);
    free(file->path);
    free(file);
}

void sel_geopackage_abandon(struct sel_geopackage *file) {
    if (!file)
        return;
    sel_gdal_begin(NULL, NULL);
    close_dataset(file);
    sel_gdal_end(NULL);
    if (file->temporary)
        remove_temporary(file->temporary);
    free_file(file);
}

typedef sel_status write_fn(struct sel_geopackage *file, const struct sel_survey *survey);

static sel_status write_tables(struct sel_geopackage *file, const struct sel_survey *survey) {
    static write_fn *const WRITERS[] = {sel_write_sites, sel_write_flyways, sel_write_walks,
        sel_write_candidates, sel_write_context, sel_write_criteria, sel_write_horizon,
        sel_write_profile, sel_write_rivals, sel_write_close_ups, sel_write_habitats,
        sel_write_pairs, sel_write_blocks, sel_write_sensitivity, sel_write_dropped,
        sel_write_inputs, sel_write_plan, sel_write_run};
    enum { WRITER_COUNT = sizeof WRITERS / sizeof *WRITERS };
    sel_status status = sel_index_edges(file);
    for (int i = 0; i < WRITER_COUNT && status == SEL_OK; i++) {
        sel_progress(file->context, "writing", (i + 1.0) / (WRITER_COUNT + 2.0));
        status = sel_check_cancel(file->context);
        if (status == SEL_OK)
            status = WRITERS[i](file, survey);
    }
    return status;
}

// Closing writes extents and indexes: a full disk may show only here.
static sel_status commit(struct sel_geopackage *file) {
    if (GDALDatasetCommitTransaction(file->dataset) != OGRERR_NONE)
        return sel_fail_gdal(
            file->context, SEL_IO, file->path, "writing failed (is the disk full?)");
    CPLErrorReset();
    close_dataset(file);
    if (sel_gdal_failed())
        return sel_fail_gdal(
            file->context, SEL_IO, file->path, "closing failed (is the disk full?)");
    return SEL_OK;
}

static sel_status write_all(
    struct sel_geopackage *file, sel_write_fn *write, sel_write_fn *paint, const void *content) {
    struct sel_gdal_guard guard;
    sel_gdal_begin(&guard, file->date);
    sel_status status = write(file, content);
    if (status == SEL_OK)
        status = commit(file);
    if (status == SEL_OK && paint)
        status = paint(file, content);
    sel_gdal_end(&guard);
    return status;
}

sel_status sel_geopackage_finish_with(
    struct sel_geopackage *file, sel_write_fn *write, sel_write_fn *paint, const void *content) {
    sel_status status = write_all(file, write, paint, content);
    if (status == SEL_OK) // someone else may have written there meanwhile
        status = sel_check_output(file->context, file->path, file->overwrite);
    if (status == SEL_OK)
        status = sel_check_cancel(file->context);
    if (status == SEL_OK)
        status = sel_replace_file(file->context, file->temporary, file->path);
    if (status == SEL_OK)
        sel_progress(file->context, "writing", 1.0);
    sel_geopackage_abandon(file);
    return status;
}

static sel_status write_survey(struct sel_geopackage *file, const void *survey) {
    return write_tables(file, survey);
}

static sel_status paint_survey(struct sel_geopackage *file, const void *survey) {
    return sel_write_backdrop(file, survey);
}

sel_status sel_geopackage_finish(struct sel_geopackage *file, const struct sel_survey *survey) {
    return sel_geopackage_finish_with(file, write_survey, paint_survey, survey);
}
