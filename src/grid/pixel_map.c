// SPDX-License-Identifier: MIT
//
// A thin wrapper about GDAL's general image projection transformer. CRS texts are kept in
// x-east y-north order, see gdal_support.
#include "grid/pixel_map.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gdal_alg.h>

#include "grid/gdal_support.h"

enum { BATCH = 256 };

static const double PI = 3.14159265358979323846;

// Longitudes come out within half a round of Greenwich. A file that spans the antimeridian wants
// those within half a round of its own middle.
struct round_the_world {
    double columns; // that make the round; 0: columns are no longitudes, or no file's
    double middle;  // column
};

struct sel_pixel_map {
    void *transformer;
    struct round_the_world from, to;
};

const char *sel_wgs84(void) {
    return "EPSG:4326";
}

struct sel_shape sel_plain_shape(const char *crs) {
    return (struct sel_shape){.gt = {0, 1, 0, 0, 0, 1}, .crs = strdup(crs)};
}

void sel_pixel_map_free(struct sel_pixel_map *map) {
    if (!map)
        return;
    if (map->transformer)
        GDALDestroyGenImgProjTransformer(map->transformer);
    free(map);
}

static struct round_the_world round_of(const struct sel_shape *shape, OGRSpatialReferenceH crs) {
    struct round_the_world round = {0, 0.5 * (double)shape->cols};
    if (crs && shape->cols > 0 && OSRIsGeographic(crs) && shape->gt[1] != 0 && shape->gt[2] == 0)
        round.columns = fabs(2 * PI / OSRGetAngularUnits(crs, NULL) / shape->gt[1]);
    return round;
}

static sel_status make_transformer(sel_context *context, const struct sel_shape *from,
    const struct sel_shape *to, struct sel_pixel_map *map) {
    OGRSpatialReferenceH source = sel_crs_from_text(from->crs);
    OGRSpatialReferenceH target = sel_crs_from_text(to->crs);
    sel_gdal_hush();
    if (source && target)
        map->transformer = GDALCreateGenImgProjTransformer4(source, from->gt, target, to->gt, NULL);
    const char *reason = sel_gdal_speak();
    sel_status status = SEL_OK;
    map->from = round_of(from, source);
    map->to = round_of(to, target);
    if (!map->transformer)
        status = sel_fail(context, SEL_BAD_INPUT,
            "no transform leads from \"%s\" to \"%s\" (%s): check both coordinate reference "
            "systems",
            source ? OSRGetName(source) : from->crs, target ? OSRGetName(target) : to->crs, reason);
    OSRDestroySpatialReference(source);
    OSRDestroySpatialReference(target);
    return status;
}

sel_status sel_pixel_map_new(sel_context *context, const struct sel_shape *from,
    const struct sel_shape *to, struct sel_pixel_map **map) {
    *map = calloc(1, sizeof **map);
    if (!*map)
        return sel_fail_memory(context);
    sel_status status = make_transformer(context, from, to, *map);
    if (status != SEL_OK) {
        sel_pixel_map_free(*map);
        *map = NULL;
    }
    return status;
}

static void apply_batch(void *transformer, int back, int count, double *x, double *y) {
    double z[BATCH] = {0};
    int known[BATCH];
    memset(known, 0, sizeof known);
    GDALGenImgProjTransform(transformer, back, count, x, y, z, known);
    for (int i = 0; i < count; i++)
        if (!known[i] || !isfinite(x[i]) || !isfinite(y[i]))
            x[i] = y[i] = (double)NAN;
}

static void apply(const struct sel_pixel_map *map, int back, size_t count, double *x, double *y) {
    sel_gdal_hush();
    for (size_t done = 0; done < count; done += BATCH) {
        size_t left = count - done;
        apply_batch(map->transformer, back, (int)(left < BATCH ? left : BATCH), x + done, y + done);
    }
    sel_gdal_speak();
}

static void unwrap(struct round_the_world world, size_t count, double *x) {
    for (size_t i = 0; world.columns > 0 && i < count; i++)
        x[i] -= world.columns * round((x[i] - world.middle) / world.columns);
}

void sel_pixel_map_apply(const struct sel_pixel_map *map, size_t count, double *x, double *y) {
    apply(map, 0, count, x, y);
    unwrap(map->to, count, x);
}

void sel_pixel_map_back(const struct sel_pixel_map *map, size_t count, double *x, double *y) {
    apply(map, 1, count, x, y);
    unwrap(map->from, count, x);
}

void *sel_pixel_map_transformer(const struct sel_pixel_map *map) {
    return map->transformer;
}
