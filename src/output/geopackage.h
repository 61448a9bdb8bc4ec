// SPDX-License-Identifier: MIT
//
// The result as an OGC GeoPackage (OGC 12-128r15), written through GDAL/OGR to a temporary file in
// the output's folder and moved into place at the end.
//
// Life: open (before the survey runs, so that edges can be streamed), add edges, finish or abandon.
#ifndef SEL_OUTPUT_GEOPACKAGE_H
#define SEL_OUTPUT_GEOPACKAGE_H

#include "edge/trace.h"
#include "survey/result.h"

struct sel_geopackage;

// Fails when `path` exists and overwrite is false, does not end in .gpkg, or its folder cannot be
// written.
sel_status sel_geopackage_open(sel_context *context, const char *path, bool overwrite,
    const struct sel_plan *plan, const struct sel_study *study, struct sel_geopackage **file);

// Adds the lines of one block to the layer `edges`. Feature ids are
// (block_row * block_cols + block_col) * 2^20 + line + 1, so that rows do not depend on the order
// of the calls. Thread-safe. Also sums the lengths per pair.
sel_status sel_geopackage_add_edges(struct sel_geopackage *file, int64_t block_row,
    int64_t block_col, const struct sel_traced_lines *lines);

// Writes every other layer and table from the survey, closes, fsyncs and renames. `file` is freed
// whatever comes.
sel_status sel_geopackage_finish(struct sel_geopackage *file, const struct sel_survey *survey);

// Drops the temporary file and frees. NULL is allowed.
void sel_geopackage_abandon(struct sel_geopackage *file);

#endif
