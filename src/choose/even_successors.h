// SPDX-License-Identifier: MIT
//
// Who would take a site's place where even spread counts beside the score.
#ifndef SEL_CHOOSE_EVEN_SUCCESSORS_H
#define SEL_CHOOSE_EVEN_SUCCESSORS_H

#include "choose/taken.h"

// Fills `successor` and `drop_score` of each site: the candidate that makes the objective highest
// in its place, all other sites standing and all quotas kept. `taken` holds the sites' groups.
// False when memory is out.
bool sel_even_successors_find(
    const struct sel_choice_problem *problem, struct sel_taken *taken, struct sel_choice *choice);

#endif
