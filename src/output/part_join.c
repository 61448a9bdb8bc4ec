// SPDX-License-Identifier: MIT
//
// Reading of parts back into one run.
#include <errno.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/array.h"
#include "output/part.h"
#include "output/part_rows.h"
#include "output/writer.h"

sel_status sel_part_open(sel_context *context, const char *path, GDALDatasetH *dataset) {
    static const char *const DRIVERS[] = {"GPKG", NULL};
    struct stat facts;
    if (stat(path, &facts) != 0)
        return sel_fail(context, SEL_BAD_INPUT, "%s: cannot be read: %s: check the part's name",
            path, strerror(errno));
    GDALAllRegister();
    *dataset = GDALOpenEx(path, GDAL_OF_VECTOR | GDAL_OF_READONLY, DRIVERS, NULL, NULL);
    if (!*dataset)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: is no GeoPackage: parts are written by 'selvedge rank --part I/N'", path);
    if (GDALDatasetGetLayerByName(*dataset, SEL_TABLE_PART.name))
        return SEL_OK;
    GDALClose(*dataset);
    *dataset = NULL;
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: is no part of a run: parts are written by 'selvedge rank --part I/N'", path);
}

static bool facts_hold(const struct sel_part_fact_row *row) {
    return row->parts >= 1 && row->parts <= INT_MAX && row->part >= 1 && row->part <= row->parts &&
           row->fingerprint && strlen(row->fingerprint) < SEL_FINGERPRINT_SIZE;
}

static struct sel_cut cut_of(const struct sel_part_fact_row *row) {
    struct sel_window blocks = {row->block_row, row->block_col, row->block_rows, row->block_cols};
    return (struct sel_cut){blocks, row->first_block, row->end_block};
}

static sel_status read_facts(
    sel_context *context, const char *path, GDALDatasetH dataset, struct sel_part_facts *facts) {
    void *rows = NULL;
    size_t count = 0;
    sel_status status = sel_rows_read(context, path, dataset, &SEL_TABLE_PART, &rows, &count);
    if (status != SEL_OK)
        return status;
    const struct sel_part_fact_row *row = rows;
    if (count == 1 && facts_hold(row)) {
        *facts = (struct sel_part_facts){
            .part = (int)row->part, .parts = (int)row->parts, .cut = cut_of(row)};
        memcpy(facts->fingerprint, row->fingerprint, strlen(row->fingerprint));
    } else {
        status =
            sel_fail(context, SEL_BAD_INPUT, "%s: its table 'part' is damaged: make it anew", path);
    }
    sel_rows_free(&SEL_TABLE_PART, rows, count);
    return status;
}

sel_status sel_part_facts_read(
    sel_context *context, const char *path, struct sel_part_facts *facts) {
    GDALDatasetH dataset = NULL;
    sel_gdal_begin(NULL, NULL);
    sel_status status = sel_part_open(context, path, &dataset);
    if (status == SEL_OK)
        status = read_facts(context, path, dataset, facts);
    if (dataset)
        GDALClose(dataset);
    sel_gdal_end(NULL);
    return status;
}

static sel_status join_candidates(sel_context *context, const char *path, GDALDatasetH dataset,
    struct sel_candidates *candidates) {
    void *rows = NULL;
    size_t count = 0;
    sel_status status =
        sel_rows_read(context, path, dataset, &SEL_TABLE_PART_CANDIDATES, &rows, &count);
    if (status == SEL_OK && count > 0) {
        struct sel_candidate *grown = sel_grow(candidates->items, candidates->count + count,
            &candidates->capacity, sizeof *candidates->items);
        if (grown)
            candidates->items = grown;
        else
            status = sel_fail_memory(context);
    }
    const struct sel_part_candidate_row *row = rows;
    for (size_t i = 0; i < count && status == SEL_OK; i++)
        candidates->items[candidates->count++] = sel_part_candidate_of(&row[i]);
    sel_rows_free(&SEL_TABLE_PART_CANDIDATES, rows, count);
    return status;
}

// Where a count is kept; NULL when there is no such thing.
static int64_t *count_place(
    struct sel_tile_counts *counts, const struct sel_part_count_row *row, int64_t pairs) {
    if (!row->what || row->index < 0 || !counts->edge_mm)
        return NULL;
    if (strcmp(row->what, SEL_PART_CRACKS) == 0)
        return &counts->cracks;
    if (strcmp(row->what, SEL_PART_FATE) == 0 && row->index < SEL_FATES)
        return &counts->fates[row->index];
    if (strcmp(row->what, SEL_PART_EDGE_MM) == 0 && row->index < pairs)
        return &counts->edge_mm[row->index];
    return NULL;
}

static sel_status join_counts(sel_context *context, const char *path, GDALDatasetH dataset,
    int64_t pairs, struct sel_tile_counts *counts) {
    void *rows = NULL;
    size_t count = 0;
    sel_status status =
        sel_rows_read(context, path, dataset, &SEL_TABLE_PART_COUNTS, &rows, &count);
    const struct sel_part_count_row *row = rows;
    for (size_t i = 0; i < count && status == SEL_OK; i++) {
        int64_t *place = count_place(counts, &row[i], pairs);
        if (place)
            *place += row[i].count;
        else
            status = sel_fail(context, SEL_BAD_INPUT,
                "%s: table part_counts: row %zu is damaged: make the part anew", path, i + 1);
    }
    sel_rows_free(&SEL_TABLE_PART_COUNTS, rows, count);
    return status;
}

// Copies the edges with their numbers, which are those of a whole run.
static sel_status copy_edges(
    sel_context *context, const char *path, GDALDatasetH dataset, struct sel_geopackage *file) {
    OGRLayerH from = GDALDatasetGetLayerByName(dataset, SEL_TABLE_EDGES.name);
    if (!from)
        return sel_fail(context, SEL_BAD_INPUT, "%s: has no layer edges: make the part anew", path);
    OGR_L_ResetReading(from);
    sel_status status = SEL_OK;
    OGRFeatureH feature;
    while (status == SEL_OK && (feature = OGR_L_GetNextFeature(from))) {
        if (OGR_L_CreateFeature(file->edges.layer, feature) != OGRERR_NONE)
            status = sel_fail_gdal(context, SEL_IO, file->path, "layer edges cannot be written");
        OGR_F_Destroy(feature);
        file->edge_count++;
    }
    return status;
}

sel_status sel_part_join(sel_context *context, const char *path, struct sel_geopackage *file,
    struct sel_findings *findings) {
    GDALDatasetH dataset = NULL;
    int64_t side = file->plan->habitats.count + 1, pairs = side * side;
    sel_gdal_begin(NULL, NULL);
    sel_status status = sel_part_open(context, path, &dataset);
    if (status == SEL_OK)
        status = join_candidates(context, path, dataset, &findings->candidates);
    if (status == SEL_OK)
        status = join_counts(context, path, dataset, pairs, &findings->counts);
    if (status == SEL_OK)
        status = copy_edges(context, path, dataset, file);
    for (int64_t i = 0; status == SEL_OK && i < pairs; i++)
        file->pair_mm[i] = findings->counts.edge_mm[i];
    if (dataset)
        GDALClose(dataset);
    sel_gdal_end(NULL);
    return status;
}
