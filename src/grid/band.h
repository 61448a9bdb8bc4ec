// SPDX-License-Identifier: MIT
//
// One raster as a reader holds it: its open file and, where it is resampled, the blocks made of it.
// Belongs to one thread.
#ifndef SEL_GRID_BAND_H
#define SEL_GRID_BAND_H

#include "grid/grid.h"
#include "grid/source.h"
#include "grid/study.h"

struct sel_band {
    const struct sel_source *source; // borrowed
    struct sel_raster raster;
    struct sel_pixel_map *to_frame; // resampled only, like all below
    struct sel_blocks *blocks;
    struct sel_nearest *nearest;
    struct sel_warp *warp;
};

// Cells of a window that are being filled, row-major.
struct sel_canvas {
    struct sel_window window; // in cells of the frame
    void *cells;
    size_t cell_bytes;
};

sel_status sel_band_open(sel_context *context, const struct sel_study *study,
    const struct sel_source *source, struct sel_band *band);
void sel_band_close(struct sel_band *band);

// The frame's cells that the file covers, and file pixels of such cells: read as it is only.
struct sel_window sel_band_covered(const struct sel_band *band);
struct sel_raster_part sel_band_pixels(const struct sel_band *band, struct sel_window window);

// Fills a part of the canvas from blocks: resampled only.
sel_status sel_band_fill(sel_context *context, struct sel_band *band,
    const struct sel_canvas *canvas, struct sel_window part);

// The cells both windows have; rows or cols 0: none.
struct sel_window sel_window_common(struct sel_window a, struct sel_window b);

// Where a cell of the window lies in the canvas.
void *sel_canvas_at(const struct sel_canvas *canvas, int64_t row, int64_t col);

#endif
