// SPDX-License-Identifier: MIT
//
// One part of a run.
#ifndef SEL_API_PARTS_H
#define SEL_API_PARTS_H

#include "api/jobs.h"

// Measures options->part of options->parts and writes it to `output`.
sel_status sel_rank_part(sel_context *context, const struct sel_opened *opened, const char *output,
    const sel_run_options *options, char **summary);

#endif
