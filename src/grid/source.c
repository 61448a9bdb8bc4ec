// SPDX-License-Identifier: MIT
//
// Whether two grids coincide is told by transforming positions, not by comparing CRS texts: two
// names of one CRS, or a datum that only differs in name, then do not force a resampling.
#include "grid/source.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "grid/pixel_map.h"

static const double SAME_PLACE = 1e-3; // pixels

// Pixels that are finer by less than this are called as coarse as the cells.
static const double AS_COARSE = 1.05;

// Blocks are shrunk until they need no more source pixels than this a side, which bounds memory.
enum { BLOCK = 256, MOST_SOURCE_SIDE = 1024 };

const char *sel_method_name(enum sel_method method) {
    switch (method) {
    case SEL_AS_IT_IS:
        return "as it is";
    case SEL_NEAREST:
        return "nearest";
    case SEL_CUBIC:
        return "cubic";
    case SEL_AVERAGE:
        return "average";
    }
    return "unknown";
}

void sel_sources_free(struct sel_study_sources *sources) {
    if (!sources)
        return;
    sel_shape_clear(&sources->frame);
    free(sources->landcover.ref.file);
    free(sources->elevation.ref.file);
    free(sources->canopy.ref.file);
    sel_values_clear(&sources->values);
    free(sources->table);
    free(sources);
}

static bool find_shift(
    const struct sel_pixel_map *to_file, struct sel_raster_part cells, struct sel_source *source) {
    double x[9], y[9];
    for (int i = 0; i < 9; i++) {
        x[i] = (double)cells.col + 0.5 * (i % 3) * (double)cells.cols;
        y[i] = (double)cells.row + 0.5 * floor(i / 3.0) * (double)cells.rows;
    }
    double at_x[9], at_y[9];
    memcpy(at_x, x, sizeof x);
    memcpy(at_y, y, sizeof y);
    sel_pixel_map_apply(to_file, 9, at_x, at_y);
    double col_shift = round(at_x[0] - x[0]), row_shift = round(at_y[0] - y[0]);
    for (int i = 0; i < 9; i++)
        if (!(fabs(at_x[i] - x[i] - col_shift) < SAME_PLACE &&
                fabs(at_y[i] - y[i] - row_shift) < SAME_PLACE))
            return false;
    source->col_shift = (int64_t)col_shift;
    source->row_shift = (int64_t)row_shift;
    return true;
}

// File pixels that a cell's sides span at the middle of the cells, along the two sides.
static void pixels_per_cell(
    const struct sel_pixel_map *to_file, struct sel_raster_part cells, double *area, double *side) {
    double mx = (double)cells.col + 0.5 * (double)cells.cols;
    double my = (double)cells.row + 0.5 * (double)cells.rows;
    double x[4] = {mx - 0.5, mx + 0.5, mx, mx};
    double y[4] = {my, my, my - 0.5, my + 0.5};
    sel_pixel_map_apply(to_file, 4, x, y);
    double ux = x[1] - x[0], uy = y[1] - y[0], vx = x[3] - x[2], vy = y[3] - y[2];
    *area = fabs(ux * vy - uy * vx);
    *side = fmax(fabs(ux) + fabs(vx), fabs(uy) + fabs(vy));
    if (!isfinite(*area) || !isfinite(*side))
        *area = *side = 1;
}

static void choose_method(const struct sel_pixel_map *to_file, struct sel_raster_part cells,
    bool is_classes, struct sel_source *source) {
    double area, side;
    pixels_per_cell(to_file, cells, &area, &side);
    if (is_classes)
        source->method = SEL_NEAREST;
    else
        source->method = sqrt(area) > AS_COARSE ? SEL_AVERAGE : SEL_CUBIC;
    source->block = BLOCK;
    while (source->block > 1 && source->block * side > MOST_SOURCE_SIDE)
        source->block /= 2;
}

sel_status sel_source_plan(sel_context *context, const struct sel_raster *raster,
    const struct sel_shape *frame, struct sel_raster_part cells, bool is_classes,
    struct sel_source *source) {
    struct sel_pixel_map *to_file;
    sel_status status = sel_pixel_map_new(context, frame, &raster->shape, &to_file);
    if (status != SEL_OK)
        return status;
    if (find_shift(to_file, cells, source))
        source->method = SEL_AS_IT_IS;
    else
        choose_method(to_file, cells, is_classes, source);
    sel_pixel_map_free(to_file);
    return SEL_OK;
}
