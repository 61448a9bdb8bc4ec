// SPDX-License-Identifier: MIT
//
// How the sites stand when the weights vary.
#ifndef SEL_SURVEY_ROBUSTNESS_H
#define SEL_SURVEY_ROBUSTNESS_H

#include "survey/crew.h"

// Fills the standing of every site and reserve, and survey->robustness.
sel_status sel_robustness_find(
    sel_context *context, const struct sel_crew *crew, struct sel_survey *survey);

#endif
