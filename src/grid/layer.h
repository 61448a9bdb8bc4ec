// SPDX-License-Identifier: MIT
//
// One layer of a vector file, its geometries brought to the study grid's CRS one by one.
#ifndef SEL_GRID_LAYER_H
#define SEL_GRID_LAYER_H

#include <gdal.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>

#include "base/status.h"
#include "grid/grid.h"
#include "plan/plan.h"

struct sel_layer {
    const char *file; // borrowed
    const char *name; // borrowed from the dataset
    GDALDatasetH dataset;
    OGRLayerH layer;
    OGRCoordinateTransformationH to_grid;
    OGRFeatureH feature; // the one in hand
};

// Opens the layer the reference names, or the file's only layer with geometries. Fails, naming
// file, layers and mend: no vector file, no such layer, several to choose from, no CRS.
sel_status sel_layer_open(sel_context *context, const struct sel_layer_ref *source,
    const struct sel_grid *grid, struct sel_layer *layer);
void sel_layer_close(struct sel_layer *layer);

// The next feature with a geometry, curves made of straight pieces, in the grid's CRS. *geometry
// belongs to the layer until the next call; NULL: no more.
sel_status sel_layer_next(sel_context *context, struct sel_layer *layer, OGRGeometryH *geometry);

// The failure of a layer that holds nothing of use; `what` is "features", "polygons"...
sel_status sel_fail_empty(sel_context *context, const struct sel_layer *layer, const char *what);

#endif
