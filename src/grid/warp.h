// SPDX-License-Identifier: MIT
//
// Heights of a file on a block of the study grid's frame, by GDAL's warper: cubic convolution or
// area average, from places by the mesh. Belongs to one thread.
#ifndef SEL_GRID_WARP_H
#define SEL_GRID_WARP_H

#include "grid/pixel_map.h"
#include "grid/source.h"

struct sel_warp;

// Borrows the raster, its source and the map from the file's pixels to the frame's cells.
sel_status sel_warp_new(sel_context *context, const struct sel_raster *raster,
    const struct sel_source *source, const struct sel_pixel_map *to_frame, struct sel_warp **out);
void sel_warp_free(struct sel_warp *warp);

// Fills block x block metres, NAN where unknown; the block begins at the frame cell (row, col).
sel_status sel_warp_fill(
    sel_context *context, struct sel_warp *warp, int64_t row, int64_t col, float *metres);

#endif
