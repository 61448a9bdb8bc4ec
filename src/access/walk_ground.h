// SPDX-License-Identifier: MIT
//
// The sixteen moves and what they cost, shared by the search and by the sums along a walk.
#ifndef SEL_ACCESS_WALK_GROUND_H
#define SEL_ACCESS_WALK_GROUND_H

#include <math.h>

#include "access/walking.h"

// A move laid out in a window: where it ends, and up to two cells it passes or squeezes between,
// as differences of cell numbers.
struct sel_walk_reach {
    int rows, cols; // steps
    int64_t end, via_a, via_b;
    double length_m;
    bool knight, diagonal;
};

void sel_walk_lay_moves(
    const struct sel_walk_ground *ground, struct sel_walk_reach reaches[SEL_WALK_MOVES]);

// How many times longer than on a path it takes to cross a cell; INFINITY: barred.
float sel_walk_slowness(const struct sel_walk_ground *ground, int64_t cell);

// The mean slowness along a move, by the slownesses of begin, end and the cells between; INFINITY:
// barred. The same both ways, to the last bit.
static inline double sel_walk_mean_slowness(
    const struct sel_walk_reach *reach, float begin, float end, float via_a, float via_b) {
    double ends = (double)begin + (double)end;
    if (reach->knight)
        return (ends + ((double)via_a + (double)via_b)) / 4;
    if (reach->diagonal && isinf(via_a) && isinf(via_b))
        return HUGE_VAL;
    return ends / 2;
}

// Whether a move from (row, col) stays in the window.
static inline bool sel_walk_stays(const struct sel_walk_ground *ground,
    const struct sel_walk_reach *reach, int64_t row, int64_t col) {
    int64_t end_row = row + reach->rows, end_col = col + reach->cols;
    return end_row >= 0 && end_row < ground->rows && end_col >= 0 && end_col < ground->cols;
}

#endif
