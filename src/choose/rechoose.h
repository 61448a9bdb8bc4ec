// SPDX-License-Identifier: MIT
//
// The choice searched for again, with other scores for the candidates: over and over, so with
// little work each time.
#ifndef SEL_CHOOSE_RECHOOSE_H
#define SEL_CHOOSE_RECHOOSE_H

#include "choose/greedy.h"

// One thread's room. SEL_NO_MEMORY without message. The problem is borrowed.
struct sel_rechoose;
sel_status sel_rechoose_new(const struct sel_choice_problem *problem, struct sel_rechoose **search);
void sel_rechoose_free(struct sel_rechoose *search);

// Two choices to begin with, as positions in problem->open, both in keeping with spacing and
// maximum quotas.
struct sel_rechoose_start {
    const size_t *sites[2];
    int count[2];
};

// Betters both by exchanges, for the objective with the scores of `order`, and writes the better
// one to `sites` (room for rule->sites): exact for a few candidates, else what the exchanges come
// to among the best candidates and those begun with. SEL_NO_MEMORY without message.
sel_status sel_rechoose_run(struct sel_rechoose *search, const struct sel_greedy_order *order,
    const struct sel_rechoose_start *start, size_t *sites, int *site_count);

#endif
