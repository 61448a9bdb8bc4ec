// SPDX-License-Identifier: MIT
//
// Chooses the study grid's frame: its CRS, its cell and where its cells are anchored. Which cells
// of the frame the grid then covers is a matter of the rasters' common part, see study.c.
#ifndef SEL_GRID_DERIVE_H
#define SEL_GRID_DERIVE_H

#include "grid/ground.h"
#include "grid/raster.h"
#include "plan/plan.h"

// Cells of a frame are numbered from its anchor, the map position `x0`, `y0`: cell (0, 0) lies
// south and east of it; numbers may be negative. The numbering does not depend on what part is
// used.
struct sel_frame {
    char *crs; // WKT; owned
    double x0, y0, dx, dy;
    double metres;    // per CRS unit
    bool is_own_grid; // the land cover's own cells
};

void sel_frame_clear(struct sel_frame *frame);

// `used` is the part of the land cover, in its pixels, that the elevation covers too. The CRS is
// the plan's, or else the land cover's own when projected, in a unit of known length and true to
// scale within 0.5 %; or else a UTM zone, an equal-area or a polar plane. The cells are the land
// cover's own where its CRS stays, it is not rotated and the plan asks for no other size.
sel_status sel_derive_frame(sel_context *context, const struct sel_plan *plan,
    const struct sel_raster *landcover, struct sel_extent used, struct sel_frame *frame);

// The frame as a shape of pixels, numbered as its cells, without a size. Owns a copy of the WKT;
// crs NULL: out of memory.
struct sel_shape sel_frame_shape(const struct sel_frame *frame);

// The largest scale error of a CRS at the centre, corners and edge midpoints of an extent of a
// shape; INFINITY where the CRS has no place for one of them.
sel_status sel_worst_scale(sel_context *context, const struct sel_shape *shape,
    struct sel_extent extent, const char *crs, double *error);

#endif
