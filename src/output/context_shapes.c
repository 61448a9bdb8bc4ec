// SPDX-License-Identifier: MIT
//
// Cutting and mending are GEOS's, called through OGR: intersection with the box and the "make
// valid" repair. A shape that GEOS cannot cut is kept whole rather than left out. Lines are thinned
// in one pass after Sklansky & Gonzalez (1980), "Fast polygonal approximation of digitized curves",
// Pattern Recognition 12: from a kept vertex on, vertices are dropped as long as one straight line
// passes within the tolerance of all of them.
#include "output/context_shapes.h"

#include <math.h>
#include <stdlib.h>

#include "base/array.h"

static int64_t count_vertices(OGRGeometryH geometry) {
    int parts = OGR_G_GetGeometryCount(geometry);
    int64_t count = parts == 0 ? OGR_G_GetPointCount(geometry) : 0;
    for (int i = 0; i < parts; i++)
        count += count_vertices(OGR_G_GetGeometryRef(geometry, i));
    return count;
}

// What `better` came to, `given` being dropped; `given` itself when nothing came.
static OGRGeometryH prefer(OGRGeometryH better, OGRGeometryH given) {
    if (!better)
        return given;
    OGR_G_DestroyGeometry(given);
    return better;
}

static void gather_polygons(OGRGeometryH from, OGRGeometryH into) {
    OGRwkbGeometryType type = wkbFlatten(OGR_G_GetGeometryType(from));
    if (type == wkbPolygon) {
        OGR_G_AddGeometry(into, from);
        return;
    }
    for (int i = 0; i < OGR_G_GetGeometryCount(from); i++)
        gather_polygons(OGR_G_GetGeometryRef(from, i), into);
}

// The areas of a geometry as one multipolygon, maybe an empty one. NULL: out of memory.
static OGRGeometryH only_polygons(OGRGeometryH given) {
    OGRGeometryH areas = OGR_G_CreateGeometry(wkbMultiPolygon);
    if (areas)
        gather_polygons(given, areas);
    OGR_G_DestroyGeometry(given);
    return areas;
}

static bool inside(const OGREnvelope *inner, const OGREnvelope *outer) {
    return inner->MinX >= outer->MinX && inner->MaxX <= outer->MaxX && inner->MinY >= outer->MinY &&
           inner->MaxY <= outer->MaxY;
}

static bool apart(const OGREnvelope *a, const OGREnvelope *b) {
    return a->MaxX < b->MinX || a->MinX > b->MaxX || a->MaxY < b->MinY || a->MinY > b->MaxY;
}

static OGRGeometryH frame_of(const OGREnvelope *box) {
    OGRGeometryH ring = OGR_G_CreateGeometry(wkbLinearRing);
    OGRGeometryH frame = OGR_G_CreateGeometry(wkbPolygon);
    if (!ring || !frame) {
        OGR_G_DestroyGeometry(ring);
        OGR_G_DestroyGeometry(frame);
        return NULL;
    }
    OGR_G_AddPoint_2D(ring, box->MinX, box->MinY);
    OGR_G_AddPoint_2D(ring, box->MinX, box->MaxY);
    OGR_G_AddPoint_2D(ring, box->MaxX, box->MaxY);
    OGR_G_AddPoint_2D(ring, box->MaxX, box->MinY);
    OGR_G_AddPoint_2D(ring, box->MinX, box->MinY);
    OGR_G_AddGeometryDirectly(frame, ring);
    return frame;
}

// Takes `given` over. NULL: out of memory.
static OGRGeometryH cut(OGRGeometryH given, const OGREnvelope *box) {
    OGREnvelope envelope;
    OGR_G_GetEnvelope(given, &envelope);
    if (inside(&envelope, box))
        return given;
    OGRGeometryH frame = frame_of(box);
    if (!frame) {
        OGR_G_DestroyGeometry(given);
        return NULL;
    }
    OGRGeometryH within = prefer(OGR_G_Intersection(given, frame), given);
    OGR_G_DestroyGeometry(frame);
    return within;
}

// --- thinning ---

// The directions from a kept vertex that pass all later ones closely enough.
struct cone {
    double x, y;           // the kept vertex
    double toward, spread; // radians: middle direction and half of the opening; spread < 0: any
    double farthest;
};

static double turn_between(double from, double to) {
    const double half = 3.14159265358979323846;
    double turn = fmod(to - from + 3.0 * half, 2.0 * half);
    return turn - half;
}

// Whether a line from the kept vertex to this one still passes all between; narrows the cone.
static bool admit(struct cone *cone, double x, double y, double within) {
    double distance = hypot(x - cone->x, y - cone->y);
    if (distance <= within)
        return cone->farthest <= within; // all so far are as near
    if (distance < cone->farthest - within)
        return false; // it turns back
    double direction = atan2(y - cone->y, x - cone->x), opening = asin(within / distance);
    cone->farthest = fmax(cone->farthest, distance);
    if (cone->spread < 0.0) {
        cone->toward = direction;
        cone->spread = opening;
        return true;
    }
    double off = turn_between(cone->toward, direction);
    if (fabs(off) > cone->spread)
        return false;
    double low = fmax(-cone->spread, off - opening), high = fmin(cone->spread, off + opening);
    cone->toward += 0.5 * (low + high);
    cone->spread = 0.5 * (high - low);
    return true;
}

static struct cone cone_at(OGRGeometryH line, int i) {
    return (struct cone){OGR_G_GetX(line, i), OGR_G_GetY(line, i), 0.0, -1.0, 0.0};
}

// Counts the vertices worth keeping and, if asked to, moves them to the front of the line.
static int pass_line(OGRGeometryH line, double within, bool move) {
    int count = OGR_G_GetPointCount(line), kept = 1;
    struct cone cone = cone_at(line, 0);
    admit(&cone, OGR_G_GetX(line, 1), OGR_G_GetY(line, 1), within);
    for (int i = 1; i < count; i++) {
        bool last = i == count - 1;
        double x = OGR_G_GetX(line, i), y = OGR_G_GetY(line, i);
        double next_x = last ? x : OGR_G_GetX(line, i + 1);
        double next_y = last ? y : OGR_G_GetY(line, i + 1);
        if (!last && admit(&cone, next_x, next_y, within))
            continue;
        cone = cone_at(line, i);
        if (move)
            OGR_G_SetPoint_2D(line, kept, x, y);
        kept++;
        admit(&cone, next_x, next_y, within);
    }
    return kept;
}

// A ring that would collapse stays as it is.
static void thin_line(OGRGeometryH line, bool ring, double within) {
    if (OGR_G_GetPointCount(line) < 3 || (ring && pass_line(line, within, false) < 4))
        return;
    OGR_G_SetPointCount(line, pass_line(line, within, true));
}

static void thin_parts(OGRGeometryH geometry, double within) {
    OGRwkbGeometryType type = wkbFlatten(OGR_G_GetGeometryType(geometry));
    if (type == wkbLineString)
        thin_line(geometry, false, within);
    for (int i = 0; i < OGR_G_GetGeometryCount(geometry); i++) {
        OGRGeometryH part = OGR_G_GetGeometryRef(geometry, i);
        if (type == wkbPolygon)
            thin_line(part, true, within);
        else
            thin_parts(part, within);
    }
}

// Takes `given` over; areas that cross themselves afterwards are mended.
static OGRGeometryH thin(OGRGeometryH given, double within) {
    thin_parts(given, within);
    if (OGR_G_GetDimension(given) == 2 && !OGR_G_IsValid(given))
        return prefer(OGR_G_MakeValid(given), given);
    return given;
}

// A copy ready to be kept, maybe an empty one. NULL: out of memory.
static OGRGeometryH prepare(const struct sel_context_shapes *shapes, OGRGeometryH given) {
    OGRGeometryH copy = OGR_G_Clone(given);
    if (!copy)
        return NULL;
    OGR_G_FlattenTo2D(copy);
    if (shapes->polygons && !OGR_G_IsValid(copy))
        copy = prefer(OGR_G_MakeValid(copy), copy);
    copy = cut(copy, &shapes->box);
    if (copy && !OGR_G_IsEmpty(copy))
        copy = thin(copy, shapes->within);
    return copy && shapes->polygons ? only_polygons(copy) : copy;
}

static bool too_small(OGRGeometryH geometry, double within) {
    OGREnvelope envelope;
    if (OGR_G_GetDimension(geometry) == 0)
        return false;
    OGR_G_GetEnvelope(geometry, &envelope);
    return fmax(envelope.MaxX - envelope.MinX, envelope.MaxY - envelope.MinY) < within;
}

static bool thin_all(struct sel_context_shapes *shapes) {
    size_t kept = 0;
    bool enough_memory = true;
    shapes->within *= 2.0;
    shapes->vertices = 0;
    for (size_t i = 0; i < shapes->count; i++) {
        struct sel_context_shape item = shapes->items[i];
        if (too_small(item.geometry, shapes->within)) {
            OGR_G_DestroyGeometry(item.geometry);
            continue;
        }
        item.geometry = thin(item.geometry, shapes->within);
        if (shapes->polygons)
            item.geometry = only_polygons(item.geometry);
        if (!item.geometry) {
            enough_memory = false;
            continue;
        }
        shapes->vertices += count_vertices(item.geometry);
        shapes->items[kept++] = item;
    }
    shapes->count = kept;
    return enough_memory;
}

static double widest(const OGREnvelope *box) {
    return fmax(box->MaxX - box->MinX, box->MaxY - box->MinY);
}

static bool keep(struct sel_context_shapes *shapes, OGRGeometryH geometry, size_t entry) {
    struct sel_context_shape *grown =
        sel_grow(shapes->items, shapes->count + 1, &shapes->capacity, sizeof *grown);
    if (!grown) {
        OGR_G_DestroyGeometry(geometry);
        return false;
    }
    shapes->items = grown;
    grown[shapes->count++] = (struct sel_context_shape){geometry, entry};
    shapes->vertices += count_vertices(geometry);
    bool enough_memory = true;
    while (shapes->vertices > SEL_CONTEXT_VERTICES_MOST && shapes->within < widest(&shapes->box) &&
           enough_memory)
        enough_memory = thin_all(shapes);
    return enough_memory;
}

bool sel_context_shapes_take(
    struct sel_context_shapes *shapes, OGRGeometryH geometry, size_t entry) {
    OGREnvelope envelope;
    OGR_G_GetEnvelope(geometry, &envelope);
    if (apart(&envelope, &shapes->box))
        return true;
    OGRGeometryH ready = prepare(shapes, geometry);
    if (!ready)
        return false;
    if (!OGR_G_IsEmpty(ready))
        return keep(shapes, ready, entry);
    OGR_G_DestroyGeometry(ready);
    return true;
}

void sel_context_shapes_clear(struct sel_context_shapes *shapes) {
    for (size_t i = 0; i < shapes->count; i++)
        OGR_G_DestroyGeometry(shapes->items[i].geometry);
    free(shapes->items);
    *shapes = (struct sel_context_shapes){0};
}
