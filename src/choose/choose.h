// SPDX-License-Identifier: MIT
//
// Chooses a spread set of sites under spacing, occupied places and quotas per pair of habitats and
// per block of ground, and reserves for each: greedily by score, or as near to the best total as a
// search comes, with a bound that tells how near. Ties: score, then row, then column, then pair.
#ifndef SEL_CHOOSE_CHOOSE_H
#define SEL_CHOOSE_CHOOSE_H

#include "base/status.h"

// What quotas count by. A candidate belongs to one group of each kind, or to none.
enum sel_quota_kind {
    SEL_BY_PAIR,  // the pair of habitats it lies between
    SEL_BY_BLOCK, // the block of ground it stands in
    SEL_QUOTA_KINDS
};

enum { SEL_NO_GROUP = -1 };

// What the choice needs to know of a candidate. Input order is free. All numbers are finite.
struct sel_choice_item {
    double score;                   // quantised to 1e-9
    double x_m, y_m;                // metres on the study grid
    int64_t hy, hx;                 // tie-break: lower hy, then lower hx, then lower pair; never
                                    // all three alike
    int32_t group[SEL_QUOTA_KINDS]; // dense numbers, 0..groups-1, or SEL_NO_GROUP
};

// The quota of every group of one kind.
struct sel_quota {
    int least, most;          // sites of a group; 0: no such quota
    int32_t groups;           // 0: this kind is not in use, and items' groups of it are not read
    const char *const *names; // of the groups, for messages; borrowed; NULL: numbers
};

struct sel_choice_rule {
    int sites;
    double apart_m;
    int reserves;           // per site, 0..SEL_RESERVES_MOST
    double reserve_reach_m; // how far a reserve may lie from its site
    double reserve_apart_m; // how near at least to its site and to the site's other reserves
    struct sel_quota quota[SEL_QUOTA_KINDS];
    double spread; // 0: the total score alone counts .. 1: even spread alone; see choose/spread.h
    bool relax;    // a minimum that cannot be met is met as far as it goes
    const char *plan; // the file the rule stands in, for messages; borrowed; NULL: none
};

struct sel_choice_point {
    double x_m, y_m;
};

enum { SEL_RESERVES_MOST = 5 };

// The other candidates within reach of a site, sites apart, by what kept them from being its
// reserve: the first of these, in this order, that holds.
struct sel_reserve_search {
    int64_t near_occupied; // not apart from an occupied place
    int64_t near_others;   // not apart from another site
    int64_t near_own;      // nearer than reserve_apart_m to the site or to a reserve of it
    int64_t taken;         // the reserve of a better site
};

struct sel_chosen {
    size_t item;                        // index of the candidate
    size_t reserves[SEL_RESERVES_MOST]; // indices, best first
    int reserve_count;
    struct sel_reserve_search search; // filled when there are fewer reserves than asked for
    // The candidate that makes the objective highest in its place, all other sites standing and all
    // quotas kept; SIZE_MAX: none.
    size_t successor;
    // The score below which the successor would be better in its place: the successor's own, unless
    // even spread counts; NAN: none.
    double drop_score;
};

// What became of a candidate. One that is neither site nor reserve gets the first of the other
// fates, in this order, that holds of the final set of sites.
enum sel_choice_fate {
    SEL_CHOICE_SITE,
    SEL_CHOICE_RESERVE,
    SEL_CHOICE_NEAR_OCCUPIED, // not apart from an occupied place
    SEL_CHOICE_NEAR_CHOSEN,   // not apart from a site
    SEL_CHOICE_PAIR_FULL,     // its pair has all the sites its quota allows
    SEL_CHOICE_BLOCK_FULL,    // its block has
    SEL_CHOICE_FOR_MINIMUM,   // beats a site, in whose place it could be but for a minimum
    SEL_CHOICE_FOR_SPREAD,    // beats a site, in whose place it could be but for even spread
    SEL_CHOICE_LOWER_SCORE,   // nothing against it, but better ones made up the number
    SEL_CHOICE_FATES
};

// A group that has fewer sites than its minimum asks for (only with `relax`). Why is looked at for
// the first SEL_SHORT_TOLD of each kind; -1: not looked at.
struct sel_shortfall {
    enum sel_quota_kind kind;
    int32_t group;
    int got;
    int64_t open; // its candidates away from occupied places
    int room;     // no more of them keep apart from one another
};

enum { SEL_SHORT_TOLD = 4 };

struct sel_choice {
    struct sel_chosen *sites; // owned; best first
    int count;
    uint8_t *fates; // owned; an enum sel_choice_fate for every candidate, in input order
    int64_t met[SEL_CHOICE_FATES]; // how many candidates met each fate; they add up to all
    double total_score;            // of the sites
    // What was maximised: the total score, or with `spread` the sum told in choose/spread.h.
    double objective;
    // No choice under the rule has a higher objective; equal to it (but for rounding) when the
    // choice is proven to be the best. NAN where no bound was computed.
    double bound;
    double even_m; // the distance at which sites count as evenly spread; 0 without `spread`
    struct sel_shortfall *shortfalls; // owned; by kind, then group
    int shortfall_count;
};

// Two places are apart when their distance is >= apart_m.
//
// A minimum asks for at least so many sites of each group that has a candidate. Minimums are met
// first, best scores first; if a group comes out short, its sites are placed before all others and
// the placing begins again, until no new group comes out short. SEL_BAD_INPUT with a message when
// minimums cannot be met, or are not met in this way (a way that is not found may exist); with
// `relax` the choice that came nearest stands, and what it lacks is told. After that the best
// candidate that keeps apart and within all quotas is taken until there are enough sites.
//
// Reserves: each site in turn, best first, takes the best candidates that lie within
// reserve_reach_m of it but not within reserve_apart_m, keep apart from all other sites and from
// occupied places, and are neither site nor reserve yet. They may lie near other sites' reserves,
// and no quota counts them.
//
// SEL_NOTHING (no message) when nothing can be chosen at all; fates and counts are filled then too.
// After any other failure the choice is empty. The input's order changes nothing but indices.
sel_status sel_choose(sel_context *context, const struct sel_choice_item *items, size_t count,
    const struct sel_choice_point *occupied, size_t occupied_count,
    const struct sel_choice_rule *rule, struct sel_choice *choice);

// The same, but searches for the choice of highest objective. Without spread it is exact when at
// most 60 candidates are apart from occupied places, else greedy, bettered by exchanges, and with a
// bound that tells how much better another choice could be at most. Of choices that total the same,
// more sites win, and where the search is exact, the order of score, row and column. Up to 1023
// sites. With at most 60 candidates a minimum is refused only when no choice meets it.
sel_status sel_choose_best(sel_context *context, const struct sel_choice_item *items, size_t count,
    const struct sel_choice_point *occupied, size_t occupied_count,
    const struct sel_choice_rule *rule, struct sel_choice *choice);

// Completes a choice whose sites are known (indices of items): reserves, fates, counts, totals.
// Quotas are not asked for, and nothing is searched; bound is NAN. The same statuses.
sel_status sel_choose_given(sel_context *context, const struct sel_choice_item *items, size_t count,
    const struct sel_choice_point *occupied, size_t occupied_count,
    const struct sel_choice_rule *rule, const size_t *sites, int site_count,
    struct sel_choice *choice);

void sel_choice_clear(struct sel_choice *choice);

#endif
