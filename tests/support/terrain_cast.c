// SPDX-License-Identifier: MIT
#include "terrain_cast.h"

#include <math.h>

static const double DEGREES = 57.29577951308232;
static const double DROP = (1.0 - 1.0 / 7.0) / (2.0 * 6371000.0);
static const double A_HAIR = 1e-9;

// A ray in level-0 cells: place and way per metre, x east and y south.
struct ray {
    double x, y, dx, dy, eye_m;
};

static double ground(const struct sel_surface_level *level, int64_t row, int64_t col) {
    if (!sel_window_has(level->window, row, col))
        return (double)NAN;
    return (double)
        level->ground_m[(row - level->window.row) * level->window.cols + col - level->window.col];
}

static double top(const struct sel_surface_level *level, int64_t row, int64_t col) {
    if (!sel_window_has(level->window, row, col))
        return (double)NAN;
    return (double)level
        ->canopy_top_m[(row - level->window.row) * level->window.cols + col - level->window.col];
}

static double cover(const struct sel_surface_level *level, int64_t row, int64_t col) {
    return level->cover[(row - level->window.row) * level->window.cols + col - level->window.col] /
           255.0;
}

static struct ray ray_from(
    const struct terrain_eyes *eyes, int64_t hx, int64_t hy, double azimuth_deg) {
    const struct sel_surface_level *level = &eyes->surface.levels[0];
    double east = sin(azimuth_deg / DEGREES), south = -cos(azimuth_deg / DEGREES);
    east = fabs(east) < A_HAIR ? 0.0 : east;
    south = fabs(south) < A_HAIR ? 0.0 : south;
    int64_t west_col = (hx - 1) >> 1, east_col = hx >> 1, north_row = (hy - 1) >> 1;
    int64_t south_row = hy >> 1;
    double sum = ground(level, north_row, west_col) + ground(level, north_row, east_col) +
                 ground(level, south_row, west_col) + ground(level, south_row, east_col);
    return (struct ray){0.5 * (double)hx, 0.5 * (double)hy, east / eyes->setting.cell_x_m,
        south / eyes->setting.cell_y_m, sum / 4.0 + eyes->setting.rule.head_m};
}

// Metres to where a coordinate, going by `way` per metre, leaves its whole-number interval.
static double to_border(double place, double way, int64_t interval) {
    if (way > 0.0)
        return ((double)interval + 1.0 - place) / way;
    return way < 0.0 ? ((double)interval - place) / way : HUGE_VAL;
}

static double tangent_of(double height_m, double eye_m, double metres) {
    return (height_m - eye_m) / metres - DROP * metres;
}

// The highest tangent of a + b s + c s^2 for s in (from, to].
static double highest_on(double a, double b, double c, double eye_m, double from, double to) {
    double highest = tangent_of(a + to * (b + to * c), eye_m, to);
    double bend = c - DROP; // (a - eye) / s + b + bend s has its maximum where this is negative
    double inside = bend != 0.0 && (a - eye_m) / bend > 0.0 ? sqrt((a - eye_m) / bend) : -1.0;
    if (inside > from && inside < to)
        highest = fmax(highest, tangent_of(a + inside * (b + inside * c), eye_m, inside));
    return highest;
}

static double cast_ground(const struct terrain_eyes *eyes, struct ray ray) {
    const struct sel_surface_level *level = &eyes->surface.levels[0];
    double u = ray.x - 0.5, v = ray.y - 0.5, from = 0.0, highest = 0.0;
    while (from < eyes->setting.rule.reach_m) {
        int64_t col = (int64_t)floor(u + ray.dx * (from + 1e-6));
        int64_t row = (int64_t)floor(v + ray.dy * (from + 1e-6));
        double to = fmin(to_border(u, ray.dx, col), to_border(v, ray.dy, row));
        to = fmin(fmax(to, from + 1e-6), eyes->setting.rule.reach_m);
        double nw = ground(level, row, col), ne = ground(level, row, col + 1);
        double sw = ground(level, row + 1, col), se = ground(level, row + 1, col + 1);
        double p = u - (double)col, q = v - (double)row, twist = nw - ne - sw + se;
        double a = nw + (ne - nw) * p + (sw - nw) * q + twist * p * q;
        double b = (ne - nw) * ray.dx + (sw - nw) * ray.dy + twist * (p * ray.dy + q * ray.dx);
        double tangent = highest_on(a, b, twist * ray.dx * ray.dy, ray.eye_m, from, to);
        highest = tangent > highest ? tangent : highest; // unknown: passed over
        from = to;
    }
    return highest;
}

// Raises by the box of one cell, met between two distances.
static void cast_box(const struct terrain_eyes *eyes, const struct ray *ray, int64_t row,
    int64_t col, double from, double to, struct terrain_ray *seen) {
    const struct sel_surface_level *level = &eyes->surface.levels[0];
    double opening = eyes->setting.rule.opening_m, height = top(level, row, col);
    if (to <= opening || !(height > ground(level, row, col)))
        return;
    double tangent = tangent_of(height, ray->eye_m, fmax(fmax(from, opening), 1e-6));
    if (tangent > seen->canopy_tan) {
        seen->canopy_tan = tangent;
        seen->cover = cover(level, row, col);
    }
}

// Calls cast_box for every cell on the ray up to a distance; along a border for both cells.
static void cast_boxes(const struct terrain_eyes *eyes, const struct ray *ray, double reach_m,
    struct terrain_ray *seen) {
    bool on_col = ray->dx == 0.0 && ray->x == floor(ray->x);
    bool on_row = ray->dy == 0.0 && ray->y == floor(ray->y);
    for (double from = 0.0; from < reach_m;) {
        int64_t col = (int64_t)floor(ray->x + ray->dx * (from + 1e-6));
        int64_t row = (int64_t)floor(ray->y + ray->dy * (from + 1e-6));
        double to = fmin(to_border(ray->x, ray->dx, col), to_border(ray->y, ray->dy, row));
        to = fmax(to, from + 1e-6);
        double before = seen->canopy_tan;
        cast_box(eyes, ray, row, col, from, to, seen);
        if (on_col || on_row) {
            int64_t row2 = row - on_row, col2 = col - on_col;
            cast_box(eyes, ray, row2, col2, from, to, seen);
            const struct sel_surface_level *level = &eyes->surface.levels[0];
            bool one = top(level, row, col) > ground(level, row, col);
            bool other = top(level, row2, col2) > ground(level, row2, col2);
            if (seen->canopy_tan > before)
                seen->cover = 0.5 * ((one ? cover(level, row, col) : 0.0) +
                                        (other ? cover(level, row2, col2) : 0.0));
        }
        from = to;
    }
}

struct terrain_ray terrain_cast(
    const struct terrain_eyes *eyes, int64_t hx, int64_t hy, double azimuth_deg) {
    struct ray ray = ray_from(eyes, hx, hy, azimuth_deg);
    struct terrain_ray seen = {.ground_tan = cast_ground(eyes, ray)};
    seen.canopy_tan = seen.ground_tan;
    cast_boxes(eyes, &ray, eyes->setting.rule.reach_m, &seen);
    return seen;
}

// --- the definition

static const double LEVEL_CELLS[SEL_SURFACE_LEVELS] = {80.0, 480.0, HUGE_VAL};
static const double CROSS_CELLS = 8.0;

// Raises the ray by the line of level cells crossed at a distance.
static void sample_line(const struct terrain_eyes *eyes, int number, const struct ray *ray,
    bool columns, int64_t line, struct terrain_ray *seen) {
    const struct sel_surface_level *level = &eyes->surface.levels[number];
    double side = (double)(1 << 2 * number), u = ray->x / side - 0.5, v = ray->y / side - 0.5;
    double metres =
        columns ? ((double)line - u) * side / ray->dx : ((double)line - v) * side / ray->dy;
    double along = columns ? v + ray->dy / side * metres : u + ray->dx / side * metres;
    // What is meant to be a centre is one.
    along = fabs(along - round(along)) < 1e-5 ? round(along) : along;
    int64_t one = (int64_t)floor(along), other = (int64_t)ceil(along);
    double share = along - floor(along);
    int64_t row1 = columns ? one : line, col1 = columns ? line : one;
    int64_t row2 = columns ? other : line, col2 = columns ? line : other;
    double g1 = ground(level, row1, col1), g2 = ground(level, row2, col2);
    if (isnan(g1) || isnan(g2)) {
        seen->complete = false;
        return;
    }
    seen->ground_tan =
        fmax(seen->ground_tan, tangent_of(g1 * (1 - share) + g2 * share, ray->eye_m, metres));
    if (number == 0)
        return;
    double t1 = top(level, row1, col1), t2 = top(level, row2, col2);
    double tangent = tangent_of(t1 * (1 - share) + t2 * share, ray->eye_m, metres);
    double w1 = t1 > g1 ? 1 - share : 0.0, w2 = t2 > g2 ? share : 0.0;
    if (tangent > seen->canopy_tan) {
        seen->canopy_tan = tangent;
        seen->cover =
            w1 + w2 > 0.0
                ? (w1 * cover(level, row1, col1) + w2 * cover(level, row2, col2)) / (w1 + w2)
                : 0.0;
    }
}

// All lines of one axis farther than `from_m` and no farther than `to_m`.
static void sample_lines(const struct terrain_eyes *eyes, int number, const struct ray *ray,
    bool columns, double from_m, double to_m, struct terrain_ray *seen) {
    double side = (double)(1 << 2 * number);
    double way = (columns ? ray->dx : ray->dy) / side;
    double place = (columns ? ray->x : ray->y) / side - 0.5;
    if (way == 0.0)
        return;
    int64_t step = way > 0.0 ? 1 : -1;
    for (int64_t line = (int64_t)(way > 0.0 ? floor(place) : ceil(place));; line += step) {
        double metres = ((double)line - place) / way;
        if (metres > to_m * (1.0 + A_HAIR))
            return;
        if (metres > from_m * (1.0 + A_HAIR) && metres > 0.0)
            sample_line(eyes, number, ray, columns, line, seen);
    }
}

struct terrain_ray terrain_sample(
    const struct terrain_eyes *eyes, int64_t hx, int64_t hy, int direction) {
    return terrain_sample_to(eyes, hx, hy, direction, LEVEL_CELLS);
}

struct terrain_ray terrain_sample_to(const struct terrain_eyes *eyes, int64_t hx, int64_t hy,
    int direction, const double level_cells[SEL_SURFACE_LEVELS]) {
    struct ray ray = ray_from(eyes, hx, hy, 5.0 * direction);
    double cell_m = fmin(eyes->setting.cell_x_m, eyes->setting.cell_y_m);
    double reach_m = eyes->setting.rule.reach_m, before_m = 0.0;
    bool columns = fabs(ray.dx) >= fabs(ray.dy) * (1.0 - A_HAIR);
    double line_m = 1.0 / fabs(columns ? ray.dx : ray.dy);
    struct terrain_ray seen = {.complete = true};
    for (int number = 0; number < SEL_SURFACE_LEVELS; number++) {
        double end_m = fmin(reach_m, level_cells[number] * cell_m);
        double begin_m = number ? before_m - 0.5 * line_m * (1 << 2 * number) : 0.0;
        if (end_m > before_m)
            sample_lines(eyes, number, &ray, columns, begin_m, end_m, &seen);
        before_m = end_m;
        if (number == 0) {
            bool complete = seen.complete;
            sample_lines(eyes, 0, &ray, !columns, 0.0, fmin(reach_m, CROSS_CELLS * cell_m), &seen);
            seen.complete = complete; // by main lines alone
            // The slab in which the last main line may lie still counts.
            double into = fmod(columns ? ray.x : ray.y, 1.0) == 0.0 ? 0.0 : 0.5;
            double slabs = floor(end_m / line_m * (1.0 + A_HAIR) + into) + 1.0 - into;
            cast_boxes(eyes, &ray, slabs * line_m - 1e-5, &seen);
        }
    }
    if (seen.canopy_tan <= seen.ground_tan) {
        seen.canopy_tan = seen.ground_tan;
        seen.cover = 0.0;
    }
    return seen;
}
