// SPDX-License-Identifier: MIT
//
// Cracks: the cell sides that part two different known habitats.
#ifndef SEL_EDGE_CRACKS_H
#define SEL_EDGE_CRACKS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"
#include "grid/grid.h"
#include "plan/habitats.h"

// A window of habitat ids, borrowed. Outside the window all is unknown.
struct sel_habitat_view {
    struct sel_window window;
    const sel_habitat_id *ids; // row-major
};

// The id of a cell by its grid row and column.
static inline sel_habitat_id sel_view_at(
    const struct sel_habitat_view *view, int64_t row, int64_t col) {
    if (!sel_window_has(view->window, row, col))
        return SEL_HABITAT_UNKNOWN;
    int64_t at = (row - view->window.row) * view->window.cols + (col - view->window.col);
    return view->ids[at];
}

// A crack by the half-cell position of its middle. hx even, hy odd: it parts the cells west and
// east of it ("vertical"). hx odd, hy even: it parts north and south ("horizontal").
// The pair is unordered: a < b always. a_first tells whether a is the west (north) cell.
struct sel_crack {
    int32_t hx, hy;
    sel_habitat_id a, b;
    bool a_first;
};

static inline bool sel_crack_is_vertical(const struct sel_crack *crack) {
    return (crack->hx & 1) == 0;
}

// The cell on the side of habitat a (or b): its row and column.
void sel_crack_cell(const struct sel_crack *crack, bool side_a, int64_t *row, int64_t *col);

struct sel_cracks {
    struct sel_crack *items; // owned
    size_t count, capacity;
};
void sel_cracks_clear(struct sel_cracks *cracks);

// Appends the cracks whose middle lies in the half-open square of half-cells
// [2 col, 2 (col + cols)) x [2 row, 2 (row + rows)) of `core`, in order of hy, then hx. The view
// must reach one cell beyond the core on the north and west side. SEL_NO_MEMORY without message.
sel_status sel_find_cracks(
    const struct sel_habitat_view *view, struct sel_window core, struct sel_cracks *cracks);

#endif
