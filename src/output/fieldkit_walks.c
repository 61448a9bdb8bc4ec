// SPDX-License-Identifier: MIT
//
// How each site is reached. Where the survey walked over the ground, its times stand; else the walk
// is guessed as the straight line at off-path speed on the flat (Tobler 1993): the real way is
// longer and rises, a path is faster, so it is marked as a guess everywhere.
#include <math.h>

#include "access/pace.h"
#include "output/fieldkit_data.h"

static void guess_walk(struct sel_fieldkit_site *site) {
    const struct sel_site_row *row = site->row;
    if (!isnan(row->walk_min)) {
        site->walk_source = SEL_WALK_GROUND;
        site->walk_min = row->walk_min;
    } else if (!isnan(row->access_m)) {
        site->walk_source = SEL_WALK_STRAIGHT;
        site->walk_min = row->access_m * sel_walk_pace(0.0) / SEL_WALK_OFF_PATH;
        site->walk_m = row->access_m;
    }
}

sel_status sel_fieldkit_read_walks(struct sel_fieldkit *kit) {
    kit->walks_left_out = true;
    for (size_t i = 0; i < kit->site_count; i++)
        guess_walk(&kit->sites[i]);
    return SEL_OK;
}
