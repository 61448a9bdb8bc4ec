// SPDX-License-Identifier: MIT
//
// Opens the rasters of a plan, derives the study grid and reads windows of it.
//
// Method: docs/method.md, "Study grid". Rasters that already lie on the study grid are read as they
// are; others are resampled, heights by GDAL's warper, from places by the mesh (mesh.h), always in
// the same grid-anchored blocks, so a cell's value never depends on the window asked for.
#ifndef SEL_GRID_STUDY_H
#define SEL_GRID_STUDY_H

#include "base/status.h"
#include "base/text.h"
#include "grid/grid.h"
#include "plan/plan.h"

// What is known of one input raster.
struct sel_raster_facts {
    char *file, *driver, *crs_name; // owned by the study
    char *unit;                     // of its CRS: "metre", "degree"...; owned
    char *value_unit; // of heights, "metre, assumed" where nothing tells; owned; NULL: classes
    int64_t rows, cols;
    double pixel_x, pixel_y; // in its CRS's own unit
    bool resampled;          // false: it lies on the study grid
    const char *method;      // "as it is", "nearest", "cubic", "average"; static
};

struct sel_study {
    struct sel_grid grid;       // cut to the common part of the rasters
    double scale_worst;         // worst |k - 1| of the map scale over the grid
    double lost_share;          // share of the land cover's area outside the elevation raster
    double latitude, longitude; // WGS 84, of the grid's centre
    bool has_canopy;
    double canopy_lost_share; // share of the land cover's area outside the canopy raster
    struct sel_raster_facts landcover, elevation, canopy;
    struct sel_study_sources *sources; // opaque: what a reader needs to open the files
};

// The auto numbers that depend on the cell, filled in.
struct sel_lengths {
    double every_m, reach_m, belt_m, tangent_m;
    int64_t every_half_cells; // side of the candidate lattice
};

sel_status sel_study_open(
    sel_context *context, const struct sel_plan *plan, struct sel_study *study);
void sel_study_clear(struct sel_study *study);

struct sel_lengths sel_study_lengths(const struct sel_study *study, const struct sel_plan *plan);

// A reader belongs to one thread. It opens its own dataset handles.
struct sel_reader;
sel_status sel_reader_new(
    sel_context *context, const struct sel_study *study, struct sel_reader **reader);
void sel_reader_free(struct sel_reader *reader);

// Habitat ids of a window, row-major; outside the grid, NoData, NaN and masked cells are
// SEL_HABITAT_UNKNOWN. A value missing from the habitat table fails naming value, file and place.
// Narrow habitats from `lines` are NOT yet burned in: see grid/burn.h.
sel_status sel_read_habitats(
    sel_context *context, struct sel_reader *reader, struct sel_window window, sel_habitat_id *ids);

// Ground elevation, metres; NAN where unknown. Reaches beyond the grid as far as the file does.
sel_status sel_read_elevation(
    sel_context *context, struct sel_reader *reader, struct sel_window window, float *metres);

// Canopy height, metres; NAN where unknown. Only with study->has_canopy.
sel_status sel_read_canopy(
    sel_context *context, struct sel_reader *reader, struct sel_window window, float *metres);

// WGS 84 latitude and longitude (degrees) and grid convergence (degrees; true bearing = grid
// bearing + convergence) of a map position. One projector per thread.
struct sel_projector;
sel_status sel_projector_new(
    sel_context *context, const struct sel_grid *grid, struct sel_projector **projector);
void sel_projector_free(struct sel_projector *projector);

struct sel_geographic {
    double latitude, longitude; // degrees
    double convergence;         // degrees
    double scale;               // map scale factor (mean of h and k)
};
sel_status sel_project(sel_context *context, struct sel_projector *projector, double x, double y,
    struct sel_geographic *out);

#endif
