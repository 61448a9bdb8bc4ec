// SPDX-License-Identifier: MIT
//
// The rays of a horizon: which lines they cross, and how far each level is looked at.
//
// Level 0 is looked at for 80 study cells, level 1 (cells of 4) for 480, level 2 (cells of 16) to
// the reach: a coarse cell is then seen from at least 20 and 30 times its side. docs/method-sun.md
// shows what other choices cost. A direction is a vector on the map in metres, so cells need not be
// square.
#include "terrain/ray.h"

#include <math.h>

#include "terrain/near.h"

static const double PI = 3.141592653589793;
static const double LEVEL_CELLS[SEL_SURFACE_LEVELS] = {SEL_NEAR_CELLS, 480.0, HUGE_VAL};
static const double CROSS_CELLS = SEL_NEAR_CROSS_CELLS;
enum { QUARTER = SEL_HORIZON_DIRECTIONS / 4 };

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

struct vec2 sel_ray_vector(int direction) {
    double s = sine(direction % QUARTER), c = sine(QUARTER - direction % QUARTER);
    switch (direction / QUARTER) {
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
        return (struct sel_ray_lines){0, 0, HUGE_VAL};
    return (struct sel_ray_lines){
        llround(minor / fabs(main) * 0x1p27) * 32, main > 0.0 ? 1 : -1, 1.0 / fabs(main)};
}

struct sel_ray sel_ray_of(
    const struct sel_horizon_rule *rule, int direction, double cell_x_m, double cell_y_m) {
    struct vec2 toward = sel_ray_vector(direction);
    double x = toward.x / cell_x_m, y = toward.y / cell_y_m, cell_m = fmin(cell_x_m, cell_y_m);
    struct sel_ray ray = {.along_x = fabs(x) >= fabs(y)};
    ray.main = ray.along_x ? lines_of(x, y) : lines_of(y, x);
    ray.cross = ray.along_x ? lines_of(y, x) : lines_of(x, y);
    for (int l = 0; l < SEL_SURFACE_LEVELS; l++) {
        double line_m = ray.main.line_m * (1 << 2 * l);
        double before_m = l > 0 ? range_m(rule, cell_m, l - 1) : 0.0;
        double end_m = range_m(rule, cell_m, l);
        // A line stands for the ground half a level cell before it; none is left at the reach.
        ray.from[l] = l > 0 ? fixed(before_m / line_m - 0.5) : 0;
        ray.to[l] = end_m > before_m ? fixed(end_m / line_m) : ray.from[l];
    }
    double cross_m = fmin(rule->reach_m, CROSS_CELLS * cell_m);
    ray.cross_to = fixed(cross_m / ray.cross.line_m);
    return ray;
}
