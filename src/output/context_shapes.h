// SPDX-License-Identifier: MIT
//
// Shapes of the plan's own layers (roads, zones, the study area) cut to the ground under study and
// thinned so far that their number of vertices stays bounded. Internal to output/.
#ifndef SEL_OUTPUT_CONTEXT_SHAPES_H
#define SEL_OUTPUT_CONTEXT_SHAPES_H

#include <ogr_api.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { SEL_CONTEXT_VERTICES_MOST = 200000 };

struct sel_context_shape {
    OGRGeometryH geometry; // owned
    size_t entry;          // which entry of the plan's list it comes from
};

struct sel_context_shapes {
    struct sel_context_shape *items; // owned
    size_t count, capacity;
    int64_t vertices;
    OGREnvelope box; // what is kept, CRS units
    double within;   // how far a kept line may lie from the given one, CRS units
    bool polygons;   // keep areas only
};

// Takes a copy of what lies in the box. When there are too many vertices, `within` doubles, all is
// thinned anew, and what is smaller than it goes. False: out of memory.
bool sel_context_shapes_take(
    struct sel_context_shapes *shapes, OGRGeometryH geometry, size_t entry);
void sel_context_shapes_clear(struct sel_context_shapes *shapes);

#endif
