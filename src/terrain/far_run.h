// SPDX-License-Identifier: MIT
//
// A run of lines that a ray crosses on a coarse level. Internal to the far field.
#ifndef SEL_TERRAIN_FAR_RUN_H
#define SEL_TERRAIN_FAR_RUN_H

#include "terrain/far.h"

static const float SEL_FAR_DROP_PER_M = (float)SEL_DROP_PER_M;

struct sel_far_run {
    int64_t main_stride, minor_stride; // elements from line to line, and along a line
    int64_t beside;                    // from the first to the second cell met on a line
    int64_t main, minor;               // index of the next line; place along it, 2^-32
    int64_t slope;                     // along the line, from one line to the next, 2^-32
    int64_t count;                     // lines left
    int sign;                          // the way the lines' indices go
    float lines, line_m;               // distance of the next line, in lines; metres per line
};

// All of a ray's lines on the level.
struct sel_far_run sel_far_run_begin(const struct sel_far_start *start, const struct sel_ray *ray);

static inline void sel_far_run_pass(struct sel_far_run *run, int64_t count) {
    run->main += run->sign * count;
    run->minor += run->slope * count;
    run->lines += (float)count;
    run->count -= count;
}

// The highest tangent of the run's lines, but not under `least`.
float sel_far_run_tangent(
    const struct sel_far_run *all, const float *heights_m, float eye_m, float least);

// Closure of the canopy on the first of the run's lines that is seen under a tangent, which is the
// highest of them all.
float sel_far_run_cover(
    const struct sel_far_run *all, const struct sel_far_field *field, float eye_m, float tangent);

// Whether the ground is unknown where the run crosses its lines.
bool sel_far_run_unknown(const struct sel_far_run *all, const float *ground_m);

#endif
