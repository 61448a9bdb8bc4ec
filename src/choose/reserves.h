// SPDX-License-Identifier: MIT
//
// Reserves for the sites of a choice, and why a site has fewer than were asked for.
#ifndef SEL_CHOOSE_RESERVES_H
#define SEL_CHOOSE_RESERVES_H

#include "choose/problem.h"

// Fills the reserves of choice->sites, marks them in choice->fates, and fills the search of each
// site that comes short. `sites` holds the sites' places by rank from 0. False: out of memory.
bool sel_reserves_find(const struct sel_choice_problem *problem, const struct sel_places *sites,
    struct sel_choice *choice);

#endif
