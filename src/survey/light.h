// SPDX-License-Identifier: MIT
//
// Light at a place: the season of its 512-cell block and the surface around it.
#ifndef SEL_SURVEY_LIGHT_H
#define SEL_SURVEY_LIGHT_H

#include "survey/worker.h"

// The season of a block: latitude, longitude and convergence of its middle, altitude the mean of
// its far ground. The same whoever asks, so results do not depend on tiles. Borrowed from the
// worker until SEL_LIGHT_SLOTS other blocks were asked for.
sel_status sel_light_of_block(sel_context *context, struct sel_worker *worker, int64_t block_row,
    int64_t block_col, const struct sel_block_light **light);

// Aims a view at `core` (study cells): horizons may be asked anywhere in it. The view is the
// worker's, valid until its next call.
sel_status sel_light_aim(sel_context *context, struct sel_worker *worker, struct sel_window core,
    const struct sel_horizon_view **view);

#endif
