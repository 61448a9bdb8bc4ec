// SPDX-License-Identifier: MIT
//
// One warp operation serves all blocks; where their cells lie in the file, it asks their mesh. The
// kernel's scale is fixed at 1 for cubic convolution (Keys 1981, a = -1/2, as GDAL has it): left
// alone, GDAL derives it from each block's source window, and values would differ from block to
// block. A raster with a mask band is read through a virtual raster that turns masked pixels into
// NAN.
#include "grid/warp.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>

#include <cpl_conv.h>
#include <cpl_string.h>
#include <gdal_alg.h>
#include <gdalwarper.h>

#include "base/text.h"
#include "grid/gdal_support.h"
#include "grid/ground.h"
#include "grid/mesh.h"

// Pixels around a cell that its kernel may reach; a block farther than this from the file is empty.
static const double KERNEL_REACH = 4;

// Blocks whose source is larger than this are warped in halves, down to a few cells.
enum { MOST_PIXELS = 8 << 20, SMALLEST_SIDE = 8 };

struct sel_warp {
    const struct sel_raster *raster;      // borrowed
    const struct sel_source *source;      // borrowed
    const struct sel_pixel_map *to_frame; // borrowed
    GDALDatasetH masked;                  // a virtual raster over the file; NULL: none needed
    GDALWarpOptions *options;
    GDALWarpOperationH operation;
    struct sel_mesh *mesh;
    double *cells; // one block
};

void sel_warp_free(struct sel_warp *warp) {
    if (!warp)
        return;
    if (warp->operation)
        GDALDestroyWarpOperation(warp->operation);
    if (warp->options)
        GDALDestroyWarpOptions(warp->options);
    if (warp->masked)
        GDALClose(warp->masked);
    sel_mesh_free(warp->mesh);
    free(warp->cells);
    free(warp);
}

static void add_escaped(struct sel_text *text, const char *chars) {
    char *escaped = CPLEscapeString(chars, -1, CPLES_XML);
    sel_text_add(text, escaped);
    CPLFree(escaped);
}

// A virtual raster of doubles that are NAN where the file's mask hides a pixel.
static char *masked_xml(const struct sel_raster *raster) {
    struct sel_text text;
    sel_text_init(&text);
    sel_text_addf(&text,
        "<VRTDataset rasterXSize=\"%lld\" rasterYSize=\"%lld\"><VRTRasterBand dataType=\"Float64\" "
        "band=\"1\"><NoDataValue>nan</NoDataValue><ComplexSource><SourceFilename "
        "relativeToVRT=\"0\">",
        (long long)raster->shape.cols, (long long)raster->shape.rows);
    add_escaped(&text, raster->file);
    sel_text_addf(&text, "</SourceFilename><SourceBand>%d</SourceBand>", raster->band_number);
    sel_text_add(&text, "<UseMaskBand>true</UseMaskBand>");
    if (raster->has_nodata)
        sel_text_addf(&text, "<NODATA>%.17g</NODATA>", raster->nodata);
    sel_text_add(&text, "</ComplexSource></VRTRasterBand></VRTDataset>");
    return sel_text_take(&text);
}

static sel_status open_masked(sel_context *context, struct sel_warp *warp) {
    char *xml = masked_xml(warp->raster);
    if (!xml)
        return sel_fail_memory(context);
    sel_gdal_hush();
    warp->masked = GDALOpenEx(
        xml, GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, NULL, NULL, NULL);
    const char *reason = sel_gdal_speak();
    free(xml);
    if (warp->masked)
        return SEL_OK;
    return sel_fail(context, SEL_IO,
        "%s: its mask cannot be read (%s): check the file with gdalinfo", warp->raster->file,
        reason);
}

static double *one_number(double number) {
    double *numbers = CPLMalloc(sizeof *numbers);
    numbers[0] = number;
    return numbers;
}

static int *one_band(int band) {
    int *bands = CPLMalloc(sizeof *bands);
    bands[0] = band;
    return bands;
}

static bool is_floating(GDALDataType type) {
    return type == GDT_Float32 || type == GDT_Float64;
}

static void set_unknown(struct sel_warp *warp) {
    const struct sel_raster *raster = warp->raster;
    GDALWarpOptions *options = warp->options;
    if (raster->has_nodata && !warp->masked)
        options->padfSrcNoDataReal = one_number(raster->nodata);
    else if (warp->masked || is_floating(raster->type))
        options->padfSrcNoDataReal = one_number((double)NAN);
    options->padfDstNoDataReal = one_number((double)NAN);
}

// What GDAL's warper asks for places. It looks whether a transformer begins with a mark of its own
// kinds: an aligned pointer, with which struct sel_warp begins, is none.
static int find_places(
    void *user, int back, int count, double *x, double *y, double *z, int *known) {
    struct sel_warp *warp = user;
    if (!back)
        return GDALGenImgProjTransform(
            sel_pixel_map_transformer(warp->to_frame), back, count, x, y, z, known);
    sel_mesh_back(warp->mesh, (size_t)count, x, y);
    for (int i = 0; i < count; i++) {
        known[i] = isfinite(x[i]) && isfinite(y[i]);
        if (!known[i])
            x[i] = y[i] = HUGE_VAL;
    }
    return 1;
}

static void set_options(struct sel_warp *warp) {
    GDALWarpOptions *options = GDALCreateWarpOptions();
    warp->options = options;
    options->hSrcDS = warp->masked ? warp->masked : warp->raster->dataset;
    options->nBandCount = 1;
    options->panSrcBands = one_band(warp->masked ? 1 : warp->raster->band_number);
    options->panDstBands = one_band(1);
    options->eWorkingDataType = GDT_Float64;
    options->eResampleAlg = warp->source->method == SEL_CUBIC ? GRA_Cubic : GRA_Average;
    options->pfnTransformer = find_places;
    options->pTransformerArg = warp;
    char **more = CSLSetNameValue(NULL, "SAMPLE_GRID", "YES");
    more = CSLSetNameValue(more, "XSCALE", "1");
    more = CSLSetNameValue(more, "NUM_THREADS", "1"); // whatever GDAL_NUM_THREADS says: one mesh
    options->papszWarpOptions = CSLSetNameValue(more, "YSCALE", "1");
    set_unknown(warp);
}

static sel_status prepare(sel_context *context, struct sel_warp *warp) {
    if (warp->raster->has_mask) {
        sel_status status = open_masked(context, warp);
        if (status != SEL_OK)
            return status;
    }
    set_options(warp);
    sel_gdal_hush();
    warp->operation = GDALCreateWarpOperation(warp->options);
    const char *reason = sel_gdal_speak();
    if (!warp->operation)
        return sel_fail(
            context, SEL_IO, "%s: cannot be resampled (%s)", warp->raster->file, reason);
    size_t side = (size_t)warp->source->block;
    warp->cells = malloc(side * side * sizeof *warp->cells);
    return warp->cells ? sel_mesh_new(context, warp->to_frame, (int)side, &warp->mesh)
                       : sel_fail_memory(context);
}

sel_status sel_warp_new(sel_context *context, const struct sel_raster *raster,
    const struct sel_source *source, const struct sel_pixel_map *to_frame, struct sel_warp **out) {
    *out = calloc(1, sizeof **out);
    if (!*out)
        return sel_fail_memory(context);
    (*out)->raster = raster;
    (*out)->source = source;
    (*out)->to_frame = to_frame;
    sel_status status = prepare(context, *out);
    if (status != SEL_OK) {
        sel_warp_free(*out);
        *out = NULL;
    }
    return status;
}

// The file's pixels that a rectangle of frame cells looks at, roughly; false: none.
static bool looks_at(const struct sel_warp *warp, struct sel_raster_part cells, double *pixels) {
    const struct sel_shape *file = &warp->raster->shape;
    struct sel_extent seen;
    struct sel_extent extent = {(double)cells.col, (double)cells.row,
        (double)(cells.col + cells.cols), (double)(cells.row + cells.rows)};
    if (!sel_extent_map_back(warp->to_frame, extent, &seen))
        return false;
    double x0 = fmax(seen.x0 - KERNEL_REACH, 0),
           x1 = fmin(seen.x1 + KERNEL_REACH, (double)file->cols);
    double y0 = fmax(seen.y0 - KERNEL_REACH, 0),
           y1 = fmin(seen.y1 + KERNEL_REACH, (double)file->rows);
    *pixels = (x1 - x0) * (y1 - y0);
    return x1 > x0 && y1 > y0;
}

static sel_status warp_cells(
    sel_context *context, struct sel_warp *warp, struct sel_raster_part cells) {
    sel_gdal_hush();
    CPLErr result = GDALWarpRegionToBuffer(warp->operation, (int)cells.col, (int)cells.row,
        (int)cells.cols, (int)cells.rows, warp->cells, GDT_Float64, 0, 0, 0, 0);
    const char *reason = sel_gdal_speak();
    if (result == CE_None || result == CE_Warning)
        return SEL_OK;
    return sel_fail(context, SEL_IO,
        "%s: cannot be resampled at study cells %lld, %lld (%s): check "
        "the file with gdalinfo -checksum",
        warp->raster->file, (long long)cells.row, (long long)cells.col, reason);
}

// Where a piece goes in the block that is being filled.
struct target {
    int64_t row, col; // frame cell of the block's corner
    int side;
    float *metres;
};

static void store(const struct sel_warp *warp, const struct target *target,
    struct sel_raster_part cells, const double *values) {
    for (int64_t row = 0; row < cells.rows; row++) {
        float *line = target->metres + (cells.row - target->row + row) * target->side +
                      (cells.col - target->col);
        for (int64_t col = 0; col < cells.cols; col++) {
            double metres =
                values[row * cells.cols + col] * warp->source->factor + warp->source->term;
            line[col] = fabs(metres) <= (double)FLT_MAX ? (float)metres : NAN;
        }
    }
}

static sel_status fill_piece(sel_context *context, struct sel_warp *warp,
    const struct target *target, struct sel_raster_part cells) {
    sel_status going = sel_check_cancel(context);
    if (going != SEL_OK)
        return going;
    double pixels = 0;
    bool seen = looks_at(warp, cells, &pixels);
    bool small = cells.rows <= SMALLEST_SIDE && cells.cols <= SMALLEST_SIDE;
    if (!seen || pixels <= MOST_PIXELS || small) {
        for (int64_t i = 0; i < cells.rows * cells.cols; i++)
            warp->cells[i] = (double)NAN;
        sel_status status = seen ? warp_cells(context, warp, cells) : SEL_OK;
        if (status == SEL_OK)
            store(warp, target, cells, warp->cells);
        return status;
    }
    struct sel_raster_part first, second;
    sel_part_halve(cells, &first, &second);
    sel_status status = fill_piece(context, warp, target, first);
    if (status == SEL_OK)
        status = fill_piece(context, warp, target, second);
    return status;
}

sel_status sel_warp_fill(
    sel_context *context, struct sel_warp *warp, int64_t row, int64_t col, float *metres) {
    int side = warp->source->block;
    const struct target target = {row, col, side, metres};
    sel_mesh_lay(warp->mesh, row, col);
    return fill_piece(context, warp, &target, (struct sel_raster_part){col, row, side, side});
}
