// SPDX-License-Identifier: MIT
//
// Every assumption a run made, in plain words: shown by the summary and kept in the output.
#ifndef SEL_SURVEY_REMARKS_H
#define SEL_SURVEY_REMARKS_H

#include "survey/job.h"

// Sites that minimums miss in all (only with choose.relax).
int64_t sel_sites_missed(const struct sel_survey *survey);

sel_status sel_remarks_write(
    sel_context *context, const struct sel_job *job, struct sel_survey *survey);

#endif
