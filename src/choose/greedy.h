// SPDX-License-Identifier: MIT
//
// The greedy choice: minimum quotas first, then the best that fits until there are enough.
#ifndef SEL_CHOOSE_GREEDY_H
#define SEL_CHOOSE_GREEDY_H

#include "choose/problem.h"

// The order in which a run meets the open candidates, best first, and their scores in it.
struct sel_greedy_order {
    size_t (*at)(void *user, size_t rank);        // position in problem->open
    double (*score)(void *user, size_t position); // asked only when the rule has spread
    void *user;
};

// The room that runs on one problem need; one thread's. SEL_NO_MEMORY without message.
struct sel_greedy;
sel_status sel_greedy_new(const struct sel_choice_problem *problem, struct sel_greedy **greedy);
void sel_greedy_free(struct sel_greedy *greedy);

// Writes the positions of the chosen to `sites` (room for rule->sites) and returns their number.
// *missing gets how many sites the minimum quotas still lack. With spread, what comes after the
// minimums is what adds most to the objective at each step. `order` NULL: as problem->open lists
// them. No allocation.
int sel_greedy_run(struct sel_greedy *greedy, const struct sel_greedy_order *order, size_t *sites,
    int64_t *missing);

#endif
