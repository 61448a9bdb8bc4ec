// SPDX-License-Identifier: MIT
//
// A ray's walk over one coarse level. That leaving out a block never changes a result rests on a
// margin: a bound is raised by SEL_FAR_MARGIN_M, far above what rounding can do to an interpolated
// height, a tangent or a limit.
#include "terrain/far.h"

#include <math.h>

#include "terrain/lanes.h"

static const float MARGIN_M = 0.01f;
static const float DROP_PER_M = (float)((1.0 - 1.0 / 7.0) / (2.0 * 6371000.0));
enum { BLOCK_BITS = 4 };
_Static_assert(1 << BLOCK_BITS == SEL_SURFACE_BLOCK, "blocks are found by shifting");

// Lines still to be crossed.
struct run {
    int64_t main_stride, minor_stride; // cells from line to line, and along a line
    int64_t beside;                    // from the first to the second cell met on a line
    int64_t main, minor;               // index of the next line; place along it, 2^-32
    int64_t slope;                     // along the line, from one line to the next, 2^-32
    int64_t count;
    int sign;            // the way the lines' indices go
    float lines, line_m; // distance of the next line, in lines; metres per line
};

static struct run begin(const struct sel_far_start *start, const struct sel_ray *ray) {
    int64_t cols = start->level->window.cols, from = ray->from[start->number];
    int64_t along_main = ray->along_x ? start->x : start->y;
    int64_t along_minor = ray->along_x ? start->y : start->x;
    int64_t place = ray->main.sign * along_main;
    int64_t first = ((place + from) >> 32) + 1;
    int64_t ahead = first * SEL_ONE_CELL - place; // a multiple of 2^27, the slope of 32
    int64_t slope = ray->main.slope, minor = along_minor + (ahead >> 27) * (slope >> 5);
    int64_t minor_stride = ray->along_x ? cols : 1;
    // A ray that meets every line at a centre must not look at the cells beside it.
    bool at_centres = slope % SEL_ONE_CELL == 0 && minor % SEL_ONE_CELL == 0;
    return (struct run){
        .main_stride = ray->along_x ? 1 : cols,
        .minor_stride = minor_stride,
        .beside = at_centres ? 0 : minor_stride,
        .main = ray->main.sign * first,
        .minor = minor,
        .slope = slope,
        .count = ((place + ray->to[start->number]) >> 32) - first + 1,
        .sign = ray->main.sign,
        .lines = (float)ahead * 0x1p-32f,
        .line_m = (float)ray->main.line_m * (float)(1 << 2 * start->number),
    };
}

static inline void pass(struct run *run, int64_t count) {
    run->main += run->sign * count;
    run->minor += run->slope * count;
    run->lines += (float)count;
    run->count -= count;
}

// Lines up to the end of the block.
static inline int64_t lines_in_block(const struct run *run) {
    int64_t inside = run->main & (SEL_SURFACE_BLOCK - 1);
    int64_t left = run->sign > 0 ? SEL_SURFACE_BLOCK - inside : inside + 1;
    return left < run->count ? left : run->count;
}

static inline int64_t cell_before(const struct run *run, int64_t lines_on) {
    return (run->main + lines_on * run->sign) * run->main_stride +
           ((run->minor + lines_on * run->slope) >> 32) * run->minor_stride;
}

// The share of the second cell, in 2^-24.
static inline int32_t share_of(const struct run *run, int64_t lines_on) {
    return (int32_t)((uint32_t)(run->minor + lines_on * run->slope) >> 8);
}

// Tangents of four of the run's lines, 0, b, c and d lines on.
static inline sel_lanes four_tangents(const struct run *run, const float *heights, float eye_m,
    int64_t b, int64_t c, int64_t d) {
    const float *cell_a = heights + cell_before(run, 0), *cell_b = heights + cell_before(run, b);
    const float *cell_c = heights + cell_before(run, c), *cell_d = heights + cell_before(run, d);
    sel_lanes before = {cell_a[0], cell_b[0], cell_c[0], cell_d[0]};
    sel_lanes after = {
        cell_a[run->beside], cell_b[run->beside], cell_c[run->beside], cell_d[run->beside]};
    sel_lane_integers parts = {
        share_of(run, 0), share_of(run, b), share_of(run, c), share_of(run, d)};
    sel_lanes share = __builtin_convertvector(parts, sel_lanes) * 0x1p-24f;
    sel_lanes rise_m = before * (1.0f - share) + after * share - eye_m;
    sel_lanes lines = (sel_lanes){0.0f, (float)b, (float)c, (float)d} + run->lines;
    sel_lanes distance_m = lines * run->line_m;
    return rise_m / distance_m - DROP_PER_M * distance_m;
}

static inline int64_t lesser(int64_t a, int64_t b) {
    return a < b ? a : b;
}

// The highest tangent of the run's next `count` lines, but not under `least`.
static float cross_lines(
    const struct run *start, int64_t count, const float *heights, float eye_m, float least) {
    struct run run = *start;
    sel_lanes highest = sel_lanes_of(least);
    for (; count >= SEL_LANES; count -= SEL_LANES) {
        highest = sel_lanes_greater(four_tangents(&run, heights, eye_m, 1, 2, 3), highest);
        pass(&run, SEL_LANES);
    }
    if (count > 0) {
        int64_t last = count - 1; // stands in for the lines that lack
        highest = sel_lanes_greater(four_tangents(&run, heights, eye_m, lesser(1, last),
                                        lesser(2, last), last),
            highest);
    }
    return sel_lanes_greatest(highest);
}

static bool meets_unknown(const struct run *run, int64_t count, const float *ground) {
    for (int64_t i = 0; i < count; i++) {
        const float *cell = ground + cell_before(run, i);
        if (isnan(cell[0]) || isnan(cell[run->beside]))
            return true;
    }
    return false;
}

static float canopy_weight(const struct sel_surface_level *level, int64_t cell, float weight) {
    return level->canopy_top_m[cell] > level->ground_m[cell] ? weight : 0.0f;
}

// Closure of the canopy that stands at the run's next line.
static float cover_of(const struct run *run, const struct sel_surface_level *level) {
    int64_t one = cell_before(run, 0), other = one + run->beside;
    float share = (float)share_of(run, 0) * 0x1p-24f;
    float of_one = canopy_weight(level, one, 1.0f - share);
    float of_other = canopy_weight(level, other, share);
    float sum = of_one * (float)level->cover[one] + of_other * (float)level->cover[other];
    return of_one + of_other > 0.0f ? sum / (255.0f * (of_one + of_other)) : 0.0f;
}

// The blocks of a level as a ray meets them.
struct blocks {
    const struct sel_surface_bound *bounds;
    int64_t main_stride, minor_stride;
};

static struct blocks blocks_of(const struct sel_surface_level *level, bool along_x) {
    int64_t across = (level->window.cols + SEL_SURFACE_BLOCK - 1) >> BLOCK_BITS;
    return (struct blocks){level->bounds, along_x ? 1 : across, along_x ? across : 1};
}

// Which line raised the tangent is looked for only when one did.
static void look_over_canopy(const struct sel_far_start *start, const struct run *run,
    int64_t count, struct sel_sight *sight) {
    const float *tops = start->level->canopy_top_m;
    float highest = cross_lines(run, count, tops, start->eye_m, sight->canopy_tan);
    if (!(highest > sight->canopy_tan))
        return;
    struct run line = *run;
    while (cross_lines(&line, 1, tops, start->eye_m, 0.0f) < highest)
        pass(&line, 1);
    sight->canopy_tan = highest;
    sight->cover = cover_of(&line, start->level);
}

// The height above the eye that is seen under a tangent at a distance.
static inline float rise_at(float tangent, float distance_m) {
    return distance_m * (tangent + DROP_PER_M * distance_m);
}

static void look_over_lines(const struct sel_far_start *start, const struct run *run, int64_t count,
    float ground_m, float top_m, float ground_limit_m, float nearest_m, struct sel_sight *sight) {
    if (ground_m > ground_limit_m)
        sel_sight_raise_ground(sight,
            cross_lines(run, count, start->level->ground_m, start->eye_m, sight->ground_tan));
    if (top_m > rise_at(sight->canopy_tan, nearest_m))
        look_over_canopy(start, run, count, sight);
}

static inline float greater(float a, float b) {
    return a > b ? a : b;
}

void sel_far_look(
    const struct sel_far_start *start, const struct sel_ray *ray, struct sel_sight *sight) {
    const struct sel_surface_level *level = start->level;
    struct run run = begin(start, ray);
    struct blocks blocks = blocks_of(level, ray->along_x);
    const struct sel_surface_bound *row = blocks.bounds + (run.main >> BLOCK_BITS) * blocks.main_stride;
    int64_t row_step = run.sign * blocks.main_stride;
    float margin_m = MARGIN_M - start->eye_m;
    int64_t inside = run.main & (SEL_SURFACE_BLOCK - 1);
    int64_t count = run.sign > 0 ? SEL_SURFACE_BLOCK - inside : inside + 1;
    while (run.count > 0) {
        count = lesser(count, run.count);
        float nearest_m = run.lines * run.line_m;
        float limit_m = rise_at(sight->ground_tan, nearest_m);
        int64_t last = run.minor + run.slope * (count - 1);
        const struct sel_surface_bound *one = row + (run.minor >> (32 + BLOCK_BITS)) * blocks.minor_stride;
        const struct sel_surface_bound *other = row + (last >> (32 + BLOCK_BITS)) * blocks.minor_stride;
        float top_m = greater(one->canopy_top_m, other->canopy_top_m) + margin_m;
        if ((one->unknown | other->unknown) && !sight->incomplete)
            sight->incomplete = meets_unknown(&run, count, level->ground_m);
        if (top_m > limit_m)
            look_over_lines(start, &run, count, greater(one->ground_m, other->ground_m) + margin_m, top_m, limit_m, nearest_m, sight);
        pass(&run, count);
        row += row_step;
        count = SEL_SURFACE_BLOCK;
    }
}
