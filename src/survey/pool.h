// SPDX-License-Identifier: MIT
//
// The pool: the candidates whose light is measured and from which sites are chosen.
//
// Light is by far the dearest measure. But a candidate's score without it is known but for the
// sun's share, so the most it could score is known: its score in full sun. The pool is exactly the
// `least` best eligible candidates by their full score (more where scores tie), found without
// measuring those that even in full sun fall short. It does not depend on tiles or threads.
#ifndef SEL_SURVEY_POOL_H
#define SEL_SURVEY_POOL_H

#include "survey/crew.h"
#include "survey/measure.h"

// Takes the candidates over from the findings, drops those beyond a limit of a criterion other than
// the sun, and gives the rest the most they could score. Fills the tally so far.
void sel_pool_begin(struct sel_findings *findings, struct sel_survey *survey);

// Makes the pool at least `least` candidates (all, if there are fewer), measuring light where that
// is needed, and puts it first and in order; sets left_most. Where the sun has a limit, all are
// measured and those beyond it dropped and counted.
sel_status sel_pool_fill(
    sel_context *context, struct sel_crew *crew, size_t least, struct sel_survey *survey);

// Adds to the pool the candidates within `reach_m` of its candidates numbered in `centres`.
sel_status sel_pool_add_near(sel_context *context, struct sel_crew *crew, const size_t *centres,
    size_t centre_count, double reach_m, struct sel_survey *survey);

// Values of a candidate's measures, 0..1; NAN where a criterion is not in use.
void sel_candidate_values(const struct sel_survey *survey, const struct sel_candidate *candidate,
    double values[SEL_CRITERIA]);

#endif
