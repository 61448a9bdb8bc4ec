// SPDX-License-Identifier: MIT
//
// Bounding rectangles: where the elevation's outline runs askew to the frame, some cells along the
// rim lie outside it and simply have no elevation.
#include "grid/common.h"

#include <math.h>
#include <stdlib.h>

#include "grid/overlap.h"
#include "grid/pixel_map.h"

// A side this near a cell boundary, in cells, lies on it.
static const double ON_BOUNDARY = 1e-3;

// Half-cell numbers must fit 32 bits with room to spare.
static const double MOST_CELLS_A_SIDE = 1 << 29;

static sel_status fail_apart(
    sel_context *context, const struct sel_raster *landcover, const struct sel_raster *other) {
    char here[SEL_EXTENT_TEXT], there[SEL_EXTENT_TEXT];
    sel_status status =
        sel_extent_text(context, &landcover->shape, sel_shape_extent(&landcover->shape), here);
    if (status == SEL_OK)
        status = sel_extent_text(context, &other->shape, sel_shape_extent(&other->shape), there);
    if (status != SEL_OK)
        return status;
    return sel_fail(context, SEL_BAD_INPUT,
        "%s and %s: do not overlap: the first covers %s, the second %s: check the files and their "
        "coordinate reference systems",
        landcover->file, other->file, here, there);
}

sel_status sel_common_part(sel_context *context, const struct sel_raster *landcover,
    const struct sel_raster *elevation, struct sel_extent *used, double *lost_share) {
    struct sel_overlap overlap;
    sel_status status =
        sel_overlap_find(context, (struct sel_named_shape){landcover->file, &landcover->shape},
            (struct sel_named_shape){elevation->file, &elevation->shape}, &overlap);
    if (status != SEL_OK)
        return status;
    if (!(overlap.share > 0))
        return fail_apart(context, landcover, elevation);
    *used = overlap.extent;
    *lost_share = 1 - overlap.share;
    return SEL_OK;
}

// The whole cells within an extent of frame cells; false when there are none.
static bool whole_cells(struct sel_extent extent, struct sel_raster_part *cells) {
    double col0 = ceil(extent.x0 - ON_BOUNDARY), col1 = floor(extent.x1 + ON_BOUNDARY);
    double row0 = ceil(extent.y0 - ON_BOUNDARY), row1 = floor(extent.y1 + ON_BOUNDARY);
    if (!(col1 - col0 >= 1 && row1 - row0 >= 1))
        return false;
    *cells = (struct sel_raster_part){
        (int64_t)col0, (int64_t)row0, (int64_t)(col1 - col0), (int64_t)(row1 - row0)};
    return true;
}

static sel_status cells_of_landcover(sel_context *context, const struct sel_shape *frame,
    const struct sel_raster *landcover, struct sel_extent used, struct sel_extent *out) {
    struct sel_pixel_map *map;
    sel_status status = sel_pixel_map_new(context, &landcover->shape, frame, &map);
    if (status != SEL_OK)
        return status;
    bool found = sel_extent_map(map, used, out);
    sel_pixel_map_free(map);
    if (found && out->x1 - out->x0 < MOST_CELLS_A_SIDE && out->y1 - out->y0 < MOST_CELLS_A_SIDE)
        return SEL_OK;
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: cannot be laid on the study grid, or makes it wider than %.0f cells: cut it to the "
        "area with gdal_translate -projwin, or name another grid: { crs: ... }",
        landcover->file, MOST_CELLS_A_SIDE);
}

// The frame's cells as a raster of their own.
static struct sel_shape part_shape(const struct sel_shape *frame, struct sel_raster_part cells) {
    struct sel_shape shape = *frame;
    shape.rows = cells.rows;
    shape.cols = cells.cols;
    shape.gt[0] += (double)cells.col * frame->gt[1];
    shape.gt[3] += (double)cells.row * frame->gt[5];
    return shape;
}

static sel_status cut_by(sel_context *context, const struct sel_shape *frame,
    const struct sel_raster *landcover, const struct sel_raster *other,
    struct sel_raster_part *cells) {
    struct sel_shape shape = part_shape(frame, *cells);
    struct sel_overlap overlap;
    sel_status status = sel_overlap_find(context, (struct sel_named_shape){landcover->file, &shape},
        (struct sel_named_shape){other->file, &other->shape}, &overlap);
    if (status != SEL_OK)
        return status;
    struct sel_raster_part cut;
    if (!(overlap.share > 0) || !whole_cells(overlap.extent, &cut))
        return fail_apart(context, landcover, other);
    *cells =
        (struct sel_raster_part){cells->col + cut.col, cells->row + cut.row, cut.cols, cut.rows};
    return SEL_OK;
}

sel_status sel_common_cells(sel_context *context, const struct sel_frame *frame,
    const struct sel_raster *landcover, struct sel_extent used, const struct sel_raster *elevation,
    struct sel_raster_part *cells) {
    struct sel_shape shape = sel_frame_shape(frame);
    if (!shape.crs)
        return sel_fail_memory(context);
    struct sel_extent extent;
    sel_status status = cells_of_landcover(context, &shape, landcover, used, &extent);
    if (status == SEL_OK && !whole_cells(extent, cells))
        status = fail_apart(context, landcover, elevation);
    if (status == SEL_OK)
        status = cut_by(context, &shape, landcover, elevation, cells);
    sel_shape_clear(&shape);
    return status;
}

sel_status sel_check_touches(sel_context *context, const struct sel_frame *frame,
    struct sel_raster_part cells, const struct sel_raster *landcover,
    const struct sel_raster *other) {
    struct sel_shape shape = sel_frame_shape(frame);
    if (!shape.crs)
        return sel_fail_memory(context);
    sel_status status = cut_by(context, &shape, landcover, other, &cells);
    sel_shape_clear(&shape);
    return status;
}
