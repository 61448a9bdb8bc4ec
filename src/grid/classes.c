// SPDX-License-Identifier: MIT
//
// Counting runs over blocks; a value equal to the one before costs one comparison, any other a
// binary search among the classes met so far.
#include "grid/classes.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/array.h"
#include "grid/class_cells.h"
#include "grid/facts.h"
#include "grid/ground.h"
#include "grid/raster.h"

enum { BLOCK = 512, MOST_CLASSES = 10000 };

static const int64_t MOST_CELLS_UNASKED = 25000000;

static const double MOST_WHOLE = 9007199254740992.0; // 2^53: beyond, doubles skip whole numbers

void sel_class_counts_clear(struct sel_class_counts *counts) {
    free(counts->items);
    *counts = (struct sel_class_counts){0};
}

// One scan: the file, the counts and one block of it.
struct scan {
    sel_context *context;
    const struct sel_raster *raster;
    struct sel_class_counts *counts;
    size_t last; // index of the class met last
    double *values;
    uint8_t *mask;
    struct sel_raster_part part; // the block in hand
};

// The first index whose value is not below `value`.
static size_t lower_bound(const struct sel_class_counts *counts, int64_t value) {
    size_t low = 0, high = counts->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (counts->items[middle].value < value)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

static sel_status insert(struct scan *scan, size_t at, int64_t value) {
    struct sel_class_counts *counts = scan->counts;
    if (counts->count >= MOST_CLASSES)
        return sel_fail(scan->context, SEL_BAD_INPUT,
            "%s: band %d: holds more than %d different values, so it is no land cover: name "
            "another file or band",
            scan->raster->file, scan->raster->band_number, MOST_CLASSES);
    struct sel_class_count *items =
        sel_grow(counts->items, counts->count + 1, &counts->capacity, sizeof *items);
    if (!items)
        return sel_fail_memory(scan->context);
    counts->items = items;
    memmove(items + at + 1, items + at, (counts->count - at) * sizeof *items);
    items[at] = (struct sel_class_count){value, 0};
    counts->count++;
    return SEL_OK;
}

static sel_status count_value(struct scan *scan, int64_t value) {
    struct sel_class_counts *counts = scan->counts;
    if (scan->last >= counts->count || counts->items[scan->last].value != value) {
        size_t at = lower_bound(counts, value);
        if (at == counts->count || counts->items[at].value != value) {
            sel_status status = insert(scan, at, value);
            if (status != SEL_OK)
                return status;
        }
        scan->last = at;
    }
    counts->items[scan->last].cells++;
    return SEL_OK;
}

static sel_status fail_not_whole(const struct scan *scan, int64_t at, double value) {
    const double *gt = scan->raster->shape.gt;
    int64_t row = scan->part.row + at / scan->part.cols;
    int64_t col = scan->part.col + at % scan->part.cols;
    double x = (double)col + 0.5, y = (double)row + 0.5;
    return sel_fail(scan->context, SEL_BAD_INPUT,
        "%s: row %lld, column %lld, counted from 0 (x %.10g, y %.10g): %.9g is no whole number, so "
        "it is no class: give a raster of class codes, or another band",
        scan->raster->file, (long long)row, (long long)col, gt[0] + x * gt[1] + y * gt[2],
        gt[3] + x * gt[4] + y * gt[5], value);
}

static sel_status count_cell(struct scan *scan, int64_t at) {
    const struct sel_raster *raster = scan->raster;
    double value = sel_meant_value(raster, scan->values[at]);
    bool hidden = raster->has_mask && scan->mask[at] == 0;
    if (hidden || isnan(value) || (raster->has_nodata && value == raster->nodata)) {
        scan->counts->unknown++;
        return SEL_OK;
    }
    if (value != floor(value) || !(fabs(value) < MOST_WHOLE))
        return fail_not_whole(scan, at, value);
    return count_value(scan, (int64_t)value);
}

static sel_status count_block(struct scan *scan) {
    const struct sel_raster *raster = scan->raster;
    int64_t cells = scan->part.rows * scan->part.cols;
    sel_status status = sel_raster_read(scan->context, raster, raster->band, scan->part,
        scan->values, GDT_Float64, scan->part.cols * (int64_t)sizeof *scan->values);
    if (status == SEL_OK && raster->has_mask)
        status = sel_raster_read(scan->context, raster, GDALGetMaskBand(raster->band), scan->part,
            scan->mask, GDT_Byte, scan->part.cols);
    for (int64_t at = 0; status == SEL_OK && at < cells; at++)
        status = count_cell(scan, at);
    scan->counts->looked_at += cells;
    return status;
}

// Every step-th block of every step-th row of blocks, moved on by one from row to row.
static sel_status count_blocks(struct scan *scan, int64_t step) {
    const struct sel_shape *shape = &scan->raster->shape;
    int64_t block_rows = (shape->rows + BLOCK - 1) / BLOCK;
    int64_t block_cols = (shape->cols + BLOCK - 1) / BLOCK;
    for (int64_t row = 0; row < block_rows; row += step) {
        sel_progress(scan->context, "counting classes", (double)row / (double)block_rows);
        for (int64_t col = row / step % step; col < block_cols; col += step) {
            int64_t rows = shape->rows - row * BLOCK, cols = shape->cols - col * BLOCK;
            scan->part = (struct sel_raster_part){
                col * BLOCK, row * BLOCK, cols < BLOCK ? cols : BLOCK, rows < BLOCK ? rows : BLOCK};
            sel_status status = sel_check_cancel(scan->context);
            if (status == SEL_OK)
                status = count_block(scan);
            if (status != SEL_OK)
                return status;
        }
    }
    return SEL_OK;
}

static sel_status scan_raster(sel_context *context, const struct sel_raster *raster, bool full,
    struct sel_class_counts *counts) {
    struct scan scan = {.context = context, .raster = raster, .counts = counts};
    counts->total = raster->shape.rows * raster->shape.cols;
    int64_t step = 1;
    if (!full && counts->total > MOST_CELLS_UNASKED)
        step = (int64_t)ceil(sqrt((double)counts->total / (double)MOST_CELLS_UNASKED));
    scan.values = malloc(sizeof *scan.values * BLOCK * BLOCK);
    scan.mask = malloc(sizeof *scan.mask * BLOCK * BLOCK);
    sel_status status =
        scan.values && scan.mask ? count_blocks(&scan, step) : sel_fail_memory(context);
    counts->sampled = counts->looked_at < counts->total;
    free(scan.values);
    free(scan.mask);
    return status;
}

sel_status sel_classes_scan(sel_context *context, const struct sel_raster_ref *source, bool full,
    struct sel_class_counts *counts) {
    *counts = (struct sel_class_counts){0};
    struct sel_raster raster;
    sel_status status = sel_raster_open(context, source, &raster);
    if (status != SEL_OK)
        return status;
    status = scan_raster(context, &raster, full, counts);
    if (status != SEL_OK)
        sel_class_counts_clear(counts);
    sel_raster_close(&raster);
    return status;
}
