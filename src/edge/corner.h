// SPDX-License-Identifier: MIT
//
// The four cells and the four possible cracks around a cell corner, shared by tangent and trace.
//
// Corner (row, col) is the north-west corner of cell (row, col): half-cell (2 col, 2 row).
// Directions turn anticlockwise on the map: east 0, north 1, west 2, south 3. Quadrant q is the
// cell on the left hand of a walker who leaves the corner in direction q; on the right hand lies
// quadrant q - 1. So a crack leaves the corner in direction q when these two differ.
#ifndef SEL_EDGE_CORNER_H
#define SEL_EDGE_CORNER_H

enum { SEL_EAST, SEL_NORTH, SEL_WEST, SEL_SOUTH, SEL_DIRECTIONS };

// One cell side in a direction, in rows (south) and columns (east).
static const signed char sel_step_row[SEL_DIRECTIONS] = {0, -1, 0, 1};
static const signed char sel_step_col[SEL_DIRECTIONS] = {1, 0, -1, 0};

// Row and column of a quadrant's cell less those of the corner.
static const signed char sel_quadrant_row[SEL_DIRECTIONS] = {-1, -1, 0, 0};
static const signed char sel_quadrant_col[SEL_DIRECTIONS] = {0, -1, -1, 0};

// The quadrant on the right hand of direction q.
static inline int sel_right_of(int q) {
    return (q + SEL_DIRECTIONS - 1) % SEL_DIRECTIONS;
}

static inline int sel_opposite(int direction) {
    return (direction + 2) % SEL_DIRECTIONS;
}

#endif
