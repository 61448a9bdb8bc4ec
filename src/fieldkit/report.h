// SPDX-License-Identifier: MIT
//
// What `fieldkit` prints: the rounds, what was written, what to know before relying on it.
#ifndef SEL_FIELDKIT_REPORT_H
#define SEL_FIELDKIT_REPORT_H

#include "base/text.h"
#include "fieldkit/actual.h"
#include "base/folder.h"

// `actual` NULL: the kit was made from the plan.
void sel_fieldkit_report(const struct sel_fieldkit *kit, const struct sel_folder *folder,
    const struct sel_actual *actual, struct sel_text *report);

#endif
