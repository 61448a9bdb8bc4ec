// SPDX-License-Identifier: MIT
//
// What a map projection does to lengths and directions at a point, and where the point lies.
// grid/study.h holds the part that other stages use; this is for deriving the study grid.
#ifndef SEL_GRID_PROJECTOR_H
#define SEL_GRID_PROJECTOR_H

#include <stdbool.h>

#include "grid/study.h"

// A projector for any projected or geographic CRS given as WKT or "EPSG:n". `name` is what
// messages call it.
sel_status sel_projector_for_crs(
    sel_context *context, const char *crs, struct sel_projector **projector);

// Scale factors at a map position: along the meridian (h) and the parallel (k), and the largest
// and smallest of any direction (Tissot's indicatrix).
struct sel_distortion {
    double meridian, parallel;
    double largest, smallest;
    double convergence; // degrees; true bearing = grid bearing + convergence
};

// False where the projection has no place for the position.
bool sel_distortion_at(
    const struct sel_projector *projector, double x, double y, struct sel_distortion *out);

// WGS 84 degrees of a map position. False where there is none.
bool sel_place_at(
    const struct sel_projector *projector, double x, double y, double *latitude, double *longitude);

// max(|largest - 1|, |smallest - 1|).
double sel_scale_error(const struct sel_distortion *distortion);

#endif
