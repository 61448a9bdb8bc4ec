#include "terrain/horizon.h"

#include <math.h>
#include <stddef.h>

#include "terrain/ray.h"

static const double PI = 3.141592653589793;
enum { QUARTER = SEL_HORIZON_DIRECTIONS / 4 };

static const double LEVEL_CELLS[SEL_SURFACE_LEVELS] = {64.0, 480.0, INFINITY};
static const double CROSS_CELLS = 8.0;

static int64_t fixed(double value) {
    return llround(value * 0x1p32);
}

static double sine(int step) { // of step * 5 degrees, 0..90
    return step <= QUARTER / 2 ? sin(step * 0.5 * PI / QUARTER) : cos((QUARTER - step) * 0.5 * PI / QUARTER);
}

static double range_m(const struct sel_horizon_rule *rule, double cell_m, int level) {
    return fmin(rule->reach_m, LEVEL_CELLS[level] * cell_m);
}

int64_t sel_horizon_level_reach(const struct sel_horizon_rule *rule, double cell_m, int level) {
    return (int64_t)ceil(range_m(rule, cell_m, level) / cell_m) + 2 * ((int64_t)1 << 2 * level);
}

static struct sel_ray_lines lines_of(double main, double minor, double main_cell, double minor_cell) {
    struct sel_ray_lines lines = {0, 0, 0.0f};
    if (main == 0.0)
        return lines;
    lines.sign = main > 0.0 ? 1 : -1;
    lines.line_m = (float)(main_cell / fabs(main));
    lines.slope = llround(minor / fabs(main) * main_cell / minor_cell * 0x1p27) * 32;
    return lines;
}

static void ray_init(struct sel_horizon_ray *ray, int i, const struct sel_horizon_rule *rule, double cx, double cy) {
    int q = i / QUARTER, r = i % QUARTER;
    double s = sine(r), c = cos(0), east, south;
    c = sine(QUARTER - r);
    switch (q) {
    case 0: east = s; south = -c; break;
    case 1: east = c; south = s; break;
    case 2: east = -s; south = c; break;
    default: east = -c; south = -s; break;
    }
    ray->along_x = fabs(east) / cx >= fabs(south) / cy;
    struct sel_ray_lines x = lines_of(east, south, cx, cy), y = lines_of(south, east, cy, cx);
    ray->main = ray->along_x ? x : y;
    ray->cross = ray->along_x ? y : x;
    double cell = fmin(cx, cy), line_m = (ray->along_x ? cx / fabs(east) : cy / fabs(south));
    double before = 0;
    for (int l = 0; l < SEL_SURFACE_LEVELS; l++) {
        double level_line = line_m * (1 << 2 * l);
        ray->from[l] = l ? fixed(before / level_line - 0.5) : 0;
        before = range_m(rule, cell, l);
        ray->to[l] = fixed(before / level_line);
    }
    ray->cross_to = ray->cross.sign ? fixed(fmin(rule->reach_m, CROSS_CELLS * cell) / (double)ray->cross.line_m) : 0;
    ray->opening = fixed(rule->opening_m / line_m);
}

void sel_horizon_plan_init(struct sel_horizon_plan *plan, const struct sel_horizon_rule *rule,
    double cell_x_m, double cell_y_m) {
    plan->head_m = (float)rule->head_m;
    plan->opening_m = (float)rule->opening_m;
    for (int l = 0; l < SEL_SURFACE_LEVELS; l++)
        plan->level_reach[l] = sel_horizon_level_reach(rule, fmin(cell_x_m, cell_y_m), l);
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        ray_init(&plan->rays[i], i, rule, cell_x_m, cell_y_m);
}

static bool ground_at(const struct sel_surface_level *level, int64_t hx, int64_t hy, float *ground) {
    double sum = 0;
    int64_t cols[2] = {(hx - 1) >> 1, hx >> 1}, rows[2] = {(hy - 1) >> 1, hy >> 1};
    for (int k = 0; k < 4; k++) {
        int64_t row = rows[k / 2], col = cols[k % 2];
        if (!sel_window_has(level->window, row, col))
            return false;
        sum += (double)level->ground_m[(row - level->window.row) * level->window.cols + col - level->window.col];
    }
    *ground = (float)(sum / 4);
    return !isnan(sum);
}

static struct sel_ray_start start_at(const struct sel_surface *surface, const struct sel_horizon_plan *plan, int l, int64_t hx, int64_t hy) {
    const struct sel_surface_level *level = &surface->levels[l];
    struct sel_window w = level->window;
    int64_t side = (int64_t)1 << 2 * l;
    int64_t x = hx - 2 * w.col * side, y = hy - 2 * w.row * side;
    int64_t need = 2 * plan->level_reach[l];
    struct sel_ray_start start = {.level = level, .number = l};
    start.x = x * ((int64_t)1 << (31 - 2 * l)) - ((int64_t)1 << 31);
    start.y = y * ((int64_t)1 << (31 - 2 * l)) - ((int64_t)1 << 31);
    start.roomy = x >= need && y >= need && x + need <= 2 * w.cols * side && y + need <= 2 * w.rows * side;
    start.opening_m = plan->opening_m;
    return start;
}

bool sel_horizon_at(const struct sel_surface *surface, const struct sel_horizon_plan *plan,
    int64_t hx, int64_t hy, struct sel_horizon *out) {
    float ground;
    if (!ground_at(&surface->levels[0], hx, hy, &ground))
        return false;
    struct sel_ray_start starts[SEL_SURFACE_LEVELS];
    for (int l = 0; l < SEL_SURFACE_LEVELS; l++) {
        starts[l] = start_at(surface, plan, l, hx, hy);
        starts[l].eye_m = ground + plan->head_m;
    }
    bool incomplete = false;
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
        struct sel_sight sight = {0.0f, 0.0f, incomplete};
        for (int l = 0; l < SEL_SURFACE_LEVELS; l++)
            sel_ray_ground(&starts[l], &plan->rays[i], &sight);
        out->ground_tan[i] = sight.tangent;
        sel_ray_boxes(&starts[0], &plan->rays[i], &sight);
        for (int l = 1; l < SEL_SURFACE_LEVELS; l++)
            sel_ray_canopy(&starts[l], &plan->rays[i], &sight);
        out->canopy_tan[i] = sight.tangent;
        out->cover[i] = sight.cover;
        incomplete = sight.incomplete;
    }
    out->complete = !incomplete;
    return true;
}
