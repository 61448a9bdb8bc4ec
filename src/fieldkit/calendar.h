// SPDX-License-Identifier: MIT
//
// calendar.ics: what each round does on which day (iCalendar, RFC 5545).
#ifndef SEL_FIELDKIT_CALENDAR_H
#define SEL_FIELDKIT_CALENDAR_H

#include "base/text.h"
#include "fieldkit/data.h"

void sel_fieldkit_calendar(const struct sel_fieldkit *kit, struct sel_text *ics);

#endif
