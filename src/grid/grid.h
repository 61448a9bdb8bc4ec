// SPDX-License-Identifier: MIT
//
// The study grid: a north-up metric grid on which everything is computed, and windows of it.
//
// Cells are addressed by whole-number (row, col); row 0 is the northernmost, col 0 the westernmost.
// Half-cells (hx, hy) address cell centres (odd, odd), the middles of cell sides (one even, one
// odd) and cell corners (even, even): hx = 2 col + 1 is the centre of column col. Every coordinate
// is derived from these indices by the functions below, so that it is the same on every path.
#ifndef SEL_GRID_GRID_H
#define SEL_GRID_GRID_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/vec2.h"

struct sel_grid {
    int64_t rows, cols;
    double x0, y0;             // the north-west corner, CRS units
    double dx, dy;             // cell size, CRS units, both > 0
    double metres;             // metres per CRS unit
    double cell_x_m, cell_y_m; // cell size in metres: dx * metres, dy * metres
    char *crs;                 // WKT, owned; freed by sel_grid_clear
};

// A rectangle of cells of the study grid; may reach beyond it (cells there are unknown).
struct sel_window {
    int64_t row, col;
    int64_t rows, cols;
};

// Map coordinates (CRS units) of a half-cell position.
static inline double sel_grid_x(const struct sel_grid *grid, double hx) {
    return grid->x0 + 0.5 * hx * grid->dx;
}

static inline double sel_grid_y(const struct sel_grid *grid, double hy) {
    return grid->y0 - 0.5 * hy * grid->dy;
}

static inline size_t sel_window_cells(struct sel_window window) {
    return (size_t)window.rows * (size_t)window.cols;
}

// The window grown by `halo` cells on every side.
static inline struct sel_window sel_window_grow(struct sel_window window, int64_t halo) {
    return (struct sel_window){
        window.row - halo, window.col - halo, window.rows + 2 * halo, window.cols + 2 * halo};
}

static inline bool sel_window_has(struct sel_window window, int64_t row, int64_t col) {
    return row >= window.row && row < window.row + window.rows && col >= window.col &&
           col < window.col + window.cols;
}

#endif
