// SPDX-License-Identifier: MIT
//
// The tiled pass over the ground: everything that is measured, before anything is judged.
#ifndef SEL_SURVEY_MEASURE_H
#define SEL_SURVEY_MEASURE_H

#include "survey/tile.h"
#include "survey/tiling.h"

// What the tiles found. Candidates are in no particular order: the judging sorts them.
struct sel_findings {
    struct sel_candidates candidates;
    struct sel_tile_counts counts; // edge_mm owned here
    struct sel_cut cut;            // the ground that was measured
};
sel_status sel_findings_init(
    sel_context *context, const struct sel_plan *plan, struct sel_findings *findings);
void sel_findings_clear(struct sel_findings *findings);

// Runs the tiles of this part on the workers and adds what they find.
sel_status sel_measure(sel_context *context, const struct sel_job *job,
    const struct sel_tiling *tiling, struct sel_worker *workers, int threads,
    const struct sel_edge_sink *sink, struct sel_findings *findings);

#endif
