// SPDX-License-Identifier: MIT
//
// Slope after Horn (1981), Proceedings of the IEEE 69 (1): weights 1-2-1 over the eight neighbours.
#ifndef SEL_TERRAIN_SLOPE_H
#define SEL_TERRAIN_SLOPE_H

#include <stdint.h>

// Slope in degrees, 0..90, of the centre of a 3 x 3 window given row by row from the north-west
// corner; cell sizes in metres. NAN when any of the nine is NAN.
double sel_horn_slope(const float window[9], double cell_x_m, double cell_y_m);

// The same for a cell (row, col, window-relative) of a row-major raster; NAN at its border.
double sel_slope_at(const float *metres, int64_t rows, int64_t cols, int64_t row, int64_t col,
    double cell_x_m, double cell_y_m);

#endif
