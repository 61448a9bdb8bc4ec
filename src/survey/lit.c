// SPDX-License-Identifier: MIT
//
// Candidates are grouped by the tile of their crack, so that each tile's surface is read once.
#include "survey/lit.h"

#include <math.h>
#include <stdlib.h>

#include "base/pool.h"
#include "base/whole.h"
#include "survey/light.h"
#include "survey/memory.h"
#include "survey/tile.h"

enum { PATCH = 32 }; // study cells; see by_tile

// The candidates of one tile.
struct stretch {
    size_t first, count;
};

struct lighting {
    sel_context *context;
    struct sel_crew *crew;
    struct sel_candidate *candidates;
    struct stretch *stretches;
    size_t stretch_count;
};

static int64_t tile_row(const struct sel_candidate *candidate, int64_t side) {
    return sel_floor_div(candidate->crack_hy, 2 * side);
}

static int64_t tile_col(const struct sel_candidate *candidate, int64_t side) {
    return sel_floor_div(candidate->crack_hx, 2 * side);
}

static int compare_numbers(int64_t a, int64_t b) {
    return (a > b) - (a < b);
}

// Small tiles within large ones, so that each tile's candidates lie together whatever its side; and
// in patches within a tile, so that neighbours follow each other: their season and the surface
// around them are then at hand.
static int by_tile(const void *left, const void *right) {
    const struct sel_candidate *a = left, *b = right;
    int order = 0;
    for (int64_t side = SEL_LIGHT_MOST; side >= PATCH && order == 0; side /= 2) {
        order = compare_numbers(tile_row(a, side), tile_row(b, side));
        if (order == 0)
            order = compare_numbers(tile_col(a, side), tile_col(b, side));
    }
    return order != 0 ? order : compare_numbers(a->crack_hy, b->crack_hy);
}

static bool same_tile(const struct sel_candidate *a, const struct sel_candidate *b, int64_t side) {
    return tile_row(a, side) == tile_row(b, side) && tile_col(a, side) == tile_col(b, side);
}

static sel_status light_candidate(sel_context *context, struct sel_worker *worker,
    const struct sel_horizon_view *view, struct sel_candidate *candidate) {
    struct sel_horizon horizon;
    const struct sel_block_light *light;
    sel_status status = sel_light_horizon(context, worker->job, view, candidate, &horizon);
    if (status == SEL_OK)
        status = sel_light_of(context, worker, candidate, &light);
    if (status != SEL_OK)
        return status;
    struct sel_exposure exposure = sel_season_exposure(light->season, &horizon, light->convergence);
    // Where the sun stays down all season while it rises at the survey's centre, nothing shines.
    candidate->measure[SEL_CRITERION_SUN] = isnan(exposure.sun_share) ? 0.0 : exposure.sun_share;
    candidate->sun_hours = (float)exposure.sun_hours;
    candidate->sky_view = (float)exposure.sky_view;
    candidate->light_azimuth_deg = (float)exposure.light_azimuth_deg;
    candidate->horizon_complete = horizon.complete;
    candidate->lit = true;
    return SEL_OK;
}

static sel_status light_stretch(void *user, int thread, int64_t job) {
    struct lighting *lighting = user;
    struct stretch stretch = lighting->stretches[job];
    struct sel_candidate *candidates = lighting->candidates + stretch.first;
    struct sel_worker *worker = &lighting->crew->workers[thread];
    int64_t side = lighting->crew->light_cells;
    struct sel_window tile = {
        tile_row(candidates, side) * side, tile_col(candidates, side) * side, side, side};
    const struct sel_horizon_view *view = NULL;
    sel_status status = sel_light_aim(lighting->context, worker, tile, &view);
    for (size_t i = 0; i < stretch.count && status == SEL_OK; i++)
        status = light_candidate(lighting->context, worker, view, &candidates[i]);
    return status;
}

static void cut_stretches(struct lighting *lighting, size_t count) {
    const struct sel_candidate *candidates = lighting->candidates;
    int64_t side = lighting->crew->light_cells;
    lighting->stretch_count = 0;
    for (size_t i = 0; i < count; i++) {
        if (i == 0 || !same_tile(&candidates[i - 1], &candidates[i], side))
            lighting->stretches[lighting->stretch_count++] = (struct stretch){i, 0};
        lighting->stretches[lighting->stretch_count - 1].count++;
    }
}

sel_status sel_lit_measure(
    sel_context *context, struct sel_crew *crew, struct sel_candidate *candidates, size_t count) {
    if (count == 0)
        return SEL_OK;
    qsort(candidates, count, sizeof *candidates, by_tile);
    struct lighting lighting = {context, crew, candidates, NULL, 0};
    lighting.stretches = malloc(count * sizeof *lighting.stretches);
    if (!lighting.stretches)
        return sel_fail_memory(context);
    cut_stretches(&lighting, count);
    sel_status status = sel_pool_run(context, "measuring light", crew->threads,
        (int64_t)lighting.stretch_count, light_stretch, &lighting);
    free(lighting.stretches);
    return status;
}
