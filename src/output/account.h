// SPDX-License-Identifier: MIT
//
// The account of what was dropped: one list, told by the summary and stored in the table `dropped`.
#ifndef SEL_OUTPUT_ACCOUNT_H
#define SEL_OUTPUT_ACCOUNT_H

#include "survey/result.h"

enum { SEL_REASON_SIZE = 80 };

// One line of the account. The lines of a step that follow its "all" add up to it.
struct sel_account_line {
    const char *step; // "groups", "candidates", "eligible"; static
    char reason[SEL_REASON_SIZE];
    bool is_total; // the step's own count
    bool goes_on;  // what the next step starts from (or the end: sites and reserves)
    int64_t count;
};

enum { SEL_ACCOUNT_LINES = 3 + SEL_FATES + (SEL_CRITERIA + 1) + 9 };

// Fills the lines in order; returns how many.
int sel_account(const struct sel_survey *survey, struct sel_account_line lines[SEL_ACCOUNT_LINES]);

#endif
