// SPDX-License-Identifier: MIT
//
// Reads pixels of an elevation or canopy file as metres. Belongs to one thread.
#ifndef SEL_GRID_HEIGHT_CELLS_H
#define SEL_GRID_HEIGHT_CELLS_H

#include "grid/mask.h"
#include "grid/raster.h"
#include "grid/source.h"

struct sel_height_cells {
    struct sel_mask mask;
};

void sel_height_cells_clear(struct sel_height_cells *cells);

// Metres of a part of the file, rows `stride` apart; NAN where NoData, masked or not finite.
sel_status sel_height_cells_read(sel_context *context, struct sel_height_cells *cells,
    const struct sel_raster *raster, const struct sel_source *source, struct sel_raster_part part,
    float *metres, int64_t stride);

#endif
