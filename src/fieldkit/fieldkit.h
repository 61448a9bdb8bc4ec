// SPDX-License-Identifier: MIT
//
// The field kit: everything that goes into the rucksack, made from a finished GeoPackage alone.
#ifndef SEL_FIELDKIT_FIELDKIT_H
#define SEL_FIELDKIT_FIELDKIT_H

#include "base/status.h"
#include "base/text.h"

struct sel_fieldkit_options {
    const char *only;   // parts by name, separated by commas; NULL: all, or events with `actual`
    const char *actual; // a CSV of what was really done; NULL: none
    bool overwrite;
};

// Writes the parts into `directory`, all or nothing, and appends what the person should know to
// `report`. SEL_USAGE for a part that does not exist.
sel_status sel_fieldkit_write(sel_context *context, const char *geopackage, const char *directory,
    const struct sel_fieldkit_options *options, struct sel_text *report);

#endif
