// SPDX-License-Identifier: MIT
//
// One side of a flyway's centre line: where the side's own habitat ends.
//
// The line starts at the crack's middle and runs outward at right angles to the tangent. "A cell"
// on it is the cell's size in its direction, sqrt((cell_x n_x)^2 + (cell_y n_y)^2). Rules:
// - The first cell counts as own whatever it holds: next to a crack of a staircase an oblique line
//   may start in the other habitat.
// - The own habitat ends where a stretch of other ground of at least half a cell begins; clipping
//   the corner of a cell does not end it.
// - Unknown ground ends the depth (nothing is known beyond) but not the belt, so that a belt over
//   unknown ground shows as such.
// - A line along a cell border (parallel to it within 1e-9) belongs to the cells of both sides:
//   own if either is own.
#ifndef SEL_FLYWAY_CENTRE_LINE_H
#define SEL_FLYWAY_CENTRE_LINE_H

#include "edge/cracks.h"
#include "flyway/belt.h"

struct sel_centre_line {
    double depth_m; // until the own habitat ends or is no longer known: one cell .. reach_m
    double belt_m;  // length of the side's belt: two cells .. reach_m, which wins
};

// `outward` is the unit normal into the side of habitat `own`. Pure.
struct sel_centre_line sel_walk_centre_line(const struct sel_habitat_view *view,
    const struct sel_crack *crack, struct vec2 outward, sel_habitat_id own,
    const struct sel_belt_rule *rule);

// The whole cell that holds a half-cell position: floor(half / 2).
static inline int64_t sel_half_floor(int64_t half) {
    return (half - (half & 1)) / 2;
}

#endif
