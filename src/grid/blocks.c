// SPDX-License-Identifier: MIT
//
// A short list searched from end to end: looking through it costs nothing beside filling a block.
#include "grid/blocks.h"

#include <stdlib.h>

// Cells kept in all, which covers a tile of about 1,500 cells, and bounds on the number of blocks.
enum { CELLS_KEPT = 48 * 256 * 256, FEWEST = 16, MOST = 256 };

struct slot {
    int64_t row, col;
    uint64_t used; // 0: empty
    bool filled;
    void *cells;
};

struct sel_blocks {
    size_t block_bytes;
    uint64_t clock;
    struct slot *last; // given out last
    int count;
    struct slot slots[MOST];
};

struct sel_blocks *sel_blocks_new(int side, size_t cell_bytes) {
    struct sel_blocks *blocks = calloc(1, sizeof *blocks);
    if (!blocks)
        return NULL;
    int64_t count = (int64_t)CELLS_KEPT / ((int64_t)side * side);
    blocks->count = (int)(count < FEWEST ? FEWEST : count > MOST ? MOST : count);
    blocks->block_bytes = (size_t)side * (size_t)side * cell_bytes;
    return blocks;
}

void sel_blocks_free(struct sel_blocks *blocks) {
    if (!blocks)
        return;
    for (int i = 0; i < blocks->count; i++)
        free(blocks->slots[i].cells);
    free(blocks);
}

static bool holds(const struct slot *slot, int64_t row, int64_t col) {
    return slot->filled && slot->row == row && slot->col == col;
}

static struct slot *find_slot(struct sel_blocks *blocks, int64_t row, int64_t col) {
    struct slot *oldest = &blocks->slots[0];
    for (int i = 0; i < blocks->count; i++) {
        struct slot *slot = &blocks->slots[i];
        if (holds(slot, row, col))
            return slot;
        if (slot->used < oldest->used)
            oldest = slot;
    }
    return oldest;
}

void *sel_blocks_get(struct sel_blocks *blocks, int64_t row, int64_t col, bool *filled) {
    struct slot *slot = find_slot(blocks, row, col);
    *filled = holds(slot, row, col);
    if (!slot->cells)
        slot->cells = malloc(blocks->block_bytes);
    if (!slot->cells)
        return NULL;
    if (!*filled)
        slot->filled = false;
    slot->used = ++blocks->clock;
    blocks->last = slot;
    return slot->cells;
}

void sel_blocks_mark(struct sel_blocks *blocks, int64_t row, int64_t col) {
    blocks->last->row = row;
    blocks->last->col = col;
    blocks->last->filled = true;
}
