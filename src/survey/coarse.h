// SPDX-License-Identifier: MIT
//
// The far levels of the shading surface: built once, in one streaming pass over the ground under
// study and the horizon's reach around it, kept in a scratch file without a name and read back in
// windows. So the horizon's 10 km do not multiply the reading of rasters, and memory stays bounded.
#ifndef SEL_SURVEY_COARSE_H
#define SEL_SURVEY_COARSE_H

#include "survey/worker.h"

// Builds the levels 1.. with the workers' readers (one per thread) and hangs them on the job.
sel_status sel_coarse_build(
    sel_context *context, struct sel_job *job, struct sel_worker *workers, int threads);
void sel_coarse_free(struct sel_coarse *coarse);

// Reads a window (in level cells) of level 1.. into `buffers`, which *out borrows; unknown outside
// what was built. Thread-safe.
sel_status sel_coarse_read(sel_context *context, const struct sel_coarse *coarse, int level,
    struct sel_window window, struct sel_level_buffers *buffers, struct sel_surface_level *out);

#endif
