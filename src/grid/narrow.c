// SPDX-License-Identifier: MIT
//
// The strokes of all `lines` entries, in the plan's order, listed by the square bins of cells they
// may cover. A bin's strokes are laid one after the other, so the later entry wins in every cell,
// whatever window is asked for.
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/array.h"
#include "grid/limits.h"
#include "grid/stroke.h"
#include "grid/vectors.h"

enum { SMALLEST_BIN = 64 };

static const int64_t MOST_BINS = 1 << 20;

struct sel_narrow {
    int64_t rows, cols; // of the grid
    double cell_x_m, cell_y_m;
    struct sel_stroke *strokes; // owned
    size_t count, capacity;
    int64_t bin; // side, cells
    int64_t bin_rows, bin_cols;
    size_t *first;                   // owned; bin b lists members[first[b] .. first[b + 1])
    uint32_t *members;               // owned; stroke numbers, rising
    struct sel_layer_tally *tallies; // owned; by entry of the plan
};

void sel_narrow_free(struct sel_narrow *narrow) {
    if (!narrow)
        return;
    free(narrow->strokes);
    free(narrow->first);
    free(narrow->members);
    free(narrow->tallies);
    free(narrow);
}

struct sel_layer_tally sel_narrow_tally(const struct sel_narrow *narrow, size_t index) {
    return narrow->tallies[index];
}

static sel_habitat_id habitat_named(const struct sel_habitats *habitats, const char *name) {
    for (int i = 0; i < habitats->count; i++)
        if (strcmp(habitats->items[i].name, name) == 0)
            return (sel_habitat_id)(i + 1);
    return SEL_HABITAT_UNKNOWN;
}

static sel_status add_strokes(sel_context *context, struct sel_narrow *narrow,
    const struct sel_segments *segments, double width_m, sel_habitat_id id) {
    size_t needed = narrow->count + segments->count;
    struct sel_stroke *strokes =
        sel_grow(narrow->strokes, needed, &narrow->capacity, sizeof *strokes);
    if (!strokes || needed > UINT32_MAX)
        return sel_fail_memory(context);
    narrow->strokes = strokes;
    for (size_t i = 0; i < segments->count; i++)
        strokes[narrow->count++] = (struct sel_stroke){segments->items[i], 0.5 * width_m, id};
    return SEL_OK;
}

static sel_status add_lines(sel_context *context, const struct sel_plan *plan, size_t index,
    const struct sel_grid *grid, struct sel_narrow *narrow) {
    const struct sel_plan_lines *lines = &plan->lines[index];
    sel_habitat_id id = habitat_named(&plan->habitats, lines->habitat);
    if (id == SEL_HABITAT_UNKNOWN)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s:%d: lines: habitat %s is not in the habitat table: add a row for it to %s",
            plan->path, lines->source.place.line, lines->habitat, plan->habitats_source);
    struct sel_segments segments = {0};
    sel_status status =
        sel_read_segments(context, &lines->source, grid, &segments, &narrow->tallies[index]);
    if (status == SEL_OK)
        status = add_strokes(context, narrow, &segments, lines->width_m, id);
    sel_segments_clear(&segments);
    return status;
}

static void lay_bins(struct sel_narrow *narrow) {
    narrow->bin = SMALLEST_BIN;
    for (;;) {
        narrow->bin_rows = (narrow->rows + narrow->bin - 1) / narrow->bin;
        narrow->bin_cols = (narrow->cols + narrow->bin - 1) / narrow->bin;
        if (narrow->bin_rows <= MOST_BINS / (narrow->bin_cols + 1))
            return;
        narrow->bin *= 2;
    }
}

static int64_t clamp(double value, int64_t low, int64_t high) {
    return value < (double)low ? low : value > (double)high ? high : (int64_t)value;
}

typedef void bin_fn(struct sel_narrow *narrow, size_t bin, uint32_t stroke);

// Visits the bins that a stroke may cover cells of.
static void each_bin(struct sel_narrow *narrow, uint32_t number, bin_fn *visit) {
    const struct sel_stroke *stroke = &narrow->strokes[number];
    double bin_x_m = (double)narrow->bin * narrow->cell_x_m;
    double bin_y_m = (double)narrow->bin * narrow->cell_y_m;
    double reach = stroke->half_m + narrow->cell_x_m + narrow->cell_y_m;
    double top = fmin(stroke->axis.y0, stroke->axis.y1) - reach;
    double bottom = fmax(stroke->axis.y0, stroke->axis.y1) + reach;
    int64_t row = clamp(floor(top / bin_y_m), 0, narrow->bin_rows);
    int64_t row_end = clamp(floor(bottom / bin_y_m) + 1, 0, narrow->bin_rows);
    for (; row < row_end; row++) {
        double x_low, x_high;
        if (!sel_stroke_between(stroke, (double)row * bin_y_m - reach,
                (double)(row + 1) * bin_y_m + reach, &x_low, &x_high))
            continue;
        int64_t col = clamp(floor((x_low - reach) / bin_x_m), 0, narrow->bin_cols);
        int64_t col_end = clamp(floor((x_high + reach) / bin_x_m) + 1, 0, narrow->bin_cols);
        for (; col < col_end; col++)
            visit(narrow, (size_t)(row * narrow->bin_cols + col), number);
    }
}

static void count_member(struct sel_narrow *narrow, size_t bin, uint32_t stroke) {
    (void)stroke;
    narrow->first[bin + 1]++;
}

// While members are being listed, first[b] is where bin b's next member goes.
static void list_member(struct sel_narrow *narrow, size_t bin, uint32_t stroke) {
    narrow->members[narrow->first[bin]++] = stroke;
}

static sel_status list_members(sel_context *context, struct sel_narrow *narrow) {
    size_t bins = (size_t)(narrow->bin_rows * narrow->bin_cols);
    narrow->first = calloc(bins + 1, sizeof *narrow->first);
    if (!narrow->first)
        return sel_fail_memory(context);
    for (uint32_t i = 0; i < narrow->count; i++)
        each_bin(narrow, i, count_member);
    for (size_t bin = 0; bin < bins; bin++)
        narrow->first[bin + 1] += narrow->first[bin];
    narrow->members = malloc((narrow->first[bins] + 1) * sizeof *narrow->members);
    if (!narrow->members)
        return sel_fail_memory(context);
    for (uint32_t i = 0; i < narrow->count; i++)
        each_bin(narrow, i, list_member);
    memmove(narrow->first + 1, narrow->first, bins * sizeof *narrow->first);
    narrow->first[0] = 0;
    return SEL_OK;
}

sel_status sel_narrow_new(sel_context *context, const struct sel_plan *plan,
    const struct sel_grid *grid, struct sel_narrow **out) {
    struct sel_narrow *narrow = calloc(1, sizeof *narrow);
    *out = narrow;
    if (!narrow)
        return sel_fail_memory(context);
    narrow->tallies = calloc(plan->lines_count + 1, sizeof *narrow->tallies);
    narrow->rows = grid->rows;
    narrow->cols = grid->cols;
    narrow->cell_x_m = grid->cell_x_m;
    narrow->cell_y_m = grid->cell_y_m;
    lay_bins(narrow);
    sel_status status = narrow->tallies ? SEL_OK : sel_fail_memory(context);
    for (size_t i = 0; status == SEL_OK && i < plan->lines_count; i++)
        status = add_lines(context, plan, i, grid, narrow);
    if (status == SEL_OK)
        status = list_members(context, narrow);
    if (status != SEL_OK) {
        sel_narrow_free(narrow);
        *out = NULL;
    }
    return status;
}

struct paint {
    struct sel_window window;
    sel_habitat_id *ids;
    sel_habitat_id id;
};

static void paint_run(void *user, int64_t row, int64_t col, int64_t col_end) {
    const struct paint *paint = user;
    int64_t at = (row - paint->window.row) * paint->window.cols + (col - paint->window.col);
    memset(paint->ids + at, paint->id, (size_t)(col_end - col));
}

// The cells of a window that lie in the grid.
static struct sel_cell_range on_grid(const struct sel_narrow *narrow, struct sel_window window) {
    return (struct sel_cell_range){sel_larger(window.row, 0), sel_larger(window.col, 0),
        sel_smaller(window.row + window.rows, narrow->rows),
        sel_smaller(window.col + window.cols, narrow->cols)};
}

static void paint_bin(const struct sel_narrow *narrow, int64_t bin_row, int64_t bin_col,
    struct sel_cell_range part, struct paint *paint) {
    int64_t side = narrow->bin;
    struct sel_cell_range within = {sel_larger(part.row, bin_row * side),
        sel_larger(part.col, bin_col * side), sel_smaller(part.row_end, (bin_row + 1) * side),
        sel_smaller(part.col_end, (bin_col + 1) * side)};
    size_t bin = (size_t)(bin_row * narrow->bin_cols + bin_col);
    for (size_t i = narrow->first[bin]; i < narrow->first[bin + 1]; i++) {
        const struct sel_stroke *stroke = &narrow->strokes[narrow->members[i]];
        paint->id = stroke->id;
        sel_stroke_cover(stroke, narrow->cell_x_m, narrow->cell_y_m, within, paint_run, paint);
    }
}

void sel_narrow_burn(
    const struct sel_narrow *narrow, struct sel_window window, sel_habitat_id *ids) {
    struct sel_cell_range part = on_grid(narrow, window);
    if (part.row >= part.row_end || part.col >= part.col_end)
        return;
    struct paint paint = {.window = window, .ids = ids};
    int64_t side = narrow->bin;
    for (int64_t row = part.row / side; row <= (part.row_end - 1) / side; row++)
        for (int64_t col = part.col / side; col <= (part.col_end - 1) / side; col++)
            paint_bin(narrow, row, col, part, &paint);
}
