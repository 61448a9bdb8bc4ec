// SPDX-License-Identifier: MIT
//
// Chooses a spread set of sites: greedy by score under spacing, occupied places and quotas per
// pair, and a reserve for each. Ties: score, then row, then column.
#ifndef SEL_CHOOSE_CHOOSE_H
#define SEL_CHOOSE_CHOOSE_H

#include "base/status.h"

// What the choice needs to know of a candidate. Input order is free.
struct sel_choice_item {
    double score;    // quantised to 1e-9
    double x_m, y_m; // metres on the study grid
    int64_t hy, hx;  // tie-break: lower hy, then lower hx, then lower pair
    int32_t pair;    // dense pair number, 0..pair_count-1
};

struct sel_choice_rule {
    int sites;
    double apart_m;
    int reserves;           // per site
    double reserve_reach_m; // how far a reserve may lie from its site
    int pair_min, pair_max; // 0: none
    int32_t pair_count;
};

struct sel_choice_point {
    double x_m, y_m;
};

enum { SEL_RESERVES_MOST = 5 };

struct sel_chosen {
    size_t item;                        // index of the candidate
    size_t reserves[SEL_RESERVES_MOST]; // indices, best first
    int reserve_count;
};

struct sel_choice {
    struct sel_chosen *sites; // owned; best first
    int count;
    // Why the candidates that were not chosen were not: counts that, with count and the reserves,
    // add up to the number of candidates.
    int64_t near_occupied, near_chosen, over_quota, lower_score, reserve_total;
    double total_score;
};

// Two places are apart when their distance is >= apart_m. pair_min asks for at least so many sites
// of each pair that has a candidate: met first, best scores first; SEL_BAD_INPUT with a message
// when it cannot be met. SEL_NOTHING (no message) when nothing can be chosen at all.
sel_status sel_choose(sel_context *context, const struct sel_choice_item *items, size_t count,
    const struct sel_choice_point *occupied, size_t occupied_count,
    const struct sel_choice_rule *rule, struct sel_choice *choice);
void sel_choice_clear(struct sel_choice *choice);

#endif
