// SPDX-License-Identifier: MIT
//
// Pixel sizes are taken on a Lambert azimuthal equal-area plane centred on the place, where an area
// keeps its true size (Snyder, USGS Professional Paper 1395, 1987, section 24).
#include "grid/ground.h"

#include <math.h>
#include <stdio.h>

#include "grid/pixel_map.h"

enum { SAMPLES = 64 };

struct sel_extent sel_shape_extent(const struct sel_shape *shape) {
    return (struct sel_extent){0, 0, (double)shape->cols, (double)shape->rows};
}

struct sel_extent sel_extent_of_nothing(void) {
    const double infinite = (double)INFINITY;
    return (struct sel_extent){infinite, infinite, -infinite, -infinite};
}

void sel_extent_widen(struct sel_extent *extent, double x, double y) {
    extent->x0 = fmin(extent->x0, x);
    extent->y0 = fmin(extent->y0, y);
    extent->x1 = fmax(extent->x1, x);
    extent->y1 = fmax(extent->y1, y);
}

static sel_status map_to(sel_context *context, const struct sel_shape *shape, const char *crs,
    struct sel_pixel_map **map) {
    struct sel_shape plain = sel_plain_shape(crs);
    if (!plain.crs)
        return sel_fail_memory(context);
    sel_status status = sel_pixel_map_new(context, shape, &plain, map);
    sel_shape_clear(&plain);
    return status;
}

static sel_status find_centre(sel_context *context, const char *file, const struct sel_shape *shape,
    double x, double y, struct sel_ground_pixel *out) {
    struct sel_pixel_map *map = NULL;
    sel_status status = map_to(context, shape, sel_wgs84(), &map);
    if (status != SEL_OK || !map)
        return status;
    sel_pixel_map_apply(map, 1, &x, &y);
    sel_pixel_map_free(map);
    if (isnan(x))
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: its centre has no latitude and longitude: check its extent and coordinate "
            "reference system with gdalinfo",
            file);
    out->longitude = x;
    out->latitude = y;
    return SEL_OK;
}

static sel_status measure_pixel(sel_context *context, const char *file,
    const struct sel_shape *shape, double x, double y, struct sel_ground_pixel *out) {
    char plane[128];
    snprintf(plane, sizeof plane, "+proj=laea +lat_0=%.9f +lon_0=%.9f +datum=WGS84 +units=m",
        out->latitude, out->longitude);
    struct sel_pixel_map *map = NULL;
    sel_status status = map_to(context, shape, plane, &map);
    if (status != SEL_OK || !map)
        return status;
    double px[4] = {x - 0.5, x + 0.5, x, x};
    double py[4] = {y, y, y - 0.5, y + 0.5};
    sel_pixel_map_apply(map, 4, px, py);
    sel_pixel_map_free(map);
    double ux = px[1] - px[0], uy = py[1] - py[0], vx = px[3] - px[2], vy = py[3] - py[2];
    out->pixel_x_m = hypot(ux, uy);
    out->pixel_y_m = hypot(vx, vy);
    out->pixel_area_m2 = fabs(ux * vy - uy * vx);
    if (!(out->pixel_area_m2 > 0))
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: the size of its pixels on the ground cannot be told at %.4f, %.4f: check its "
            "geotransform with gdalinfo",
            file, out->latitude, out->longitude);
    return SEL_OK;
}

sel_status sel_ground_pixel_at(sel_context *context, const char *file,
    const struct sel_shape *shape, struct sel_extent extent, struct sel_ground_pixel *out) {
    double x = 0.5 * (extent.x0 + extent.x1);
    double y = 0.5 * (extent.y0 + extent.y1);
    sel_status status = find_centre(context, file, shape, x, y, out);
    if (status == SEL_OK)
        status = measure_pixel(context, file, shape, x, y, out);
    return status;
}

static void sample_outline(struct sel_extent extent, double *x, double *y) {
    for (int i = 0; i < SAMPLES; i++) {
        double t = (double)i / SAMPLES;
        double along_x = extent.x0 + t * (extent.x1 - extent.x0);
        double along_y = extent.y0 + t * (extent.y1 - extent.y0);
        x[i] = along_x;
        y[i] = extent.y0;
        x[SAMPLES + i] = extent.x1;
        y[SAMPLES + i] = along_y;
        x[2 * SAMPLES + i] = extent.x1 - (along_x - extent.x0);
        y[2 * SAMPLES + i] = extent.y1;
        x[3 * SAMPLES + i] = extent.x0;
        y[3 * SAMPLES + i] = extent.y1 - (along_y - extent.y0);
    }
}

static bool bound_outline(const double *x, const double *y, struct sel_extent *out) {
    *out = sel_extent_of_nothing();
    for (int i = 0; i < 4 * SAMPLES; i++)
        if (!isnan(x[i]))
            sel_extent_widen(out, x[i], y[i]);
    return out->x0 <= out->x1;
}

bool sel_extent_map(
    const struct sel_pixel_map *map, struct sel_extent extent, struct sel_extent *out) {
    double x[4 * SAMPLES], y[4 * SAMPLES];
    sample_outline(extent, x, y);
    sel_pixel_map_apply(map, 4 * SAMPLES, x, y);
    return bound_outline(x, y, out);
}

bool sel_extent_map_back(
    const struct sel_pixel_map *map, struct sel_extent extent, struct sel_extent *out) {
    double x[4 * SAMPLES], y[4 * SAMPLES];
    sample_outline(extent, x, y);
    sel_pixel_map_back(map, 4 * SAMPLES, x, y);
    return bound_outline(x, y, out);
}

// "48.7449..49.1099 N", "0.5000 S..1.2000 N".
static void degrees_text(
    char *text, size_t size, double low, double high, char negative, char positive) {
    char low_letter = low < 0 ? negative : positive;
    char high_letter = high < 0 ? negative : positive;
    if (low_letter == high_letter)
        snprintf(text, size, "%.4f..%.4f %c", fabs(low), fabs(high), high_letter);
    else
        snprintf(text, size, "%.4f %c..%.4f %c", fabs(low), low_letter, fabs(high), high_letter);
}

sel_status sel_extent_text(sel_context *context, const struct sel_shape *shape,
    struct sel_extent extent, char text[SEL_EXTENT_TEXT]) {
    struct sel_pixel_map *map = NULL;
    sel_status status = map_to(context, shape, sel_wgs84(), &map);
    if (status != SEL_OK || !map)
        return status;
    struct sel_extent degrees;
    if (sel_extent_map(map, extent, &degrees)) {
        char latitudes[40], longitudes[40];
        degrees_text(latitudes, sizeof latitudes, degrees.y0, degrees.y1, 'S', 'N');
        degrees_text(longitudes, sizeof longitudes, degrees.x0, degrees.x1, 'W', 'E');
        snprintf(text, SEL_EXTENT_TEXT, "%s, %s", latitudes, longitudes);
    } else {
        snprintf(text, SEL_EXTENT_TEXT, "nowhere on the Earth");
    }
    sel_pixel_map_free(map);
    return SEL_OK;
}
