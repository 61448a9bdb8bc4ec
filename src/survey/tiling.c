// SPDX-License-Identifier: MIT
//
// Tiles lie on whole multiples of their side and are clipped to the rectangle of blocks they serve.
#include "survey/tiling.h"

#include "base/pool.h"

enum { BLOCK = SEL_TRACE_BLOCK };

// A tile of this many cells keeps each thread's windows near 100 MiB with usual halos.
static const int64_t TILE_CELLS = 1024, TILE_CELLS_MOST = 4096;
// Working bytes per cell of a tile's window, over all buffers of a worker and its kernels.
static const double BYTES_PER_CELL = 64;

// ---- blocks ----

// The squares of that side that a window touches.
static struct sel_window touched(struct sel_window window, int64_t side) {
    int64_t row = window.row / side, col = window.col / side;
    return (struct sel_window){row, col, (window.row + window.rows - 1) / side + 1 - row,
        (window.col + window.cols - 1) / side + 1 - col};
}

struct sel_cut sel_cut_of(const struct sel_job *job, const sel_run_options *options) {
    struct sel_cut cut = {.blocks = touched(job->focus, BLOCK)};
    int64_t all = cut.blocks.rows * cut.blocks.cols;
    cut.end = all;
    if (options->parts > 0) {
        cut.first = all * (options->part - 1) / options->parts;
        cut.end = all * options->part / options->parts;
    }
    return cut;
}

// ---- tiles ----

static double tile_bytes(const struct sel_job *job, int64_t tile_cells) {
    double side = (double)(tile_cells + 2 * (job->halo + sel_speck_halo(&job->specks)));
    return side * side * BYTES_PER_CELL;
}

// The largest tile that fits the memory asked for, when any was.
static int64_t choose_tile_cells(const struct sel_job *job, const sel_run_options *options) {
    if (options->tile_cells > 0)
        return options->tile_cells;
    if (options->memory_mb <= 0)
        return TILE_CELLS;
    double budget = options->memory_mb * 1048576.0 / sel_thread_count(options->threads);
    int64_t tile = BLOCK;
    while (tile < TILE_CELLS_MOST && tile_bytes(job, 2 * tile) < budget)
        tile *= 2;
    return tile;
}

double sel_tiling_memory_mb(
    const struct sel_tiling *tiling, const struct sel_job *job, int threads) {
    int64_t at_once = threads < tiling->count ? threads : tiling->count;
    return (double)at_once * tile_bytes(job, tiling->tile_cells) / 1048576.0;
}

static void add_field(struct sel_tiling *tiling, struct sel_window blocks) {
    if (blocks.rows <= 0 || blocks.cols <= 0)
        return;
    struct sel_window tiles = touched(blocks, tiling->tile_cells / BLOCK);
    tiling->fields[tiling->field_count++] = (struct sel_tile_field){blocks, tiles};
    tiling->count += tiles.rows * tiles.cols;
}

// `count` blocks of the row from `col` on; row and column count from the first block.
static struct sel_window row_piece(
    const struct sel_cut *cut, int64_t row, int64_t col, int64_t count) {
    return (struct sel_window){cut->blocks.row + row, cut->blocks.col + col, 1, count};
}

struct sel_tiling sel_tiling_of(const struct sel_job *job, const sel_run_options *options) {
    struct sel_tiling tiling = {
        .cut = sel_cut_of(job, options), .tile_cells = choose_tile_cells(job, options)};
    const struct sel_cut *cut = &tiling.cut;
    int64_t cols = cut->blocks.cols;
    int64_t row = cut->first / cols, col = cut->first % cols;
    int64_t row_end = cut->end / cols, col_end = cut->end % cols;
    if (row == row_end) {
        add_field(&tiling, row_piece(cut, row, col, col_end - col));
        return tiling;
    }
    if (col > 0)
        add_field(&tiling, row_piece(cut, row++, col, cols - col));
    add_field(
        &tiling, (struct sel_window){cut->blocks.row + row, cut->blocks.col, row_end - row, cols});
    add_field(&tiling, row_piece(cut, row_end, 0, col_end));
    return tiling;
}

static struct sel_window overlap(struct sel_window a, struct sel_window b) {
    int64_t row_end = a.row + a.rows < b.row + b.rows ? a.row + a.rows : b.row + b.rows;
    int64_t col_end = a.col + a.cols < b.col + b.cols ? a.col + a.cols : b.col + b.cols;
    int64_t row = a.row > b.row ? a.row : b.row, col = a.col > b.col ? a.col : b.col;
    return (struct sel_window){row, col, row_end - row, col_end - col};
}

struct sel_window sel_tile_core(const struct sel_tiling *tiling, int64_t index) {
    const struct sel_tile_field *field = tiling->fields;
    for (; index >= field->tiles.rows * field->tiles.cols; field++)
        index -= field->tiles.rows * field->tiles.cols;
    int64_t side = tiling->tile_cells / BLOCK;
    struct sel_window tile = {(field->tiles.row + index / field->tiles.cols) * side,
        (field->tiles.col + index % field->tiles.cols) * side, side, side};
    struct sel_window core = overlap(tile, field->blocks);
    return (struct sel_window){
        core.row * BLOCK, core.col * BLOCK, core.rows * BLOCK, core.cols * BLOCK};
}
