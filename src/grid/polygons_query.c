// SPDX-License-Identifier: MIT
//
// Point-in-polygon look-ups of one thread: its own GEOS context, shapes, tree of envelopes
// (STRtree) and prepared shapes, the last made when a point first falls into their envelope.
// Nothing is shared, because GEOS fills caches inside shapes while it answers.
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include <geos_c.h>

#include "grid/polygons.h"

enum { NODE_CAPACITY = 10 };

struct entry {
    size_t index;
    GEOSGeometry *shape;
    const GEOSPreparedGeometry *prepared; // NULL: not yet
};

struct sel_polygons_query {
    const struct sel_polygons *polygons; // borrowed
    GEOSContextHandle_t geos;
    GEOSSTRtree *tree;
    struct entry *entries; // owned
    bool failed;
    char error[SEL_GEOS_TEXT];
};

void sel_polygons_query_free(struct sel_polygons_query *query) {
    if (!query)
        return;
    for (size_t i = 0; query->entries && i < query->polygons->count; i++) {
        if (query->entries[i].prepared)
            GEOSPreparedGeom_destroy_r(query->geos, query->entries[i].prepared);
        if (query->entries[i].shape)
            GEOSGeom_destroy_r(query->geos, query->entries[i].shape);
    }
    if (query->tree)
        GEOSSTRtree_destroy_r(query->geos, query->tree);
    if (query->geos)
        GEOS_finish_r(query->geos);
    free(query->entries);
    free(query);
}

static bool load_shapes(struct sel_polygons_query *query) {
    const struct sel_polygons *polygons = query->polygons;
    GEOSWKBReader *reader = GEOSWKBReader_create_r(query->geos);
    if (!reader)
        return false;
    bool loaded = true;
    for (size_t i = 0; loaded && i < polygons->count; i++) {
        struct entry *entry = &query->entries[i];
        entry->index = i;
        entry->shape = GEOSWKBReader_read_r(
            query->geos, reader, polygons->items[i].wkb, polygons->items[i].size);
        loaded = entry->shape != NULL;
        if (loaded)
            GEOSSTRtree_insert_r(query->geos, query->tree, entry->shape, entry);
    }
    GEOSWKBReader_destroy_r(query->geos, reader);
    return loaded;
}

static bool build(struct sel_polygons_query *query) {
    query->geos = GEOS_init_r();
    if (!query->geos)
        return false;
    GEOSContext_setErrorMessageHandler_r(query->geos, sel_geos_keep_error, query->error);
    query->tree = GEOSSTRtree_create_r(query->geos, NODE_CAPACITY);
    query->entries = calloc(query->polygons->count + 1, sizeof *query->entries);
    return query->tree && query->entries && load_shapes(query);
}

sel_status sel_polygons_query_new(
    sel_context *context, const struct sel_polygons *polygons, struct sel_polygons_query **query) {
    *query = calloc(1, sizeof **query);
    if (!*query)
        return sel_fail_memory(context);
    (*query)->polygons = polygons;
    if (build(*query))
        return SEL_OK;
    sel_polygons_query_free(*query);
    *query = NULL;
    return sel_fail_memory(context);
}

struct search {
    struct sel_polygons_query *query;
    const GEOSGeometry *point;
    int64_t found;
};

static void look(void *item, void *user) {
    struct search *search = user;
    struct sel_polygons_query *query = search->query;
    struct entry *entry = item;
    if (search->found >= 0 && (int64_t)entry->index > search->found)
        return;
    if (!entry->prepared)
        entry->prepared = GEOSPrepare_r(query->geos, entry->shape);
    char touches =
        entry->prepared ? GEOSPreparedIntersects_r(query->geos, entry->prepared, search->point) : 2;
    if (touches == 1)
        search->found = (int64_t)entry->index;
    else if (touches != 0)
        query->failed = true;
}

int64_t sel_polygons_at(struct sel_polygons_query *query, double x, double y) {
    if (query->polygons->count == 0 || !isfinite(x) || !isfinite(y))
        return -1;
    GEOSGeometry *point = GEOSGeom_createPointFromXY_r(query->geos, x, y);
    if (!point) {
        query->failed = true;
        return -1;
    }
    struct search search = {query, point, -1};
    GEOSSTRtree_query_r(query->geos, query->tree, point, look, &search);
    GEOSGeom_destroy_r(query->geos, point);
    return search.found;
}

sel_status sel_polygons_query_status(sel_context *context, const struct sel_polygons_query *query) {
    if (!query->failed)
        return SEL_OK;
    return sel_fail(context, SEL_IO,
        "%s: asking which polygon holds a point failed (%s): mend its polygons in a map editor",
        query->polygons->file, query->error[0] ? query->error : "no reason given");
}
