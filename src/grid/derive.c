// SPDX-License-Identifier: MIT
//
// docs/method.md, "Study grid". The land cover's own CRS stays when its scale is true within 0.5 %
// over the used part. Otherwise: the UTM zone of the centre (NGA.SIG.0012, 2014: 80 S to 84 N,
// zones of 6 degrees from 180 W); beyond, a polar stereographic plane true to scale at the centre's
// latitude; and where the error would pass 0.5 %, a Lambert azimuthal equal-area plane centred on
// the data. A raster that is south-up or mirrored in a fitting CRS keeps its cells, read the right
// way round.
#include "grid/derive.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cpl_conv.h>
#include <ogr_srs_api.h>

#include "grid/gdal_support.h"
#include "grid/pixel_map.h"
#include "grid/projector.h"

static const double MOST_SCALE_ERROR = 0.005;

// A CRS that the plan names may err more, but beyond this it is a mistake, like Web Mercator.
static const double MOST_NAMED_SCALE_ERROR = 0.05;

static const double UTM_NORTH_END = 84, UTM_SOUTH_END = -80;

// Cells that differ by less than this part of their size are the same.
static const double SAME_CELL = 1e-6;

static const double SMALLEST_CELL = 0.01, LARGEST_CELL = 100000; // metres

void sel_frame_clear(struct sel_frame *frame) {
    free(frame->crs);
    *frame = (struct sel_frame){0};
}

struct sel_shape sel_frame_shape(const struct sel_frame *frame) {
    return (struct sel_shape){
        .gt = {frame->x0, frame->dx, 0, frame->y0, 0, -frame->dy}, .crs = strdup(frame->crs)};
}

static double worst_of_nine(const struct sel_pixel_map *map, const struct sel_projector *projector,
    struct sel_extent extent) {
    double x[9], y[9];
    for (int i = 0; i < 9; i++) {
        x[i] = extent.x0 + 0.5 * (i % 3) * (extent.x1 - extent.x0);
        y[i] = extent.y0 + 0.5 * floor(i / 3.0) * (extent.y1 - extent.y0);
    }
    sel_pixel_map_apply(map, 9, x, y);
    double worst = 0;
    for (int i = 0; i < 9; i++) {
        struct sel_distortion distortion;
        if (isnan(x[i]) || !sel_distortion_at(projector, x[i], y[i], &distortion))
            return (double)INFINITY;
        worst = fmax(worst, sel_scale_error(&distortion));
    }
    return worst;
}

sel_status sel_worst_scale(sel_context *context, const struct sel_shape *shape,
    struct sel_extent extent, const char *crs, double *error) {
    struct sel_projector *projector = NULL;
    struct sel_pixel_map *map = NULL;
    struct sel_shape plain = sel_plain_shape(crs);
    sel_status status = plain.crs ? SEL_OK : sel_fail_memory(context);
    if (status == SEL_OK)
        status = sel_projector_for_crs(context, crs, &projector);
    if (status == SEL_OK)
        status = sel_pixel_map_new(context, shape, &plain, &map);
    if (status == SEL_OK)
        *error = worst_of_nine(map, projector, extent);
    sel_pixel_map_free(map);
    sel_projector_free(projector);
    sel_shape_clear(&plain);
    return status;
}

static bool has_metres(OGRSpatialReferenceH crs) {
    double metres = OSRGetLinearUnits(crs, NULL);
    return OSRIsProjected(crs) && isfinite(metres) && metres > 0;
}

// What is being decided: the land cover, its used part and that part's centre.
struct task {
    sel_context *context;
    const struct sel_plan *plan;
    const struct sel_raster *landcover;
    struct sel_extent used;
    struct sel_ground_pixel ground;
};

static sel_status scale_error(const struct task *task, const char *crs, double *error) {
    return sel_worst_scale(task->context, &task->landcover->shape, task->used, crs, error);
}

// Takes the WKT of a CRS, which may be NULL when memory ran out while it was made.
static sel_status take_crs(sel_context *context, OGRSpatialReferenceH crs, char **wkt) {
    free(*wkt);
    *wkt = NULL;
    if (crs)
        sel_crs_wkt(crs, wkt);
    OSRDestroySpatialReference(crs);
    return *wkt ? SEL_OK : sel_fail_memory(context);
}

static OGRSpatialReferenceH utm_crs(double latitude, double longitude) {
    double turned = longitude - 360 * floor((longitude + 180) / 360);
    int zone = (int)floor((turned + 180) / 6) + 1;
    char code[32];
    snprintf(code, sizeof code, "EPSG:%d", (latitude < 0 ? 32700 : 32600) + zone);
    return sel_crs_from_text(code);
}

static double round_hundredth(double degrees) {
    return round(degrees * 100) / 100;
}

static OGRSpatialReferenceH new_wgs84_plane(const char *name) {
    OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
    if (crs) {
        OSRSetProjCS(crs, name);
        OSRSetWellKnownGeogCS(crs, "WGS84");
    }
    return crs;
}

static OGRSpatialReferenceH polar_crs(double latitude, double longitude) {
    OGRSpatialReferenceH crs = new_wgs84_plane("WGS 84 / polar stereographic of the study area");
    if (crs)
        OSRSetPS(crs, round_hundredth(latitude), round_hundredth(longitude), 1, 0, 0);
    return crs;
}

static OGRSpatialReferenceH equal_area_crs(double latitude, double longitude) {
    OGRSpatialReferenceH crs = new_wgs84_plane("WGS 84 / equal area of the study area");
    if (crs)
        OSRSetLAEA(crs, round_hundredth(latitude), round_hundredth(longitude), 0, 0);
    return crs;
}

static sel_status choose_crs(const struct task *task, char **crs) {
    double latitude = task->ground.latitude, longitude = task->ground.longitude;
    bool polar = latitude > UTM_NORTH_END || latitude < UTM_SOUTH_END;
    sel_status status = take_crs(
        task->context, polar ? polar_crs(latitude, longitude) : utm_crs(latitude, longitude), crs);
    double error = 0;
    if (status == SEL_OK)
        status = scale_error(task, *crs, &error);
    if (status != SEL_OK || error <= MOST_SCALE_ERROR)
        return status;
    status = take_crs(task->context, equal_area_crs(latitude, longitude), crs);
    if (status == SEL_OK)
        status = scale_error(task, *crs, &error);
    if (status == SEL_OK && error > MOST_SCALE_ERROR)
        sel_note(task->context,
            "%s: the area is so large that lengths on the study grid err by up to %.1f %%",
            task->landcover->file, 100 * error);
    return status;
}

static sel_status check_named_scale(const struct task *task, const char *crs) {
    double error = 0;
    sel_status status = scale_error(task, crs, &error);
    if (status != SEL_OK || error <= MOST_SCALE_ERROR)
        return status;
    if (error > MOST_NAMED_SCALE_ERROR)
        return sel_fail(task->context, SEL_BAD_INPUT,
            "%s: grid.crs: %s: lengths in it err by %.1f %% here: name one made for this area, or "
            "leave it at auto",
            task->plan->path, task->plan->crs, 100 * fmin(error, 10));
    sel_note(task->context, "grid.crs: %s: lengths in it err by up to %.2f %% here",
        task->plan->crs, 100 * error);
    return SEL_OK;
}

static sel_status named_crs(const struct task *task, char **wkt) {
    const char *text = task->plan->crs;
    sel_gdal_hush();
    OGRSpatialReferenceH crs = sel_crs_from_text(text);
    sel_gdal_speak();
    if (!crs)
        return sel_fail(task->context, SEL_BAD_INPUT,
            "%s: grid.crs: %s: is no known coordinate reference system: give one like EPSG:32633",
            task->plan->path, text);
    if (!has_metres(crs)) {
        OSRDestroySpatialReference(crs);
        return sel_fail(task->context, SEL_BAD_INPUT,
            "%s: grid.crs: %s: is not a projected system whose unit is a length: name one like "
            "EPSG:32633",
            task->plan->path, text);
    }
    OGRSpatialReferenceH flat = sel_crs_flat(crs);
    OSRDestroySpatialReference(crs);
    sel_status status = take_crs(task->context, flat, wkt);
    if (status == SEL_OK)
        status = check_named_scale(task, *wkt);
    return status;
}

static bool same_crs(const char *a, const char *b) {
    static const char *const options[] = {"IGNORE_DATA_AXIS_TO_SRS_AXIS_MAPPING=YES", NULL};
    OGRSpatialReferenceH first = sel_crs_from_text(a);
    OGRSpatialReferenceH second = sel_crs_from_text(b);
    bool same = first && second && OSRIsSameEx(first, second, options);
    OSRDestroySpatialReference(first);
    OSRDestroySpatialReference(second);
    return same;
}

// Whether the land cover's CRS may carry the study grid without being asked for by name.
static sel_status fits_as_it_is(const struct task *task, bool *fits) {
    const char *own = task->landcover->shape.crs;
    OGRSpatialReferenceH crs = sel_crs_from_text(own);
    bool metric = crs && has_metres(crs);
    OSRDestroySpatialReference(crs);
    double error = (double)INFINITY;
    sel_status status = metric ? scale_error(task, own, &error) : SEL_OK;
    *fits = error <= MOST_SCALE_ERROR;
    return status;
}

static sel_status settle_crs(const struct task *task, char **crs, bool *own) {
    const char *native = task->landcover->shape.crs;
    if (task->plan->crs) {
        sel_status status = named_crs(task, crs);
        *own = status == SEL_OK && same_crs(*crs, native);
        return status;
    }
    sel_status status = fits_as_it_is(task, own);
    if (status != SEL_OK)
        return status;
    if (!*own)
        return choose_crs(task, crs);
    *crs = strdup(native);
    return *crs ? SEL_OK : sel_fail_memory(task->context);
}

static bool same_length(double a, double b) {
    return fabs(a - b) <= SAME_CELL * b;
}

static bool keeps_own_cells(const struct task *task, double metres) {
    const struct sel_shape *shape = &task->landcover->shape;
    if (!sel_shape_is_upright(shape))
        return false;
    double wanted = task->plan->cell_m;
    return isnan(wanted) || (same_length(fabs(shape->gt[1]) * metres, wanted) &&
                                same_length(fabs(shape->gt[5]) * metres, wanted));
}

static void take_own_cells(const struct sel_shape *shape, struct sel_frame *frame) {
    double x1 = shape->gt[0] + (double)shape->cols * shape->gt[1];
    double y1 = shape->gt[3] + (double)shape->rows * shape->gt[5];
    frame->dx = fabs(shape->gt[1]);
    frame->dy = fabs(shape->gt[5]);
    frame->x0 = shape->gt[1] > 0 ? shape->gt[0] : x1;
    frame->y0 = shape->gt[5] < 0 ? shape->gt[3] : y1;
    frame->is_own_grid = true;
}

// The native ground size: to 0.1 m, below 1 m to 1 cm.
static double auto_cell(const struct task *task) {
    double cell = sqrt(task->ground.pixel_area_m2);
    return cell < 1 ? round(cell * 100) / 100 : round(cell * 10) / 10;
}

static sel_status take_square_cells(const struct task *task, struct sel_frame *frame) {
    double cell = isnan(task->plan->cell_m) ? auto_cell(task) : task->plan->cell_m;
    if (!(cell >= SMALLEST_CELL && cell <= LARGEST_CELL))
        return sel_fail(task->context, SEL_BAD_INPUT,
            "%s: cells of %g m: not in %g..%g m: check the geotransform with gdalinfo, or set "
            "grid: { cell_m: ... } in the plan",
            task->landcover->file, sqrt(task->ground.pixel_area_m2), SMALLEST_CELL, LARGEST_CELL);
    frame->dx = frame->dy = cell / frame->metres;
    frame->x0 = frame->y0 = 0;
    return SEL_OK;
}

static sel_status settle_cells(const struct task *task, bool own, struct sel_frame *frame) {
    OGRSpatialReferenceH crs = sel_crs_from_text(frame->crs);
    if (!crs)
        return sel_fail_memory(task->context);
    frame->metres = OSRGetLinearUnits(crs, NULL);
    OSRDestroySpatialReference(crs);
    if (!own || !keeps_own_cells(task, frame->metres))
        return take_square_cells(task, frame);
    take_own_cells(&task->landcover->shape, frame);
    return SEL_OK;
}

sel_status sel_derive_frame(sel_context *context, const struct sel_plan *plan,
    const struct sel_raster *landcover, struct sel_extent used, struct sel_frame *frame) {
    struct task task = {.context = context, .plan = plan, .landcover = landcover, .used = used};
    bool own = false;
    *frame = (struct sel_frame){0};
    sel_status status =
        sel_ground_pixel_at(context, landcover->file, &landcover->shape, used, &task.ground);
    if (status == SEL_OK)
        status = settle_crs(&task, &frame->crs, &own);
    if (status == SEL_OK)
        status = settle_cells(&task, own, frame);
    if (status != SEL_OK)
        sel_frame_clear(frame);
    return status;
}
