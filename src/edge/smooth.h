// SPDX-License-Identifier: MIT
//
// Smoothing and thinning of one polyline of points a cell side apart, for traced lines.
#ifndef SEL_EDGE_SMOOTH_H
#define SEL_EDGE_SMOOTH_H

#include <stdbool.h>
#include <stddef.h>

#include "base/vec2.h"

// Smooths points[0..sides] in place; points[0] and points[sides] stay, or, when `closed`, are one
// point of a ring, given twice, and are smoothed with the others. `spare` has room for as many.
void sel_smooth_line(struct vec2 *points, struct vec2 *spare, size_t sides, bool closed);

// Drops points that lie within `tolerance` of the line that is left, in place; first and last stay.
// Distances are measured after scaling by `scale`. Returns how many points are left.
size_t sel_thin_line(struct vec2 *points, size_t count, struct vec2 scale, double tolerance);

// Length of a polyline after scaling by `scale`.
double sel_line_length(const struct vec2 *points, size_t count, struct vec2 scale);

#endif
