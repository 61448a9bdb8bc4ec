// SPDX-License-Identifier: MIT
//
// Lines, rings and points of a layer as straight pieces in metres from the grid's corner. Every
// vertex is transformed; no vertices are added between. How far the layer lies off the grid is
// measured on the pieces, not on what they may enclose.
#include <math.h>
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

// --- how far off the grid ---

// Narrows the stretch [*low, *high] of a piece, 0 at its first end and 1 at its last, to where one
// coordinate lies between 0 and `side` (Liang & Barsky 1984).
static void clip(double from, double to, double side, double *low, double *high) {
    double way = to - from;
    if (way == 0.0) {
        if (from < 0.0 || from > side)
            *high = -1.0;
        return;
    }
    double enter = (way > 0.0 ? 0.0 - from : side - from) / way;
    double leave = (way > 0.0 ? side - from : 0.0 - from) / way;
    *low = fmax(*low, enter);
    *high = fmin(*high, leave);
}

static double beyond(double at, double side) {
    return fmax(0.0, fmax(-at, at - side));
}

static double corner_to_piece(const struct sel_segment *piece, double x, double y) {
    double along_x = piece->x1 - piece->x0, along_y = piece->y1 - piece->y0;
    double square = along_x * along_x + along_y * along_y;
    double t =
        square > 0.0 ? ((x - piece->x0) * along_x + (y - piece->y0) * along_y) / square : 0.0;
    t = fmin(1.0, fmax(0.0, t));
    return hypot(x - piece->x0 - t * along_x, y - piece->y0 - t * along_y);
}

// Of a rectangle and a piece that do not meet, a corner or an end is nearest to the other.
double sel_off_grid_m(const struct sel_grid *grid, const struct sel_segment *segment) {
    double wide = (double)grid->cols * grid->cell_x_m, high = (double)grid->rows * grid->cell_y_m;
    double first = 0.0, last = 1.0;
    clip(segment->x0, segment->x1, wide, &first, &last);
    clip(segment->y0, segment->y1, high, &first, &last);
    if (first <= last)
        return 0.0;
    double ends = fmin(hypot(beyond(segment->x0, wide), beyond(segment->y0, high)),
        hypot(beyond(segment->x1, wide), beyond(segment->y1, high)));
    double corners = (double)INFINITY;
    for (int i = 0; i < 4; i++)
        corners = fmin(corners, corner_to_piece(segment, i % 2 ? wide : 0.0, i / 2 ? high : 0.0));
    return fmin(ends, corners);
}

// Counts the feature whose pieces begin at `first`.
static void count_feature(const struct sel_grid *grid, const struct sel_segments *segments,
    size_t first, struct sel_layer_tally *tally) {
    double off_m = (double)INFINITY;
    for (size_t i = first; i < segments->count && off_m > 0.0; i++)
        off_m = fmin(off_m, sel_off_grid_m(grid, &segments->items[i]));
    tally->features += segments->count > first;
    tally->met += off_m == 0.0;
    tally->off_m = fmin(tally->off_m, off_m);
}

// --- a layer ---

static sel_status add_layer(sel_context *context, struct sel_layer *layer,
    const struct sel_grid *grid, struct sel_segments *segments, struct sel_layer_tally *tally) {
    size_t before = segments->count;
    for (;;) {
        OGRGeometryH geometry;
        size_t first = segments->count;
        sel_status status = sel_layer_next(context, layer, &geometry);
        if (status == SEL_OK && geometry)
            status = add_geometry(context, geometry, grid, segments);
        if (status != SEL_OK)
            return status;
        if (!geometry)
            break;
        if (tally)
            count_feature(grid, segments, first, tally);
    }
    return segments->count > before ? SEL_OK : sel_fail_empty(context, layer, "geometries");
}

sel_status sel_read_segments(sel_context *context, const struct sel_layer_ref *source,
    const struct sel_grid *grid, struct sel_segments *segments, struct sel_layer_tally *tally) {
    struct sel_layer layer;
    if (tally)
        *tally = (struct sel_layer_tally){.off_m = (double)INFINITY};
    sel_status status = sel_layer_open(context, source, grid, &layer);
    if (status != SEL_OK)
        return status;
    status = add_layer(context, &layer, grid, segments, tally);
    sel_layer_close(&layer);
    return status;
}
