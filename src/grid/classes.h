// SPDX-License-Identifier: MIT
//
// Which classes a land-cover file holds, and what a raster file is: for `start` and `check`, which
// look at files before there is a study.
#ifndef SEL_GRID_CLASSES_H
#define SEL_GRID_CLASSES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/status.h"
#include "plan/class_count.h"
#include "plan/plan.h"

struct sel_class_counts {
    struct sel_class_count *items; // owned; sorted by value
    size_t count, capacity;
    int64_t unknown;   // cells looked at that are NoData, NAN or masked
    int64_t looked_at; // cells looked at
    int64_t total;     // cells of the file
    bool sampled;      // looked_at < total
};

// Counts the classes of the file's own cells. A file of more than 25 million cells is sampled by
// evenly spread blocks of 512 x 512 unless `full`. Values that are no whole numbers, and files of
// more than 10,000 classes, fail.
sel_status sel_classes_scan(sel_context *context, const struct sel_raster_ref *source, bool full,
    struct sel_class_counts *counts);
void sel_class_counts_clear(struct sel_class_counts *counts);

struct sel_raster_summary {
    char *driver, *type;   // "GTiff", "Byte"; owned
    char *crs_name, *unit; // of its CRS; owned
    char *extent;          // in latitude and longitude, as text; owned
    int bands;
    int64_t rows, cols;
    double latitude, longitude;  // WGS 84 degrees, of the centre
    double pixel_x_m, pixel_y_m; // on the ground, at the centre
    bool has_nodata;             // false also where the type cannot hold the declared value
    double nodata;
    bool has_mask; // a mask or alpha band
};

sel_status sel_raster_describe(
    sel_context *context, const struct sel_raster_ref *source, struct sel_raster_summary *summary);
void sel_raster_summary_clear(struct sel_raster_summary *summary);

// Fails, naming both files and their places, unless the two have ground in common.
sel_status sel_check_common(sel_context *context, const struct sel_raster_ref *landcover,
    const struct sel_raster_ref *elevation);

#endif
