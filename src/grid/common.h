// SPDX-License-Identifier: MIT
//
// The common part of land cover and elevation, and the cells of a frame that cover it.
#ifndef SEL_GRID_COMMON_H
#define SEL_GRID_COMMON_H

#include "grid/derive.h"
#include "grid/ground.h"
#include "grid/raster.h"

// The part of the land cover, in its pixels, that the elevation covers, and the share of its area
// that the elevation does not. Rasters without a common part fail, naming both and their places.
sel_status sel_common_part(sel_context *context, const struct sel_raster *landcover,
    const struct sel_raster *elevation, struct sel_extent *used, double *lost_share);

// The whole cells of the frame that lie within the land cover's and the elevation's extent.
sel_status sel_common_cells(sel_context *context, const struct sel_frame *frame,
    const struct sel_raster *landcover, struct sel_extent used, const struct sel_raster *elevation,
    struct sel_raster_part *cells);

// Fails, naming both files and places, unless `other` covers some of the cells.
sel_status sel_check_touches(sel_context *context, const struct sel_frame *frame,
    struct sel_raster_part cells, const struct sel_raster *landcover,
    const struct sel_raster *other);

#endif
