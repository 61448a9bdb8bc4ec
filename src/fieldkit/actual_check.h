// SPDX-License-Identifier: MIT
//
// What must hold between the rows of actual.csv. Internal to the field kit.
#ifndef SEL_FIELDKIT_ACTUAL_CHECK_H
#define SEL_FIELDKIT_ACTUAL_CHECK_H

#include "fieldkit/actual.h"

// Sorts the rows, hands positions down from row to row of a site, and refuses what cannot be: two
// rows for one bottle, bottles that hang at the same time, a site without a position or with one
// more than 20 km from the plan.
sel_status sel_actual_check(
    const struct sel_fieldkit *kit, const char *path, struct sel_actual *actual);

#endif
