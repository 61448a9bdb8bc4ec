// SPDX-License-Identifier: MIT
//
// How much the best choice can score at most, and which candidates it can hold.
#ifndef SEL_CHOOSE_BOUND_H
#define SEL_CHOOSE_BOUND_H

#include "choose/problem.h"

struct sel_bound;

// Of choices that miss no more of the minimums than problem->slack. SEL_NO_MEMORY without message.
// The problem is borrowed.
sel_status sel_bound_new(const struct sel_choice_problem *problem, struct sel_bound **bound);
void sel_bound_free(struct sel_bound *bound);

// Tightens the bound by up to `rounds` rounds, given that a choice of `reached` weight is known (0:
// none), and drops candidates that no better choice can hold. False when more rounds would be of no
// use: nothing better is possible (then none is left), or the steps have become too small.
bool sel_bound_tighten(struct sel_bound *bound, int64_t reached, int rounds);

// Tells the bound that no choice weighs more than this: the exact search has settled what was left.
void sel_bound_close(struct sel_bound *bound, int64_t weight);

// No choice that keeps the rules weighs more than this, nor more than what was reached.
int64_t sel_bound_weight(const struct sel_bound *bound);

// Positions in problem->open of the candidates not dropped, rising, and what each is worth once
// what it takes from others is paid for (may be negative); borrowed, valid until the next call.
size_t sel_bound_left(
    const struct sel_bound *bound, const size_t **positions, const double **worth);

#endif
