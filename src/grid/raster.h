// SPDX-License-Identifier: MIT
//
// One band of one raster file, opened: how it lies on the ground, what its cells are stored as and
// which of them are unknown. Nothing here resamples. A handle belongs to one thread.
#ifndef SEL_GRID_RASTER_H
#define SEL_GRID_RASTER_H

#include <stdbool.h>
#include <stdint.h>

#include <gdal.h>

#include "base/status.h"
#include "plan/plan.h"

// How a raster lies: pixel (col, row) -> map x = gt[0] + col gt[1] + row gt[2],
// y = gt[3] + col gt[4] + row gt[5], in the CRS's units, x east and y north.
struct sel_shape {
    int64_t rows, cols;
    double gt[6];
    char *crs; // WKT; owned
};

void sel_shape_clear(struct sel_shape *shape);

struct sel_raster {
    char *file; // owned
    int band_number;
    GDALDatasetH dataset;
    GDALRasterBandH band;
    struct sel_shape shape;
    GDALDataType type;
    bool signed_byte; // stored as bytes that mean -128..127
    bool has_nodata;  // a NoData value that the band's type can hold
    double nodata;
    bool has_odd_nodata; // a declared NoData value that no cell can hold; left aside
    double odd_nodata;
    bool has_mask;                    // a mask or alpha band stands beside the values
    double value_scale, value_offset; // a cell's worth is value * scale + offset
};

// Opens a band. Fails, naming the file and the mend, when it is no raster, lacks the band, holds
// complex numbers, has no place on the map or no CRS that can be put on the Earth.
sel_status sel_raster_open(
    sel_context *context, const struct sel_raster_ref *source, struct sel_raster *raster);
void sel_raster_close(struct sel_raster *raster);

// A rectangle of a file's pixels.
struct sel_raster_part {
    int64_t col, row, cols, rows;
};

// Cuts a rectangle of more than one cell across its longer side into two.
void sel_part_halve(
    struct sel_raster_part whole, struct sel_raster_part *first, struct sel_raster_part *second);

// Reads a rectangle of the file as float, double, byte... (GDAL converts), rows `stride_bytes`
// apart. Full resolution always.
sel_status sel_raster_read(sel_context *context, const struct sel_raster *raster,
    GDALRasterBandH band, struct sel_raster_part part, void *cells, GDALDataType type,
    int64_t stride_bytes);

// True for north-up, south-up and mirrored rasters: rows and columns run along the map's axes.
bool sel_shape_is_upright(const struct sel_shape *shape);

#endif
