// SPDX-License-Identifier: MIT
//
// The open GeoPackage, shared by the files that write its layers and tables. Internal to output/.
#ifndef SEL_OUTPUT_WRITER_H
#define SEL_OUTPUT_WRITER_H

#include <gdal.h>
#include <ogr_srs_api.h>
#include <pthread.h>

#include "output/gdal_guard.h"
#include "output/geopackage.h"
#include "output/names.h"
#include "output/palette.h"
#include "output/rows.h"

// The rows of the table `inputs`, once they are listed: files are summed once.
struct sel_inputs {
    struct sel_input_row *rows; // owned, with their texts
    size_t count, capacity;
    bool listed;
};

struct sel_geopackage {
    sel_context *context;
    const struct sel_plan *plan;   // borrowed
    const struct sel_study *study; // borrowed
    char *path, *temporary;        // owned
    bool overwrite;
    char date[SEL_DATE_SIZE]; // every row's stamp
    GDALDatasetH dataset;     // NULL once closed
    OGRSpatialReferenceH crs;
    struct sel_table sites, flyways, edges; // made at the start, so that they come first
    struct sel_rgb colours[SEL_HABITATS_MOST];
    struct sel_inputs inputs;

    pthread_mutex_t lock; // held while edges are added; guards the data set and what follows
    int64_t *pair_mm;     // owned; edge length by pair, mm: sums that no order of calls can change
    int64_t edge_count;
};

// Makes a table, to be closed with sel_table_close.
sel_status sel_begin_table(
    struct sel_geopackage *file, const struct sel_table_kind *kind, struct sel_table *table);

// Adds a row without geometry, or with a point that the row holds.
sel_status sel_add_row(struct sel_geopackage *file, struct sel_table *table, const void *row);

// A measure that counts: NAN when its criterion is not in use.
double sel_measure_told(const struct sel_survey *survey, const struct sel_candidate *candidate,
    enum sel_criterion criterion);

// Minutes on foot: NAN unless access goes by time.
double sel_walk_told(const struct sel_survey *survey, const struct sel_candidate *candidate);

// Edge length of a pair summed so far, metres.
double sel_pair_length(const struct sel_geopackage *file, sel_habitat_id a, sel_habitat_id b);

// Runs a statement that answers nothing. False: GDAL tells why.
bool sel_run_sql(struct sel_geopackage *file, const char *sql);

// One function per layer or table; each makes it (the first three are made already) and fills it.
sel_status sel_write_sites(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_flyways(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_walks(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_index_edges(struct sel_geopackage *file);
sel_status sel_write_candidates(struct sel_geopackage *file, const struct sel_survey *survey);
// Rows of the layer `candidates`.
int64_t sel_candidates_written(const struct sel_survey *survey);
sel_status sel_write_context(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_horizon(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_profile(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_rivals(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_close_ups(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_criteria(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_plan(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_habitats(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_pairs(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_blocks(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_sensitivity(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_dropped(struct sel_geopackage *file, const struct sel_survey *survey);
sel_status sel_write_inputs(struct sel_geopackage *file, const struct sel_survey *survey);
// Lists the inputs in file->inputs, unless they are listed already.
sel_status sel_list_inputs(struct sel_geopackage *file);
sel_status sel_write_run(struct sel_geopackage *file, const struct sel_survey *survey);

// Writes tables with `write`, closes, then pictures with `paint` (NULL: none), flushes and moves
// into place. `file` is freed whatever comes.
typedef sel_status sel_write_fn(struct sel_geopackage *file, const void *content);
sel_status sel_geopackage_finish_with(
    struct sel_geopackage *file, sel_write_fn *write, sel_write_fn *paint, const void *content);

// The backdrop as raster tiles; after the vector data set was closed.
sel_status sel_write_backdrop(struct sel_geopackage *file, const struct sel_survey *survey);

#endif
