// SPDX-License-Identifier: MIT
//
// Spoils a part of a choice, so that a search begun from there may end better.
#ifndef SEL_CHOOSE_RUIN_H
#define SEL_CHOOSE_RUIN_H

#include "choose/problem.h"

// Takes the sites around one of them out and fills the ground there again, by worth (of each
// position in problem->open) with some noise; what is left keeps spacing and maximum quotas. The
// `number` decides what is spoilt. SEL_NO_MEMORY without message.
sel_status sel_ruin(const struct sel_choice_problem *problem, const double *worth, uint32_t number,
    size_t *sites, int *site_count);

#endif
