// SPDX-License-Identifier: MIT
//
// Whether the plan's vector layers lie where they can count: on the study grid, or near enough to
// it. A layer that every score or quota rests on (access, choose.blocks, like area) is refused when
// nothing of it does; one that may rightly be empty here (lines, parcels, zones, occupied) is told
// of.
#ifndef SEL_SURVEY_REACH_H
#define SEL_SURVEY_REACH_H

#include "survey/job.h"

// Fails, naming file, layer, distance and mend, when nothing of the plan's entry `access[index]`
// is near enough to tell places apart.
sel_status sel_check_access_reach(
    sel_context *context, const struct sel_job *job, size_t index, struct sel_layer_tally tally);

// Fails when job->blocks are given and none meets the grid.
sel_status sel_check_blocks_reach(sel_context *context, const struct sel_job *job);

// Calls `tell` with a sentence for each layer that may be empty here and is.
typedef void sel_idle_layer_fn(void *user, const char *sentence);
void sel_each_idle_layer(const struct sel_job *job, sel_idle_layer_fn *tell, void *user);

#endif
