// SPDX-License-Identifier: MIT
//
// GDAL converts to float in place; unknown pixels are then blanked and units changed in one pass.
// Where a float cannot tell NoData from its neighbours, GDAL's mask of the band is asked instead.
#include "grid/height_cells.h"

#include <float.h>
#include <math.h>

void sel_height_cells_clear(struct sel_height_cells *cells) {
    sel_mask_clear(&cells->mask);
}

static bool float_tells_nodata(const struct sel_raster *raster) {
    switch (raster->type) {
    case GDT_Byte:
    case GDT_UInt16:
    case GDT_Int16:
    case GDT_Float32:
        return true;
    default:
        return false;
    }
}

static float metres_of(float value, float nodata, float factor, float term) {
    return value == nodata || !(fabsf(value) <= FLT_MAX) ? NAN : value * factor + term;
}

static void finish(const struct sel_raster *raster, const struct sel_source *source,
    struct sel_raster_part part, float *metres, int64_t stride) {
    const float nodata = raster->has_nodata ? (float)raster->nodata : NAN;
    const float factor = (float)source->factor, term = (float)source->term;
    for (int64_t row = 0; row < part.rows; row++) {
        float *line = metres + row * stride;
        for (int64_t col = 0; col < part.cols; col++)
            line[col] = metres_of(line[col], nodata, factor, term);
    }
}

static sel_status hide_masked(sel_context *context, struct sel_height_cells *cells,
    const struct sel_raster *raster, struct sel_raster_part part, float *metres, int64_t stride) {
    sel_status status = sel_mask_read(context, &cells->mask, raster, part);
    if (status != SEL_OK)
        return status;
    for (int64_t row = 0; row < part.rows; row++)
        for (int64_t col = 0; col < part.cols; col++)
            if (cells->mask.cells[row * part.cols + col] == 0)
                metres[row * stride + col] = NAN;
    return SEL_OK;
}

static sel_status hide_in_strips(sel_context *context, struct sel_height_cells *cells,
    const struct sel_raster *raster, struct sel_raster_part part, float *metres, int64_t stride) {
    int64_t rows = sel_strip_rows(part.cols);
    sel_status status = SEL_OK;
    for (int64_t done = 0; status == SEL_OK && done < part.rows; done += rows) {
        int64_t left = part.rows - done;
        struct sel_raster_part strip = {
            part.col, part.row + done, part.cols, left < rows ? left : rows};
        status = hide_masked(context, cells, raster, strip, metres + done * stride, stride);
    }
    return status;
}

sel_status sel_height_cells_read(sel_context *context, struct sel_height_cells *cells,
    const struct sel_raster *raster, const struct sel_source *source, struct sel_raster_part part,
    float *metres, int64_t stride) {
    sel_status status = sel_raster_read(
        context, raster, raster->band, part, metres, GDT_Float32, stride * (int64_t)sizeof *metres);
    if (status != SEL_OK)
        return status;
    finish(raster, source, part, metres, stride);
    if (raster->has_mask || (raster->has_nodata && !float_tells_nodata(raster)))
        status = hide_in_strips(context, cells, raster, part, metres, stride);
    return status;
}
