// SPDX-License-Identifier: MIT
//
// Runs of the choice on a world, with the context that the tests of a program share.
#ifndef SEL_TEST_CHOOSE_RUN_H
#define SEL_TEST_CHOOSE_RUN_H

#include "choose_world.h"

sel_status world_choose(const struct world *w, struct sel_choice *choice);
sel_status world_choose_best(const struct world *w, struct sel_choice *choice);

// The items that were chosen, in their order; returns how many.
int world_sites_of(const struct sel_choice *choice, size_t *sites);

// Fails the test unless the fates, sites and reserves of a choice tell of the same numbers.
void world_assert_counts_add_up(const struct world *w, const struct sel_choice *choice);

#endif
