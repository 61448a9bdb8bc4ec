// SPDX-License-Identifier: MIT
//
// Row by row. Where the axis crosses from one row to the next, both rows work out the same crossing
// from the same numbers and so share a column; and the cell of a vertex is told from the vertex
// itself. That makes the chain of cells unbroken and 4-connected, along a piece and from piece to
// piece, without any tolerance.
#include "grid/stroke.h"

#include <math.h>

#include "grid/limits.h"

struct ordered {
    double x_top, y_top, x_bottom, y_bottom; // y_top <= y_bottom
};

static struct ordered order(const struct sel_segment *axis) {
    if (axis->y0 <= axis->y1)
        return (struct ordered){axis->x0, axis->y0, axis->x1, axis->y1};
    return (struct ordered){axis->x1, axis->y1, axis->x0, axis->y0};
}

static double x_at(const struct ordered *axis, double y) {
    if (y <= axis->y_top)
        return axis->x_top;
    if (y >= axis->y_bottom)
        return axis->x_bottom;
    double t = (y - axis->y_top) / (axis->y_bottom - axis->y_top);
    return axis->x_top + t * (axis->x_bottom - axis->x_top);
}

bool sel_stroke_between(
    const struct sel_stroke *stroke, double y_low, double y_high, double *x_low, double *x_high) {
    struct ordered axis = order(&stroke->axis);
    if (axis.y_top > y_high || axis.y_bottom < y_low)
        return false;
    bool level = axis.y_top == axis.y_bottom;
    double a = level ? axis.x_top : x_at(&axis, y_low);
    double b = level ? axis.x_bottom : x_at(&axis, y_high);
    *x_low = fmin(a, b);
    *x_high = fmax(a, b);
    return true;
}

// Far enough from any grid, and far from the ends of int64_t.
static const double FARTHEST_CELL = 1e15;

static int64_t cell_of(double metres, double cell_m) {
    double cell = floor(metres / cell_m);
    return (int64_t)fmax(-FARTHEST_CELL, fmin(FARTHEST_CELL, cell));
}

// What a stroke is laid upon.
struct sheet {
    double cell_x_m, cell_y_m;
    struct sel_cell_range within;
    sel_cover_fn *cover;
    void *user;
};

static void cover_run(const struct sheet *sheet, int64_t row, int64_t col, int64_t col_end) {
    col = sel_larger(col, sheet->within.col);
    col_end = sel_smaller(col_end, sheet->within.col_end);
    if (col < col_end)
        sheet->cover(sheet->user, row, col, col_end);
}

static void cover_chain(const struct sel_stroke *stroke, const struct sheet *sheet) {
    struct ordered axis = order(&stroke->axis);
    int64_t top = cell_of(axis.y_top, sheet->cell_y_m);
    int64_t bottom = cell_of(axis.y_bottom, sheet->cell_y_m);
    int64_t row = sel_larger(top, sheet->within.row);
    int64_t row_end = sel_smaller(bottom + 1, sheet->within.row_end);
    for (; row < row_end; row++) {
        double enter = row == top ? axis.x_top : x_at(&axis, (double)row * sheet->cell_y_m);
        double leave =
            row == bottom ? axis.x_bottom : x_at(&axis, (double)(row + 1) * sheet->cell_y_m);
        cover_run(sheet, row, cell_of(fmin(enter, leave), sheet->cell_x_m),
            cell_of(fmax(enter, leave), sheet->cell_x_m) + 1);
    }
}

static bool is_within(const struct sel_stroke *stroke, double x, double y) {
    const struct sel_segment *axis = &stroke->axis;
    double dx = axis->x1 - axis->x0, dy = axis->y1 - axis->y0;
    double length_squared = dx * dx + dy * dy;
    double along = (x - axis->x0) * dx + (y - axis->y0) * dy;
    double t = length_squared > 0 ? fmax(0, fmin(1, along / length_squared)) : 0;
    double off_x = x - (axis->x0 + t * dx), off_y = y - (axis->y0 + t * dy);
    return off_x * off_x + off_y * off_y <= stroke->half_m * stroke->half_m;
}

static void cover_near_row(
    const struct sel_stroke *stroke, const struct sheet *sheet, int64_t row) {
    double half = stroke->half_m, y = ((double)row + 0.5) * sheet->cell_y_m;
    double x_low, x_high;
    if (!sel_stroke_between(stroke, y - half, y + half, &x_low, &x_high))
        return;
    int64_t col = sel_larger(cell_of(x_low - half, sheet->cell_x_m), sheet->within.col);
    int64_t col_end =
        sel_smaller(cell_of(x_high + half, sheet->cell_x_m) + 1, sheet->within.col_end);
    for (; col < col_end; col++)
        if (is_within(stroke, ((double)col + 0.5) * sheet->cell_x_m, y))
            sheet->cover(sheet->user, row, col, col + 1);
}

static void cover_near(const struct sel_stroke *stroke, const struct sheet *sheet) {
    struct ordered axis = order(&stroke->axis);
    int64_t top = cell_of(axis.y_top - stroke->half_m, sheet->cell_y_m);
    int64_t bottom = cell_of(axis.y_bottom + stroke->half_m, sheet->cell_y_m);
    int64_t row = sel_larger(top, sheet->within.row);
    int64_t row_end = sel_smaller(bottom + 1, sheet->within.row_end);
    for (; row < row_end; row++)
        cover_near_row(stroke, sheet, row);
}

void sel_stroke_cover(const struct sel_stroke *stroke, double cell_x_m, double cell_y_m,
    struct sel_cell_range within, sel_cover_fn *cover, void *user) {
    const struct sheet sheet = {cell_x_m, cell_y_m, within, cover, user};
    cover_chain(stroke, &sheet);
    cover_near(stroke, &sheet);
}
