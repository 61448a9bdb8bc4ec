// SPDX-License-Identifier: MIT
//
// One row of the event table. Internal to the field kit.
#ifndef SEL_FIELDKIT_EVENT_ROW_H
#define SEL_FIELDKIT_EVENT_ROW_H

#include "base/text.h"
#include "fieldkit/data.h"

struct sel_event {
    const struct sel_fieldkit_site *site;
    int service; // 0: the parent
    int64_t from_day, to_day;
    int64_t days;      // on which bottles hung; less than the whole time where there were gaps
    int bottles;       // of a parent
    int traps;         // that stood at the site; where that changed, the most
    int64_t trap_days; // days summed over traps
    double latitude, longitude, uncertainty_m, elevation_m;
    const char *remarks, *location_remarks, *georeference_protocol;
};

// The terms, in the order of the columns; ended by NULL.
extern const char *const SEL_EVENT_TERMS[];

// Appends the eventID of a site, or of one of its services (from 1 on; 0: the site's own).
void sel_event_id(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, int service,
    struct sel_text *text);

void sel_event_heads(struct sel_text *csv);
void sel_event_add(
    const struct sel_fieldkit *kit, const struct sel_event *event, struct sel_text *csv);

#endif
