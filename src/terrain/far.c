// SPDX-License-Identifier: MIT
//
// A ray's walk over one coarse level, block by block of lines. That leaving out a block never
// changes a result rests on a margin: what is compared with a bound is set MARGIN_M in its favour,
// far above what rounding can do to an interpolated height, a tangent or a limit.
#include "terrain/far.h"

#include <math.h>

#include "terrain/lanes.h"

static const float MARGIN_M = 0.01f;
static const float DROP_PER_M = (float)SEL_DROP_PER_M;

// Lines still to be crossed.
struct run {
    int64_t main_stride, minor_stride; // elements from line to line, and along a line
    int64_t beside;                    // from the first to the second cell met on a line
    int64_t main, minor;               // index of the next line; place along it, 2^-32
    int64_t slope;                     // along the line, from one line to the next, 2^-32
    int64_t count;
    int sign;            // the way the lines' indices go
    float lines, line_m; // distance of the next line, in lines; metres per line
};

static struct run begin(const struct sel_far_start *start, const struct sel_ray *ray) {
    int64_t stride = start->field->stride, minor_stride = ray->along_x ? stride : 1;
    int64_t along_main = ray->along_x ? start->x : start->y;
    int64_t along_minor = ray->along_x ? start->y : start->x;
    int64_t place = ray->main.sign * along_main;
    int64_t first = ((place + ray->from[start->field->number]) >> 32) + 1;
    int64_t ahead = first * SEL_ONE_CELL - place; // a multiple of 2^27, the slope of 32
    int64_t slope = ray->main.slope, minor = along_minor + (ahead >> 27) * (slope >> 5);
    // A ray that meets every line at a centre must not look at the cells beside it.
    bool at_centres = slope % SEL_ONE_CELL == 0 && minor % SEL_ONE_CELL == 0;
    return (struct run){
        .main_stride = ray->along_x ? 1 : stride,
        .minor_stride = minor_stride,
        .beside = at_centres ? 0 : minor_stride,
        .main = ray->main.sign * first,
        .minor = minor,
        .slope = slope,
        .count = ((place + ray->to[start->field->number]) >> 32) - first + 1,
        .sign = ray->main.sign,
        .lines = (float)ahead * 0x1p-32f,
        .line_m = (float)ray->main.line_m * (float)(1 << 2 * start->field->number),
    };
}

static inline void pass(struct run *run, int64_t count) {
    run->main += run->sign * count;
    run->minor += run->slope * count;
    run->lines += (float)count;
    run->count -= count;
}

static inline int64_t first_cell(const struct run *run, int64_t lines_on) {
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
    const float *cell_a = heights + first_cell(run, 0), *cell_b = heights + first_cell(run, b);
    const float *cell_c = heights + first_cell(run, c), *cell_d = heights + first_cell(run, d);
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
    if (count > 0) { // the last line stands in for those that lack
        int64_t c = lesser(2, count - 1);
        highest = sel_lanes_greater(
            four_tangents(&run, heights, eye_m, lesser(1, count - 1), c, c), highest);
    }
    return sel_lanes_greatest(highest);
}

static bool meets_unknown(const struct run *run, int64_t count, const float *ground) {
    for (int64_t i = 0; i < count; i++) {
        const float *cell = ground + first_cell(run, i);
        if (isnan(cell[0]) || isnan(cell[run->beside]))
            return true;
    }
    return false;
}

static float canopy_weight(const struct sel_far_field *field, int64_t cell, float weight) {
    return field->canopy_top_m[cell] > field->ground_m[cell] ? weight : 0.0f;
}

// Closure of the canopy that stands at the run's next line.
static float cover_of(const struct run *run, const struct sel_far_field *field) {
    int64_t one = first_cell(run, 0), other = one + run->beside;
    float share = (float)share_of(run, 0) * 0x1p-24f;
    float of_one = canopy_weight(field, one, 1.0f - share);
    float of_other = canopy_weight(field, other, share);
    float sum = of_one * (float)field->cover[one] + of_other * (float)field->cover[other];
    return of_one + of_other > 0.0f ? sum / (255.0f * (of_one + of_other)) : 0.0f;
}

// Which line raised the tangent is looked for only when one did.
static void look_over_canopy(const struct sel_far_start *start, const struct run *run,
    int64_t count, struct sel_sight *sight) {
    const float *tops = start->field->canopy_top_m;
    float highest = cross_lines(run, count, tops, start->eye_m, sight->canopy_tan);
    if (!(highest > sight->canopy_tan))
        return;
    struct run line = *run;
    while (cross_lines(&line, 1, tops, start->eye_m, 0.0f) < highest)
        pass(&line, 1);
    sight->canopy_tan = highest;
    sight->cover = cover_of(&line, start->field);
}

// The height above the eye that is seen under a tangent at a distance.
static inline float rise_at(float tangent, float distance_m) {
    return distance_m * (tangent + DROP_PER_M * distance_m);
}

// What a ray still has to do on the level: some of its next blocks of lines, by bits.
struct task {
    struct run run;
    const struct sel_strip_bound *bounds; // of the run's next block
    int64_t first_lines;                  // in that block; the others have SEL_STRIP_LINES
    uint64_t ground, canopy;              // blocks that may rise above what was seen
    int best_ground, best_canopy;         // those that promise most
};

// Lines up to the end of the block.
static int64_t lines_in_block(const struct run *run) {
    int64_t inside = run->main & (SEL_STRIP_LINES - 1);
    return lesser(run->count, run->sign > 0 ? SEL_STRIP_LINES - inside : inside + 1);
}

static const struct sel_strip_bound *bounds_of(const struct sel_far_start *start, const struct run *run, int direction) {
    const struct sel_strip_frame *frame = &start->strips->frames[direction % SEL_STRIP_FRAMES];
    int64_t beginning = run->minor - (run->main - frame->origin) * frame->slope;
    int64_t strip = (beginning >> 32) - frame->first;
    return frame->bounds + strip * frame->blocks + (run->main >> SEL_STRIP_BITS);
}

static void plan_task(const struct sel_far_start *start, const struct sel_sight *sight, struct task *task) {
    const struct sel_strip_bound *bound = task->bounds;
    const struct run *run = &task->run;
    int64_t count = lines_in_block(run), lines_left = run->count;
    float lines = run->lines, line_m = run->line_m, margin_m = MARGIN_M - start->eye_m;
    float most_ground_m = 0.0f, most_canopy_m = 0.0f;
    uint64_t ground = 0, canopy = 0;
    int best_ground = 0, best_canopy = 0;
    task->first_lines = count;
    for (int block = 0; lines_left > 0 && block < 64; block++) {
        float distance_m = lines * line_m, drop = DROP_PER_M * distance_m;
        float ground_m = bound->ground_m + margin_m - distance_m * (sight->ground_tan + drop);
        float canopy_m = bound->canopy_top_m + margin_m - distance_m * (sight->canopy_tan + drop);
        ground |= (uint64_t)(ground_m > 0.0f) << block;
        canopy |= (uint64_t)(canopy_m > 0.0f) << block;
        best_ground = ground_m > most_ground_m ? block : best_ground;
        most_ground_m = ground_m > most_ground_m ? ground_m : most_ground_m;
        best_canopy = canopy_m > most_canopy_m ? block : best_canopy;
        most_canopy_m = canopy_m > most_canopy_m ? canopy_m : most_canopy_m;
        bound += run->sign;
        lines += (float)count;
        lines_left -= count;
        count = SEL_STRIP_LINES;
    }
    task->ground = ground;
    task->canopy = canopy;
    task->best_ground = best_ground;
    task->best_canopy = best_canopy;
}

static struct run block_of(const struct task *task, int block) {
    struct run run = task->run;
    if (block > 0)
        pass(&run, task->first_lines + (block - 1) * SEL_STRIP_LINES);
    run.count = lesser(run.count, block > 0 ? SEL_STRIP_LINES : task->first_lines);
    return run;
}

static void do_ground(const struct sel_far_start *start, struct task *task, int block, struct sel_sight *sight) {
    struct run run = block_of(task, block);
    float rise_m = task->bounds[block * run.sign].ground_m + MARGIN_M - start->eye_m;
    task->ground &= ~((uint64_t)1 << block);
    if (rise_m > rise_at(sight->ground_tan, run.lines * run.line_m))
        sel_sight_raise_ground(sight, cross_lines(&run, run.count, start->field->ground_m, start->eye_m, sight->ground_tan));
}

static void do_canopy(const struct sel_far_start *start, struct task *task, int block, struct sel_sight *sight) {
    struct run run = block_of(task, block);
    float rise_m = task->bounds[block * run.sign].canopy_top_m + MARGIN_M - start->eye_m;
    task->canopy &= ~((uint64_t)1 << block);
    if (rise_m > rise_at(sight->canopy_tan, run.lines * run.line_m))
        look_over_canopy(start, &run, run.count, sight);
}

void sel_far_look(const struct sel_far_start *start, const struct sel_ray *rays, struct sel_sight *sights) {
    struct task tasks[SEL_HORIZON_DIRECTIONS];
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
        tasks[i].run = begin(start, &rays[i]);
        tasks[i].bounds = bounds_of(start, &tasks[i].run, i);
        plan_task(start, &sights[i], &tasks[i]);
    }
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        if (tasks[i].ground)
            do_ground(start, &tasks[i], tasks[i].best_ground, &sights[i]);
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        while (tasks[i].ground)
            do_ground(start, &tasks[i], __builtin_ctzll(tasks[i].ground), &sights[i]);
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        if (tasks[i].canopy)
            do_canopy(start, &tasks[i], tasks[i].best_canopy, &sights[i]);
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        while (tasks[i].canopy)
            do_canopy(start, &tasks[i], __builtin_ctzll(tasks[i].canopy), &sights[i]);
}
