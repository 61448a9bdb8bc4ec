// SPDX-License-Identifier: MIT
//
// The columns of a part's tables.
#include "output/part_rows.h"

const char SEL_PART_CRACKS[] = "cracks";
const char SEL_PART_FATE[] = "fate";
const char SEL_PART_EDGE_MM[] = "edge mm";

static const struct sel_column PART[] = {
    {"part", SEL_COLUMN_INTEGER, offsetof(struct sel_part_fact_row, part), 0, "",
        "number of the part, from 1"},
    {"parts", SEL_COLUMN_INTEGER, offsetof(struct sel_part_fact_row, parts), 0, "",
        "into how many the run is cut"},
    {"block_row", SEL_COLUMN_INTEGER, offsetof(struct sel_part_fact_row, block_row), 0, "",
        "row of the first block of the ground that the run is cut along"},
    {"block_col", SEL_COLUMN_INTEGER, offsetof(struct sel_part_fact_row, block_col), 0, "",
        "its column"},
    {"block_rows", SEL_COLUMN_INTEGER, offsetof(struct sel_part_fact_row, block_rows), 0, "",
        "rows of blocks of that ground"},
    {"block_cols", SEL_COLUMN_INTEGER, offsetof(struct sel_part_fact_row, block_cols), 0, "",
        "columns of blocks"},
    {"first_block", SEL_COLUMN_INTEGER, offsetof(struct sel_part_fact_row, first_block), 0, "",
        "the part's first block, counted row by row"},
    {"end_block", SEL_COLUMN_INTEGER, offsetof(struct sel_part_fact_row, end_block), 0, "",
        "the block after its last"},
    {"fingerprint", SEL_COLUMN_TEXT, offsetof(struct sel_part_fact_row, fingerprint), 0, "",
        "SHA-256 of the plan as used and the study grid; all parts share it"},
};

static const struct sel_column COUNTS[] = {
    {"what", SEL_COLUMN_TEXT, offsetof(struct sel_part_count_row, what), 0, "",
        "`cracks`; `fate`: groups that ended so; `edge mm`: edge length of a pair"},
    {"idx", SEL_COLUMN_INTEGER, offsetof(struct sel_part_count_row, index), 0, "",
        "of `fate`: its number; of `edge mm`: a (habitats + 1) + b"},
    {"count", SEL_COLUMN_INTEGER, offsetof(struct sel_part_count_row, count), 0, "",
        "how many, or millimetres"},
};

typedef struct sel_part_candidate_row row_t;

static const struct sel_column CANDIDATES[] = {
    {"hx", SEL_COLUMN_INTEGER, offsetof(row_t, hx), 0, "half-cells", "column of the site"},
    {"hy", SEL_COLUMN_INTEGER, offsetof(row_t, hy), 0, "half-cells", "row of the site"},
    {"crack_hx", SEL_COLUMN_INTEGER, offsetof(row_t, crack_hx), 0, "half-cells",
        "column of its crack"},
    {"crack_hy", SEL_COLUMN_INTEGER, offsetof(row_t, crack_hy), 0, "half-cells",
        "row of its crack"},
    {"a", SEL_COLUMN_INTEGER, offsetof(row_t, a), 0, "", "number of habitat a"},
    {"b", SEL_COLUMN_INTEGER, offsetof(row_t, b), 0, "", "number of habitat b"},
    {"a_first", SEL_COLUMN_BOOLEAN, offsetof(row_t, a_first), 0, "",
        "whether a lies north or west of the crack"},
    {"trap_a", SEL_COLUMN_BOOLEAN, offsetof(row_t, trap_a), 0, "", "whether a may hold the trap"},
    {"trap_b", SEL_COLUMN_BOOLEAN, offsetof(row_t, trap_b), 0, "", "whether b may hold it"},
    {"along_x", SEL_COLUMN_REAL, offsetof(row_t, along_x), SEL_ALL_DIGITS, "",
        "unit tangent of the edge, east"},
    {"along_y", SEL_COLUMN_REAL, offsetof(row_t, along_y), SEL_ALL_DIGITS, "",
        "unit tangent of the edge, south"},
    {"toward_a_x", SEL_COLUMN_REAL, offsetof(row_t, toward_a_x), SEL_ALL_DIGITS, "",
        "unit normal toward side a, east"},
    {"toward_a_y", SEL_COLUMN_REAL, offsetof(row_t, toward_a_y), SEL_ALL_DIGITS, "",
        "unit normal toward side a, south"},
    {"straightness", SEL_COLUMN_REAL, offsetof(row_t, straightness), SEL_ALL_DIGITS, "0..1",
        "how straight the edge is here: 1 for a straight line"},
    {"depth_a_m", SEL_COLUMN_REAL, offsetof(row_t, depth_a_m), SEL_ALL_DIGITS, "m",
        "along the centre line until habitat a ends, at most `reach_m`"},
    {"depth_b_m", SEL_COLUMN_REAL, offsetof(row_t, depth_b_m), SEL_ALL_DIGITS, "m",
        "along the centre line until habitat b ends, at most `reach_m`"},
    {"elevation_m", SEL_COLUMN_REAL, offsetof(row_t, elevation_m), SEL_ALL_DIGITS, "m",
        "elevation of the ground"},
    {"edge_contrast", SEL_COLUMN_REAL, offsetof(row_t, measure[SEL_CRITERION_EDGE_CONTRAST]),
        SEL_ALL_DIGITS, "0..1", "contrast of the habitats sampled on the two sides of the belt"},
    {"slope", SEL_COLUMN_REAL, offsetof(row_t, measure[SEL_CRITERION_SLOPE]), SEL_ALL_DIGITS, "deg",
        "the steepest slope of the cells that hold the trap"},
    {"sun", SEL_COLUMN_REAL, offsetof(row_t, measure[SEL_CRITERION_SUN]), SEL_ALL_DIGITS, "0..1",
        "not yet measured"},
    {"access", SEL_COLUMN_REAL, offsetof(row_t, measure[SEL_CRITERION_ACCESS]), SEL_ALL_DIGITS,
        "m or min", "straight distance, or minutes on foot"},
    {"access_m", SEL_COLUMN_REAL, offsetof(row_t, access_m), SEL_ALL_DIGITS, "m",
        "straight line to the nearest access geometry with the role start"},
};

const struct sel_table_kind SEL_TABLE_PART = {"part", "Which part of a run this file holds",
    wkbNone, false, PART, sizeof PART / sizeof *PART, sizeof(struct sel_part_fact_row)};
const struct sel_table_kind SEL_TABLE_PART_COUNTS = {"part_counts", "What the part counted",
    wkbNone, false, COUNTS, sizeof COUNTS / sizeof *COUNTS, sizeof(struct sel_part_count_row)};
const struct sel_table_kind SEL_TABLE_PART_CANDIDATES = {"part_candidates",
    "What the part measured, to full precision", wkbNone, false, CANDIDATES,
    sizeof CANDIDATES / sizeof *CANDIDATES, sizeof(row_t)};

struct sel_part_candidate_row sel_part_row_of(const struct sel_candidate *from) {
    row_t row = {.hx = from->hx,
        .hy = from->hy,
        .crack_hx = from->crack_hx,
        .crack_hy = from->crack_hy,
        .a = from->a,
        .b = from->b,
        .a_first = from->a_first,
        .trap_a = from->trap_a,
        .trap_b = from->trap_b,
        .along_x = (double)from->along_x,
        .along_y = (double)from->along_y,
        .toward_a_x = (double)from->toward_a_x,
        .toward_a_y = (double)from->toward_a_y,
        .straightness = (double)from->straightness,
        .depth_a_m = (double)from->depth_a_m,
        .depth_b_m = (double)from->depth_b_m,
        .elevation_m = (double)from->elevation_m,
        .access_m = from->access_m};
    for (int i = 0; i < SEL_CRITERIA; i++)
        row.measure[i] = from->measure[i];
    return row;
}

struct sel_candidate sel_part_candidate_of(const struct sel_part_candidate_row *row) {
    struct sel_candidate to = {.hx = (int32_t)row->hx,
        .hy = (int32_t)row->hy,
        .crack_hx = (int32_t)row->crack_hx,
        .crack_hy = (int32_t)row->crack_hy,
        .a = (sel_habitat_id)row->a,
        .b = (sel_habitat_id)row->b,
        .a_first = row->a_first == 1,
        .trap_a = row->trap_a == 1,
        .trap_b = row->trap_b == 1,
        .along_x = (float)row->along_x,
        .along_y = (float)row->along_y,
        .toward_a_x = (float)row->toward_a_x,
        .toward_a_y = (float)row->toward_a_y,
        .straightness = (float)row->straightness,
        .depth_a_m = (float)row->depth_a_m,
        .depth_b_m = (float)row->depth_b_m,
        .elevation_m = (float)row->elevation_m,
        .access_m = row->access_m};
    for (int i = 0; i < SEL_CRITERIA; i++)
        to.measure[i] = row->measure[i];
    return to;
}
