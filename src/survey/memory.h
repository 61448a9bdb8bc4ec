// SPDX-License-Identifier: MIT
//
// How much memory a run will need at most, and how small its windows must be to keep to an aim.
#ifndef SEL_SURVEY_MEMORY_H
#define SEL_SURVEY_MEMORY_H

#include "selvedge.h"
#include "survey/job.h"

// Light is measured within squares of so many cells a side, by powers of 2.
enum { SEL_LIGHT_LEAST = 256, SEL_LIGHT_MOST = 1024 };

// The largest memory of a run in `tile_count` tiles of such a side, MiB: an estimate.
double sel_memory_needed_mb(const struct sel_job *job, const sel_run_options *options,
    int64_t tile_cells, int64_t tile_count);

// The largest tiles, and the largest squares within which light is measured, that keep to the
// options' aim; the smallest there are where none does.
int64_t sel_memory_tile_cells(const struct sel_job *job, const sel_run_options *options);
int64_t sel_memory_light_cells(const struct sel_job *job, const sel_run_options *options);

#endif
