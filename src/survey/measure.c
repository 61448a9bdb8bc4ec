// SPDX-License-Identifier: MIT
//
// Each thread keeps what its tiles found to itself until all are done.
#include "survey/measure.h"

#include <stdlib.h>
#include <string.h>

#include "base/array.h"
#include "base/pool.h"

sel_status sel_findings_init(
    sel_context *context, const struct sel_plan *plan, struct sel_findings *findings) {
    size_t side = (size_t)plan->habitats.count + 1;
    *findings = (struct sel_findings){0};
    findings->counts.edge_mm = calloc(side * side, sizeof(int64_t));
    return findings->counts.edge_mm ? SEL_OK : sel_fail_memory(context);
}

void sel_findings_clear(struct sel_findings *findings) {
    sel_candidates_clear(&findings->candidates);
    free(findings->counts.edge_mm);
    *findings = (struct sel_findings){0};
}

struct measuring {
    sel_context *context;
    const struct sel_tiling *tiling;
    struct sel_worker *workers;
    const struct sel_edge_sink *sink;
    struct sel_findings *by_thread; // one per thread
};

static sel_status run_tile(void *user, int thread, int64_t index) {
    struct measuring *measuring = user;
    struct sel_findings *mine = &measuring->by_thread[thread];
    struct sel_window core = sel_tile_core(measuring->tiling, index);
    return sel_tile_run(measuring->context, &measuring->workers[thread], core, measuring->sink,
        &mine->candidates, &mine->counts);
}

static sel_status add_findings(
    sel_context *context, size_t pairs, const struct sel_findings *from, struct sel_findings *to) {
    size_t count = to->candidates.count + from->candidates.count;
    if (from->candidates.count > 0) {
        struct sel_candidate *grown =
            sel_grow(to->candidates.items, count, &to->candidates.capacity, sizeof *grown);
        if (!grown)
            return sel_fail_memory(context);
        to->candidates.items = grown;
        memcpy(grown + to->candidates.count, from->candidates.items,
            from->candidates.count * sizeof *grown);
        to->candidates.count = count;
    }
    to->counts.cracks += from->counts.cracks;
    for (int i = 0; i < SEL_FATES; i++)
        to->counts.fates[i] += from->counts.fates[i];
    for (size_t i = 0; i < pairs; i++)
        to->counts.edge_mm[i] += from->counts.edge_mm[i];
    return SEL_OK;
}

sel_status sel_measure(sel_context *context, const struct sel_job *job,
    const struct sel_tiling *tiling, struct sel_worker *workers, int threads,
    const struct sel_edge_sink *sink, struct sel_findings *findings) {
    size_t side = (size_t)job->plan->habitats.count + 1;
    struct sel_findings *by_thread = calloc((size_t)threads, sizeof *by_thread);
    if (!by_thread)
        return sel_fail_memory(context);
    struct measuring measuring = {context, tiling, workers, sink, by_thread};
    findings->cut = tiling->cut;
    sel_status status = SEL_OK;
    for (int i = 0; i < threads && status == SEL_OK; i++)
        status = sel_findings_init(context, job->plan, &by_thread[i]);
    if (status == SEL_OK)
        status =
            sel_pool_run(context, "measuring edges", threads, tiling->count, run_tile, &measuring);
    for (int i = 0; i < threads; i++) {
        if (status == SEL_OK)
            status = add_findings(context, side * side, &by_thread[i], findings);
        sel_findings_clear(&by_thread[i]);
    }
    free(by_thread);
    return status;
}
