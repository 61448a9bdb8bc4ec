// SPDX-License-Identifier: MIT
//
// The near field of a horizon: tables of the cells that each ray meets on level 0, and the look
// along them. Internal to the horizon.
//
// Points at half-cell positions come in four kinds (on a cell's centre, in the middle of a side of
// either direction, on a corner), so the cells met, seen from the point, are always one of four
// sets. The ground is met where a ray crosses a main line, and near the point a cross line too; it
// is linear between the two centres there. Canopy is met as boxes: a cell with canopy is filled
// from its ground to its canopy top. Seen from below, a box is highest where the ray enters it;
// what lies within the opening is cut away. A ray that runs along the border of two cells meets the
// taller of their boxes with the mean of their closures, for half of the light around it passes on
// either side.
#ifndef SEL_TERRAIN_NEAR_H
#define SEL_TERRAIN_NEAR_H

#include "terrain/ray.h"

enum {
    SEL_NEAR_CELLS = 80,      // how far level 0 is looked at, in cells
    SEL_NEAR_CROSS_CELLS = 8, // how far its cross lines are
    SEL_NEAR_KINDS = 4,
    SEL_NEAR_BOXES_MOST = 2 * (SEL_NEAR_CELLS + 2)
};

// Where a line of centres is met.
struct sel_near_line {
    int32_t cell; // the first of the two, from the point's cell, in elements of the window
    float share;  // of the second, 0 <= share < 1
};

// Everything is padded to whole fours with entries that cannot raise a tangent.
struct sel_near_ray {
    int32_t line_stride, cross_stride; // from the first to the second cell of a line
    int line_count, cross_count, box_count;
    int boxes_close;   // boxes after which it is asked whether more can matter
    bool along_border; // boxes come in pairs, on either side
    bool on_line; // the point lies on a main line: lines stand at 1, 2, .. else at 1/2, 3/2, ..
    float line_inverse; // 1 / metres from line to line
    float line_drop;    // what curvature takes per line, in metres per line
    int32_t line_cell[SEL_NEAR_CELLS];
    float line_share[SEL_NEAR_CELLS];
    // Of cross lines and boxes: 1 / distance, and what curvature takes from the tangent there.
    struct sel_near_line cross[SEL_NEAR_CROSS_CELLS];
    float cross_inverse[SEL_NEAR_CROSS_CELLS], cross_drop[SEL_NEAR_CROSS_CELLS];
    int32_t box_cell[SEL_NEAR_BOXES_MOST];
    float box_inverse[SEL_NEAR_BOXES_MOST], box_drop[SEL_NEAR_BOXES_MOST];
};

struct sel_near {
    float lines[2][SEL_NEAR_CELLS], inverse[2][SEL_NEAR_CELLS]; // by on_line
    struct sel_near_ray rays[SEL_NEAR_KINDS][SEL_HORIZON_DIRECTIONS];
};

// Fills the tables, for windows of `cols` columns.
void sel_near_init(struct sel_near *near, const struct sel_ray rays[SEL_HORIZON_DIRECTIONS],
    double opening_m, int64_t cols);

// The near field of a tile.
struct sel_near_field {
    const float *ground_m, *canopy_top_m; // level 0, from the window's first cell
    const uint8_t *cover;
    float canopy_most_m; // no canopy top of the window is higher
    bool any_unknown;    // some ground in the window is
};

// A point in it.
struct sel_near_start {
    const struct sel_near_field *field;
    int kind;     // (hx & 1) + 2 (hy & 1)
    int64_t cell; // the element of the cell at hx / 2, hy / 2, rounded down
    float eye_m;  // height of the eye
};

// Looks in all directions; sets the sights.
void sel_near_look(const struct sel_near *near, const struct sel_near_start *start,
    struct sel_sight sights[SEL_HORIZON_DIRECTIONS]);

// Whether a ray meets unknown ground.
bool sel_near_meets_unknown(const struct sel_near *near, const struct sel_near_start *start);

#endif
