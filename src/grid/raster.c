// SPDX-License-Identifier: MIT
//
// Opening and looking at a raster file through GDAL. Overviews are never read: RasterIO is always
// asked for as many cells as the rectangle has.
#include "grid/raster.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <cpl_string.h>
#include <ogr_srs_api.h>

#include "grid/gdal_support.h"

void sel_shape_clear(struct sel_shape *shape) {
    free(shape->crs);
    *shape = (struct sel_shape){0};
}

bool sel_shape_is_upright(const struct sel_shape *shape) {
    return shape->gt[2] == 0 && shape->gt[4] == 0;
}

void sel_raster_close(struct sel_raster *raster) {
    if (raster->dataset)
        GDALClose(raster->dataset);
    sel_shape_clear(&raster->shape);
    free(raster->file);
    *raster = (struct sel_raster){0};
}

static sel_status open_dataset(sel_context *context, struct sel_raster *raster) {
    sel_gdal_hush();
    raster->dataset = GDALOpenEx(
        raster->file, GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, NULL, NULL, NULL);
    const char *reason = sel_gdal_speak();
    if (!raster->dataset)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: cannot be opened as a raster (%s): check the path and the file", raster->file,
            reason);
    return SEL_OK;
}

static sel_status pick_band(sel_context *context, struct sel_raster *raster) {
    int count = GDALGetRasterCount(raster->dataset);
    if (count == 0)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: holds no raster band: of a container file name one of the subdatasets that "
            "gdalinfo lists",
            raster->file);
    if (raster->band_number < 1 || raster->band_number > count)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: band %d: the file has %d band%s: name one of 1..%d", raster->file,
            raster->band_number, count, count == 1 ? "" : "s", count);
    raster->band = GDALGetRasterBand(raster->dataset, raster->band_number);
    raster->type = GDALGetRasterDataType(raster->band);
    if (GDALDataTypeIsComplex(raster->type))
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: band %d: holds complex numbers (%s): convert it with gdal_translate -ot Float32",
            raster->file, raster->band_number, GDALGetDataTypeName(raster->type));
    const char *pixel_type = GDALGetMetadataItem(raster->band, "PIXELTYPE", "IMAGE_STRUCTURE");
    raster->signed_byte = raster->type == GDT_Byte && pixel_type && EQUAL(pixel_type, "SIGNEDBYTE");
    return SEL_OK;
}

static bool fits_whole(double value, double least, double most) {
    return value >= least && value <= most && value == floor(value);
}

// Whether a cell of the band can hold the value at all.
static bool type_can_hold(const struct sel_raster *raster, double value) {
    switch (raster->type) {
    case GDT_Byte:
        return raster->signed_byte ? fits_whole(value, INT8_MIN, INT8_MAX)
                                   : fits_whole(value, 0, UINT8_MAX);
    case GDT_UInt16:
        return fits_whole(value, 0, UINT16_MAX);
    case GDT_Int16:
        return fits_whole(value, INT16_MIN, INT16_MAX);
    case GDT_UInt32:
        return fits_whole(value, 0, UINT32_MAX);
    case GDT_Int32:
        return fits_whole(value, INT32_MIN, INT32_MAX);
    case GDT_Float32:
        return isnan(value) || isinf(value) || fabs(value) <= (double)FLT_MAX * (1 + 1e-6);
    default:
        return true;
    }
}

static double declared_nodata(const struct sel_raster *raster, int *has) {
    if (raster->type == GDT_Int64)
        return (double)GDALGetRasterNoDataValueAsInt64(raster->band, has);
    if (raster->type == GDT_UInt64)
        return (double)GDALGetRasterNoDataValueAsUInt64(raster->band, has);
    return GDALGetRasterNoDataValue(raster->band, has);
}

static void find_unknown_marks(struct sel_raster *raster) {
    int has = 0;
    double nodata = declared_nodata(raster, &has);
    raster->has_nodata = has && type_can_hold(raster, nodata);
    raster->has_odd_nodata = has && !raster->has_nodata;
    raster->nodata = raster->has_nodata ? nodata : 0;
    raster->odd_nodata = raster->has_odd_nodata ? nodata : 0;
    int flags = GDALGetMaskFlags(raster->band);
    raster->has_mask = !(flags & (GMF_ALL_VALID | GMF_NODATA));
}

static void find_value_scale(struct sel_raster *raster) {
    int has = 0;
    raster->value_scale = GDALGetRasterScale(raster->band, &has);
    if (!has || raster->value_scale == 0)
        raster->value_scale = 1;
    raster->value_offset = GDALGetRasterOffset(raster->band, &has);
    if (!has)
        raster->value_offset = 0;
}

static sel_status find_place(sel_context *context, struct sel_raster *raster) {
    struct sel_shape *shape = &raster->shape;
    shape->rows = GDALGetRasterYSize(raster->dataset);
    shape->cols = GDALGetRasterXSize(raster->dataset);
    bool placed = GDALGetGeoTransform(raster->dataset, shape->gt) == CE_None;
    if (!placed && GDALGetGCPCount(raster->dataset) > 0)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: is placed by ground control points only: rectify it first with gdalwarp",
            raster->file);
    double area = shape->gt[1] * shape->gt[5] - shape->gt[2] * shape->gt[4];
    if (!placed || !(fabs(area) > 0) || !isfinite(area))
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: has no place on the map (no geotransform): give it one with gdal_edit.py -a_ullr "
            "west north east south %s",
            raster->file, raster->file);
    return SEL_OK;
}

// The kinds of CRS that cannot be brought to latitude and longitude.
static sel_status refuse_unearthly(
    sel_context *context, const struct sel_raster *raster, OGRSpatialReferenceH crs) {
    if (OSRIsProjected(crs) || OSRIsGeographic(crs))
        return SEL_OK;
    const char *name = OSRGetName(crs);
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: its coordinate reference system \"%s\" is %s, so its place on the Earth is unknown: "
        "name the real one with gdal_edit.py -a_srs EPSG:code %s",
        raster->file, name ? name : "unnamed", OSRIsGeocentric(crs) ? "geocentric" : "a local one",
        raster->file);
}

static sel_status find_crs(sel_context *context, struct sel_raster *raster) {
    OGRSpatialReferenceH given = GDALGetSpatialRef(raster->dataset);
    if (!given)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: has no coordinate reference system: tell it with gdal_edit.py -a_srs EPSG:code %s",
            raster->file, raster->file);
    OGRSpatialReferenceH crs = sel_crs_flat(given);
    if (!crs)
        return sel_fail_memory(context);
    sel_status status = refuse_unearthly(context, raster, crs);
    if (status == SEL_OK && !sel_crs_wkt(crs, &raster->shape.crs))
        status = sel_fail(context, SEL_BAD_INPUT,
            "%s: its coordinate reference system cannot be written as text: name it with "
            "gdal_edit.py -a_srs EPSG:code %s",
            raster->file, raster->file);
    if (status == SEL_OK && !raster->shape.crs)
        status = sel_fail_memory(context);
    OSRDestroySpatialReference(crs);
    return status;
}

sel_status sel_raster_open(
    sel_context *context, const struct sel_raster_ref *source, struct sel_raster *raster) {
    sel_gdal_start();
    *raster = (struct sel_raster){.file = strdup(source->file), .band_number = source->band};
    if (!raster->file)
        return sel_fail_memory(context);
    sel_status status = open_dataset(context, raster);
    if (status == SEL_OK)
        status = pick_band(context, raster);
    if (status == SEL_OK)
        status = find_place(context, raster);
    if (status == SEL_OK)
        status = find_crs(context, raster);
    if (status == SEL_OK) {
        find_unknown_marks(raster);
        find_value_scale(raster);
    } else {
        sel_raster_close(raster);
    }
    return status;
}

void sel_part_halve(
    struct sel_raster_part whole, struct sel_raster_part *first, struct sel_raster_part *second) {
    *first = *second = whole;
    if (whole.cols >= whole.rows) {
        first->cols = whole.cols / 2;
        second->col += first->cols;
        second->cols -= first->cols;
    } else {
        first->rows = whole.rows / 2;
        second->row += first->rows;
        second->rows -= first->rows;
    }
}

sel_status sel_raster_read(sel_context *context, const struct sel_raster *raster,
    GDALRasterBandH band, struct sel_raster_part part, void *cells, GDALDataType type,
    int64_t stride_bytes) {
    sel_gdal_hush();
    CPLErr result =
        GDALRasterIOEx(band, GF_Read, (int)part.col, (int)part.row, (int)part.cols, (int)part.rows,
            cells, (int)part.cols, (int)part.rows, type, 0, (GSpacing)stride_bytes, NULL);
    const char *reason = sel_gdal_speak();
    if (result == CE_None)
        return SEL_OK;
    return sel_fail(context, SEL_IO,
        "%s: rows %lld..%lld, columns %lld..%lld cannot be read (%s): check the file with gdalinfo "
        "-checksum",
        raster->file, (long long)part.row, (long long)(part.row + part.rows - 1),
        (long long)part.col, (long long)(part.col + part.cols - 1), reason);
}
