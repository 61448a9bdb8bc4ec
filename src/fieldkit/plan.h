// SPDX-License-Identifier: MIT
//
// What the field kit takes from the table `plan` of the GeoPackage: season, field days, traps at a
// site.
#ifndef SEL_FIELDKIT_PLAN_H
#define SEL_FIELDKIT_PLAN_H

#include "output/package.h"

struct sel_fieldkit_plan {
    // Its texts are borrowed from the rows. takedown_min is never NAN here, and preservative is
    // what permit.fluids says where field.preservative says nothing.
    struct sel_plan_field field;
    int traps;                   // at a site
    int64_t first_day, last_day; // of the season, as sel_date_day_number counts
    bool season_is_default;      // nobody chose it
    struct sel_plan_row *rows;   // owned
    size_t row_count;
};

// Whether the table holds every key that the kit needs; a file of an earlier version may not.
bool sel_fieldkit_plan_is_whole(const struct sel_plan_row *rows, size_t count);

// SEL_BAD_INPUT when a key is missing or does not read as its kind. Clear with
// sel_fieldkit_plan_clear whatever comes.
sel_status sel_fieldkit_plan_read(struct sel_package *package, struct sel_fieldkit_plan *plan);
void sel_fieldkit_plan_clear(struct sel_fieldkit_plan *plan);

#endif
