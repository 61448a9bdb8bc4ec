// SPDX-License-Identifier: MIT
//
// Classes of a land-cover file on a block of the study grid's frame: each cell takes the pixel that
// holds its centre.
#ifndef SEL_GRID_NEAREST_H
#define SEL_GRID_NEAREST_H

#include "grid/class_cells.h"
#include "grid/pixel_map.h"

struct sel_nearest;

// Borrows the raster, the map from the file's pixels to the frame's cells, and the values.
sel_status sel_nearest_new(sel_context *context, const struct sel_raster *raster,
    const struct sel_pixel_map *to_frame, const struct sel_values *values, int side,
    struct sel_nearest **out);
void sel_nearest_free(struct sel_nearest *nearest);

// Fills side x side ids; the block begins at the frame cell (row, col).
sel_status sel_nearest_fill(sel_context *context, struct sel_nearest *nearest, int64_t row,
    int64_t col, sel_habitat_id *ids);

// The file pixel that a frame cell takes; false when its centre lies outside the file.
bool sel_nearest_pixel(
    struct sel_nearest *nearest, int64_t row, int64_t col, int64_t *file_row, int64_t *file_col);

#endif
