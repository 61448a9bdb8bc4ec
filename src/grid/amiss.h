// SPDX-License-Identifier: MIT
//
// The message for a land-cover value that is not whole or not in the habitat table.
#ifndef SEL_GRID_AMISS_H
#define SEL_GRID_AMISS_H

#include "grid/band.h"

// Fails for the grid cell (row, col), naming value, file, pixel, map position and the mend.
sel_status sel_fail_amiss(sel_context *context, const struct sel_study *study,
    const struct sel_band *landcover, int64_t row, int64_t col);

#endif
