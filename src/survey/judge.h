// SPDX-License-Identifier: MIT
//
// From measures to a choice.
#ifndef SEL_SURVEY_JUDGE_H
#define SEL_SURVEY_JUDGE_H

#include "survey/pool.h"

// Fills the pool, chooses sites and reserves from it and lists them, ranks and roles set, as
// survey->sites; fills the tally and the pairs. SEL_NOTHING (with a message) when none is left.
sel_status sel_settle(sel_context *context, struct sel_crew *crew,
    const struct sel_findings *findings, struct sel_survey *survey);

#endif
