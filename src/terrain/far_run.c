// SPDX-License-Identifier: MIT
//
// Crossing the lines of a coarse level, four at a time. The two weights of a line are applied so
// that a mirrored scene gives the same to the last bit.
#include "terrain/far_run.h"

#include <math.h>

#include "terrain/lanes.h"

struct sel_far_run sel_far_run_begin(const struct sel_far_start *start, const struct sel_ray *ray) {
    int number = start->field->number;
    int64_t stride = start->field->stride, minor_stride = ray->along_x ? stride : 1;
    int64_t along_main = ray->along_x ? start->x : start->y;
    int64_t along_minor = ray->along_x ? start->y : start->x;
    int64_t place = ray->main.sign * along_main;
    int64_t first = ((place + ray->from[number]) >> 32) + 1;
    int64_t ahead = first * SEL_ONE_CELL - place; // a multiple of 2^27, the slope of 32
    int64_t slope = ray->main.slope, minor = along_minor + (ahead >> 27) * (slope >> 5);
    // A ray that meets every line at a centre must not look at the cells beside it.
    bool at_centres = slope % SEL_ONE_CELL == 0 && minor % SEL_ONE_CELL == 0;
    return (struct sel_far_run){
        .main_stride = ray->along_x ? 1 : stride,
        .minor_stride = minor_stride,
        .beside = at_centres ? 0 : minor_stride,
        .main = ray->main.sign * first,
        .minor = minor,
        .slope = slope,
        .count = ((place + ray->to[number]) >> 32) - first + 1,
        .sign = ray->main.sign,
        .lines = (float)ahead * 0x1p-32f,
        .line_m = (float)ray->main.line_m * (float)(1 << 2 * number),
    };
}

// The first of the two cells met some lines on.
static inline int64_t first_cell(const struct sel_far_run *run, int64_t lines_on) {
    return (run->main + lines_on * run->sign) * run->main_stride +
           ((run->minor + lines_on * run->slope) >> 32) * run->minor_stride;
}

// The share of the second, in 2^-24.
static inline int32_t second_share(const struct sel_far_run *run, int64_t lines_on) {
    return (int32_t)((uint32_t)(run->minor + lines_on * run->slope) >> 8);
}

// Tangents of four of the run's lines: the next, and those b, c and d lines on.
static inline sel_lanes four_tangents(const struct sel_far_run *run, const float *heights_m,
    float eye_m, int64_t b, int64_t c, int64_t d) {
    const float *cell_a = heights_m + first_cell(run, 0), *cell_b = heights_m + first_cell(run, b);
    const float *cell_c = heights_m + first_cell(run, c), *cell_d = heights_m + first_cell(run, d);
    sel_lanes one = {cell_a[0], cell_b[0], cell_c[0], cell_d[0]};
    sel_lanes other = {
        cell_a[run->beside], cell_b[run->beside], cell_c[run->beside], cell_d[run->beside]};
    sel_lane_integers parts = {
        second_share(run, 0), second_share(run, b), second_share(run, c), second_share(run, d)};
    sel_lanes share = __builtin_convertvector(parts, sel_lanes) * 0x1p-24f;
    sel_lanes rise_m = one * (1.0f - share) + other * share - eye_m;
    sel_lanes lines = (sel_lanes){0.0f, (float)b, (float)c, (float)d} + run->lines;
    sel_lanes distance_m = lines * run->line_m;
    return rise_m / distance_m - SEL_FAR_DROP_PER_M * distance_m;
}

static inline int64_t lesser(int64_t a, int64_t b) {
    return a < b ? a : b;
}

float sel_far_run_tangent(
    const struct sel_far_run *all, const float *heights_m, float eye_m, float least) {
    struct sel_far_run run = *all;
    sel_lanes highest = sel_lanes_of(least);
    while (run.count >= SEL_LANES) {
        highest = sel_lanes_greater(four_tangents(&run, heights_m, eye_m, 1, 2, 3), highest);
        sel_far_run_pass(&run, SEL_LANES);
    }
    if (run.count > 0) { // the last line stands in for those that lack
        int64_t b = lesser(1, run.count - 1), c = lesser(2, run.count - 1);
        highest = sel_lanes_greater(four_tangents(&run, heights_m, eye_m, b, c, c), highest);
    }
    return sel_lanes_greatest(highest);
}

static float canopy_weight(const struct sel_far_field *field, int64_t cell, float weight) {
    return field->canopy_top_m[cell] > field->ground_m[cell] ? weight : 0.0f;
}

float sel_far_run_cover(
    const struct sel_far_run *all, const struct sel_far_field *field, float eye_m, float tangent) {
    struct sel_far_run run = *all;
    while (
        run.count > 1 && !(four_tangents(&run, field->canopy_top_m, eye_m, 0, 0, 0)[0] >= tangent))
        sel_far_run_pass(&run, 1);
    int64_t one = first_cell(&run, 0), other = one + run.beside;
    float share = (float)second_share(&run, 0) * 0x1p-24f;
    float of_one = canopy_weight(field, one, 1.0f - share);
    float of_other = canopy_weight(field, other, share);
    float sum = of_one * (float)field->cover[one] + of_other * (float)field->cover[other];
    return of_one + of_other > 0.0f ? sum / (255.0f * (of_one + of_other)) : 0.0f;
}

bool sel_far_run_unknown(const struct sel_far_run *run, const float *ground_m) {
    for (int64_t i = 0; i < run->count; i++) {
        const float *cell = ground_m + first_cell(run, i);
        if (isnan(cell[0]) || isnan(cell[run->beside]))
            return true;
    }
    return false;
}
