// SPDX-License-Identifier: MIT
//
// The smaller raster (on the ground) is laid out as 64 x 64 quadrilaterals; each is carried to the
// larger one's pixels, where it is very nearly straight-sided, and clipped to its rectangle
// (Sutherland & Hodgman 1974, one half-plane after the other). Vertices keep their position in both
// rasters, so the clipped pieces give bounding rectangle and area in either. Exact for affine
// relations, otherwise off by the sagitta of a 64th of the raster.
#include "grid/overlap.h"

#include <math.h>

#include "grid/pixel_map.h"

// A cut by a half-plane makes at most half as many vertices again, so four cuts of 4 make 19.
enum { LATTICE = 64, MOST_VERTICES = 24 };

// A vertex in the pixels of the smaller (u, v) and the larger raster (x, y).
struct vertex {
    double u, v, x, y;
};

struct piece {
    struct vertex vertices[MOST_VERTICES];
    int count;
};

// sign * coordinate <= sign * limit, along x or y.
struct half_plane {
    bool along_y;
    double sign, limit;
};

static double excess(const struct vertex *vertex, struct half_plane plane) {
    return plane.sign * ((plane.along_y ? vertex->y : vertex->x) - plane.limit);
}

static struct vertex between(const struct vertex *a, const struct vertex *b, double t) {
    return (struct vertex){a->u + t * (b->u - a->u), a->v + t * (b->v - a->v),
        a->x + t * (b->x - a->x), a->y + t * (b->y - a->y)};
}

static struct piece clip(const struct piece *piece, struct half_plane plane) {
    struct piece kept = {.count = 0};
    for (int i = 0; i < piece->count; i++) {
        const struct vertex *here = &piece->vertices[i];
        const struct vertex *next = &piece->vertices[(i + 1) % piece->count];
        double excess_here = excess(here, plane);
        double excess_next = excess(next, plane);
        if (excess_here <= 0)
            kept.vertices[kept.count++] = *here;
        if ((excess_here < 0 && excess_next > 0) || (excess_here > 0 && excess_next < 0))
            kept.vertices[kept.count++] =
                between(here, next, excess_here / (excess_here - excess_next));
    }
    return kept;
}

// Twice the areas in both rasters are summed, and the bounds widened.
struct sums {
    double area_uv, area_xy;
    struct sel_extent uv, xy;
};

static void add_piece(struct sums *sums, const struct piece *piece) {
    double uv = 0, xy = 0;
    for (int i = 0; i < piece->count; i++) {
        const struct vertex *a = &piece->vertices[i];
        const struct vertex *b = &piece->vertices[(i + 1) % piece->count];
        uv += a->u * b->v - b->u * a->v;
        xy += a->x * b->y - b->x * a->y;
    }
    if (!(fabs(xy) > 0))
        return;
    sums->area_uv += 0.5 * fabs(uv);
    sums->area_xy += 0.5 * fabs(xy);
    for (int i = 0; i < piece->count; i++) {
        sel_extent_widen(&sums->uv, piece->vertices[i].u, piece->vertices[i].v);
        sel_extent_widen(&sums->xy, piece->vertices[i].x, piece->vertices[i].y);
    }
}

static void add_quadrilateral(
    struct sums *sums, const struct vertex corners[4], const struct sel_shape *larger) {
    struct piece piece = {.count = 4};
    for (int i = 0; i < 4; i++) {
        if (isnan(corners[i].x))
            return;
        piece.vertices[i] = corners[i];
    }
    const struct half_plane planes[4] = {{false, -1, 0}, {false, 1, (double)larger->cols},
        {true, -1, 0}, {true, 1, (double)larger->rows}};
    for (int i = 0; i < 4 && piece.count > 0; i++)
        piece = clip(&piece, planes[i]);
    if (piece.count >= 3)
        add_piece(sums, &piece);
}

static void map_row(const struct sel_pixel_map *map, const struct sel_shape *smaller, int j,
    struct vertex row[LATTICE + 1]) {
    double x[LATTICE + 1], y[LATTICE + 1];
    for (int i = 0; i <= LATTICE; i++) {
        row[i].u = x[i] = (double)smaller->cols * i / LATTICE;
        row[i].v = y[i] = (double)smaller->rows * j / LATTICE;
    }
    sel_pixel_map_apply(map, LATTICE + 1, x, y);
    for (int i = 0; i <= LATTICE; i++) {
        row[i].x = x[i];
        row[i].y = y[i];
    }
}

static struct sums sum_pieces(const struct sel_pixel_map *map, const struct sel_shape *smaller,
    const struct sel_shape *larger) {
    struct sums sums = {.uv = sel_extent_of_nothing(), .xy = sel_extent_of_nothing()};
    struct vertex rows[2][LATTICE + 1];
    map_row(map, smaller, 0, rows[0]);
    for (int j = 1; j <= LATTICE; j++) {
        struct vertex *above = rows[(j - 1) & 1], *below = rows[j & 1];
        map_row(map, smaller, j, below);
        for (int i = 0; i < LATTICE; i++) {
            const struct vertex corners[4] = {above[i], above[i + 1], below[i + 1], below[i]};
            add_quadrilateral(&sums, corners, larger);
        }
    }
    return sums;
}

static sel_status ground_area(
    sel_context *context, struct sel_named_shape raster, double *square_metres) {
    struct sel_ground_pixel ground;
    sel_status status = sel_ground_pixel_at(
        context, raster.file, raster.shape, sel_shape_extent(raster.shape), &ground);
    if (status == SEL_OK)
        *square_metres =
            ground.pixel_area_m2 * (double)raster.shape->rows * (double)raster.shape->cols;
    return status;
}

sel_status sel_overlap_find(sel_context *context, struct sel_named_shape of,
    struct sel_named_shape within, struct sel_overlap *out) {
    double area_of = 0, area_within = 0;
    sel_status status = ground_area(context, of, &area_of);
    if (status == SEL_OK)
        status = ground_area(context, within, &area_within);
    if (status != SEL_OK)
        return status;
    bool forward = area_of <= area_within;
    const struct sel_shape *smaller = forward ? of.shape : within.shape;
    const struct sel_shape *larger = forward ? within.shape : of.shape;
    struct sel_pixel_map *map;
    status = sel_pixel_map_new(context, smaller, larger, &map);
    if (status != SEL_OK)
        return status;
    struct sums sums = sum_pieces(map, smaller, larger);
    sel_pixel_map_free(map);
    double whole = (double)of.shape->rows * (double)of.shape->cols;
    out->extent = forward ? sums.uv : sums.xy;
    out->share = fmin(1, (forward ? sums.area_uv : sums.area_xy) / whole);
    return SEL_OK;
}
