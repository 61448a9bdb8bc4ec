// SPDX-License-Identifier: MIT
//
// A small ring of seasons, and windows of every surface level.
#include "survey/light.h"

#include <math.h>

#include "survey/coarse.h"
#include "survey/ground.h"

static const int FAR_LEVEL = SEL_SURFACE_LEVELS - 1;

// Study cells along one cell of a level: 4^level.
static int64_t level_step(int level) {
    return (int64_t)1 << (2 * level);
}

// Mean ground of a block on the coarsest level, m; 0 where none is known: then no candidate there
// has a slope, and none asks.
static sel_status block_altitude(sel_context *context, struct sel_worker *worker, int64_t block_row,
    int64_t block_col, double *altitude_m) {
    int64_t side = SEL_TRACE_BLOCK / level_step(FAR_LEVEL);
    struct sel_window window = {block_row * side, block_col * side, side, side};
    struct sel_surface_level level;
    sel_status status =
        sel_coarse_read(context, worker->job->coarse, FAR_LEVEL, window, &worker->peek, &level);
    double sum = 0;
    int64_t known = 0;
    for (size_t i = 0; status == SEL_OK && i < sel_window_cells(window); i++)
        if (!isnan(level.ground_m[i])) {
            sum += (double)level.ground_m[i];
            known++;
        }
    *altitude_m = known > 0 ? sum / (double)known : 0.0;
    return status;
}

static sel_status make_light(sel_context *context, struct sel_worker *worker, int64_t block_row,
    int64_t block_col, struct sel_block_light *light) {
    const struct sel_job *job = worker->job;
    const struct sel_grid *grid = &job->study->grid;
    double hx = 2.0 * SEL_TRACE_BLOCK * ((double)block_col + 0.5);
    double hy = 2.0 * SEL_TRACE_BLOCK * ((double)block_row + 0.5);
    struct sel_geographic at;
    double altitude;
    sel_status status =
        sel_project(context, worker->projector, sel_grid_x(grid, hx), sel_grid_y(grid, hy), &at);
    if (status == SEL_OK)
        status = block_altitude(context, worker, block_row, block_col, &altitude);
    if (status != SEL_OK)
        return status;
    sel_season_free(light->season);
    *light = (struct sel_block_light){block_row, block_col, NULL, at.convergence};
    if (sel_season_new(job->plan->season_from, job->plan->season_to, at.latitude, at.longitude,
            altitude, &light->season) != SEL_OK)
        return sel_fail_memory(context);
    return SEL_OK;
}

sel_status sel_light_of_block(sel_context *context, struct sel_worker *worker, int64_t block_row,
    int64_t block_col, const struct sel_block_light **light) {
    for (int i = 0; i < SEL_LIGHT_SLOTS; i++) {
        *light = &worker->light[i];
        if ((*light)->season && (*light)->block_row == block_row &&
            (*light)->block_col == block_col)
            return SEL_OK;
    }
    struct sel_block_light *slot = &worker->light[worker->next_light];
    worker->next_light = (worker->next_light + 1) % SEL_LIGHT_SLOTS;
    *light = slot;
    return make_light(context, worker, block_row, block_col, slot);
}

// Rays are laid out for a width; widths are rounded up so that few layouts are needed.
static const int64_t WIDTH_STEP = 64;

static struct sel_window near_window(struct sel_window core, int64_t reach) {
    struct sel_window around = sel_window_grow(core, reach);
    around.cols = (around.cols + WIDTH_STEP - 1) / WIDTH_STEP * WIDTH_STEP;
    return around;
}

static sel_status lay_out_rays(sel_context *context, struct sel_worker *worker, int64_t near_cols,
    const struct sel_horizon_plan **rays) {
    const struct sel_job *job = worker->job;
    for (int i = 0; i < SEL_RAY_SLOTS; i++)
        if (worker->rays[i].plan && worker->rays[i].near_cols == near_cols) {
            *rays = worker->rays[i].plan;
            return SEL_OK;
        }
    struct sel_ray_plan *slot = &worker->rays[worker->next_rays];
    worker->next_rays = (worker->next_rays + 1) % SEL_RAY_SLOTS;
    sel_horizon_plan_free(slot->plan);
    slot->plan = NULL;
    slot->near_cols = near_cols;
    if (sel_horizon_plan_new(&job->horizon, job->study->grid.cell_x_m, job->study->grid.cell_y_m,
            near_cols, &slot->plan) != SEL_OK)
        return sel_fail_memory(context);
    *rays = slot->plan;
    return SEL_OK;
}

static sel_status bound_level(
    sel_context *context, struct sel_level_buffers *buffers, struct sel_surface_level *level) {
    struct sel_surface_bound *bounds =
        sel_buffer_take(&buffers->bounds, sel_surface_bound_count(level->window) * sizeof *bounds);
    if (!bounds)
        return sel_fail_memory(context);
    sel_surface_bound(level, bounds);
    level->bounds = bounds;
    return SEL_OK;
}

sel_status sel_light_surface(sel_context *context, struct sel_worker *worker,
    struct sel_window core, struct sel_place_light *light) {
    const struct sel_job *job = worker->job;
    double cell = fmin(job->study->grid.cell_x_m, job->study->grid.cell_y_m);
    struct sel_surface_level *levels = light->surface.levels;
    sel_status status = SEL_OK;
    for (int level = 0; level < SEL_SURFACE_LEVELS && status == SEL_OK; level++) {
        struct sel_level_buffers *buffers = &worker->surface[level];
        int64_t reach = sel_horizon_level_reach(&job->horizon, cell, level);
        if (level == 0)
            status = sel_ground_surface(context, worker, near_window(core, reach), &levels[0]);
        else
            status = sel_coarse_read(context, job->coarse, level,
                sel_surface_window(sel_window_grow(core, reach), level), buffers, &levels[level]);
        if (status == SEL_OK)
            status = bound_level(context, buffers, &levels[level]);
    }
    if (status == SEL_OK)
        status = lay_out_rays(context, worker, levels[0].window.cols, &light->rays);
    return status;
}
