// SPDX-License-Identifier: MIT
//
// Straight-line distance from a point to the nearest of many segments, through a uniform index.
#ifndef SEL_ACCESS_DISTANCE_H
#define SEL_ACCESS_DISTANCE_H

#include <stdbool.h>

#include "base/status.h"
#include "grid/vectors.h"

struct sel_segment_index;

// Keeps a copy of the segments, without those that have a coordinate that is not finite; fails with
// SEL_NO_MEMORY (no message) only.
sel_status sel_segment_index_new(
    const struct sel_segments *segments, struct sel_segment_index **index);
void sel_segment_index_free(struct sel_segment_index *index);

// Distance in metres from (x, y) (metres east and south of the grid's corner) to the nearest
// segment; INFINITY when there are none or the point is not finite. *nearest, when not NULL, gets
// the closest place on it (NAN when there is none; of places equally near the northernmost, then
// the westernmost, whatever the order of the segments). Exact but for rounding. Thread-safe.
double sel_segment_distance(
    const struct sel_segment_index *index, double x, double y, struct vec2 *nearest);

// Whether any segment comes within `radius_m` (>= 0) of (x, y). Thread-safe.
bool sel_segment_within(const struct sel_segment_index *index, double x, double y, double radius_m);

// Puts the place of a segment closest to `from` into *nearest, and the square of its distance, when
// it is nearer than what stands there (at first NAN and INFINITY), or as near and before it by the
// rule above. Whether it did.
bool sel_segment_nearer(
    const struct sel_segment *segment, struct vec2 from, struct vec2 *nearest, double *square_m2);

// Visits at least the segments that come into a box, each perhaps more than once and not only
// those, in no order that counts. Thread-safe.
typedef void sel_segment_fn(void *user, const struct sel_segment *segment);
void sel_segments_near(const struct sel_segment_index *index, double west, double north,
    double east, double south, sel_segment_fn *visit, void *user);

#endif
