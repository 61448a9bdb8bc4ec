// SPDX-License-Identifier: MIT
//
// Straight-line distance from a point to the nearest of many segments, through a uniform index.
#ifndef SEL_ACCESS_DISTANCE_H
#define SEL_ACCESS_DISTANCE_H

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

#endif
