// SPDX-License-Identifier: MIT
//
// How far the score of a site may be off because elevations and land cover are.
#ifndef SEL_SURVEY_UNCERTAINTY_H
#define SEL_SURVEY_UNCERTAINTY_H

#include "survey/worker.h"

// Fills score_low and score_high of every site and reserve, the 5th and 95th percentile of the
// score over draws of errors; NAN when the plan asks for none.
sel_status sel_uncertainty_find(
    sel_context *context, struct sel_worker *worker, struct sel_survey *survey);

#endif
