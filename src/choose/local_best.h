// SPDX-License-Identifier: MIT
//
// Candidates that no other outdoes nearby, in one way or another: all that a choice made with other
// weights could want to hold.
#ifndef SEL_CHOOSE_LOCAL_BEST_H
#define SEL_CHOOSE_LOCAL_BEST_H

#include "choose/problem.h"

// Marks, by position in problem->open, the candidates that have no better one within radius_m in
// their order there (score, then place), or by one of the criteria alone, whose values are
// values[criterion][position] (ties: that order again). Where quotas of a kind are in
// force, only candidates of the same group of it outdo one another, for a full group leaves the
// others their chance. SEL_NO_MEMORY without message.
sel_status sel_local_bests(const struct sel_choice_problem *problem, double radius_m,
    const double *const *values, int criteria, bool *is_best);

#endif
