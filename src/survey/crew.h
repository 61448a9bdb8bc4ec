// SPDX-License-Identifier: MIT
//
// A job with the workers that do it, and the far ground read.
#ifndef SEL_SURVEY_CREW_H
#define SEL_SURVEY_CREW_H

#include "survey/worker.h"

struct sel_crew {
    struct sel_job job;
    struct sel_worker *workers;
    int threads;
    size_t pool_least; // see sel_run_options
    size_t all_up_to;  // so many eligible candidates are all in the pool
};

sel_status sel_crew_hire(sel_context *context, const struct sel_plan *plan,
    const struct sel_study *study, const sel_run_options *options, struct sel_crew *crew);
void sel_crew_dismiss(struct sel_crew *crew);

#endif
