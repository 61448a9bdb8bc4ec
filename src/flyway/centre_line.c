// SPDX-License-Identifier: MIT
//
// Walks the cells under a flyway's centre line, cell border by cell border (after the grid
// traversal of Amanatides & Woo 1987), so that the depth is exact and no step size enters it.
// All lengths are counted from the crack, so a shift by whole cells changes nothing.
#include "flyway/centre_line.h"

#include <math.h>

static const double NEVER_M = HUGE_VAL;
static const double PARALLEL = 1e-9;      // direction component of a line along a cell border
static const double CORNER_CELLS = 1e-9;  // a stretch this short is the touch of a corner
static const double BELT_LEAST_CELLS = 2; // a belt is at least this long: docs/method.md
static const double FIRST_CELLS = 1;      // own, whatever it holds
static const double STRETCH_CELLS = 0.5;  // other ground shorter than this does not count

// The walk along one axis: the cell it is in and where it crosses the next border.
struct axis {
    int64_t cell, forward; // forward: -1, 0 or 1
    double next_m, step_m;
    int64_t twin; // 1: the line runs along the border to cell - 1, and that counts too
};

static struct axis axis_start(int32_t half, double direction, double cell_m) {
    struct axis axis = {.cell = sel_half_floor(half), .next_m = NEVER_M, .step_m = NEVER_M};
    bool on_border = (half & 1) == 0;
    if (fabs(direction) < PARALLEL) {
        axis.twin = on_border;
        return axis;
    }
    axis.forward = direction > 0 ? 1 : -1;
    axis.cell -= on_border && direction < 0;
    axis.step_m = cell_m / fabs(direction);
    axis.next_m = on_border ? axis.step_m : axis.step_m / 2;
    return axis;
}

static void axis_advance(struct axis *axis, double at_m) {
    if (axis->next_m > at_m)
        return;
    axis->cell += axis->forward;
    axis->next_m += axis->step_m;
}

enum ground { GROUND_OWN, GROUND_UNKNOWN, GROUND_OTHER };

static enum ground ground_of(sel_habitat_id id, sel_habitat_id own) {
    if (id == own)
        return GROUND_OWN;
    return id == SEL_HABITAT_UNKNOWN ? GROUND_UNKNOWN : GROUND_OTHER;
}

static enum ground ground_at(const struct sel_habitat_view *view, const struct axis *x,
    const struct axis *y, sel_habitat_id own) {
    enum ground ground = ground_of(sel_view_at(view, y->cell, x->cell), own);
    if (ground == GROUND_OWN || (x->twin == 0 && y->twin == 0))
        return ground;
    enum ground twin = ground_of(sel_view_at(view, y->cell - y->twin, x->cell - x->twin), own);
    return twin == GROUND_OWN || twin == GROUND_OTHER ? twin : ground;
}

// A stretch of ground that is not own; it counts once it is long enough.
struct stretch {
    double start_m; // NEVER_M: not in one
    double found_m; // start of the first long one; NEVER_M: none yet
};

static void stretch_extend(
    struct stretch *stretch, bool in_it, double from_m, double to_m, double least_m) {
    if (!in_it) {
        stretch->start_m = NEVER_M;
        return;
    }
    if (stretch->start_m > from_m)
        stretch->start_m = from_m;
    if (to_m - stretch->start_m >= least_m && stretch->found_m > stretch->start_m)
        stretch->found_m = stretch->start_m;
}

static double smaller(double a, double b) {
    return a < b ? a : b;
}

static double larger(double a, double b) {
    return a > b ? a : b;
}

struct sel_centre_line sel_walk_centre_line(const struct sel_habitat_view *view,
    const struct sel_crack *crack, struct vec2 outward, sel_habitat_id own,
    const struct sel_belt_rule *rule) {
    double cell_m =
        vec2_length((struct vec2){outward.x * rule->cell_x_m, outward.y * rule->cell_y_m});
    double first_m = FIRST_CELLS * cell_m, least_m = STRETCH_CELLS * cell_m;
    struct axis x = axis_start(crack->hx, outward.x, rule->cell_x_m);
    struct axis y = axis_start(crack->hy, outward.y, rule->cell_y_m);
    struct stretch away = {NEVER_M, NEVER_M}, other = {NEVER_M, NEVER_M};
    double at_m = 0;
    while (at_m < rule->reach_m && other.found_m == NEVER_M) {
        double to_m = smaller(smaller(x.next_m, y.next_m), rule->reach_m);
        double from_m = larger(at_m, first_m);
        if (to_m - from_m > CORNER_CELLS * cell_m) {
            enum ground ground = ground_at(view, &x, &y, own);
            stretch_extend(&away, ground != GROUND_OWN, from_m, to_m, least_m);
            stretch_extend(&other, ground == GROUND_OTHER, from_m, to_m, least_m);
        }
        axis_advance(&x, to_m);
        axis_advance(&y, to_m);
        at_m = to_m;
    }
    return (struct sel_centre_line){.depth_m = smaller(away.found_m, rule->reach_m),
        .belt_m = smaller(larger(other.found_m, BELT_LEAST_CELLS * cell_m), rule->reach_m)};
}
