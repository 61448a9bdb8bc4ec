// SPDX-License-Identifier: MIT
//
// The pipeline: the only place that knows the order of the stages.
#ifndef SEL_SURVEY_SURVEY_H
#define SEL_SURVEY_SURVEY_H

#include "survey/measure.h"

// Measures, judges, chooses and details. Edges go to the sink as they are traced. On SEL_NOTHING
// the survey is filled all the same, without sites, so that its account can be told.
sel_status sel_survey_run(sel_context *context, const struct sel_plan *plan,
    const struct sel_study *study, const sel_run_options *options, const struct sel_edge_sink *sink,
    struct sel_survey *survey);

// The first half alone, for one part of the tiles (options->part of options->parts).
// sel_findings_clear the findings.
sel_status sel_survey_measure(sel_context *context, const struct sel_plan *plan,
    const struct sel_study *study, const sel_run_options *options, const struct sel_edge_sink *sink,
    struct sel_findings *findings);

// The second half, from the findings of all parts, whose candidates it takes over.
sel_status sel_survey_conclude(sel_context *context, const struct sel_plan *plan,
    const struct sel_study *study, const sel_run_options *options, struct sel_findings *findings,
    struct sel_survey *survey);

void sel_survey_clear(struct sel_survey *survey);

#endif
