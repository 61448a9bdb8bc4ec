// SPDX-License-Identifier: MIT
//
// How many sites each group has, and what the minimum quotas still miss: kept up to date while
// sites come and go.
#ifndef SEL_CHOOSE_TAKEN_H
#define SEL_CHOOSE_TAKEN_H

#include "choose/problem.h"

struct sel_taken {
    const struct sel_choice_problem *problem;
    int *sites[SEL_QUOTA_KINDS]; // owned; by slot, see sel_group_slot
    int64_t missing;             // sites below the minimums, over all groups of all kinds
};

// False when memory is out; then there is nothing to clear.
bool sel_taken_init(struct sel_taken *taken, const struct sel_choice_problem *problem);
void sel_taken_clear(struct sel_taken *taken);
void sel_taken_reset(struct sel_taken *taken); // to no sites

// Counts a site in (by = 1) or out (by = -1).
void sel_taken_count(struct sel_taken *taken, const struct sel_choice_item *item, int by);

// Whether the maximum quotas of all its groups leave room for one more.
bool sel_taken_has_room(const struct sel_taken *taken, const struct sel_choice_item *item);

// Whether some group of the item is below its minimum, or would be without one of its sites.
bool sel_taken_needs(const struct sel_taken *taken, const struct sel_choice_item *item);
bool sel_taken_can_spare(const struct sel_taken *taken, const struct sel_choice_item *item);

// How many minimums count the item as a site they lack; how many would lack it if it went.
int sel_taken_gain(const struct sel_taken *taken, const struct sel_choice_item *item);
int sel_taken_loss(const struct sel_taken *taken, const struct sel_choice_item *item);

// Whether quotas allow one item in the place of another, with no more missing than before. Counts
// are as they were when it returns.
bool sel_taken_may_exchange(
    struct sel_taken *taken, const struct sel_choice_item *out, const struct sel_choice_item *in);

// What such sites (positions in problem->open) miss of the minimums. False when memory is out.
bool sel_taken_missing(const struct sel_choice_problem *problem, const size_t *sites,
    int site_count, int64_t *missing);

#endif
