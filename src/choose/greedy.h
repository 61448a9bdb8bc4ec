// SPDX-License-Identifier: MIT
//
// The greedy choice: minimum quotas first, then the best that fits until there are enough.
#ifndef SEL_CHOOSE_GREEDY_H
#define SEL_CHOOSE_GREEDY_H

#include "choose/problem.h"

// Writes the positions in problem->open of the chosen to `sites` (room for rule->sites) and their
// number to *site_count. SEL_BAD_INPUT with a message when a minimum is not met.
sel_status sel_choose_greedy(
    sel_context *context, const struct sel_choice_problem *problem, size_t *sites, int *site_count);

#endif
