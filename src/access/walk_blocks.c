// SPDX-License-Identifier: MIT
//
// Flood fills over the four neighbours, within a block to find its pieces and over 3 x 3 blocks to
// find the pieces around a place. Blocks that can be walked on throughout, nearly all, need none.
#include "access/walk_blocks.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "base/whole.h"

static const double SMALLEST_M = 20, LARGEST_M = 30;

int64_t sel_walk_cells_per_side(double cell_m) {
    int64_t count = (int64_t)ceil(SMALLEST_M / cell_m);
    if (count > 1 && (double)count * cell_m > LARGEST_M)
        count--;
    return count;
}

struct sel_walk_scratch {
    int64_t *queue; // study cells still to be looked around; as many as 3 x 3 blocks have
    uint8_t *seen;  // likewise
};

struct sel_walk_scratch *sel_walk_scratch_new(int64_t per_row, int64_t per_col) {
    struct sel_walk_scratch *scratch = calloc(1, sizeof *scratch);
    if (!scratch)
        return NULL;
    size_t cells = 9 * (size_t)per_row * (size_t)per_col;
    scratch->queue = malloc(cells * sizeof *scratch->queue);
    scratch->seen = malloc(cells);
    if (scratch->queue && scratch->seen)
        return scratch;
    sel_walk_scratch_free(scratch);
    return NULL;
}

void sel_walk_scratch_free(struct sel_walk_scratch *scratch) {
    if (!scratch)
        return;
    free(scratch->queue);
    free(scratch->seen);
    free(scratch);
}

// A rectangle of study cells: rows [row, row_end), columns [col, col_end), and the window's width.
struct rectangle {
    int64_t row, col, row_end, col_end, stride;
};

static struct rectangle block_at(const struct sel_walk_study *study, int64_t row, int64_t col) {
    return (struct rectangle){row * study->per_row, col * study->per_col,
        (row + 1) * study->per_row, (col + 1) * study->per_col, study->cols * study->per_col};
}

// ---- pieces ----

static bool is_open(const struct sel_walk_study *study, int64_t cell) {
    return !isnan(study->elevation_m[cell]) &&
           (study->marks[cell] || study->factor[study->habitat[cell]] > 0);
}

struct flood {
    struct rectangle within;
    uint8_t *piece;
    int64_t *queue;
    uint8_t from, to; // cells of the value `from` become `to`
};

static void enter(const struct flood *flood, int64_t cell, int64_t *waiting) {
    if (flood->piece[cell] != flood->from)
        return;
    flood->piece[cell] = flood->to;
    flood->queue[(*waiting)++] = cell;
}

// Returns how many cells were changed; they stand in the queue.
static int64_t run_flood(const struct flood *flood, int64_t first) {
    const struct rectangle *within = &flood->within;
    int64_t stride = within->stride, count = 0;
    enter(flood, first, &count);
    for (int64_t i = 0; i < count; i++) {
        int64_t cell = flood->queue[i], row = cell / stride, col = cell % stride;
        if (row > within->row)
            enter(flood, cell - stride, &count);
        if (col > within->col)
            enter(flood, cell - 1, &count);
        if (col + 1 < within->col_end)
            enter(flood, cell + 1, &count);
        if (row + 1 < within->row_end)
            enter(flood, cell + stride, &count);
    }
    return count;
}

static bool any_marked(const struct sel_walk_study *study, const int64_t *cells, int64_t count) {
    for (int64_t i = 0; i < count; i++)
        if (study->marks[cells[i]])
            return true;
    return false;
}

// Of a block whose open cells are marked SEL_PIECE_OTHER: finds the piece that it stands for.
static void hold_best(const struct sel_walk_study *study, struct rectangle block,
    struct sel_walk_scratch *scratch, uint8_t *piece) {
    enum { LOOKED_AT = SEL_PIECE_HELD + 1 };
    struct flood look = {block, piece, scratch->queue, SEL_PIECE_OTHER, LOOKED_AT};
    int64_t best = -1, best_count = 0;
    bool best_marked = false;
    for (int64_t row = block.row; row < block.row_end; row++)
        for (int64_t cell = row * block.stride + block.col;
             cell < row * block.stride + block.col_end; cell++) {
            int64_t count = run_flood(&look, cell);
            if (count == 0)
                continue;
            bool marked = any_marked(study, scratch->queue, count);
            if (best >= 0 &&
                (marked < best_marked || (marked == best_marked && count <= best_count)))
                continue;
            best = cell, best_count = count, best_marked = marked;
        }
    struct flood hold = {block, piece, scratch->queue, LOOKED_AT, SEL_PIECE_HELD};
    run_flood(&hold, best);
    for (int64_t row = block.row; row < block.row_end; row++)
        for (int64_t cell = row * block.stride + block.col;
             cell < row * block.stride + block.col_end; cell++)
            if (piece[cell] == LOOKED_AT)
                piece[cell] = SEL_PIECE_OTHER;
}

static void find_piece(const struct sel_walk_study *study, struct rectangle block,
    struct sel_walk_scratch *scratch, uint8_t *piece) {
    int64_t open = 0;
    for (int64_t row = block.row; row < block.row_end; row++)
        for (int64_t cell = row * block.stride + block.col;
             cell < row * block.stride + block.col_end; cell++) {
            piece[cell] = is_open(study, cell) ? SEL_PIECE_OTHER : SEL_PIECE_NONE;
            open += piece[cell];
        }
    if (open == study->per_row * study->per_col)
        for (int64_t row = block.row; row < block.row_end; row++)
            memset(piece + row * block.stride + block.col, SEL_PIECE_HELD, (size_t)study->per_col);
    else if (open > 0)
        hold_best(study, block, scratch, piece);
}

// ---- what a block is ----

// Sums over the piece, and over its ways and starts alone.
struct sums {
    double elevation, way_elevation, inverse_factor;
    int64_t cells, way_cells;
    uint8_t marks;
};

static void add_cell(const struct sel_walk_study *study, int64_t cell, struct sums *sums) {
    double elevation = (double)study->elevation_m[cell];
    uint8_t marks = study->marks[cell];
    sums->cells++;
    sums->elevation += elevation;
    sums->marks |= marks;
    if (marks) {
        sums->way_cells++;
        sums->way_elevation += elevation;
    } else {
        sums->inverse_factor += 1 / (double)study->factor[study->habitat[cell]];
    }
}

static struct sel_walk_block summarise(
    const struct sel_walk_study *study, struct rectangle block, const uint8_t *piece) {
    struct sums sums = {0};
    for (int64_t row = block.row; row < block.row_end; row++)
        for (int64_t cell = row * block.stride + block.col;
             cell < row * block.stride + block.col_end; cell++)
            if (piece[cell] == SEL_PIECE_HELD)
                add_cell(study, cell, &sums);
    if (sums.cells == 0)
        return (struct sel_walk_block){(float)NAN, 0, 0};
    if (sums.way_cells > 0)
        return (struct sel_walk_block){
            (float)(sums.way_elevation / (double)sums.way_cells), 1, sums.marks};
    return (struct sel_walk_block){(float)(sums.elevation / (double)sums.cells),
        (float)((double)sums.cells / sums.inverse_factor), 0};
}

static bool touches(
    const uint8_t *piece, int64_t cell, int64_t across, int64_t along, int64_t count) {
    for (int64_t i = 0; i < count; i++, cell += along)
        if (piece[cell] == SEL_PIECE_HELD && piece[cell + across] == SEL_PIECE_HELD)
            return true;
    return false;
}

static void shut_sides(const struct sel_walk_study *study, int64_t row, int64_t col,
    const uint8_t *piece, struct sel_walk_block *blocks) {
    struct sel_walk_block *block = &blocks[row * study->cols + col];
    struct rectangle cells = block_at(study, row, col);
    if (isnan(block->elevation_m))
        return;
    if (col + 1 < study->cols && !isnan(block[1].elevation_m) &&
        !touches(
            piece, cells.row * cells.stride + cells.col_end - 1, 1, cells.stride, study->per_row))
        block->marks |= SEL_WALK_SHUT_EAST;
    if (row + 1 < study->rows && !isnan(block[study->cols].elevation_m) &&
        !touches(
            piece, (cells.row_end - 1) * cells.stride + cells.col, cells.stride, 1, study->per_col))
        block->marks |= SEL_WALK_SHUT_SOUTH;
}

void sel_walk_blocks(const struct sel_walk_study *study, struct sel_walk_scratch *scratch,
    uint8_t *piece, struct sel_walk_block *blocks) {
    for (int64_t row = 0; row < study->rows; row++)
        for (int64_t col = 0; col < study->cols; col++) {
            struct rectangle block = block_at(study, row, col);
            find_piece(study, block, scratch, piece);
            blocks[row * study->cols + col] = summarise(study, block, piece);
        }
    for (int64_t row = 0; row < study->rows; row++)
        for (int64_t col = 0; col < study->cols; col++)
            shut_sides(study, row, col, piece, blocks);
}

// ---- pieces around a place ----

struct around {
    const struct sel_walk_study *study;
    const uint8_t *piece;
    struct sel_walk_scratch *scratch;
    struct rectangle within;
    int64_t waiting;
    bool found[SEL_WALK_ANCHORS_MOST]; // by block of the 3 x 3
};

// The place of a study cell among those of the 3 x 3 blocks.
static int64_t local_number(const struct around *around, int64_t row, int64_t col) {
    return (row - around->within.row) * 3 * around->study->per_col + col - around->within.col;
}

static void look_at(struct around *around, int64_t row, int64_t col) {
    const struct sel_walk_study *study = around->study;
    const struct rectangle *within = &around->within;
    if (row < within->row || row >= within->row_end || col < within->col || col >= within->col_end)
        return;
    uint8_t *seen = &around->scratch->seen[local_number(around, row, col)];
    int64_t cell = row * within->stride + col;
    if (*seen || around->piece[cell] == SEL_PIECE_NONE)
        return;
    *seen = 1;
    if (around->piece[cell] == SEL_PIECE_OTHER) {
        around->scratch->queue[around->waiting++] = cell;
        return;
    }
    int64_t block_row = row / study->per_row - within->row / study->per_row;
    int64_t block_col = col / study->per_col - within->col / study->per_col;
    around->found[3 * block_row + block_col] = true;
}

static void search_around(struct around *around, int64_t row, int64_t col) {
    memset(around->scratch->seen, 0,
        9 * (size_t)around->study->per_row * (size_t)around->study->per_col);
    around->scratch->seen[local_number(around, row, col)] = 1;
    around->scratch->queue[around->waiting++] = row * around->within.stride + col;
    for (int64_t i = 0; i < around->waiting; i++) {
        int64_t r = around->scratch->queue[i] / around->within.stride;
        int64_t c = around->scratch->queue[i] % around->within.stride;
        look_at(around, r - 1, c);
        look_at(around, r, c - 1);
        look_at(around, r, c + 1);
        look_at(around, r + 1, c);
    }
}

int sel_walk_anchors(const struct sel_walk_study *study, struct sel_walk_scratch *scratch,
    const uint8_t *piece, int64_t row, int64_t col, int64_t anchors[SEL_WALK_ANCHORS_MOST]) {
    int64_t block_row = row / study->per_row, block_col = col / study->per_col;
    int64_t stride = study->cols * study->per_col;
    if (piece[row * stride + col] == SEL_PIECE_HELD) {
        anchors[0] = block_row * study->cols + block_col;
        return 1;
    }
    int64_t first_row = sel_larger(block_row - 1, 0), first_col = sel_larger(block_col - 1, 0);
    int64_t rows_end = sel_smaller(block_row + 2, study->rows);
    int64_t cols_end = sel_smaller(block_col + 2, study->cols);
    struct around around = {.study = study,
        .piece = piece,
        .scratch = scratch,
        .within = {first_row * study->per_row, first_col * study->per_col,
            rows_end * study->per_row, cols_end * study->per_col, stride}};
    search_around(&around, row, col);
    int count = 0;
    for (int i = 0; i < SEL_WALK_ANCHORS_MOST; i++)
        if (around.found[i])
            anchors[count++] = (first_row + i / 3) * study->cols + first_col + i % 3;
    return count;
}
