// SPDX-License-Identifier: MIT
//
// Windows of ground: habitats as the rasters and narrow layers give them (raw), habitats with
// specks removed (used), elevation, and the surface that shades.
#ifndef SEL_SURVEY_GROUND_H
#define SEL_SURVEY_GROUND_H

#include "survey/worker.h"

// Raw ids of a window, narrow habitats burned in. The array is the worker's; valid until its next
// call of this or of sel_ground_habitats.
sel_status sel_ground_raw(sel_context *context, struct sel_worker *worker, struct sel_window window,
    const sel_habitat_id **raw);

// Raw and used ids of a window. Both arrays are the worker's.
sel_status sel_ground_habitats(sel_context *context, struct sel_worker *worker,
    struct sel_window window, const sel_habitat_id **raw, const sel_habitat_id **used);

// Elevation of a window, m. The array is the worker's.
sel_status sel_ground_elevation(sel_context *context, struct sel_worker *worker,
    struct sel_window window, const float **metres);

// Level 0 of the shading surface: trees shade as the land cover has them, specks included. Where a
// canopy raster is given its heights stand; where it is unknown, the habitat's. Heights that no
// tree has are refused.
sel_status sel_ground_surface(sel_context *context, struct sel_worker *worker,
    struct sel_window window, struct sel_surface_level *level);

// Adds the cells of the last surface read to the worker's count. `window` is that surface's.
void sel_ground_count_canopy(struct sel_worker *worker, struct sel_window window);

// Mean elevation of the cells that touch a half-cell position; NAN when any is unknown. `window`
// is that of `metres`.
double sel_ground_height(const float *metres, struct sel_window window, int64_t hx, int64_t hy);

#endif
