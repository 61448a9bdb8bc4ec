// SPDX-License-Identifier: MIT
//
// Lines, rings and points of a layer as straight pieces in metres from the grid's corner. Every
// vertex is transformed; no vertices are added between.
#include <stdlib.h>

#include "base/array.h"
#include "grid/layer.h"
#include "grid/vectors.h"

void sel_segments_clear(struct sel_segments *segments) {
    free(segments->items);
    *segments = (struct sel_segments){0};
}

static sel_status add(
    sel_context *context, struct sel_segments *segments, struct sel_segment segment) {
    struct sel_segment *items =
        sel_grow(segments->items, segments->count + 1, &segments->capacity, sizeof *items);
    if (!items)
        return sel_fail_memory(context);
    segments->items = items;
    items[segments->count++] = segment;
    return SEL_OK;
}

static void metres_at(
    const struct sel_grid *grid, OGRGeometryH points, int i, double *x, double *y) {
    *x = (OGR_G_GetX(points, i) - grid->x0) * grid->metres;
    *y = (grid->y0 - OGR_G_GetY(points, i)) * grid->metres;
}

static sel_status add_points(sel_context *context, OGRGeometryH points, const struct sel_grid *grid,
    struct sel_segments *segments) {
    int count = OGR_G_GetPointCount(points);
    if (count == 0)
        return SEL_OK;
    struct sel_segment segment;
    metres_at(grid, points, 0, &segment.x0, &segment.y0);
    if (count == 1) {
        segment.x1 = segment.x0;
        segment.y1 = segment.y0;
        return add(context, segments, segment);
    }
    for (int i = 1; i < count; i++) {
        metres_at(grid, points, i, &segment.x1, &segment.y1);
        sel_status status = add(context, segments, segment);
        if (status != SEL_OK)
            return status;
        segment.x0 = segment.x1;
        segment.y0 = segment.y1;
    }
    return SEL_OK;
}

// A geometry is a tree whose leaves are points, lines and rings.
static sel_status add_geometry(sel_context *context, OGRGeometryH geometry,
    const struct sel_grid *grid, struct sel_segments *segments) {
    int parts = OGR_G_GetGeometryCount(geometry);
    if (parts == 0)
        return add_points(context, geometry, grid, segments);
    for (int i = 0; i < parts; i++) {
        sel_status status =
            add_geometry(context, OGR_G_GetGeometryRef(geometry, i), grid, segments);
        if (status != SEL_OK)
            return status;
    }
    return SEL_OK;
}

static sel_status add_layer(sel_context *context, struct sel_layer *layer,
    const struct sel_grid *grid, struct sel_segments *segments) {
    size_t before = segments->count;
    for (;;) {
        OGRGeometryH geometry;
        sel_status status = sel_layer_next(context, layer, &geometry);
        if (status == SEL_OK && geometry)
            status = add_geometry(context, geometry, grid, segments);
        if (status != SEL_OK)
            return status;
        if (!geometry)
            break;
    }
    return segments->count > before ? SEL_OK : sel_fail_empty(context, layer, "geometries");
}

sel_status sel_read_segments(sel_context *context, const struct sel_layer_ref *source,
    const struct sel_grid *grid, struct sel_segments *segments) {
    struct sel_layer layer;
    sel_status status = sel_layer_open(context, source, grid, &layer);
    if (status != SEL_OK)
        return status;
    status = add_layer(context, &layer, grid, segments);
    sel_layer_close(&layer);
    return status;
}
