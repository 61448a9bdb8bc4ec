// SPDX-License-Identifier: MIT
//
// The choice as a whole, in figures and words: how near to the best it comes, how evenly its sites
// lie, which pairs of habitats it covers.
#ifndef SEL_OUTPUT_SPREAD_WORDS_H
#define SEL_OUTPUT_SPREAD_WORDS_H

#include "base/text.h"
#include "survey/result.h"

// How far the sites' shares of the pairs are off the pairs' shares of edge length: half the sum of
// the differences, 0 (alike) to 1.
double sel_pairs_off(const struct sel_survey *survey);

// Appends paragraphs and a table for the terminal: how good the choice is, how the sites lie, how
// they are shared among the pairs.
void sel_merit_words(const struct sel_survey *survey, struct sel_text *text);
void sel_spread_words(const struct sel_survey *survey, struct sel_text *text);

#endif
