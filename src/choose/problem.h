// SPDX-License-Identifier: MIT
//
// What every way of choosing starts from, and how each of them ends: the candidates that keep apart
// from occupied places, best first; and, once sites are chosen, their reserves and the fates of all
// others.
#ifndef SEL_CHOOSE_PROBLEM_H
#define SEL_CHOOSE_PROBLEM_H

#include "choose/choose.h"
#include "choose/places.h"

struct sel_choice_problem {
    const struct sel_choice_item *items; // borrowed
    size_t count;
    const struct sel_choice_rule *rule; // borrowed
    struct sel_choice_item *open;       // owned copies; apart from occupied places, best first
    size_t *open_index;                 // owned; their indices in items
    size_t open_count;
    uint8_t *fates; // owned; for every item: NEAR_OCCUPIED, or LOWER_SCORE for the open ones
    // Owned; sites that each group needs: the quota's minimum where a candidate is of the group,
    // open or not, else 0. One more than there are groups, the last for "no group".
    int *need[SEL_QUOTA_KINDS];
    int64_t slack; // sites that minimums may miss in all: what a relaxed search has come down to
    double even_m; // how far apart even spread has sites, see choose/spread.h; 0 without spread
};

// SEL_NO_MEMORY without message; then there is nothing to clear.
sel_status sel_choice_problem_init(struct sel_choice_problem *problem,
    const struct sel_choice_item *items, size_t count, const struct sel_choice_point *occupied,
    size_t occupied_count, const struct sel_choice_rule *rule);
void sel_choice_problem_clear(struct sel_choice_problem *problem);

// The same problem with some of the open candidates only, by position, rising or in any order that
// a search is to follow. SEL_NO_MEMORY without message; then there is nothing to clear.
sel_status sel_choice_problem_part(const struct sel_choice_problem *whole, const size_t *positions,
    size_t count, struct sel_choice_problem *part);

// Fills `choice` for the chosen positions in `open` (any order; they are sorted), with reserves,
// fates, counts and total; takes the problem's fates over. SEL_NO_MEMORY without message.
sel_status sel_choice_finish(
    struct sel_choice_problem *problem, size_t *sites, int site_count, struct sel_choice *choice);

// The group of an item, with "no group" (also of kinds not in use) as the number after the last.
static inline int32_t sel_group_slot(
    const struct sel_choice_rule *rule, const struct sel_choice_item *item, int kind) {
    int32_t groups = rule->quota[kind].groups;
    return groups > 0 && item->group[kind] >= 0 ? item->group[kind] : groups;
}

// The most sites of the group in a slot; INT_MAX: no limit.
int sel_group_most(const struct sel_choice_rule *rule, int kind, int32_t slot);

// What a site adds to the total that the searches maximise: its score in whole steps of 1e-9, times
// 1024, plus one. Whole numbers make equal totals equal; the one makes more sites win among choices
// of the same total score (up to 1023 sites).
int64_t sel_site_weight(double score);

// The total score of a sum of weights, rounded up to the next step.
double sel_score_of_weight(int64_t weight);

#endif
