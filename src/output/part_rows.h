// SPDX-License-Identifier: MIT
//
// The rows of a part's own tables.
#ifndef SEL_OUTPUT_PART_ROWS_H
#define SEL_OUTPUT_PART_ROWS_H

#include "output/columns.h"
#include "survey/result.h"

struct sel_part_fact_row {
    int64_t part, parts;
    int64_t block_row, block_col, block_rows, block_cols; // of the whole ground, 512-cell blocks
    int64_t first_block, end_block;                       // of this part, counted row by row
    const char *fingerprint;
};

// What is counted: one of the names below, with an index where there are several of a kind.
struct sel_part_count_row {
    const char *what;
    int64_t index, count;
};

extern const char SEL_PART_CRACKS[], SEL_PART_FATE[], SEL_PART_EDGE_MM[];

// A candidate, field by field.
struct sel_part_candidate_row {
    int64_t hx, hy, crack_hx, crack_hy, a, b;
    int a_first, trap_a, trap_b;
    double along_x, along_y, toward_a_x, toward_a_y;
    double straightness, depth_a_m, depth_b_m, elevation_m;
    double measure[SEL_CRITERIA], access_m;
};

struct sel_part_candidate_row sel_part_row_of(const struct sel_candidate *from);
struct sel_candidate sel_part_candidate_of(const struct sel_part_candidate_row *row);

// Opens a part for reading. SEL_BAD_INPUT, naming the file, when it is none. Between sel_gdal_begin
// and sel_gdal_end.
sel_status sel_part_open(sel_context *context, const char *path, GDALDatasetH *dataset);

extern const struct sel_table_kind SEL_TABLE_PART, SEL_TABLE_PART_COUNTS, SEL_TABLE_PART_CANDIDATES;

#endif
