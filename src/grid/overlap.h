// SPDX-License-Identifier: MIT
//
// Which part of one raster lies within another's extent, whatever their CRSs.
#ifndef SEL_GRID_OVERLAP_H
#define SEL_GRID_OVERLAP_H

#include "grid/ground.h"
#include "grid/raster.h"

struct sel_overlap {
    struct sel_extent extent; // pixels of `of`, the bounding rectangle of the common part
    double share;             // of the area of `of`, 0..1; 0: no overlap, extent empty
};

// A raster with a name for messages.
struct sel_named_shape {
    const char *file;
    const struct sel_shape *shape;
};

sel_status sel_overlap_find(sel_context *context, struct sel_named_shape of,
    struct sel_named_shape within, struct sel_overlap *out);

#endif
