// SPDX-License-Identifier: MIT
//
// Tiles are cut along a fixed lattice of 512-cell blocks, so that edges come out the same for every
// tile size; each tile keeps its candidates to itself until all are done.
#include "survey/measure.h"

#include <stdlib.h>
#include <string.h>

#include "base/array.h"
#include "base/pool.h"
#include "survey/memory.h"

enum { BLOCK = SEL_TRACE_BLOCK };

sel_status sel_findings_init(
    sel_context *context, const struct sel_plan *plan, struct sel_findings *findings) {
    size_t side = (size_t)plan->habitats.count + 1;
    *findings = (struct sel_findings){0};
    findings->counts.edge_mm = calloc(side * side, sizeof(int64_t));
    return findings->counts.edge_mm ? SEL_OK : sel_fail_memory(context);
}

void sel_findings_clear(struct sel_findings *findings) {
    sel_candidates_clear(&findings->candidates);
    free(findings->counts.edge_mm);
    *findings = (struct sel_findings){0};
}

static struct sel_window touched(struct sel_window cells, int64_t side) {
    int64_t row = cells.row / side, col = cells.col / side;
    return (struct sel_window){row, col, (cells.row + cells.rows - 1) / side + 1 - row,
        (cells.col + cells.cols - 1) / side + 1 - col};
}

struct sel_tiling sel_tiling_of(const struct sel_job *job, const sel_run_options *options) {
    struct sel_tiling tiling = {.tile_cells = sel_memory_tile_cells(job, options)};
    struct sel_window tiles = touched(job->focus, tiling.tile_cells);
    tiling.blocks = touched(job->focus, BLOCK);
    tiling.first_row = tiles.row;
    tiling.first_col = tiles.col;
    tiling.rows = tiles.rows;
    tiling.cols = tiles.cols;
    tiling.count = tiling.rows * tiling.cols;
    if (options->parts > 0) {
        int64_t all = tiling.count;
        tiling.first = all * (options->part - 1) / options->parts;
        tiling.count = all * options->part / options->parts - tiling.first;
    }
    return tiling;
}

// A tile's cells, cut to the blocks that the focus touches.
static struct sel_window tile_core(const struct sel_tiling *tiling, int64_t index) {
    int64_t per_tile = tiling->tile_cells / BLOCK;
    const struct sel_window *blocks = &tiling->blocks;
    int64_t row = (tiling->first_row + index / tiling->cols) * per_tile;
    int64_t col = (tiling->first_col + index % tiling->cols) * per_tile;
    int64_t row_end = row + per_tile, col_end = col + per_tile;
    row = row > blocks->row ? row : blocks->row;
    col = col > blocks->col ? col : blocks->col;
    if (row_end > blocks->row + blocks->rows)
        row_end = blocks->row + blocks->rows;
    if (col_end > blocks->col + blocks->cols)
        col_end = blocks->col + blocks->cols;
    return (struct sel_window){
        row * BLOCK, col * BLOCK, (row_end - row) * BLOCK, (col_end - col) * BLOCK};
}

struct measuring {
    sel_context *context;
    const struct sel_tiling *tiling;
    struct sel_worker *workers;
    const struct sel_edge_sink *sink;
    struct sel_findings *by_thread; // one per thread
};

static sel_status run_tile(void *user, int thread, int64_t index) {
    struct measuring *measuring = user;
    struct sel_findings *mine = &measuring->by_thread[thread];
    struct sel_window core = tile_core(measuring->tiling, measuring->tiling->first + index);
    return sel_tile_run(measuring->context, &measuring->workers[thread], core, measuring->sink,
        &mine->candidates, &mine->counts);
}

static sel_status add_findings(
    sel_context *context, size_t pairs, const struct sel_findings *from, struct sel_findings *to) {
    size_t count = to->candidates.count + from->candidates.count;
    if (from->candidates.count > 0) {
        struct sel_candidate *grown =
            sel_grow(to->candidates.items, count, &to->candidates.capacity, sizeof *grown);
        if (!grown)
            return sel_fail_memory(context);
        to->candidates.items = grown;
        memcpy(grown + to->candidates.count, from->candidates.items,
            from->candidates.count * sizeof *grown);
        to->candidates.count = count;
    }
    to->counts.cracks += from->counts.cracks;
    for (int i = 0; i < SEL_FATES; i++)
        to->counts.fates[i] += from->counts.fates[i];
    for (size_t i = 0; i < pairs; i++)
        to->counts.edge_mm[i] += from->counts.edge_mm[i];
    return SEL_OK;
}

sel_status sel_measure(sel_context *context, const struct sel_job *job,
    const struct sel_tiling *tiling, struct sel_worker *workers, int threads,
    const struct sel_edge_sink *sink, struct sel_findings *findings) {
    size_t side = (size_t)job->plan->habitats.count + 1;
    struct sel_findings *by_thread = calloc((size_t)threads, sizeof *by_thread);
    if (!by_thread)
        return sel_fail_memory(context);
    struct measuring measuring = {context, tiling, workers, sink, by_thread};
    sel_status status = SEL_OK;
    for (int i = 0; i < threads && status == SEL_OK; i++)
        status = sel_findings_init(context, job->plan, &by_thread[i]);
    if (status == SEL_OK)
        status =
            sel_pool_run(context, "measuring edges", threads, tiling->count, run_tile, &measuring);
    for (int i = 0; i < threads; i++) {
        sel_worker_rest(&workers[i]);
        if (status == SEL_OK)
            status = add_findings(context, side * side, &by_thread[i], findings);
        sel_findings_clear(&by_thread[i]);
    }
    free(by_thread);
    return status;
}
