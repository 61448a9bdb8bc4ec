// SPDX-License-Identifier: MIT
//
// What the person with the kit should know before relying on it: odd intervals, days that are too
// long, guesses, things left out.
#ifndef SEL_FIELDKIT_REMARKS_H
#define SEL_FIELDKIT_REMARKS_H

#include "fieldkit/data.h"

enum { SEL_KIT_REMARKS_MOST = 16, SEL_KIT_REMARK_SIZE = 360 };

struct sel_kit_remarks {
    char lines[SEL_KIT_REMARKS_MOST][SEL_KIT_REMARK_SIZE];
    size_t count;
};

void sel_fieldkit_remarks(const struct sel_fieldkit *kit, struct sel_kit_remarks *remarks);

#endif
