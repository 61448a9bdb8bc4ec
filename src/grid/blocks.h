// SPDX-License-Identifier: MIT
//
// Keeps the last used of many equal square blocks of cells. Belongs to one thread.
#ifndef SEL_GRID_BLOCKS_H
#define SEL_GRID_BLOCKS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct sel_blocks;

// Blocks of side x side cells of cell_bytes each. NULL: out of memory.
struct sel_blocks *sel_blocks_new(int side, size_t cell_bytes);
void sel_blocks_free(struct sel_blocks *blocks);

// The block's memory: filled as left (*filled true), or of the least recently used block, to be
// filled by the caller and then marked by sel_blocks_mark. NULL: out of memory. Valid until the
// next call.
void *sel_blocks_get(struct sel_blocks *blocks, int64_t row, int64_t col, bool *filled);
void sel_blocks_mark(struct sel_blocks *blocks, int64_t row, int64_t col);

#endif
