// SPDX-License-Identifier: MIT
//
// From measures to scores, from scores to an order, from the order to a choice.
#ifndef SEL_SURVEY_JUDGE_H
#define SEL_SURVEY_JUDGE_H

#include "survey/measure.h"

// Values of a candidate's measures, 0..1; NAN where a criterion is not in use.
void sel_candidate_values(const struct sel_survey *survey, const struct sel_candidate *candidate,
    double values[SEL_CRITERIA]);

// Takes the candidates over from `findings`, drops those beyond a limit, scores and sorts the rest,
// and fills the tally so far. The survey's plan, study, in_use and weights must be set.
void sel_judge(struct sel_findings *findings, struct sel_survey *survey);

// Chooses sites and reserves among the eligible and lists them, ranks and roles set, as
// survey->sites; fills the tally and the pairs. SEL_NOTHING (with a message) when none is left.
sel_status sel_settle(sel_context *context, const struct sel_job *job,
    const struct sel_findings *findings, struct sel_survey *survey);

#endif
