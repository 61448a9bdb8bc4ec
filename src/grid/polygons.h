// SPDX-License-Identifier: MIT
//
// What a set of polygons keeps, for its query handles: grid/vectors.h is the part others use.
#ifndef SEL_GRID_POLYGONS_H
#define SEL_GRID_POLYGONS_H

#include <stddef.h>

#include "grid/vectors.h"

struct sel_polygon {
    unsigned char *wkb; // owned; valid, in the grid's CRS; freed with free
    size_t size;
    char *name, *owner; // owned; never NULL
};

struct sel_polygons {
    char *file;                // owned
    struct sel_polygon *items; // owned
    size_t count, capacity;
    int64_t seen; // features with a polygon, on the grid or off it
    double extent[4];
};

// The text of the last GEOS error of a context, kept through its error handler.
enum { SEL_GEOS_TEXT = 256 };
void sel_geos_keep_error(const char *message, void *text);

#endif
