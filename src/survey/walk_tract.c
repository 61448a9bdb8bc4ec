// SPDX-License-Identifier: MIT
//
// Access lines are burned in on the study grid, so that a bridge is as narrow as it can be, and
// study cells are then taken together to walking cells. A part is read with a ring of walking cells
// around it: one for its shut sides, two for the pieces around a place on its border.
#include "survey/walk_tract.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "access/pace.h"
#include "base/array.h"
#include "base/whole.h"
#include "grid/stroke.h"
#include "survey/ground.h"

enum { RING = 2 };

void sel_walk_tract_clear(struct sel_walk_tract *tract) {
    sel_walk_clear(&tract->walk);
    sel_walk_scratch_free(tract->scratch);
    free(tract->starts);
    free(tract->places);
    free(tract->marks.bytes);
    free(tract->piece.bytes);
    free(tract->blocks.bytes);
    *tract = (struct sel_walk_tract){0};
}

sel_status sel_walk_tract_lay(sel_context *context, const struct sel_job *job,
    struct sel_walk_tract *tract, struct sel_window window) {
    const struct sel_walk_rule *rule = &job->walking;
    if (!tract->scratch)
        tract->scratch = sel_walk_scratch_new(rule->per_row, rule->per_col);
    tract->window = window;
    tract->start_count = 0;
    if (!tract->scratch || sel_walk_lay(&tract->walk, window.rows, window.cols, rule->cell_x_m,
                               rule->cell_y_m) != SEL_OK)
        return sel_fail_memory(context);
    return SEL_OK;
}

struct vec2 sel_walk_middle(const struct sel_walk_rule *rule, int64_t row, int64_t col) {
    return (struct vec2){
        ((double)col + 0.5) * rule->cell_x_m, ((double)row + 0.5) * rule->cell_y_m};
}

// ---- filling ----

static struct sel_window study_window(const struct sel_walk_rule *rule, struct sel_window cells) {
    return (struct sel_window){cells.row * rule->per_row, cells.col * rule->per_col,
        cells.rows * rule->per_row, cells.cols * rule->per_col};
}

struct burn {
    const struct sel_grid *grid;
    struct sel_window window; // study cells
    uint8_t *marks;
    uint8_t mark;
};

static void burn_run(void *user, int64_t row, int64_t col, int64_t col_end) {
    const struct burn *burn = user;
    uint8_t *at = burn->marks + (row - burn->window.row) * burn->window.cols - burn->window.col;
    for (; col < col_end; col++)
        at[col] |= burn->mark;
}

static void burn_segment(void *user, const struct sel_segment *segment) {
    struct burn *burn = user;
    struct sel_stroke stroke = {.axis = *segment};
    struct sel_cell_range within = {burn->window.row, burn->window.col,
        burn->window.row + burn->window.rows, burn->window.col + burn->window.cols};
    sel_stroke_cover(&stroke, burn->grid->cell_x_m, burn->grid->cell_y_m, within, burn_run, burn);
}

// Looks a cell beyond the window, so that rounding at its border loses nothing.
static void burn_layer(struct burn *burn, const struct sel_segment_index *index, uint8_t mark) {
    if (!index)
        return;
    struct sel_window wide = sel_window_grow(burn->window, 1);
    const struct sel_grid *grid = burn->grid;
    burn->mark = mark;
    sel_segments_near(index, (double)wide.col * grid->cell_x_m, (double)wide.row * grid->cell_y_m,
        (double)(wide.col + wide.cols) * grid->cell_x_m,
        (double)(wide.row + wide.rows) * grid->cell_y_m, burn_segment, burn);
}

static sel_status read_study(
    sel_context *context, struct sel_worker *worker, struct sel_walk_tract *tract) {
    const struct sel_job *job = worker->job;
    const struct sel_walk_rule *rule = &job->walking;
    struct sel_window window = study_window(rule, tract->ring);
    size_t cells = sel_window_cells(window);
    uint8_t *marks = sel_buffer_take(&tract->marks, cells);
    if (!marks)
        return sel_fail_memory(context);
    memset(marks, 0, cells);
    struct burn burn = {.grid = &job->study->grid, .window = window, .marks = marks};
    burn_layer(&burn, job->access, SEL_WALK_START);
    burn_layer(&burn, job->ways, SEL_WALK_WAY);
    tract->study = (struct sel_walk_study){.rows = tract->ring.rows,
        .cols = tract->ring.cols,
        .per_row = rule->per_row,
        .per_col = rule->per_col,
        .factor = rule->factor,
        .marks = marks};
    sel_status status = sel_ground_raw(context, worker, window, &tract->study.habitat);
    if (status == SEL_OK)
        status = sel_ground_elevation(context, worker, window, &tract->study.elevation_m);
    return status;
}

// Looks for where the walk of one cell begins.
struct beginning {
    const struct sel_walk_tract *tract;
    const struct sel_grid *grid;
    struct sel_cell_range within; // the cell's study cells
    bool through;                 // the start in hand runs through the cell's piece
    struct vec2 middle, nearest;
    double square; // of their distance, m2
};

static void meet_piece(void *user, int64_t row, int64_t col, int64_t col_end) {
    struct beginning *at = user;
    const struct sel_walk_tract *tract = at->tract;
    int64_t stride = tract->study.cols * tract->study.per_col;
    const uint8_t *piece = (const uint8_t *)tract->piece.bytes +
                           (row - tract->ring.row * tract->study.per_row) * stride -
                           tract->ring.col * tract->study.per_col;
    for (; col < col_end; col++)
        at->through = at->through || piece[col] == SEL_PIECE_HELD;
}

// A start in the same cell that does not run through the piece lies beyond a barrier.
static void try_start(void *user, const struct sel_segment *segment) {
    struct beginning *at = user;
    struct sel_stroke stroke = {.axis = *segment};
    struct vec2 nearest = at->nearest;
    double square = at->square;
    if (!sel_segment_nearer(segment, at->middle, &nearest, &square))
        return;
    at->through = false;
    sel_stroke_cover(&stroke, at->grid->cell_x_m, at->grid->cell_y_m, at->within, meet_piece, at);
    if (!at->through)
        return;
    at->nearest = nearest;
    at->square = square;
}

static struct beginning find_beginning(
    const struct sel_job *job, const struct sel_walk_tract *tract, int64_t row, int64_t col) {
    const struct sel_walk_rule *rule = &job->walking;
    const struct sel_grid *grid = &job->study->grid;
    struct beginning at = {.tract = tract,
        .grid = grid,
        .within = {row * rule->per_row, col * rule->per_col, (row + 1) * rule->per_row,
            (col + 1) * rule->per_col},
        .middle = sel_walk_middle(rule, row, col),
        .nearest = {(double)NAN, (double)NAN},
        .square = HUGE_VAL};
    sel_segments_near(job->access, (double)(at.within.col - 1) * grid->cell_x_m,
        (double)(at.within.row - 1) * grid->cell_y_m,
        (double)(at.within.col_end + 1) * grid->cell_x_m,
        (double)(at.within.row_end + 1) * grid->cell_y_m, try_start, &at);
    return at;
}

// A walk begins at the place, nearest to the middle of the cell, of the starts that run through the
// cell's piece: one beyond a barrier may be nearer, but leads nowhere.
static sel_status add_start(sel_context *context, const struct sel_job *job,
    struct sel_walk_tract *tract, int64_t row, int64_t col) {
    size_t count = tract->start_count + 1;
    struct sel_walk_start *starts =
        sel_grow(tract->starts, count, &tract->start_capacity, sizeof *starts);
    if (starts)
        tract->starts = starts;
    struct vec2 *places = sel_grow(tract->places, count, &tract->place_capacity, sizeof *places);
    if (places)
        tract->places = places;
    if (!starts || !places)
        return sel_fail_memory(context);
    struct beginning at = find_beginning(job, tract, row, col);
    int64_t cell = (row - tract->window.row) * tract->window.cols + col - tract->window.col;
    starts[tract->start_count] =
        (struct sel_walk_start){(int32_t)cell, sqrt(at.square) * sel_walk_pace(0)};
    places[tract->start_count++] = at.nearest;
    return SEL_OK;
}

struct vec2 sel_walk_tract_beginning(const struct sel_walk_tract *tract, int64_t cell) {
    size_t i = 0;
    while (i + 1 < tract->start_count && tract->starts[i].cell != cell)
        i++;
    return tract->places[i];
}

static sel_status set_cells(sel_context *context, const struct sel_job *job,
    struct sel_walk_tract *tract, struct sel_window part, const struct sel_walk_block *blocks) {
    sel_status status = SEL_OK;
    for (int64_t row = part.row; row < part.row + part.rows; row++)
        for (int64_t col = part.col; col < part.col + part.cols && status == SEL_OK; col++) {
            const struct sel_walk_block *block =
                &blocks[(row - tract->ring.row) * tract->ring.cols + col - tract->ring.col];
            sel_walk_set(&tract->walk,
                (row - tract->window.row) * tract->window.cols + col - tract->window.col,
                block->elevation_m, block->factor, block->marks);
            if (block->marks & SEL_WALK_START)
                status = add_start(context, job, tract, row, col);
        }
    return status;
}

sel_status sel_walk_tract_fill(sel_context *context, struct sel_worker *worker,
    struct sel_walk_tract *tract, struct sel_window part) {
    tract->ring = sel_window_grow(part, RING);
    sel_status status = read_study(context, worker, tract);
    if (status != SEL_OK)
        return status;
    size_t study_cells = sel_window_cells(study_window(&worker->job->walking, tract->ring));
    uint8_t *piece = sel_buffer_take(&tract->piece, study_cells);
    struct sel_walk_block *blocks =
        sel_buffer_take(&tract->blocks, sel_window_cells(tract->ring) * sizeof *blocks);
    if (!piece || !blocks)
        return sel_fail_memory(context);
    sel_walk_blocks(&tract->study, tract->scratch, piece, blocks);
    return set_cells(context, worker->job, tract, part, blocks);
}

// ---- places ----

// The study cells that a half-cell coordinate touches, along one axis: one (odd) or two (even).
static int touched(int64_t half, int64_t cells[2]) {
    cells[0] = sel_floor_div(half - 1, 2);
    cells[1] = cells[0] + 1;
    return half % 2 != 0 ? 1 : 2;
}

// Anchors of one study cell, as cells of the walk; those outside the window are left out.
static int add_anchors(
    struct sel_walk_tract *tract, int64_t row, int64_t col, int64_t *anchors, int count) {
    const struct sel_walk_study *study = &tract->study;
    int64_t found[SEL_WALK_ANCHORS_MOST];
    int founds = sel_walk_anchors(study, tract->scratch, tract->piece.bytes,
        row - tract->ring.row * study->per_row, col - tract->ring.col * study->per_col, found);
    for (int i = 0; i < founds; i++) {
        int64_t cell_row = tract->ring.row + found[i] / study->cols;
        int64_t cell_col = tract->ring.col + found[i] % study->cols;
        if (sel_window_has(tract->window, cell_row, cell_col))
            anchors[count++] =
                (cell_row - tract->window.row) * tract->window.cols + cell_col - tract->window.col;
    }
    return count;
}

int sel_walk_tract_anchors(
    struct sel_walk_tract *tract, int64_t hx, int64_t hy, int64_t anchors[SEL_TRACT_ANCHORS_MOST]) {
    int64_t rows[2], cols[2];
    int row_count = touched(hy, rows), col_count = touched(hx, cols), count = 0;
    for (int i = 0; i < row_count; i++)
        for (int j = 0; j < col_count; j++)
            count = add_anchors(tract, rows[i], cols[j], anchors, count);
    return count;
}

sel_status sel_walk_tract_search(
    sel_context *context, struct sel_walk_tract *tract, double limit_min) {
    if (sel_walk_search(&tract->walk, tract->starts, tract->start_count, limit_min) != SEL_OK)
        return sel_fail_memory(context);
    return SEL_OK;
}

// The way from the anchor's middle is counted in whole half-cells, so that it does not depend on
// the window.
struct sel_walk_leg sel_walk_tract_leg(const struct sel_walk_tract *tract,
    const struct sel_job *job, int64_t anchor, int64_t hx, int64_t hy) {
    const struct sel_walk_rule *rule = &job->walking;
    int64_t row = tract->window.row + anchor / tract->window.cols;
    int64_t col = tract->window.col + anchor % tract->window.cols;
    int64_t east = hx - (2 * col + 1) * rule->per_col, south = hy - (2 * row + 1) * rule->per_row;
    return sel_walk_to_place(&tract->walk, anchor, 0.5 * (double)east * job->study->grid.cell_x_m,
        0.5 * (double)south * job->study->grid.cell_y_m);
}

// ---- chunks ----

void sel_walk_chunk_of(const struct sel_walk_rule *rule, int64_t hx, int64_t hy, int64_t *chunk_row,
    int64_t *chunk_col) {
    *chunk_row = sel_floor_div(sel_floor_div(hy, 2), rule->per_row * rule->chunk);
    *chunk_col = sel_floor_div(sel_floor_div(hx, 2), rule->per_col * rule->chunk);
}

struct sel_window sel_walk_chunk(const struct sel_walk_rule *rule, int64_t chunk_row,
    int64_t chunk_col, struct sel_window within) {
    int64_t row = sel_larger(chunk_row * rule->chunk, within.row);
    int64_t col = sel_larger(chunk_col * rule->chunk, within.col);
    int64_t row_end = sel_smaller((chunk_row + 1) * rule->chunk, within.row + within.rows);
    int64_t col_end = sel_smaller((chunk_col + 1) * rule->chunk, within.col + within.cols);
    return (struct sel_window){
        row, col, sel_larger(row_end - row, 0), sel_larger(col_end - col, 0)};
}

bool sel_walk_chunk_in_reach(const struct sel_job *job, int64_t chunk_row, int64_t chunk_col) {
    const struct sel_walk_rule *rule = &job->walking;
    double side_x = (double)rule->chunk * rule->cell_x_m;
    double side_y = (double)rule->chunk * rule->cell_y_m;
    double reach = (double)(rule->halo + RING) * fmax(rule->cell_x_m, rule->cell_y_m);
    return sel_segment_within(job->access, ((double)chunk_col + 0.5) * side_x,
        ((double)chunk_row + 0.5) * side_y, reach + 0.5 * hypot(side_x, side_y));
}
