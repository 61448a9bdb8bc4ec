// SPDX-License-Identifier: MIT
//
// The look over one coarse level, block by block of lines. Blocks whose bound cannot rise above
// what was seen are left out. That this never changes a result rests on a margin: what is compared
// with a bound is set MARGIN_M in the block's favour, far above what rounding can do to an
// interpolated height, a tangent or a limit. Each step is done for all directions before the next:
// what one ray must wait for, the others fill.
#include "terrain/far.h"

#include "terrain/far_run.h"
#include "terrain/lanes.h"

static const float MARGIN_M = 0.01f;
enum { BLOCKS_AT_ONCE = 64 };

// What a ray still has to do on the level.
struct task {
    struct sel_far_run run;
    // Bounds of the run's next block; those of the others follow, or precede by the run's sign.
    const float *ground_m, *canopy_top_m;
    int64_t first_lines;     // of the next block; the others have SEL_STRIP_LINES
    uint64_t ground, canopy; // blocks that may rise above what was seen, by bits
};

static int64_t lesser(int64_t a, int64_t b) {
    return a < b ? a : b;
}

static int64_t lines_in_block(const struct sel_far_run *run) {
    int64_t inside = run->main & (SEL_STRIP_LINES - 1);
    return lesser(run->count, run->sign > 0 ? SEL_STRIP_LINES - inside : inside + 1);
}

// The element of the bound of the run's next block.
static int64_t bound_at(const struct sel_strip_frame *frame, const struct sel_far_run *run) {
    int64_t beginning = run->minor - (run->main - frame->origin) * frame->slope;
    int64_t strip = (beginning >> 32) - frame->first;
    return SEL_STRIP_SLACK + strip * frame->blocks + (run->main >> SEL_STRIP_BITS);
}

static struct task task_begin(
    const struct sel_far_start *start, const struct sel_ray *ray, int direction) {
    const struct sel_strip_frame *frame = &start->strips->frames[direction % SEL_STRIP_FRAMES];
    struct task task = {.run = sel_far_run_begin(start, ray)};
    if (task.run.count > 0) {
        int64_t at = bound_at(frame, &task.run);
        task.ground_m = frame->ground_m + at;
        task.canopy_top_m = frame->canopy_top_m + at;
    }
    return task;
}

static inline uint64_t bits_of(sel_lane_integers chosen, sel_lane_integers weights) {
    sel_lane_integers bits = chosen & weights;
    return (uint64_t)(bits[0] | bits[1] | bits[2] | bits[3]);
}

// Four blocks as they lie in memory, which is backward for a ray against the lines' indices.
static inline sel_lanes four_distances(float lines, float line_m, bool forward) {
    sel_lanes on =
        forward ? (sel_lanes){0.0f, 1.0f, 2.0f, 3.0f} : (sel_lanes){3.0f, 2.0f, 1.0f, 0.0f};
    return (on * (float)SEL_STRIP_LINES + lines) * line_m;
}

// Finds the blocks, of at most BLOCKS_AT_ONCE, whose bounds rise above what was seen.
static void choose_blocks(
    const struct sel_far_start *start, const struct sel_sight *sight, struct task *task) {
    const struct sel_far_run *run = &task->run;
    bool forward = run->sign > 0;
    sel_lane_integers weights =
        forward ? (sel_lane_integers){1, 2, 4, 8} : (sel_lane_integers){8, 4, 2, 1};
    int64_t offset = forward ? 0 : 1 - SEL_LANES, whole = SEL_STRIP_LINES;
    task->first_lines = lines_in_block(run);
    int64_t blocks =
        lesser(1 + (run->count - task->first_lines + whole - 1) / whole, BLOCKS_AT_ONCE);
    // The first block may be cut; taken as whole it begins no farther off than its first line.
    float lines = run->lines + (float)(task->first_lines - whole);
    float margin_m = MARGIN_M - start->eye_m;
    for (int64_t block = 0; block < blocks; block += SEL_LANES) {
        int64_t at = block * run->sign + offset;
        sel_lanes distance_m = four_distances(lines, run->line_m, forward);
        sel_lanes drop = SEL_FAR_DROP_PER_M * distance_m;
        task->ground |= bits_of(sel_lanes_load(task->ground_m + at) + margin_m >
                                    distance_m * (sight->ground_tan + drop),
                            weights)
                        << block;
        task->canopy |= bits_of(sel_lanes_load(task->canopy_top_m + at) + margin_m >
                                    distance_m * (sight->canopy_tan + drop),
                            weights)
                        << block;
        lines += (float)(SEL_LANES * SEL_STRIP_LINES);
    }
    uint64_t real = ~(uint64_t)0 >> (BLOCKS_AT_ONCE - blocks);
    task->ground &= real;
    task->canopy &= real;
}

static struct sel_far_run block_of(const struct task *task, int block) {
    struct sel_far_run run = task->run;
    if (block > 0)
        sel_far_run_pass(&run, task->first_lines + (block - 1) * SEL_STRIP_LINES);
    run.count = lesser(run.count, block > 0 ? SEL_STRIP_LINES : task->first_lines);
    return run;
}

static bool may_rise_above(
    const struct sel_far_run *run, float bound_m, float eye_m, float tangent) {
    float distance_m = run->lines * run->line_m;
    return bound_m + MARGIN_M - eye_m > distance_m * (tangent + SEL_FAR_DROP_PER_M * distance_m);
}

// The nearest chosen block; what was seen since it was chosen may have settled it.
static void look_over_ground(
    const struct sel_far_start *start, struct task *task, struct sel_sight *sight) {
    int block = __builtin_ctzll(task->ground);
    struct sel_far_run run = block_of(task, block);
    task->ground &= task->ground - 1;
    if (may_rise_above(&run, task->ground_m[block * run.sign], start->eye_m, sight->ground_tan))
        sel_sight_raise_ground(sight,
            sel_far_run_tangent(&run, start->field->ground_m, start->eye_m, sight->ground_tan));
}

static void look_over_canopy(
    const struct sel_far_start *start, struct task *task, struct sel_sight *sight) {
    int block = __builtin_ctzll(task->canopy);
    struct sel_far_run run = block_of(task, block);
    task->canopy &= task->canopy - 1;
    if (!may_rise_above(
            &run, task->canopy_top_m[block * run.sign], start->eye_m, sight->canopy_tan))
        return;
    float tangent =
        sel_far_run_tangent(&run, start->field->canopy_top_m, start->eye_m, sight->canopy_tan);
    if (tangent > sight->canopy_tan) {
        sight->canopy_tan = tangent;
        sight->cover = sel_far_run_cover(&run, start->field, start->eye_m, tangent);
    }
}

// The first block of every ray, then the rest: so neighbours in time seldom wait for each other.
static void do_tasks(const struct sel_far_start *start, struct task tasks[SEL_HORIZON_DIRECTIONS],
    struct sel_sight sights[SEL_HORIZON_DIRECTIONS]) {
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        if (tasks[i].ground)
            look_over_ground(start, &tasks[i], &sights[i]);
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        while (tasks[i].ground)
            look_over_ground(start, &tasks[i], &sights[i]);
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        if (tasks[i].canopy)
            look_over_canopy(start, &tasks[i], &sights[i]);
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        while (tasks[i].canopy)
            look_over_canopy(start, &tasks[i], &sights[i]);
}

// Goes on to the blocks after the last BLOCKS_AT_ONCE, if there are any.
static bool go_on(struct task *task) {
    int64_t done = task->first_lines + (BLOCKS_AT_ONCE - 1) * SEL_STRIP_LINES;
    if (task->run.count <= done)
        return false;
    sel_far_run_pass(&task->run, done);
    task->ground_m += BLOCKS_AT_ONCE * task->run.sign;
    task->canopy_top_m += BLOCKS_AT_ONCE * task->run.sign;
    return true;
}

void sel_far_look(const struct sel_far_start *start,
    const struct sel_ray rays[SEL_HORIZON_DIRECTIONS],
    struct sel_sight sights[SEL_HORIZON_DIRECTIONS]) {
    struct task tasks[SEL_HORIZON_DIRECTIONS];
    bool left[SEL_HORIZON_DIRECTIONS], more = false;
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
        tasks[i] = task_begin(start, &rays[i], i);
        left[i] = tasks[i].run.count > 0;
        more |= left[i];
    }
    while (more) {
        more = false;
        for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
            if (left[i])
                choose_blocks(start, &sights[i], &tasks[i]);
        do_tasks(start, tasks, sights);
        for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
            left[i] = left[i] && go_on(&tasks[i]);
            more |= left[i];
        }
    }
}

static bool ray_meets_unknown(
    const struct sel_far_start *start, const struct sel_ray *ray, int direction) {
    const struct sel_strip_frame *frame = &start->strips->frames[direction % SEL_STRIP_FRAMES];
    struct sel_far_run run = sel_far_run_begin(start, ray);
    if (run.count <= 0)
        return false;
    const uint8_t *unknown = frame->unknown + bound_at(frame, &run);
    for (; run.count > 0; unknown += run.sign) {
        struct sel_far_run block = run;
        block.count = lines_in_block(&run);
        if (*unknown && sel_far_run_unknown(&block, start->field->ground_m))
            return true;
        sel_far_run_pass(&run, block.count);
    }
    return false;
}

bool sel_far_meets_unknown(
    const struct sel_far_start *start, const struct sel_ray rays[SEL_HORIZON_DIRECTIONS]) {
    if (!start->strips->any_unknown)
        return false;
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        if (ray_meets_unknown(start, &rays[i], i))
            return true;
    return false;
}
