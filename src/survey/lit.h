// SPDX-License-Identifier: MIT
//
// Measures the light of candidates, tile by tile.
#ifndef SEL_SURVEY_LIT_H
#define SEL_SURVEY_LIT_H

#include "survey/crew.h"

// Measures sun, sky and light azimuth of candidates[0..count-1] and marks them lit. Their order may
// change.
sel_status sel_lit_measure(
    sel_context *context, struct sel_crew *crew, struct sel_candidate *candidates, size_t count);

#endif
