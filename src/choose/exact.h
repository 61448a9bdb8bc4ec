// SPDX-License-Identifier: MIT
//
// The best choice of all, by branch and bound, for at most SEL_EXACT_MOST candidates.
#ifndef SEL_CHOOSE_EXACT_H
#define SEL_CHOOSE_EXACT_H

#include "choose/problem.h"

enum { SEL_EXACT_MOST = 60 };

// Finds the choice of highest total under spacing and quotas among the open candidates (at most
// SEL_EXACT_MOST). Totals are sums of sel_site_weight; of equal ones stands the choice whose best
// site comes first, then whose next best does, and so on. Writes positions to `sites` (room for
// rule->sites), rising, and their number. Only totals of at least `floor_weight` are looked for (0:
// any). Minimum quotas may come short by problem->slack sites in all. False when no choice meets
// them and the floor: that is then proven. No allocation; thread-safe.
bool sel_choose_exact(
    const struct sel_choice_problem *problem, int64_t floor_weight, size_t *sites, int *site_count);

// The same, but the minimum quotas are met as far as they go: as few sites as possible are missing
// over all groups, and of such choices the one of highest total stands. There always is one.
void sel_choose_nearest(const struct sel_choice_problem *problem, size_t *sites, int *site_count);

#endif
