// SPDX-License-Identifier: MIT
//
// How a choice would have come out with other weights: stochastic multicriteria acceptability
// analysis (Lahdelma, Hokkanen & Salminen 1998), with the greedy choice made again for each draw of
// weights among the local bests (choose/local_best.h) within half of apart_m and the sites and
// reserves in question.
#ifndef SEL_CHOOSE_ROBUST_H
#define SEL_CHOOSE_ROBUST_H

#include "choose/choose.h"
#include "choose/reweigh.h"

struct sel_robust_rule {
    int criteria;
    double weights[SEL_CRITERIA_MOST]; // the plan's; sum 1
    bool geometric;
    int draws;
    double concentration; // of the Dirichlet distribution about the plan's weights
    uint64_t seed;
    int threads;
};

// A site or reserve in question is taken when a choice holds it or a candidate within half of
// apart_m of it.
struct sel_robust_site {
    bool taken;              // by the greedy choice at the plan's weights
    double share_taken;      // of the draws
    int rank_low, rank_high; // 5th and 95th percentile of its rank among the local bests
    // The nearest weights below and above the plan's, in whole hundredths, at which the choice
    // searched for anew (choose/rechoose.h) does not take it, the other weights keeping their
    // proportions; NAN: none, or no chosen item stands for it to begin with.
    double lower[SEL_CRITERIA_MOST], higher[SEL_CRITERIA_MOST];
};

struct sel_robust_input {
    const struct sel_choice_item *items;
    size_t count;
    const double *values[SEL_CRITERIA_MOST]; // of each criterion for each item, 0..1
    const struct sel_choice_point *occupied;
    size_t occupied_count;
    const struct sel_choice_rule *rule;
    const size_t *kept; // the items in question, apart from occupied places, none twice
    size_t kept_count;
    const size_t
        *chosen; // the sites of the choice, all of them kept; none: weights are not shifted
    size_t chosen_count;
};

// Fills `sites` (room for kept_count) and the number of local bests. Minimum quotas are met in each
// draw as far as the greedy choice gets. Same result for any number of threads and any order of
// items. Fails with SEL_NO_MEMORY, or SEL_INTERRUPTED.
sel_status sel_robust_run(sel_context *context, const struct sel_robust_input *input,
    const struct sel_robust_rule *rule, struct sel_robust_site *sites, size_t *local_bests);

#endif
