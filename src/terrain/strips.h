// SPDX-License-Identifier: MIT
//
// What a ray over a coarse level cannot rise above: bounds along strips. Internal to the horizon.
//
// The rays of one direction and of its opposite are parallel. Parallel strips, one cell wide, cover
// all rays that start in a tile's core, and along each strip the greatest ground and canopy top of
// every few lines are kept. A ray leaves out lines whose bound cannot rise above what it has
// already seen: that changes how long it takes, never what it finds.
#ifndef SEL_TERRAIN_STRIPS_H
#define SEL_TERRAIN_STRIPS_H

#include "terrain/ray.h"

enum {
    SEL_STRIP_BITS = 4,
    SEL_STRIP_LINES = 1 << SEL_STRIP_BITS, // lines per bound
    SEL_STRIP_SLACK = 4,
    SEL_STRIP_FRAMES = SEL_HORIZON_DIRECTIONS / 2
};

// The part of a coarse level that the rays from a tile's core can meet.
struct sel_far_field {
    int number;               // of the level, 1..
    struct sel_window window; // level cells
    struct sel_window core;   // the level cells that hold the core, counted in the window
    int64_t stride;           // from row to row of the arrays
    const float *ground_m, *canopy_top_m; // from the window's first cell
    const uint8_t *cover;
};

// The strips of one direction and its opposite. Lines, and cells along them, are counted in the
// window.
struct sel_strip_frame {
    int64_t slope;         // along the lines per line index, 2^-32
    int64_t origin;        // the line at which strips are numbered
    int64_t first, strips; // the cell on it where strip 0 begins; how many there are
    int64_t blocks;        // bounds per strip
    // Strip by strip, with SEL_STRIP_SLACK elements to spare at either end: the greatest heights,
    // -INFINITY where nothing is known, and 1 where the ground of a cell is unknown.
    float *ground_m, *canopy_top_m;
    uint8_t *unknown;
};

struct sel_strips {
    bool any_unknown; // in the window; else `unknown` is not filled
    struct sel_strip_frame frames[SEL_STRIP_FRAMES];
    // Room for filling.
    float *ground_of_three, *top_of_three; // the greatest of three neighbours along a line
    uint8_t *unknown_of_three;
    float *ground_now, *top_now; // of one block, strip after strip
    uint8_t *unknown_now;
};

// Makes room for far fields of at most so many level cells, in the core and in the window, along
// either axis. SEL_NO_MEMORY without message; what was made is freed by sel_strips_clear.
sel_status sel_strips_init(struct sel_strips *strips, int64_t core_most, int64_t window_most);
void sel_strips_clear(struct sel_strips *strips);

// Fills the strips for a far field.
void sel_strips_fill(struct sel_strips *strips, const struct sel_far_field *field,
    const struct sel_ray rays[SEL_HORIZON_DIRECTIONS]);

#endif
