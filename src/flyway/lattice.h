// SPDX-License-Identifier: MIT
//
// One candidate per pair of habitats and per half-open square of a lattice counted in whole
// half-cells of the study grid: a crack with middle (hx, hy) lies in the square
// (floor(hy / side), floor(hx / side)). The crack with the highest belt contrast wins; ties:
// nearest the square's centre (counted in half-cells), then lower row, then lower column of the
// cell (floor(hy / 2), floor(hx / 2)), then horizontal before vertical.
//
// Also keeps the books: every (pair, square) group that holds a crack ends in exactly one fate.
#ifndef SEL_FLYWAY_LATTICE_H
#define SEL_FLYWAY_LATTICE_H

#include "flyway/belt.h"

// How far the best crack of a group came; later is further. The last one makes a candidate.
enum sel_fate {
    SEL_FATE_OUTSIDE,      // outside the study area
    SEL_FATE_NO_GROUND,    // neither side may hold a trap
    SEL_FATE_EXCLUDED,     // in an exclusion zone
    SEL_FATE_NEAR_WAY,     // nearer to a public way than the plan allows
    SEL_FATE_NO_SLOPE,     // no elevation around it
    SEL_FATE_STEEP,        // slope beyond the limit
    SEL_FATE_NO_DIRECTION, // no clear edge direction
    SEL_FATE_UNKNOWN_BELT, // too little of the belt is known
    SEL_FATE_CANDIDATE,
    SEL_FATES
};

// "outside the study area", ... Static storage.
const char *sel_fate_name(enum sel_fate fate);

// A crack on its way to being a candidate. `tangent` and `belt` count only for
// SEL_FATE_CANDIDATE.
struct sel_prospect {
    struct sel_crack crack;
    enum sel_fate fate;
    float slope_deg;     // of the steeper cell that holds the trap
    bool trap_a, trap_b; // which sides may hold the trap
    struct sel_tangent tangent;
    struct sel_belt belt;
};

// Lattice squares [first_row, last_row) x [first_col, last_col).
struct sel_lattice_range {
    int64_t side; // half-cells
    int64_t first_row, last_row, first_col, last_col;
};

// The squares owned by a window of cells: those whose first half-cell (lowest hx and hy) lies in
// the window's half-open square of half-cells. Windows that tile the grid own each square once.
struct sel_lattice_range sel_lattice_owned(int64_t side, struct sel_window core);

// The window of cells that holds all cracks of those squares.
struct sel_window sel_lattice_cells(const struct sel_lattice_range *range);

struct sel_lattice_scratch;
struct sel_lattice_scratch *sel_lattice_scratch_new(void); // NULL: out of memory
void sel_lattice_scratch_free(struct sel_lattice_scratch *scratch);

// Picks the winners among `prospects` (any order; those outside the range are ignored). Writes the
// indices of the winners to `winners` (room for `count`), ordered by the winner's crack position
// (hy, hx), and adds each group's fate to fates[SEL_FATES].
// SEL_NO_MEMORY without message.
sel_status sel_lattice_pick(const struct sel_prospect *prospects, size_t count,
    const struct sel_lattice_range *range, struct sel_lattice_scratch *scratch, size_t *winners,
    size_t *winner_count, int64_t fates[SEL_FATES]);

#endif
