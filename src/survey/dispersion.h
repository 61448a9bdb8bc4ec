// SPDX-License-Identifier: MIT
//
// How evenly the sites lie on the ground and over the pairs of habitats.
#ifndef SEL_SURVEY_DISPERSION_H
#define SEL_SURVEY_DISPERSION_H

#include "survey/result.h"

// Fills survey->dispersion and the distance of each primary to the nearest other. All eligible
// candidates count, in the pool or not.
sel_status sel_dispersion_find(sel_context *context, struct sel_survey *survey);

#endif
