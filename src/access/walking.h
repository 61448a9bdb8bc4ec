// SPDX-License-Identifier: MIT
//
// Least-time walks from the access network over the ground, on a window of cells.
//
// Sixteen moves lead from a cell: to its four neighbours, its four diagonals and eight knight's
// moves. A move costs its map length times Tobler's pace at its slope, mean of out and back (see
// access/pace.h), times the mean slowness of the cells it passes over: 1 on a way, 1 / 0.6 off it,
// divided by the habitat's walking factor. Start cells have time zero; nothing is searched beyond
// the limit.
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

// Marks of a cell. Both are walked at path speed and open a barrier (a bridge, a ford). For a line
// to be walkable across barriers its cells must form an unbroken 4-connected chain.
enum { SEL_WALK_WAY = 1, SEL_WALK_START = 2 };

// The ground of a window; arrays are borrowed, row-major, rows from the north.
struct sel_walk_ground {
    int64_t rows, cols;        // rows * cols < 2^31
    double cell_x_m, cell_y_m; // > 0
    const float *elevation_m;  // NAN: barred, whatever else is said
    const float *factor;       // the habitat's walking-speed factor, 0 (barrier) to 1
    const uint8_t *marks;      // SEL_WALK_WAY, SEL_WALK_START or both; 0: neither
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

// A finished search. Everything is owned by it and valid until the next search or the end.
struct sel_walk {
    int64_t rows, cols;
    struct sel_walk_cell *cells;
    uint8_t *move; // the move that led here, SEL_WALK_AT_START or SEL_WALK_UNREACHED
    struct sel_buckets waiting;
    size_t room; // cells
};

// A walk that can be searched again and again, for windows of any size; zero-initialise it first.
// Searches from the start cells to all cells within limit_min (finite, >= 0) minutes. Of walks that
// take the same time, the one whose cell before the last comes first by row, then column, stands.
// Memory: 17 bytes a cell, the cells that wait, and 12 bytes for every quickest move in the limit.
// SEL_NO_MEMORY without message.
sel_status sel_walk_search(
    struct sel_walk *walk, const struct sel_walk_ground *ground, double limit_min);
void sel_walk_clear(struct sel_walk *walk);

// The steps of a move, rows south and columns east.
void sel_walk_step(int move, int64_t *rows, int64_t *cols);

// Minutes of one move from a cell (row * cols + col), mean of out and back; INFINITY when it is
// barred: leaves the window, begins or ends on a barred cell, is a knight's move over a barred
// cell, or is a diagonal one between two barred cells. Speed is the harmonic mean of the cells
// passed, by the share of the move that lies in each.
double sel_walk_move_minutes(const struct sel_walk_ground *ground, int64_t cell, int move);

// How many cells the walk to a cell visits, itself and the start included; 0: unreached.
size_t sel_walk_visits(const struct sel_walk *walk, int64_t cell);

// Writes them, from the start to the cell; `visited` has room for sel_walk_visits.
void sel_walk_path(const struct sel_walk *walk, int64_t cell, int64_t *visited);

// What a walk takes, summed anew from the cells it visits, start first.
struct sel_walk_effort {
    double length_m;                  // on the map
    double minutes;                   // mean of out and back
    double out_minutes, back_minutes; // from the start, and to it
    double climb_out_m, climb_back_m; // metres risen on the way
};
struct sel_walk_effort sel_walk_measure(
    const struct sel_walk_ground *ground, const int64_t *visited, size_t count);

#endif
