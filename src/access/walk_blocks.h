// SPDX-License-Identifier: MIT
//
// From study cells to walking cells of about 20 to 30 m: whole blocks of study cells, counted from
// the study grid's corner.
//
// A study cell can be walked on when its elevation is known and its habitat's walking factor is
// above 0 or a way or start lies on it. A block stands for its largest piece: study cells that can
// be walked on and hang together by their sides; pieces with a way or start come first, of equally
// large ones the first by row, then column. The side between two blocks is shut when their pieces
// do not touch there. So no barrier leaks, however thin, and a bank stays walkable beside its
// river; what is lost are walks through a block's lesser pieces.
//
// Elevation and walking factor are those of the piece, the factor as its harmonic mean, so that
// times add up; where it holds ways or starts, of their study cells alone, so that a track along a
// steep slope keeps its own grade.
#ifndef SEL_ACCESS_WALK_BLOCKS_H
#define SEL_ACCESS_WALK_BLOCKS_H

#include <stddef.h>
#include <stdint.h>

#include "access/walking.h"

// How many study cells make a walking cell's side: the fewest that come to 20 m, but one fewer
// where that passes 30 m; 1 for cells of 20 m and more.
int64_t sel_walk_cells_per_side(double cell_m);

// A window of whole blocks; arrays are borrowed, row-major, study cells of the whole window.
struct sel_walk_study {
    int64_t rows, cols;       // blocks
    int64_t per_row, per_col; // study cells of a block's height and width
    const float *elevation_m; // NAN: unknown
    const uint8_t *habitat;   // ids
    const float *factor;      // by id, 256 of them: 0 (barrier) to 1
    const uint8_t *marks;     // SEL_WALK_WAY, SEL_WALK_START or both; 0: neither
};

// How a study cell may be walked on.
enum {
    SEL_PIECE_NONE,  // not at all
    SEL_PIECE_OTHER, // but it is not of its block's piece
    SEL_PIECE_HELD   // and it is of its block's piece
};

struct sel_walk_block {
    float elevation_m; // NAN: no piece
    float factor;
    uint8_t marks; // of the piece's study cells, and shut sides towards blocks of the window
};

// Scratch for windows of blocks of that size; NULL: out of memory.
struct sel_walk_scratch;
struct sel_walk_scratch *sel_walk_scratch_new(int64_t per_row, int64_t per_col);
void sel_walk_scratch_free(struct sel_walk_scratch *scratch);

// Fills `piece`, one of SEL_PIECE_... for each study cell, and the blocks.
void sel_walk_blocks(const struct sel_walk_study *study, struct sel_walk_scratch *scratch,
    uint8_t *piece, struct sel_walk_block *blocks);

// The blocks (row * cols + col) whose pieces can be reached from a study cell (row, col) on foot
// without leaving the 3 x 3 blocks around its own: that block alone when the cell is of its piece,
// else those met by going over study cells that can be walked on; the cell itself counts as one.
// Rising; returns how many there are.
enum { SEL_WALK_ANCHORS_MOST = 9 };
int sel_walk_anchors(const struct sel_walk_study *study, struct sel_walk_scratch *scratch,
    const uint8_t *piece, int64_t row, int64_t col, int64_t anchors[SEL_WALK_ANCHORS_MOST]);

#endif
