// SPDX-License-Identifier: MIT
//
// What a study remembers of its rasters, so that every reader can open them anew and read them the
// same way. Immutable once the study is open.
#ifndef SEL_GRID_SOURCE_H
#define SEL_GRID_SOURCE_H

#include "grid/raster.h"
#include "grid/values.h"

enum sel_method { SEL_AS_IT_IS, SEL_NEAREST, SEL_CUBIC, SEL_AVERAGE };

struct sel_source {
    struct sel_raster_ref ref; // file owned
    enum sel_method method;
    int64_t col_shift, row_shift; // as it is: file pixel = frame cell + shift
    int block;                    // resampled: side of a block, cells
    double factor, term;          // heights: metres = value * factor + term
};

struct sel_study_sources {
    struct sel_shape frame;                         // numbers the frame's cells; without a size
    int64_t row0, col0;                             // frame cell of the grid's north-west cell
    struct sel_source landcover, elevation, canopy; // file NULL: not given
    struct sel_values values;
    char *table; // what messages call the habitat table; owned
    bool table_is_legend;
};

// Static text: "as it is", "nearest", "cubic", "average".
const char *sel_method_name(enum sel_method method);

// Decides how a raster gets onto the frame: as it is where its pixels fall on the frame's cells
// (within a thousandth of one, at nine points of `cells`), else `nearest` for classes, and for
// heights cubic where its pixels are as coarse as the cells or coarser, average where finer.
sel_status sel_source_plan(sel_context *context, const struct sel_raster *raster,
    const struct sel_shape *frame, struct sel_raster_part cells, bool is_classes,
    struct sel_source *source);

void sel_sources_free(struct sel_study_sources *sources);

#endif
