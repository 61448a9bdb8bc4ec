// SPDX-License-Identifier: MIT
//
// Walking times of candidates, and the walks to chosen sites; docs/method-walking.md.
//
// Candidates are walked to after the tiles are measured, in windows of the walking grid as large as
// memory allows, each with the halo that a walk within the limit needs. A candidate's time is the
// same to the last bit whatever the windows, the threads and the parts.
#ifndef SEL_SURVEY_WALK_H
#define SEL_SURVEY_WALK_H

#include "survey/measure.h"

// How the candidates' ground is cut into windows.
struct sel_walk_cut {
    struct sel_window chunks; // that hold candidates, in chunks of the walking grid
    int64_t rows, cols;       // windows
};

// With options->tile_cells given, windows have cores of about that many study cells.
struct sel_walk_cut sel_walk_cut_of(
    const struct sel_job *job, struct sel_window chunks, const sel_run_options *options);

// A window's core and the whole of it, in walking cells.
struct sel_window sel_walk_core(
    const struct sel_job *job, const struct sel_walk_cut *cut, int64_t window);
struct sel_window sel_walk_window(
    const struct sel_job *job, const struct sel_walk_cut *cut, int64_t window);

// Sets the access measure of the candidates to their walking time in minutes, INFINITY where they
// cannot be reached on foot within the limit. Nothing to do unless access goes by time.
sel_status sel_walk_candidates(sel_context *context, const struct sel_job *job,
    struct sel_worker *workers, int threads, const sel_run_options *options,
    struct sel_candidates *candidates);

// Where the way to a chosen site begins, and, when access goes by time, the walk to it. The site's
// candidate must be set.
sel_status sel_walk_to_site(sel_context *context, struct sel_worker *worker,
    const struct sel_candidate *candidate, struct sel_site *site);

// Sets walk->wades: whether a piece of the walk that runs on no way crosses a cell of open water
// that may be walked in. Walking cells are coarse, so one beside the water may count as well.
sel_status sel_walk_find_water(
    sel_context *context, struct sel_worker *worker, struct sel_site_walk *walk);
void sel_site_walk_clear(struct sel_site_walk *walk);

#endif
