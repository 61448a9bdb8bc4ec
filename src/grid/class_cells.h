// SPDX-License-Identifier: MIT
//
// Reads pixels of a land-cover file as habitat ids. Belongs to one thread.
#ifndef SEL_GRID_CLASS_CELLS_H
#define SEL_GRID_CLASS_CELLS_H

#include "grid/mask.h"
#include "grid/raster.h"
#include "grid/values.h"

struct sel_class_cells {
    const struct sel_raster *raster; // borrowed
    const struct sel_values *values; // borrowed
    sel_habitat_id of_byte[256];
    double *strip; // owned
    size_t strip_cells;
    struct sel_mask mask;
};

void sel_class_cells_init(struct sel_class_cells *cells, const struct sel_raster *raster,
    const struct sel_values *values);
void sel_class_cells_clear(struct sel_class_cells *cells);

// Habitat ids of a part of the file, rows `stride` apart: NoData, NAN and masked pixels are
// unknown, values that are not whole or not listed SEL_HABITAT_AMISS.
sel_status sel_class_cells_read(sel_context *context, struct sel_class_cells *cells,
    struct sel_raster_part part, sel_habitat_id *ids, int64_t stride);

// The raw value of one pixel as a number; bytes that mean signed numbers are turned into them.
sel_status sel_class_value(
    sel_context *context, const struct sel_raster *raster, int64_t col, int64_t row, double *value);

// The number a stored value means; differs from it for signed bytes only.
double sel_meant_value(const struct sel_raster *raster, double stored);

#endif
