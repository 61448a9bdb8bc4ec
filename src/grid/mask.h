// SPDX-License-Identifier: MIT
//
// Which pixels of a file's rectangle are unknown by GDAL's mask of the band, whatever lies behind
// it (alpha, a mask file, NoData), strip by strip.
#ifndef SEL_GRID_MASK_H
#define SEL_GRID_MASK_H

#include <stddef.h>
#include <stdint.h>

#include "grid/raster.h"

struct sel_mask {
    uint8_t *cells; // owned; 0: unknown; the rows of the last rectangle read, without gaps
    size_t capacity;
};

// So many rows of `cols` pixels make a strip that stays in the processor's cache; at least 1.
int64_t sel_strip_rows(int64_t cols);

sel_status sel_mask_read(sel_context *context, struct sel_mask *mask,
    const struct sel_raster *raster, struct sel_raster_part part);
void sel_mask_clear(struct sel_mask *mask);

#endif
