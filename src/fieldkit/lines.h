// SPDX-License-Identifier: MIT
//
// Reads line layers of the GeoPackage that carry a site's id, vertex by vertex.
#ifndef SEL_FIELDKIT_LINES_H
#define SEL_FIELDKIT_LINES_H

#include "output/package.h"

// One line, in the layer's order of vertices; valid for the call only.
struct sel_site_line {
    const char *site;             // its id; never NULL
    double *x, *y;                // CRS units
    double *longitude, *latitude; // WGS 84, degrees
    double *elevation_m;          // NAN where the line has none
    size_t count;                 // 2 or more
};

typedef sel_status sel_site_line_fn(void *user, const struct sel_site_line *line);

// Calls `take` for every line of the layer that names a site; stops at the first failure. A layer
// that is not there is no failure: *found tells.
sel_status sel_site_lines_read(struct sel_package *package, const char *layer,
    sel_site_line_fn *take, void *user, bool *found);

#endif
