// SPDX-License-Identifier: MIT
//
// Coarse pictures of the ground for maps: habitat and hillshade per pixel.
#ifndef SEL_SURVEY_PICTURE_H
#define SEL_SURVEY_PICTURE_H

#include "survey/worker.h"

// Paints `window` (cut to the grid) with at most `most` pixels along its longer side. Habitats are
// those of the cell at each pixel's middle, narrow habitats burned in; the shade is of the ground,
// lit from the north-west at 45 degrees.
sel_status sel_picture_paint(sel_context *context, struct sel_worker *worker,
    struct sel_window window, int64_t most, struct sel_picture *picture);
void sel_picture_clear(struct sel_picture *picture);

#endif
