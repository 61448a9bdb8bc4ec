// SPDX-License-Identifier: MIT
//
// Which cells a straight piece of a narrow habitat covers. Pure: no GDAL, no allocation.
#ifndef SEL_GRID_STROKE_H
#define SEL_GRID_STROKE_H

#include "grid/grid.h"
#include "grid/vectors.h"

struct sel_stroke {
    struct sel_segment axis; // metres from the grid's corner, x east, y south
    double half_m;           // half its width
    sel_habitat_id id;
};

// Cells [row, row_end) x [col, col_end).
struct sel_cell_range {
    int64_t row, col, row_end, col_end;
};

// Calls `cover` for runs of cells of one row, [col, col_end), that the stroke covers within
// `within`: the cells its axis passes through (each cell holds its west and north side), and those
// whose centre lies within half_m of the axis. A run may come twice. What is covered does not
// depend on `within`.
typedef void sel_cover_fn(void *user, int64_t row, int64_t col, int64_t col_end);
void sel_stroke_cover(const struct sel_stroke *stroke, double cell_x_m, double cell_y_m,
    struct sel_cell_range within, sel_cover_fn *cover, void *user);

// The stretch of x that the axis has between two heights; false when it has none.
bool sel_stroke_between(
    const struct sel_stroke *stroke, double y_low, double y_high, double *x_low, double *x_high);

#endif
