// SPDX-License-Identifier: MIT
//
// Finds the cracks of a window: compares every cell with its northern and its western neighbour.
//
// The crack on a cell's north side has its middle half a cell above the centre, on the row of
// half-cells 2 row; the one on its west side lies on the row of half-cells 2 row + 1. Taking all
// north sides of a row of cells, then all west sides, gives the order of hy, then hx.
// Does not look beyond the view: there all is unknown, and a crack parts known habitats only.
#include "edge/cracks.h"

#include <stdlib.h>

#include "base/array.h"

void sel_crack_cell(const struct sel_crack *crack, bool side_a, int64_t *row, int64_t *col) {
    bool first = side_a == crack->a_first; // the west or north one of the two
    bool vertical = sel_crack_is_vertical(crack);
    *col = (int64_t)(crack->hx >> 1) - (vertical && first ? 1 : 0);
    *row = (int64_t)(crack->hy >> 1) - (!vertical && first ? 1 : 0);
}

void sel_cracks_clear(struct sel_cracks *cracks) {
    free(cracks->items);
    *cracks = (struct sel_cracks){0};
}

static bool parts(sel_habitat_id first, sel_habitat_id second) {
    return first != second && first != SEL_HABITAT_UNKNOWN && second != SEL_HABITAT_UNKNOWN;
}

static struct sel_crack make_crack(
    int64_t hx, int64_t hy, sel_habitat_id first, sel_habitat_id second) {
    bool a_first = first < second;
    return (struct sel_crack){.hx = (int32_t)hx,
        .hy = (int32_t)hy,
        .a = a_first ? first : second,
        .b = a_first ? second : first,
        .a_first = a_first};
}

// Cells [first_col, end_col) of one row, each against the cell `back` places earlier in the view;
// (hx, hy) is the middle of the first cell's side. Room for one crack a cell is there already.
static void append_sides(const sel_habitat_id *cells, int64_t count, int64_t back, int64_t hx,
    int64_t hy, struct sel_cracks *cracks) {
    for (int64_t i = 0; i < count; i++) {
        if (parts(cells[i - back], cells[i]))
            cracks->items[cracks->count++] = make_crack(hx + 2 * i, hy, cells[i - back], cells[i]);
    }
}

static int64_t larger(int64_t a, int64_t b) {
    return a > b ? a : b;
}

static int64_t smaller(int64_t a, int64_t b) {
    return a < b ? a : b;
}

static struct sel_window common_part(struct sel_window a, struct sel_window b) {
    int64_t row = larger(a.row, b.row), col = larger(a.col, b.col);
    int64_t end_row = smaller(a.row + a.rows, b.row + b.rows);
    int64_t end_col = smaller(a.col + a.cols, b.col + b.cols);
    return (struct sel_window){row, col, larger(0, end_row - row), larger(0, end_col - col)};
}

sel_status sel_find_cracks(
    const struct sel_habitat_view *view, struct sel_window core, struct sel_cracks *cracks) {
    struct sel_window within = view->window;
    struct sel_window cells = common_part(core, within);
    // A cell on the view's first column has no western neighbour to differ from.
    int64_t skip = cells.col == within.col && cells.cols > 0 ? 1 : 0;
    for (int64_t i = 0; i < cells.rows; i++) {
        size_t most = cracks->count + 2 * (size_t)cells.cols;
        struct sel_crack *grown =
            sel_grow(cracks->items, most, &cracks->capacity, sizeof *cracks->items);
        if (!grown)
            return SEL_NO_MEMORY;
        cracks->items = grown;
        int64_t row = cells.row + i;
        const sel_habitat_id *first =
            view->ids + (row - within.row) * within.cols + (cells.col - within.col);
        if (row > within.row)
            append_sides(first, cells.cols, within.cols, 2 * cells.col + 1, 2 * row, cracks);
        append_sides(
            first + skip, cells.cols - skip, 1, 2 * (cells.col + skip), 2 * row + 1, cracks);
    }
    return SEL_OK;
}
