// SPDX-License-Identifier: MIT
//
// Light at a place: the season of its block and the surface around it.
#ifndef SEL_SURVEY_LIGHT_H
#define SEL_SURVEY_LIGHT_H

#include "survey/worker.h"

// Side of the blocks that share a season, cells: 512, or the largest power of two whose side stays
// under 20 km, but at least 4.
int64_t sel_light_block_cells(const struct sel_grid *grid);

// The season of the block that holds a candidate's crack: latitude, longitude and convergence of
// the block's middle, altitude the mean of its far ground. The same whoever asks, so results do not
// depend on tiles. Borrowed from the worker until SEL_LIGHT_SLOTS other blocks were asked for.
sel_status sel_light_of(sel_context *context, struct sel_worker *worker,
    const struct sel_candidate *candidate, const struct sel_block_light **light);

// Aims a view at `core` (study cells): horizons may be asked anywhere in it. The view is the
// worker's, valid until its next call.
sel_status sel_light_aim(sel_context *context, struct sel_worker *worker, struct sel_window core,
    const struct sel_horizon_view **view);

// The horizon of a candidate's head. The head stands at the wood's margin: it is taken at the
// crack's middle, also where the trap itself may stand on one side alone and its place is written
// as the middle of that side's cell.
sel_status sel_light_horizon(sel_context *context, const struct sel_job *job,
    const struct sel_horizon_view *view, const struct sel_candidate *candidate,
    struct sel_horizon *horizon);

#endif
