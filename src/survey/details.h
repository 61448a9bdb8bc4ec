// SPDX-License-Identifier: MIT
//
// Everything that is told of a chosen site beyond its criteria: place, bearings, owner, zones,
// water, horizon, profile and a close-up of the ground.
#ifndef SEL_SURVEY_DETAILS_H
#define SEL_SURVEY_DETAILS_H

#include "survey/worker.h"

// Fills survey->sites[index] in full; candidate, rank and reserve must be set.
sel_status sel_site_detail(sel_context *context, struct sel_worker *worker,
    const struct sel_survey *survey, struct sel_site *site);
void sel_site_clear(struct sel_site *site);

#endif
