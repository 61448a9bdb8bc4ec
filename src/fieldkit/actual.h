// SPDX-License-Identifier: MIT
//
// actual.csv: what was really done, filled in by the people who did it. One row per bottle that
// came in: site, its number, the days it hung, and the position the trap really had. Where several
// traps stand at a site, a row is for the bottles of that number on all of them.
#ifndef SEL_FIELDKIT_ACTUAL_H
#define SEL_FIELDKIT_ACTUAL_H

#include "fieldkit/csv.h"
#include "fieldkit/data.h"

struct sel_actual_service {
    const struct sel_fieldkit_site *site;
    int service; // the bottle's number, 1..999
    int64_t from_day, to_day;
    bool placed;                // this row gives a position of its own
    double latitude, longitude; // of this row, else of the row before for the same site
    double uncertainty_m;
    int traps;           // whose bottles came in; those of the plan when not told
    double elevation_m;  // NAN: not told
    const char *remarks; // borrowed from the table; "" when not told
    int line;
};

struct sel_actual {
    struct sel_csv_table table;          // owned
    struct sel_actual_service *services; // owned; by site in the order of the kit, then by number
    size_t count;
    size_t blank; // rows that tell nothing but site and number: not done
};

// The largest bottle number.
enum { SEL_SERVICE_MOST = 999 };

// Reads and validates the file. SEL_BAD_INPUT with a message naming file, line and column. Clear
// with sel_actual_clear whatever comes.
sel_status sel_actual_read(
    const struct sel_fieldkit *kit, const char *path, struct sel_actual *actual);
void sel_actual_clear(struct sel_actual *actual);

// The header line of such a file, with one row for every planned bottle, to be filled in.
void sel_actual_template(const struct sel_fieldkit *kit, struct sel_text *csv);

// Metres between two places on the sphere, good for telling a slip of the pen.
double sel_actual_distance_m(
    double latitude_a, double longitude_a, double latitude_b, double longitude_b);

#endif
