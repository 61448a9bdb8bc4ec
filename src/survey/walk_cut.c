// SPDX-License-Identifier: MIT
//
// Windows are rectangles of whole chunks, each with a halo. One window is best where memory allows:
// halos are searched twice. A few are cut for the sake of threads as long as little is lost.
#include <math.h>

#include "base/pool.h"
#include "base/whole.h"
#include "survey/walk.h"

// Working bytes of a walking cell: what the search keeps, and room for the cells that wait.
static const double BYTES_PER_CELL = 20;
// The most walking cells of a thread's window when no memory is told: 100 MiB, or 45 km squared.
static const double CELLS_MOST = 5.2e6;
// Cells are numbered in 32 bits.
static const double CELLS_EVER = 2e9;
// The memory that walking may take of what is told.
static const double MEMORY_SHARE = 0.5;
// For threads' sake so many times the cells may be searched.
static const double WORK_MOST = 1.4;

static int64_t split(int64_t count, int64_t parts, int64_t index) {
    return count * index / parts;
}

struct sel_window sel_walk_core(
    const struct sel_job *job, const struct sel_walk_cut *cut, int64_t window) {
    const struct sel_walk_rule *rule = &job->walking;
    const struct sel_window *chunks = &cut->chunks;
    int64_t i = window / cut->cols, j = window % cut->cols;
    int64_t row = chunks->row + split(chunks->rows, cut->rows, i);
    int64_t col = chunks->col + split(chunks->cols, cut->cols, j);
    int64_t row_end = chunks->row + split(chunks->rows, cut->rows, i + 1);
    int64_t col_end = chunks->col + split(chunks->cols, cut->cols, j + 1);
    row_end = sel_smaller(row_end * rule->chunk, rule->rows);
    col_end = sel_smaller(col_end * rule->chunk, rule->cols);
    return (struct sel_window){row * rule->chunk, col * rule->chunk, row_end - row * rule->chunk,
        col_end - col * rule->chunk};
}

// The halo, and a cell more for places that are reached from the next cell, and one for theirs.
struct sel_window sel_walk_window(
    const struct sel_job *job, const struct sel_walk_cut *cut, int64_t window) {
    const struct sel_walk_rule *rule = &job->walking;
    struct sel_window wide = sel_window_grow(sel_walk_core(job, cut, window), rule->halo + 3);
    int64_t row = sel_larger(wide.row, 0), col = sel_larger(wide.col, 0);
    return (struct sel_window){row, col, sel_smaller(wide.row + wide.rows, rule->rows) - row,
        sel_smaller(wide.col + wide.cols, rule->cols) - col};
}

// The cells of the largest window, and of all together.
static double largest_window(
    const struct sel_job *job, const struct sel_walk_cut *cut, double *total) {
    double largest = 0;
    *total = 0;
    for (int64_t i = 0; i < cut->rows * cut->cols; i++) {
        double cells = (double)sel_window_cells(sel_walk_window(job, cut, i));
        largest = fmax(largest, cells);
        *total += cells;
    }
    return largest;
}

static double cells_allowed(const sel_run_options *options, int threads) {
    if (options->memory_mb <= 0)
        return CELLS_MOST;
    return fmin(
        CELLS_EVER, MEMORY_SHARE * options->memory_mb * 1048576.0 / BYTES_PER_CELL / threads);
}

// One more window along the longer side of a core; false when that would make cores narrower than
// half a halo, which costs more than it saves.
static bool cut_on(const struct sel_job *job, struct sel_walk_cut *cut) {
    bool rows = cut->chunks.rows * cut->cols >= cut->chunks.cols * cut->rows;
    int64_t *count = rows ? &cut->rows : &cut->cols;
    int64_t chunks = rows ? cut->chunks.rows : cut->chunks.cols;
    if (*count >= chunks || chunks * job->walking.chunk < (*count + 1) * job->walking.halo / 2)
        return false;
    ++*count;
    return true;
}

// As many windows as tiles of that size would be, for tests.
static void cut_as_asked(const struct sel_job *job, int64_t tile_cells, struct sel_walk_cut *cut) {
    int64_t height = job->walking.chunk * job->walking.per_row;
    int64_t width = job->walking.chunk * job->walking.per_col;
    cut->rows =
        sel_larger(1, sel_smaller(cut->chunks.rows, cut->chunks.rows * height / tile_cells));
    cut->cols = sel_larger(1, sel_smaller(cut->chunks.cols, cut->chunks.cols * width / tile_cells));
}

struct sel_walk_cut sel_walk_cut_of(
    const struct sel_job *job, struct sel_window chunks, const sel_run_options *options) {
    struct sel_walk_cut cut = {.chunks = chunks, .rows = 1, .cols = 1};
    int threads = sel_thread_count(options->threads);
    double whole, total, allowed = cells_allowed(options, threads);
    if (options->tile_cells > 0) {
        cut_as_asked(job, options->tile_cells, &cut);
        return cut;
    }
    largest_window(job, &cut, &whole);
    while (largest_window(job, &cut, &total) > allowed && cut_on(job, &cut))
        continue;
    while (cut.rows * cut.cols < threads) {
        struct sel_walk_cut next = cut;
        if (!cut_on(job, &next))
            break;
        largest_window(job, &next, &total);
        if (total > WORK_MOST * whole)
            break;
        cut = next;
    }
    return cut;
}
