// SPDX-License-Identifier: MIT
//
// The candidates around each chosen site, and why they lost.
#ifndef SEL_SURVEY_RIVALS_H
#define SEL_SURVEY_RIVALS_H

#include "survey/result.h"

// How far around a site rivals are told, m.
static const double SEL_RIVAL_REACH_M = 1000.0;

// Fills survey->rivals: for every primary site the eligible candidates within 1 km that are not
// primary themselves, nearest first.
sel_status sel_rivals_find(sel_context *context, struct sel_survey *survey);

// What the choice made of a candidate, in words, by its enum sel_choice_fate. Static storage.
const char *sel_choice_fate_name(uint8_t fate);

#endif
