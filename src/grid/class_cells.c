// SPDX-License-Identifier: MIT
//
// Bytes are read in place and looked up in a table of 256; all other types go through strips of
// doubles, small enough to stay in the processor's cache.
#include "grid/class_cells.h"

#include <stdlib.h>

#include "base/array.h"

double sel_meant_value(const struct sel_raster *raster, double stored) {
    return raster->signed_byte && stored > INT8_MAX ? stored - 256 : stored;
}

static sel_habitat_id id_of(const struct sel_class_cells *cells, double value) {
    if (cells->raster->has_nodata && value == cells->raster->nodata)
        return SEL_HABITAT_UNKNOWN;
    return sel_values_id(cells->values, value);
}

void sel_class_cells_init(struct sel_class_cells *cells, const struct sel_raster *raster,
    const struct sel_values *values) {
    *cells = (struct sel_class_cells){.raster = raster, .values = values};
    for (int i = 0; i < 256; i++)
        cells->of_byte[i] = id_of(cells, sel_meant_value(raster, i));
}

void sel_class_cells_clear(struct sel_class_cells *cells) {
    free(cells->strip);
    sel_mask_clear(&cells->mask);
    *cells = (struct sel_class_cells){0};
}

static sel_status read_bytes(sel_context *context, struct sel_class_cells *cells,
    struct sel_raster_part part, sel_habitat_id *ids, int64_t stride) {
    sel_status status =
        sel_raster_read(context, cells->raster, cells->raster->band, part, ids, GDT_Byte, stride);
    if (status != SEL_OK)
        return status;
    for (int64_t row = 0; row < part.rows; row++) {
        sel_habitat_id *line = ids + row * stride;
        for (int64_t col = 0; col < part.cols; col++)
            line[col] = cells->of_byte[line[col]];
    }
    return SEL_OK;
}

static sel_status read_numbers(sel_context *context, struct sel_class_cells *cells,
    struct sel_raster_part part, sel_habitat_id *ids, int64_t stride) {
    size_t needed = (size_t)(part.rows * part.cols);
    double *strip = sel_grow(cells->strip, needed, &cells->strip_cells, sizeof *strip);
    if (!strip)
        return sel_fail_memory(context);
    cells->strip = strip;
    sel_status status = sel_raster_read(context, cells->raster, cells->raster->band, part, strip,
        GDT_Float64, part.cols * (int64_t)sizeof *strip);
    if (status != SEL_OK)
        return status;
    for (int64_t row = 0; row < part.rows; row++)
        for (int64_t col = 0; col < part.cols; col++)
            ids[row * stride + col] = id_of(cells, strip[row * part.cols + col]);
    return SEL_OK;
}

static sel_status hide_masked(sel_context *context, struct sel_class_cells *cells,
    struct sel_raster_part part, sel_habitat_id *ids, int64_t stride) {
    sel_status status = sel_mask_read(context, &cells->mask, cells->raster, part);
    if (status != SEL_OK)
        return status;
    for (int64_t row = 0; row < part.rows; row++)
        for (int64_t col = 0; col < part.cols; col++)
            if (cells->mask.cells[row * part.cols + col] == 0)
                ids[row * stride + col] = SEL_HABITAT_UNKNOWN;
    return SEL_OK;
}

static sel_status read_strip(sel_context *context, struct sel_class_cells *cells,
    struct sel_raster_part part, sel_habitat_id *ids, int64_t stride) {
    sel_status status = cells->raster->type == GDT_Byte
                            ? read_bytes(context, cells, part, ids, stride)
                            : read_numbers(context, cells, part, ids, stride);
    if (status == SEL_OK && cells->raster->has_mask)
        status = hide_masked(context, cells, part, ids, stride);
    return status;
}

sel_status sel_class_cells_read(sel_context *context, struct sel_class_cells *cells,
    struct sel_raster_part part, sel_habitat_id *ids, int64_t stride) {
    bool whole = cells->raster->type == GDT_Byte && !cells->raster->has_mask;
    int64_t rows = whole ? part.rows : sel_strip_rows(part.cols);
    for (int64_t done = 0; done < part.rows; done += rows) {
        int64_t left = part.rows - done;
        struct sel_raster_part strip = {
            part.col, part.row + done, part.cols, left < rows ? left : rows};
        sel_status status = read_strip(context, cells, strip, ids + done * stride, stride);
        if (status != SEL_OK)
            return status;
    }
    return SEL_OK;
}

sel_status sel_class_value(sel_context *context, const struct sel_raster *raster, int64_t col,
    int64_t row, double *value) {
    double stored = 0;
    sel_status status = sel_raster_read(context, raster, raster->band,
        (struct sel_raster_part){col, row, 1, 1}, &stored, GDT_Float64, sizeof stored);
    *value = sel_meant_value(raster, stored);
    return status;
}
