// SPDX-License-Identifier: MIT
//
// Least-time walks from the access network over the ground, on a window of cells.
//
// Sixteen moves lead from a cell: to its four neighbours, its four diagonals and eight knight's
// moves. A move costs its map length times Tobler's pace at its slope, mean of out and back (see
// access/pace.h), times the mean slowness of the cells it passes over: 1 on a way, 1 / 0.6 off it,
// divided by the habitat's walking factor. Start cells have time zero, or the little time that it
// takes to come to their middle; nothing is searched beyond the limit.
//
// Tiles: no walk within the limit leads more than sel_walk_halo(limit, cell) cells away, so a
// window with this halo yields for its core exactly - to the last bit - what any larger window
// yields: a time is the least over all walks of the same sums, whatever the order of the search.
// Cells whose time is beyond the limit are unreached in both. Inside the halo itself times may be
// too long. The price of tiles is the overlap: with a core of n cells a side and a halo of h, the
// work is (1 + 2 h / n)^2 fold.
#ifndef SEL_ACCESS_WALKING_H
#define SEL_ACCESS_WALKING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "access/buckets.h"
#include "base/status.h"

// Marks of a cell. Ways and starts are walked at path speed and open a barrier (a bridge, a ford).
// For a line to be walkable across barriers its cells must form an unbroken 4-connected chain. A
// shut side is a barrier between two cells that can both be walked on.
enum {
    SEL_WALK_WAY = 1,
    SEL_WALK_START = 2,
    SEL_WALK_SHUT_EAST = 4,
    SEL_WALK_SHUT_SOUTH = 8,
    SEL_WALK_NEAR_SHUT = 16, // the search's own: look for shut sides here
    SEL_WALK_WAITING = 32    // the search's own
};

enum {
    SEL_WALK_MOVES = 16,
    SEL_WALK_AT_START = 16, // in place of a move
    SEL_WALK_UNREACHED = 17
};

// What the search keeps of a cell, packed, as it lives on the memory's speed.
struct sel_walk_cell {
    double minutes; // mean of out and back from the nearest start in time; INFINITY: unreached
    float elevation_m;
    float slowness; // against a path; INFINITY: barred
};

// Ground and walks of a window, row-major, rows from the north. Zero-initialise it first; it can be
// laid out again and again, for windows of any size. Everything is owned by it and valid until it
// is laid out anew. Memory: 18 bytes a cell, and the cells that wait.
struct sel_walk {
    int64_t rows, cols;
    double cell_x_m, cell_y_m;
    struct sel_walk_cell *cells;
    uint8_t *marks;
    uint8_t *move; // the move that led here, SEL_WALK_AT_START or SEL_WALK_UNREACHED
    struct sel_buckets waiting, pending;
    size_t room; // cells
};

// Lays out a window of barred cells; rows * cols < 2^31, cell sides above 0. SEL_NO_MEMORY without
// message.
sel_status sel_walk_lay(
    struct sel_walk *walk, int64_t rows, int64_t cols, double cell_x_m, double cell_y_m);
void sel_walk_clear(struct sel_walk *walk);

// Fills a cell (row * cols + col): elevation (NAN: barred, whatever else is said), the habitat's
// walking-speed factor, 0 (barrier) to 1, and marks.
void sel_walk_set(
    struct sel_walk *walk, int64_t cell, float elevation_m, float factor, uint8_t marks);

// A cell where walks begin, and the minutes at which they stand in its middle (mean of out and
// back).
struct sel_walk_start {
    int32_t cell;
    double minutes;
};

// Searches from the starts to all cells within limit_min (finite, >= 0) minutes; starts on barred
// cells do not count. Of walks that take the same time, the one whose cell before the last comes
// first by row, then column, stands. SEL_NO_MEMORY without message.
sel_status sel_walk_search(
    struct sel_walk *walk, const struct sel_walk_start *starts, size_t count, double limit_min);

// The steps of a move, rows south and columns east.
void sel_walk_step(int move, int64_t *rows, int64_t *cols);

// Minutes of one move from a cell, mean of out and back; INFINITY when it is barred: leaves the
// window, begins or ends on a barred cell, passes a shut side, is a knight's move over a barred
// cell, or is a diagonal one that has no way round either corner. Speed is the harmonic mean of the
// cells passed, by the share of the move that lies in each.
double sel_walk_move_minutes(const struct sel_walk *walk, int64_t cell, int move);

// How many cells the walk to a cell visits, itself and the start included; 0: unreached.
size_t sel_walk_visits(const struct sel_walk *walk, int64_t cell);

// Writes them, from the start to the cell; `visited` has room for sel_walk_visits.
void sel_walk_path(const struct sel_walk *walk, int64_t cell, int64_t *visited);

// What a walk takes, summed anew.
struct sel_walk_effort {
    double length_m;                  // on the map
    double minutes;                   // mean of out and back
    double out_minutes, back_minutes; // from the start, and to it
    double climb_out_m, climb_back_m; // metres risen on the way
};

// Adds a piece of a walk: its length on the map, its rise, and its slowness against a path.
void sel_walk_add(struct sel_walk_effort *sum, double length_m, double rise_m, double slowness);

// Adds the move from one visited cell to the next.
void sel_walk_add_move(
    const struct sel_walk *walk, int64_t from, int64_t to, struct sel_walk_effort *sum);

// How a place that is no cell's middle is reached: the last leg leads to it, straight, from the
// middle of its own cell or of a neighbour that a move could come from, whichever is quicker in
// all. A leg from a neighbour has the slope and slowness of that move; the one from the own cell's
// middle is level.
struct sel_walk_leg {
    int64_t cell;   // whose middle it begins in
    double minutes; // of the whole walk, the leg included; INFINITY: unreached
    double length_m, rise_m, slowness;
};

// `east_m` and `south_m` lead from the middle of the place's own cell to it. Of legs that take the
// same time the own cell's stands, then the one from the first cell by row, then column.
struct sel_walk_leg sel_walk_to_place(
    const struct sel_walk *walk, int64_t own, double east_m, double south_m);

#endif
