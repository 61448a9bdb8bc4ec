// SPDX-License-Identifier: MIT
//
// What the choice tells of the survey made by hand: plain functions of a site's number.
#ifndef SEL_TEST_OUTPUT_CHOICE_H
#define SEL_TEST_OUTPUT_CHOICE_H

#include "survey/result.h"

// Fills fates, standings, ranges of scores, distances, merit, robustness and dispersion. A place
// within `apart_m` of a primary is too near it, any other scored lower; every fifth site has a
// block-less place, the others block "east" or "west" by their column.
void output_choice_fill(struct sel_survey *survey, double apart_m);
void output_choice_clear(struct sel_survey *survey);

#endif
