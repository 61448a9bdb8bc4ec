// SPDX-License-Identifier: MIT
//
// Slope of a surface given on a grid, by Horn's (1981) third-order finite difference: the gradient
// along x from the three rows of the window weighted 1-2-1, the gradient along y from its columns.
// The centre cell carries no weight but must be known. Nothing is guessed beside unknown cells or
// at the border: there is no slope there.
#include "terrain/slope.h"

#include <math.h>

static const double DEGREES = 57.29577951308232; // per radian

double sel_horn_slope(const float window[9], double cell_x_m, double cell_y_m) {
    if (isnan(window[4]))
        return (double)NAN;
    double west = (double)window[0] + 2.0 * (double)window[3] + (double)window[6];
    double east = (double)window[2] + 2.0 * (double)window[5] + (double)window[8];
    double north = (double)window[0] + 2.0 * (double)window[1] + (double)window[2];
    double south = (double)window[6] + 2.0 * (double)window[7] + (double)window[8];
    double along_x = (east - west) / (8.0 * cell_x_m);
    double along_y = (south - north) / (8.0 * cell_y_m);
    return atan(sqrt(along_x * along_x + along_y * along_y)) * DEGREES;
}

double sel_slope_at(const float *metres, int64_t rows, int64_t cols, int64_t row, int64_t col,
    double cell_x_m, double cell_y_m) {
    if (row < 1 || col < 1 || row >= rows - 1 || col >= cols - 1)
        return (double)NAN;
    float window[9];
    for (int i = 0; i < 9; i++)
        window[i] = metres[(row + i / 3 - 1) * cols + col + i % 3 - 1];
    return sel_horn_slope(window, cell_x_m, cell_y_m);
}
