// SPDX-License-Identifier: MIT
//
// events.csv and meta.xml: the survey as Darwin Core events, one parent per site and one child per
// service, an archive of its own (Darwin Core text guide).
#ifndef SEL_FIELDKIT_EVENTS_H
#define SEL_FIELDKIT_EVENTS_H

#include "base/text.h"
#include "fieldkit/actual.h"

// The events as planned.
void sel_fieldkit_events_planned(const struct sel_fieldkit *kit, struct sel_text *csv);

// The events as they were; what was planned is told in the remarks only.
void sel_fieldkit_events_actual(
    const struct sel_fieldkit *kit, const struct sel_actual *actual, struct sel_text *csv);

// Describes the columns of `file` ("events.csv").
void sel_fieldkit_meta(const char *file, struct sel_text *xml);

#endif
