// SPDX-License-Identifier: MIT
//
// Betters a choice by exchanging sites.
#ifndef SEL_CHOOSE_EXCHANGE_H
#define SEL_CHOOSE_EXCHANGE_H

#include "choose/problem.h"

// Begins with a choice that keeps spacing and maximum quotas (positions in problem->open, room for
// rule->sites) and exchanges sites as long as fewer sites are missing for the minimums or, these
// being equal, the total weight rises, or until most_work neighbours were looked at (some 10 ns
// each); the result keeps the rules, too. *weight gets its total, *missing what minimums still
// lack. SEL_NO_MEMORY without message.
sel_status sel_exchange(const struct sel_choice_problem *problem, int64_t most_work, size_t *sites,
    int *site_count, int64_t *weight, int64_t *missing);

#endif
