// SPDX-License-Identifier: MIT
//
// One raster file in a few numbers, without a plan and without reading a cell.
#include <stdlib.h>
#include <string.h>

#include "grid/classes.h"
#include "grid/common.h"
#include "grid/facts.h"
#include "grid/ground.h"
#include "grid/raster.h"

void sel_raster_summary_clear(struct sel_raster_summary *summary) {
    free(summary->driver);
    free(summary->type);
    free(summary->crs_name);
    free(summary->unit);
    free(summary->extent);
    *summary = (struct sel_raster_summary){0};
}

static void copy_numbers(const struct sel_raster *raster, struct sel_raster_summary *summary) {
    summary->bands = GDALGetRasterCount(raster->dataset);
    summary->rows = raster->shape.rows;
    summary->cols = raster->shape.cols;
    summary->has_nodata = raster->has_nodata;
    summary->nodata = raster->nodata;
    summary->has_mask = raster->has_mask;
}

static sel_status copy_texts(sel_context *context, const struct sel_raster *raster,
    const char *extent, struct sel_raster_summary *summary) {
    summary->driver = strdup(GDALGetDriverShortName(GDALGetDatasetDriver(raster->dataset)));
    summary->type = strdup(raster->signed_byte ? "signed Byte" : GDALGetDataTypeName(raster->type));
    summary->crs_name = sel_crs_name_of(&raster->shape);
    summary->unit = sel_unit_name_of(&raster->shape);
    summary->extent = strdup(extent);
    bool complete =
        summary->driver && summary->type && summary->crs_name && summary->unit && summary->extent;
    return complete ? SEL_OK : sel_fail_memory(context);
}

static sel_status describe(
    sel_context *context, const struct sel_raster *raster, struct sel_raster_summary *summary) {
    struct sel_extent whole = sel_shape_extent(&raster->shape);
    struct sel_ground_pixel ground;
    char extent[SEL_EXTENT_TEXT];
    sel_status status = sel_ground_pixel_at(context, raster->file, &raster->shape, whole, &ground);
    if (status == SEL_OK)
        status = sel_extent_text(context, &raster->shape, whole, extent);
    if (status != SEL_OK)
        return status;
    copy_numbers(raster, summary);
    summary->latitude = ground.latitude;
    summary->longitude = ground.longitude;
    summary->pixel_x_m = ground.pixel_x_m;
    summary->pixel_y_m = ground.pixel_y_m;
    return copy_texts(context, raster, extent, summary);
}

sel_status sel_raster_describe(
    sel_context *context, const struct sel_raster_ref *source, struct sel_raster_summary *summary) {
    *summary = (struct sel_raster_summary){0};
    struct sel_raster raster;
    sel_status status = sel_raster_open(context, source, &raster);
    if (status != SEL_OK)
        return status;
    status = describe(context, &raster, summary);
    if (status != SEL_OK)
        sel_raster_summary_clear(summary);
    sel_raster_close(&raster);
    return status;
}

sel_status sel_check_common(sel_context *context, const struct sel_raster_ref *landcover,
    const struct sel_raster_ref *elevation) {
    struct sel_raster cover, ground;
    sel_status status = sel_raster_open(context, landcover, &cover);
    if (status != SEL_OK)
        return status;
    status = sel_raster_open(context, elevation, &ground);
    if (status == SEL_OK) {
        struct sel_extent used;
        double lost_share;
        status = sel_common_part(context, &cover, &ground, &used, &lost_share);
        sel_raster_close(&ground);
    }
    sel_raster_close(&cover);
    return status;
}
