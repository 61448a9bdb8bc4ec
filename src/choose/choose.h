// SPDX-License-Identifier: MIT
//
// Chooses a spread set of sites under spacing, occupied places and quotas per pair, and reserves
// for each: greedily by score, or as near to the best total as a search comes, with a bound that
// tells how near. Ties: score, then row, then column.
#ifndef SEL_CHOOSE_CHOOSE_H
#define SEL_CHOOSE_CHOOSE_H

#include "base/status.h"

// What the choice needs to know of a candidate. Input order is free. All numbers are finite.
struct sel_choice_item {
    double score;    // quantised to 1e-9
    double x_m, y_m; // metres on the study grid
    int64_t hy, hx;  // tie-break: lower hy, then lower hx, then lower pair; never all three alike
    int32_t pair;    // dense pair number, 0..pair_count-1
};

struct sel_choice_rule {
    int sites;
    double apart_m;
    int reserves;           // per site, 0..SEL_RESERVES_MOST
    double reserve_reach_m; // how far a reserve may lie from its site
    int pair_min, pair_max; // 0: none
    int32_t pair_count;
    const char *const *pair_names; // pair_count names for messages, borrowed; NULL: numbers
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

// What became of a candidate. One that is neither site nor reserve gets the first of the other
// fates, in this order, that holds of the final set of sites.
enum sel_choice_fate {
    SEL_CHOICE_SITE,
    SEL_CHOICE_RESERVE,
    SEL_CHOICE_NEAR_OCCUPIED, // not apart from an occupied place
    SEL_CHOICE_NEAR_CHOSEN,   // not apart from a site
    SEL_CHOICE_OVER_QUOTA,    // its pair has pair_max sites
    SEL_CHOICE_LOWER_SCORE,   // nothing against it, but better ones made up the number
    SEL_CHOICE_FATES
};

struct sel_choice {
    struct sel_chosen *sites; // owned; best first
    int count;
    uint8_t *fates; // owned; an enum sel_choice_fate for every candidate, in input order
    // How many candidates met each fate: these, with count and reserve_total, add up to their
    // number.
    int64_t near_occupied, near_chosen, over_quota, lower_score, reserve_total;
    double total_score; // of the sites
    // No choice under the rule totals more than this; equal to total_score (but for rounding) when
    // the choice is proven to be the best. NAN where no bound was computed.
    double bound;
};

// Two places are apart when their distance is >= apart_m.
//
// pair_min asks for at least so many sites of each pair that has a candidate. They are met first,
// best scores first; if a pair comes out short, its sites are placed before all others and the
// placing begins again, until no new pair comes out short. SEL_BAD_INPUT with a message when the
// minimum cannot be met, or is not met in this way (a way that is not found may exist). After that
// the best candidate that keeps apart and within pair_max is taken until there are enough sites.
//
// Reserves: each site in turn, best first, takes the best candidates that lie within
// reserve_reach_m of it, keep apart from all other sites and from occupied places, and are neither
// site nor reserve yet. They may lie near their own site and near other reserves, and no quota
// counts them.
//
// SEL_NOTHING (no message) when nothing can be chosen at all; fates and counts are filled then too.
// After any other failure the choice is empty. The input's order changes nothing but indices.
sel_status sel_choose(sel_context *context, const struct sel_choice_item *items, size_t count,
    const struct sel_choice_point *occupied, size_t occupied_count,
    const struct sel_choice_rule *rule, struct sel_choice *choice);

// The same, but searches for the choice of highest total: exact when at most 60 candidates are
// apart from occupied places, else greedy, bettered by exchanges, and with a bound that tells how
// much better another choice could be at most. Of choices that total the same, more sites win, and
// where the search is exact, the order of score, row and column. Up to 1023 sites. With at most 60
// candidates a minimum is refused only when no choice meets it.
sel_status sel_choose_best(sel_context *context, const struct sel_choice_item *items, size_t count,
    const struct sel_choice_point *occupied, size_t occupied_count,
    const struct sel_choice_rule *rule, struct sel_choice *choice);

void sel_choice_clear(struct sel_choice *choice);

#endif
