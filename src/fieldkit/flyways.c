// SPDX-License-Identifier: MIT
//
// The layer `flyways` runs from side a to side b, so its line tells which side is which.
#include <math.h>
#include <string.h>

#include "fieldkit/data.h"
#include "fieldkit/lines.h"
#include "flyway/bearing.h"

// The kit's own site of an id, to be filled in.
static struct sel_fieldkit_site *mine(struct sel_fieldkit *kit, const char *id) {
    const struct sel_fieldkit_site *site = sel_fieldkit_find(kit, id);
    return site ? &kit->sites[site - kit->sites] : NULL;
}

static sel_status take_flyway(void *user, const struct sel_site_line *line) {
    struct sel_fieldkit_site *site = mine(user, line->site);
    if (!site || isnan(site->convergence_deg))
        return SEL_OK;
    size_t last = line->count - 1;
    struct vec2 along = {line->x[last] - line->x[0], line->y[0] - line->y[last]};
    site->toward_b_deg = sel_bearing_fold(sel_bearing_of(along) + site->convergence_deg);
    return SEL_OK;
}

sel_status sel_fieldkit_read_flyways(struct sel_fieldkit *kit) {
    bool found = false;
    void *rows = NULL;
    sel_status status = sel_site_lines_read(kit->package, "flyways", take_flyway, kit, &found);
    if (status == SEL_OK)
        status = sel_package_rows(kit->package, &SEL_TABLE_PROFILE, &rows, &kit->profile_count);
    kit->profile = rows;
    return status;
}
