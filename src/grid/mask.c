// SPDX-License-Identifier: MIT
//
// The memory of one strip serves all that follow.
#include "grid/mask.h"

#include <stdlib.h>

#include "base/array.h"

enum { STRIP_CELLS = 1 << 17 };

int64_t sel_strip_rows(int64_t cols) {
    int64_t rows = STRIP_CELLS / cols;
    return rows < 1 ? 1 : rows;
}

sel_status sel_mask_read(sel_context *context, struct sel_mask *mask,
    const struct sel_raster *raster, struct sel_raster_part part) {
    size_t needed = (size_t)(part.rows * part.cols);
    uint8_t *cells = sel_grow(mask->cells, needed, &mask->capacity, sizeof *cells);
    if (!cells)
        return sel_fail_memory(context);
    mask->cells = cells;
    return sel_raster_read(
        context, raster, GDALGetMaskBand(raster->band), part, cells, GDT_Byte, part.cols);
}

void sel_mask_clear(struct sel_mask *mask) {
    free(mask->cells);
    *mask = (struct sel_mask){0};
}
