// SPDX-License-Identifier: MIT
//
// A small ring of seasons, and windows of every surface level.
#include "survey/light.h"

#include <math.h>

#include "base/whole.h"
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

// The window of a level that holds every cell within `reach` study cells of `core`.
static struct sel_window level_window(struct sel_window core, int64_t reach, int level) {
    int64_t step = level_step(level);
    struct sel_window around = sel_window_grow(core, reach);
    int64_t row = sel_floor_div(around.row, step), col = sel_floor_div(around.col, step);
    int64_t row_end = sel_floor_div(around.row + around.rows - 1, step) + 1;
    int64_t col_end = sel_floor_div(around.col + around.cols - 1, step) + 1;
    return (struct sel_window){row, col, row_end - row, col_end - col};
}

sel_status sel_light_surface(sel_context *context, struct sel_worker *worker,
    struct sel_window core, struct sel_surface *surface) {
    const struct sel_job *job = worker->job;
    double x = job->study->grid.cell_x_m, y = job->study->grid.cell_y_m;
    *surface = (struct sel_surface){.cell_x_m = x, .cell_y_m = y};
    sel_status status = SEL_OK;
    for (int level = 0; level < SEL_SURFACE_LEVELS && status == SEL_OK; level++) {
        int64_t reach = sel_horizon_level_reach(&job->horizon, fmin(x, y), level);
        struct sel_window window = level_window(core, reach, level);
        if (level == 0)
            status = sel_ground_surface(context, worker, window, &surface->levels[0]);
        else
            status = sel_coarse_read(context, job->coarse, level, window, &worker->surface[level],
                &surface->levels[level]);
    }
    return status;
}
