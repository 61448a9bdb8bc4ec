// SPDX-License-Identifier: MIT
//
// The unit that heights are stored in.
#ifndef SEL_GRID_HEIGHTS_H
#define SEL_GRID_HEIGHTS_H

#include "grid/raster.h"
#include "plan/plan.h"

// Metres per unit of the band's values: from the plan, or the band, or the CRS's vertical part;
// metres are assumed, with a note, where none of them tells. *name (free with free) is the unit as
// printed. `key` is the plan's key of the raster, for messages. An unknown unit fails.
sel_status sel_height_unit(sel_context *context, const struct sel_raster *raster, const char *key,
    enum sel_unit wanted, double *metres, char **name);

#endif
