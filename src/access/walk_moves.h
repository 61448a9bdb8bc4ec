// SPDX-License-Identifier: MIT
//
// The sixteen moves and what they cost, shared by the search and by the sums along a walk.
#ifndef SEL_ACCESS_WALK_MOVES_H
#define SEL_ACCESS_WALK_MOVES_H

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

struct sel_walk_reach sel_walk_lay_move(const struct sel_walk *walk, int move);

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
static inline bool sel_walk_stays(
    const struct sel_walk *walk, const struct sel_walk_reach *reach, int64_t row, int64_t col) {
    int64_t end_row = row + reach->rows, end_col = col + reach->cols;
    return end_row >= 0 && end_row < walk->rows && end_col >= 0 && end_col < walk->cols;
}

// Whether shut sides bar a move that stays in the window.
bool sel_walk_is_shut(
    const struct sel_walk *walk, const struct sel_walk_reach *reach, int64_t cell);

// The mean slowness along a move that stays in the window; INFINITY: barred.
double sel_walk_slowness_along(
    const struct sel_walk *walk, const struct sel_walk_reach *reach, int64_t cell);

#endif
