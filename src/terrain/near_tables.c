// SPDX-License-Identifier: MIT
//
// The tables of the near field. Everything is counted from the north-west corner of the point's
// cell: a point on a centre stands half a cell in, a point on a border at 0.
#include <math.h>
#include <string.h>

#include "terrain/lanes.h"
#include "terrain/near.h"

static const int64_t HALF = (int64_t)1 << 31;
static const int CLOSE_LINES = 12; // of which the boxes are looked at unasked

// A ray seen along its main or cross axis.
struct axis {
    struct sel_ray_lines lines;
    int64_t main, minor;               // the point, from cell borders, 2^-32
    int64_t main_stride, minor_stride; // elements
};

static struct axis axis_of(const struct sel_ray *ray, bool cross, int kind, int64_t cols) {
    bool along_x = ray->along_x != cross;
    int64_t x = kind & 1 ? HALF : 0, y = kind & 2 ? HALF : 0;
    struct axis axis = {.lines = cross ? ray->cross : ray->main};
    axis.main = along_x ? x : y;
    axis.minor = along_x ? y : x;
    axis.main_stride = along_x ? 1 : cols;
    axis.minor_stride = along_x ? cols : 1;
    return axis;
}

// Distance from the point to its first line of centres, in 2^-32 lines: one half or one.
static int64_t first_line(const struct axis *axis) {
    return axis->main == 0 ? HALF : SEL_ONE_CELL;
}

// The place along the line at a distance that is a multiple of 2^27; slopes are multiples of 32.
static int64_t minor_at(const struct axis *axis, int64_t ahead) {
    return axis->minor + (ahead >> 27) * (axis->lines.slope >> 5);
}

static struct sel_near_line line_at(const struct axis *axis, int64_t ahead) {
    int64_t main = (axis->main + axis->lines.sign * ahead - HALF) >> 32;
    int64_t minor = minor_at(axis, ahead) - HALF;
    return (struct sel_near_line){
        (int32_t)(main * axis->main_stride + (minor >> 32) * axis->minor_stride),
        (float)(int32_t)((uint32_t)minor >> 8) * 0x1p-24f};
}

// A ray that meets every line at a centre must not look at the cells beside it.
static int32_t second_stride(const struct axis *axis) {
    bool at_centres = (minor_at(axis, first_line(axis)) - HALF) % SEL_ONE_CELL == 0 &&
                      axis->lines.slope % SEL_ONE_CELL == 0;
    return at_centres ? 0 : (int32_t)axis->minor_stride;
}

static void fill_lines(
    struct sel_near_ray *near, const struct axis *axis, int64_t to, double drop_per_m) {
    double line_m = axis->lines.line_m;
    near->on_line = axis->main == HALF;
    near->line_inverse = (float)(1.0 / line_m);
    near->line_drop = (float)(drop_per_m * line_m * line_m);
    near->line_stride = second_stride(axis);
    near->line_count = 0;
    for (int64_t ahead = first_line(axis); ahead <= to && near->line_count < SEL_NEAR_CELLS;
         ahead += SEL_ONE_CELL) {
        struct sel_near_line line = line_at(axis, ahead);
        near->line_cell[near->line_count] = line.cell;
        near->line_share[near->line_count++] = line.share;
    }
    // The last line again: farther off it does not stand higher.
    while (near->line_count > 0 && near->line_count % SEL_LANES != 0) {
        near->line_cell[near->line_count] = near->line_cell[near->line_count - 1];
        near->line_share[near->line_count] = near->line_share[near->line_count - 1];
        near->line_count++;
    }
}

static void fill_cross(
    struct sel_near_ray *near, const struct axis *axis, int64_t to, double drop_per_m) {
    near->cross_count = 0;
    if (axis->lines.sign == 0)
        return;
    near->cross_stride = second_stride(axis);
    for (int64_t ahead = first_line(axis); ahead <= to && near->cross_count < SEL_NEAR_CROSS_CELLS;
         ahead += SEL_ONE_CELL) {
        double metres = (double)ahead * 0x1p-32 * axis->lines.line_m;
        near->cross[near->cross_count] = line_at(axis, ahead);
        near->cross_inverse[near->cross_count] = (float)(1.0 / metres);
        near->cross_drop[near->cross_count++] = (float)(drop_per_m * metres);
    }
}

struct boxes {
    struct sel_near_ray *near;
    const struct axis *axis;
    double opening_m, drop_per_m;
};

// A cell along the ray between two distances in lines.
static void add_box(
    const struct boxes *boxes, int64_t main, int64_t minor, double enter, double leave) {
    double line_m = boxes->axis->lines.line_m;
    if (leave * line_m <= boxes->opening_m || boxes->near->box_count == SEL_NEAR_BOXES_MOST)
        return;
    double metres = fmax(enter * line_m, boxes->opening_m);
    struct sel_near_ray *near = boxes->near;
    near->box_cell[near->box_count] =
        (int32_t)(main * boxes->axis->main_stride + minor * boxes->axis->minor_stride);
    // A box that the point touches stands infinitely high; a distance of 1e-6 m is as good.
    near->box_inverse[near->box_count] = (float)(1.0 / fmax(metres, 1e-6));
    near->box_drop[near->box_count++] = (float)(boxes->drop_per_m * metres);
}

// Boxes infinitely far off.
static void pad_boxes(struct sel_near_ray *near) {
    for (; near->box_count % SEL_LANES != 0; near->box_count++) {
        near->box_cell[near->box_count] = 0;
        near->box_inverse[near->box_count] = near->box_drop[near->box_count] = 0.0f;
    }
}

// The one or two cells of a slab, the row or column of cells between two distances in lines.
static void add_slab(const struct boxes *boxes, int64_t enter, int64_t leave) {
    const struct axis *axis = boxes->axis;
    int64_t slope = axis->lines.slope;
    int64_t main = (axis->main + axis->lines.sign * (enter + leave) / 2) >> 32;
    int64_t from = minor_at(axis, enter), to = minor_at(axis, leave);
    int64_t one = (from - (slope < 0)) >> 32, other = (to - (slope >= 0)) >> 32;
    double near_end = (double)enter * 0x1p-32, far_end = (double)leave * 0x1p-32;
    if (one == other) {
        add_box(boxes, main, one, near_end, far_end);
    } else if (slope == 0) {
        add_box(boxes, main, one, near_end, far_end);
        add_box(boxes, main, other, near_end, far_end);
    } else {
        int64_t border = (slope > 0 ? other : one) * SEL_ONE_CELL;
        double middle = near_end + (double)(border - from) / (double)slope;
        add_box(boxes, main, one, near_end, middle);
        add_box(boxes, main, other, middle, far_end);
    }
}

static void fill_boxes(struct sel_near_ray *near, const struct axis *axis, int64_t to,
    double opening_m, double drop_per_m) {
    struct boxes boxes = {near, axis, opening_m, drop_per_m};
    near->box_count = near->boxes_close = 0;
    near->along_border = axis->lines.slope == 0 && axis->minor == 0;
    int64_t enter = 0, leave = axis->main == 0 ? SEL_ONE_CELL : HALF;
    for (int slab = 0; enter <= to; slab++) {
        add_slab(&boxes, enter, leave);
        if (slab <= CLOSE_LINES)
            near->boxes_close = near->box_count & -SEL_LANES;
        enter = leave;
        leave += SEL_ONE_CELL;
    }
    pad_boxes(near);
}

void sel_near_init(struct sel_near *near, const struct sel_ray rays[SEL_HORIZON_DIRECTIONS],
    double opening_m, int64_t cols) {
    memset(near, 0, sizeof *near);
    for (int i = 0; i < SEL_NEAR_CELLS; i++)
        for (int on_line = 0; on_line < 2; on_line++) {
            double lines = i + (on_line ? 1.0 : 0.5);
            near->lines[on_line][i] = (float)lines;
            near->inverse[on_line][i] = (float)(1.0 / lines);
        }
    for (int kind = 0; kind < SEL_NEAR_KINDS; kind++)
        for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
            struct sel_near_ray *ray = &near->rays[kind][i];
            struct axis main = axis_of(&rays[i], false, kind, cols);
            struct axis cross = axis_of(&rays[i], true, kind, cols);
            fill_lines(ray, &main, rays[i].to[0], SEL_DROP_PER_M);
            fill_cross(ray, &cross, rays[i].cross_to, SEL_DROP_PER_M);
            fill_boxes(ray, &main, rays[i].to[0], opening_m, SEL_DROP_PER_M);
        }
}
