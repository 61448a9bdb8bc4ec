// SPDX-License-Identifier: MIT
//
// Hiring sets up in the order in which dismissing takes down.
#include "survey/crew.h"

#include <stdlib.h>

#include "base/pool.h"
#include "survey/coarse.h"

// So many candidates are all looked at in full: that takes a second or two. Of more, so many of the
// best, at least.
enum { ALL_UP_TO = 40000, POOL_LEAST = 5000 };

void sel_crew_dismiss(struct sel_crew *crew) {
    for (int i = 0; crew->workers && i < crew->threads; i++)
        sel_worker_clear(&crew->workers[i]);
    free(crew->workers);
    sel_job_clear(&crew->job);
}

static size_t pool_least(const struct sel_plan *plan, const sel_run_options *options) {
    size_t wanted = options->pool_least > 0 ? (size_t)options->pool_least : POOL_LEAST;
    if (plan->candidates_limit > 0 && (uint64_t)plan->candidates_limit > wanted)
        wanted = (size_t)plan->candidates_limit;
    return wanted;
}

sel_status sel_crew_hire(sel_context *context, const struct sel_plan *plan,
    const struct sel_study *study, const sel_run_options *options, struct sel_crew *crew) {
    *crew = (struct sel_crew){.threads = sel_thread_count(options->threads),
        .pool_least = pool_least(plan, options),
        .all_up_to = options->pool_least > 0 ? 0 : ALL_UP_TO};
    sel_status status = sel_job_new(context, plan, study, &crew->job);
    if (status != SEL_OK)
        return status;
    crew->workers = calloc((size_t)crew->threads, sizeof *crew->workers);
    status = crew->workers ? SEL_OK : sel_fail_memory(context);
    for (int i = 0; i < crew->threads && status == SEL_OK; i++)
        status = sel_worker_new(context, &crew->job, &crew->workers[i]);
    if (status == SEL_OK)
        status = sel_coarse_build(context, &crew->job, crew->workers, crew->threads);
    if (status != SEL_OK)
        sel_crew_dismiss(crew);
    return status;
}
