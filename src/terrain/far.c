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
    return (struct run){
        .main_stride = ray->along_x ? 1 : cols,
        .minor_stride = ray->along_x ? cols : 1,
        .main = ray->main.sign * first,
        .minor = along_minor + (ahead >> 27) * (ray->main.slope >> 5),
        .slope = ray->main.slope,
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

struct meeting {
    int64_t before, after; // cells from the line's first
    int32_t share;         // of the second, 2^-24
};

static inline struct meeting meet(int64_t minor, int64_t stride) {
    return (struct meeting){(minor >> 32) * stride, ((minor + SEL_ONE_CELL - 1) >> 32) * stride,
        (int32_t)((uint32_t)minor >> 8)};
}

static inline float height_at(const float *line, struct meeting at) {
    float share = (float)at.share * 0x1p-24f;
    return line[at.before] * (1.0f - share) + line[at.after] * share;
}

// The tangent under which the run's line is seen, `line` being its first cell.
static inline float tangent_at(const struct run *run, const float *line, float eye_m) {
    float distance_m = run->lines * run->line_m;
    float rise_m = height_at(line, meet(run->minor, run->minor_stride)) - eye_m;
    return rise_m / distance_m - DROP_PER_M * distance_m;
}

// The highest tangent of the run's next `count` lines, but not under `least`.
static float cross_lines(
    const struct run *run, int64_t count, const float *heights, float eye_m, float least) {
    const float *line = heights + run->main * run->main_stride;
    int64_t step = run->sign * run->main_stride, stride = run->minor_stride, slope = run->slope;
    int64_t minor = run->minor;
    sel_lanes lines = {run->lines, run->lines + 1.0f, run->lines + 2.0f, run->lines + 3.0f};
    sel_lanes highest = sel_lanes_of(least);
    int64_t i = 0;
    for (; i + SEL_LANES <= count; i += SEL_LANES) {
        struct meeting a = meet(minor, stride), b = meet(minor + slope, stride);
        struct meeting c = meet(minor + 2 * slope, stride), d = meet(minor + 3 * slope, stride);
        const float *line_b = line + step, *line_c = line_b + step, *line_d = line_c + step;
        sel_lanes before = {line[a.before], line_b[b.before], line_c[c.before], line_d[d.before]};
        sel_lanes after = {line[a.after], line_b[b.after], line_c[c.after], line_d[d.after]};
        sel_lane_integers s={a.share,b.share,c.share,d.share};
        sel_lanes share = __builtin_convertvector(s, sel_lanes) * 0x1p-24f;
        sel_lanes distance_m = lines * run->line_m;
        sel_lanes tangent = (before * (1.0f - share) + after * share - eye_m) / distance_m -
                            DROP_PER_M * distance_m;
        highest = sel_lanes_greater(tangent, highest);
        line = line_d + step;
        minor += SEL_LANES * slope;
        lines += (float)SEL_LANES;
    }
    float most = sel_lanes_greatest(highest);
    struct run rest = *run;
    pass(&rest, i);
    for (; i < count; i++) {
        float tangent = tangent_at(&rest, heights + rest.main * rest.main_stride, eye_m);
        most = tangent > most ? tangent : most;
        pass(&rest, 1);
    }
    return most;
}

static bool meets_unknown(const struct run *run, int64_t count, const float *ground) {
    for (int64_t i = 0; i < count; i++) {
        const float *line = ground + (run->main + i * run->sign) * run->main_stride;
        if (isnan(height_at(line, meet(run->minor + i * run->slope, run->minor_stride))))
            return true;
    }
    return false;
}

static float canopy_weight(const struct sel_surface_level *level, int64_t cell, float weight) {
    return level->canopy_top_m[cell] > level->ground_m[cell] ? weight : 0.0f;
}

// Closure of the canopy that stands at the run's next line.
static float cover_of(const struct run *run, const struct sel_surface_level *level) {
    struct meeting at = meet(run->minor, run->minor_stride);
    int64_t line = run->main * run->main_stride;
    float before = canopy_weight(level, line + at.before, 1.0f - (float)at.share * 0x1p-24f);
    float after = canopy_weight(level, line + at.after, (float)at.share * 0x1p-24f);
    float sum = before * (float)level->cover[line + at.before] +
                after * (float)level->cover[line + at.after];
    return before + after > 0.0f ? sum / (255.0f * (before + after)) : 0.0f;
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
    float margin_m = MARGIN_M - start->eye_m;
    while (run.count > 0) {
        int64_t count = lines_in_block(&run);
        float nearest_m = run.lines * run.line_m;
        float limit_m = rise_at(sight->ground_tan, nearest_m);
        const struct sel_surface_bound *row = blocks.bounds + (run.main >> BLOCK_BITS) * blocks.main_stride;
        int64_t last = run.minor + run.slope * (count - 1);
        const struct sel_surface_bound *one = row + (run.minor >> (32 + BLOCK_BITS)) * blocks.minor_stride;
        const struct sel_surface_bound *other = row + (last >> (32 + BLOCK_BITS)) * blocks.minor_stride;
        float top_m = greater(one->canopy_top_m, other->canopy_top_m) + margin_m;
        if ((one->unknown | other->unknown) && !sight->incomplete)
            sight->incomplete = meets_unknown(&run, count, level->ground_m);
        if (top_m > limit_m)
            look_over_lines(start, &run, count, greater(one->ground_m, other->ground_m) + margin_m, top_m, limit_m, nearest_m, sight);
        pass(&run, count);
    }
}
