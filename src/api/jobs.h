// SPDX-License-Identifier: MIT
//
// What the public calls share: a plan with its study, opened and closed together.
#ifndef SEL_API_JOBS_H
#define SEL_API_JOBS_H

#include "base/text.h"
#include "grid/study.h"
#include "plan/plan.h"

struct sel_opened {
    struct sel_plan plan;
    struct sel_study study;
};

// Reads the plan and opens its rasters.
sel_status sel_opened_open(sel_context *context, const char *plan, struct sel_opened *opened);
void sel_opened_close(struct sel_opened *opened);

// Refuses options that make no sense: tiles that are no multiple of 512, a part outside its parts.
sel_status sel_check_options(sel_context *context, const sel_run_options *options);

// Hands a text to the caller of a public function; SEL_NO_MEMORY when it failed to grow.
sel_status sel_hand_over(sel_context *context, struct sel_text *text, char **out);

#endif
