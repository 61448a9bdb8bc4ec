// SPDX-License-Identifier: MIT
//
// Coarser levels of the surface. A coarse cell stands for what a ray meets that crosses it: the
// highest cell of a row or column of its sixteen, averaged over the four rows and four columns. The
// plain mean would lose peaks and the maximum would broaden them; docs/method-sun.md shows what
// each costs.
#include "terrain/surface.h"

#include <math.h>
#include <stddef.h>

enum { SIDE = 4 };                         // fine cells along a coarse cell
static const double CROSSING_SHARE = 0.75; // of the ground; the rest is the mean's

static int64_t floor_shift(int64_t value, int bits) {
    return value >= 0 ? value >> bits : -((-value + ((int64_t)1 << bits) - 1) >> bits);
}

struct sel_window sel_surface_window(struct sel_window study, int level) {
    int bits = 2 * level;
    struct sel_window window = {floor_shift(study.row, bits), floor_shift(study.col, bits), 0, 0};
    window.rows = floor_shift(study.row + study.rows - 1, bits) - window.row + 1;
    window.cols = floor_shift(study.col + study.cols - 1, bits) - window.col + 1;
    return window;
}

// The sixteen fine cells of a coarse cell; -INFINITY stands for unknown.
struct sixteen {
    float ground[SIDE * SIDE], top[SIDE * SIDE];
    int known, with_canopy, cover_sum;
};

static void gather_cell(const struct sel_surface_level *fine, int64_t row, int64_t col, int slot,
    struct sixteen *cells) {
    cells->ground[slot] = cells->top[slot] = -INFINITY;
    if (!sel_window_has(fine->window, row, col))
        return;
    int64_t at = (row - fine->window.row) * fine->window.cols + col - fine->window.col;
    if (isnan(fine->ground_m[at]))
        return;
    cells->known++;
    cells->ground[slot] = fine->ground_m[at];
    cells->top[slot] = fine->ground_m[at];
    if (fine->canopy_top_m[at] > fine->ground_m[at]) {
        cells->top[slot] = fine->canopy_top_m[at];
        cells->with_canopy++;
        cells->cover_sum += fine->cover[at];
    }
}

static void gather(
    const struct sel_surface_level *fine, int64_t row, int64_t col, struct sixteen *cells) {
    cells->known = cells->with_canopy = cells->cover_sum = 0;
    for (int slot = 0; slot < SIDE * SIDE; slot++)
        gather_cell(fine, SIDE * row + slot / SIDE, SIDE * col + slot % SIDE, slot, cells);
}

static float highest(const float *heights, int step) {
    float most = heights[0];
    for (int i = 1; i < SIDE; i++)
        most = heights[i * step] > most ? heights[i * step] : most;
    return most;
}

// The mean of the highest of each row and of each column, over those with any known cell.
static double crossing_height(const float heights[SIDE * SIDE]) {
    double sum = 0.0;
    int lines = 0;
    for (int i = 0; i < SIDE; i++) {
        float of_row = highest(heights + SIDE * i, 1), of_col = highest(heights + i, SIDE);
        sum += (isinf(of_row) ? 0.0 : (double)of_row) + (isinf(of_col) ? 0.0 : (double)of_col);
        lines += !isinf(of_row) + !isinf(of_col);
    }
    return sum / lines;
}

static double mean_height(const struct sixteen *cells) {
    double sum = 0.0;
    for (int i = 0; i < SIDE * SIDE; i++)
        sum += isinf(cells->ground[i]) ? 0.0 : (double)cells->ground[i];
    return sum / cells->known;
}

void sel_surface_coarsen(const struct sel_surface_level *fine, struct sel_window coarse_window,
    float *ground_m, float *canopy_top_m, uint8_t *cover) {
    struct sixteen cells;
    size_t at = 0;
    for (int64_t row = 0; row < coarse_window.rows; row++)
        for (int64_t col = 0; col < coarse_window.cols; col++, at++) {
            gather(fine, coarse_window.row + row, coarse_window.col + col, &cells);
            ground_m[at] = canopy_top_m[at] = NAN;
            cover[at] = 0;
            if (cells.known == 0)
                continue;
            double crossing = crossing_height(cells.ground), mean = mean_height(&cells);
            double ground = mean + CROSSING_SHARE * (crossing - mean);
            double canopy = crossing_height(cells.top) - crossing;
            ground_m[at] = (float)ground;
            canopy_top_m[at] = canopy > 0.0 ? (float)(ground + canopy) : ground_m[at];
            if (cells.with_canopy > 0)
                cover[at] =
                    (uint8_t)((cells.cover_sum + cells.with_canopy / 2) / cells.with_canopy);
        }
}
