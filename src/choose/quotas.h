// SPDX-License-Identifier: MIT
//
// What is said when quotas cannot be met: which, and why.
#ifndef SEL_CHOOSE_QUOTAS_H
#define SEL_CHOOSE_QUOTAS_H

#include "choose/problem.h"

// Refuses quotas whose numbers alone rule a choice out: a minimum above its maximum, and (unless
// the rule relaxes) minimums that add up to more than the sites. SEL_BAD_INPUT with a message.
sel_status sel_quotas_check(sel_context *context, const struct sel_choice_problem *problem);

// The failure of a choice that leaves minimums unmet (positions in problem->open): names the groups
// that come short, each with the reason. `proven` tells that no choice meets them. SEL_BAD_INPUT.
sel_status sel_quotas_fail(sel_context *context, const struct sel_choice_problem *problem,
    const size_t *sites, int site_count, bool proven);

// Lists the groups that have fewer sites than the rule asks of groups with a candidate.
// SEL_NO_MEMORY without message.
sel_status sel_quotas_list_short(const struct sel_choice_problem *problem, const size_t *sites,
    int site_count, struct sel_shortfall **shortfalls, int *count);

#endif
