// SPDX-License-Identifier: MIT
//
// Who would take a site's place if it went: what the site's score must stay above.
#ifndef SEL_CHOOSE_SUCCESSORS_H
#define SEL_CHOOSE_SUCCESSORS_H

#include "choose/taken.h"

// Fills choice->sites[].successor: the best candidate that keeps apart from all other sites and
// whose coming in for the site keeps all quotas; SIZE_MAX when there is none. `taken` counts the
// sites and is left as it was. False: out of memory.
bool sel_successors_find(
    const struct sel_choice_problem *problem, struct sel_taken *taken, struct sel_choice *choice);

#endif
