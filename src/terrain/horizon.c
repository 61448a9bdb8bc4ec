// SPDX-License-Identifier: MIT
//
// A point's horizon from the near and the far field, and the plan of rays they share.
//
// Level 0 is looked at for 64 study cells, level 1 (cells of 4) for 480, level 2 (cells of 16) to
// the reach: a coarse cell is then seen from at least 16 and 30 times its side. docs/method-sun.md
// shows what other choices cost. The ray's direction is a vector on the map in metres, so cells
// need not be square.
#include "terrain/horizon.h"

#include <math.h>
#include <stdlib.h>

#include "terrain/far.h"
#include "terrain/near.h"

static const double PI = 3.141592653589793;
static const double LEVEL_CELLS[SEL_SURFACE_LEVELS] = {SEL_NEAR_CELLS, 480.0, INFINITY};
enum { QUARTER = SEL_HORIZON_DIRECTIONS / 4 };

struct sel_horizon_plan {
    float head_m;
    int64_t reach[SEL_SURFACE_LEVELS]; // study cells
    int64_t near_cols;
    struct sel_ray rays[SEL_HORIZON_DIRECTIONS];
    struct sel_near near;
};

static double range_m(const struct sel_horizon_rule *rule, double cell_m, int level) {
    return fmin(rule->reach_m, LEVEL_CELLS[level] * cell_m);
}

int64_t sel_horizon_level_reach(const struct sel_horizon_rule *rule, double cell_m, int level) {
    return (int64_t)ceil(range_m(rule, cell_m, level) / cell_m) + 2 * ((int64_t)1 << 2 * level);
}

static int64_t fixed(double value) {
    return llround(value * 0x1p32);
}

// Sine of step * 5 degrees, 0..90, such that sine and cosine of 45 degrees are the same number.
static double sine(int step) {
    return step <= QUARTER / 2 ? sin(step * PI / (2 * QUARTER))
                               : cos((QUARTER - step) * PI / (2 * QUARTER));
}

static struct vec2 direction(int i) { // x east, y south
    double s = sine(i % QUARTER), c = sine(QUARTER - i % QUARTER);
    switch (i / QUARTER) {
    case 0:
        return (struct vec2){s, -c};
    case 1:
        return (struct vec2){c, s};
    case 2:
        return (struct vec2){-s, c};
    default:
        return (struct vec2){-c, -s};
    }
}

// Lines crossed by a ray that goes `main` and `minor` cells per metre.
static struct sel_ray_lines lines_of(double main, double minor) {
    if (main == 0.0)
        return (struct sel_ray_lines){0, 0, INFINITY};
    return (struct sel_ray_lines){
        llround(minor / fabs(main) * 0x1p27) * 32, main > 0.0 ? 1 : -1, 1.0 / fabs(main)};
}

static struct sel_ray ray_of(
    const struct sel_horizon_rule *rule, struct vec2 toward, double cell_x_m, double cell_y_m) {
    double x = toward.x / cell_x_m, y = toward.y / cell_y_m, cell_m = fmin(cell_x_m, cell_y_m);
    struct sel_ray ray = {.along_x = fabs(x) >= fabs(y)};
    ray.main = ray.along_x ? lines_of(x, y) : lines_of(y, x);
    ray.cross = ray.along_x ? lines_of(y, x) : lines_of(x, y);
    for (int l = 0; l < SEL_SURFACE_LEVELS; l++) {
        double line_m = ray.main.line_m * (1 << 2 * l);
        ray.from[l] = l > 0 ? fixed(range_m(rule, cell_m, l - 1) / line_m - 0.5) : 0;
        ray.to[l] = fixed(range_m(rule, cell_m, l) / line_m);
    }
    double cross_m = fmin(rule->reach_m, SEL_NEAR_CROSS_CELLS * cell_m);
    ray.cross_to = fixed(cross_m / ray.cross.line_m);
    return ray;
}

sel_status sel_horizon_plan_new(const struct sel_horizon_rule *rule, double cell_x_m,
    double cell_y_m, int64_t near_cols, struct sel_horizon_plan **plan) {
    struct sel_horizon_plan *made = malloc(sizeof *made);
    *plan = made;
    if (!made)
        return SEL_NO_MEMORY;
    made->head_m = (float)rule->head_m;
    made->near_cols = near_cols;
    for (int l = 0; l < SEL_SURFACE_LEVELS; l++)
        made->reach[l] = sel_horizon_level_reach(rule, fmin(cell_x_m, cell_y_m), l);
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        made->rays[i] = ray_of(rule, direction(i), cell_x_m, cell_y_m);
    sel_near_init(&made->near, made->rays, rule->opening_m, near_cols);
    return SEL_OK;
}

void sel_horizon_plan_free(struct sel_horizon_plan *plan) {
    free(plan);
}

static bool holds_reach(const struct sel_surface *surface, const struct sel_horizon_plan *plan,
    int64_t hx, int64_t hy) {
    for (int l = 0; l < SEL_SURFACE_LEVELS; l++) {
        struct sel_window window = surface->levels[l].window;
        int64_t half_cells = 2 * ((int64_t)1 << 2 * l), reach = 2 * plan->reach[l];
        if (hx - reach < window.col * half_cells || hy - reach < window.row * half_cells ||
            hx + reach > (window.col + window.cols) * half_cells ||
            hy + reach > (window.row + window.rows) * half_cells)
            return false;
    }
    return surface->levels[0].window.cols == plan->near_cols;
}

// The cell of a point in the level-0 window, counted from its first.
static int64_t cell_of(struct sel_window window, int64_t hx, int64_t hy) {
    return ((hy >> 1) - window.row) * window.cols + (hx >> 1) - window.col;
}

// Mean height of the cells that touch a point; NAN when one is unknown.
static float ground_at(const struct sel_surface_level *level, int64_t hx, int64_t hy) {
    const float *cell = level->ground_m + cell_of(level->window, hx, hy);
    int64_t west = hx & 1 ? 0 : 1, north = hy & 1 ? 0 : level->window.cols;
    return (float)(0.25 * ((double)cell[0] + (double)cell[-west] + (double)cell[-north] +
                              (double)cell[-north - west]));
}

static struct sel_far_start far_start(
    const struct sel_surface *surface, int number, int64_t hx, int64_t hy, float eye_m) {
    const struct sel_surface_level *level = &surface->levels[number];
    int64_t half_cells = 2 * ((int64_t)1 << 2 * number); // study half-cells in a level cell
    int64_t half_cell = SEL_ONE_CELL / half_cells;
    return (struct sel_far_start){level, number,
        (hx - level->window.col * half_cells) * half_cell - SEL_ONE_CELL / 2,
        (hy - level->window.row * half_cells) * half_cell - SEL_ONE_CELL / 2, eye_m};
}

static void look_around(const struct sel_surface *surface, const struct sel_horizon_plan *plan,
    int64_t hx, int64_t hy, float eye_m, struct sel_horizon *out) {
    int kind = sel_near_kind(hx, hy);
    int64_t cell = cell_of(surface->levels[0].window, hx, hy);
    struct sel_far_start one = far_start(surface, 1, hx, hy, eye_m);
    struct sel_far_start two = far_start(surface, 2, hx, hy, eye_m);
    bool incomplete = false;
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
        struct sel_sight sight = {0.0f, 0.0f, 0.0f, incomplete};
        sel_near_look(&plan->near, kind, i, &surface->levels[0], cell, eye_m, &sight);
        sel_far_look(&one, &plan->rays[i], &sight);
        sel_far_look(&two, &plan->rays[i], &sight);
        out->ground_tan[i] = sight.ground_tan;
        out->canopy_tan[i] = sight.canopy_tan;
        out->cover[i] = sight.cover;
        incomplete = sight.incomplete;
    }
    out->complete = !incomplete;
}

bool sel_horizon_at(const struct sel_surface *surface, const struct sel_horizon_plan *plan,
    int64_t hx, int64_t hy, struct sel_horizon *out) {
    if (!holds_reach(surface, plan, hx, hy))
        return false;
    float ground_m = ground_at(&surface->levels[0], hx, hy);
    if (isnan(ground_m))
        return false;
    look_around(surface, plan, hx, hy, ground_m + plan->head_m, out);
    return true;
}
