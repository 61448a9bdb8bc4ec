// SPDX-License-Identifier: MIT
//
// A small ring of seasons, and windows of every surface level.
#include "survey/light.h"

#include <math.h>

#include "base/whole.h"
#include "survey/coarse.h"
#include "survey/ground.h"

// Over 20 km the sun's place changes by 0.18 degrees of latitude: docs/method-sun.md.
static const double BLOCK_MOST_M = 20000.0;
enum { BLOCK_CELLS_MOST = 512, BLOCK_CELLS_LEAST = 4 };

int64_t sel_light_block_cells(const struct sel_grid *grid) {
    int64_t side = BLOCK_CELLS_MOST;
    while (side > BLOCK_CELLS_LEAST &&
           (double)side * fmax(grid->cell_x_m, grid->cell_y_m) >= BLOCK_MOST_M)
        side /= 2;
    return side;
}

// Study cells along one cell of a level: 4^level.
static int64_t level_step(int level) {
    return (int64_t)1 << (2 * level);
}

// Mean ground of a block on the coarsest level that fits into it, m; 0 where none is known: then no
// candidate there has a slope, and none asks.
static sel_status block_altitude(sel_context *context, struct sel_worker *worker, int64_t cells,
    int64_t block_row, int64_t block_col, double *altitude_m) {
    int number = cells >= level_step(2) ? 2 : 1;
    int64_t side = cells / level_step(number);
    struct sel_window window = {block_row * side, block_col * side, side, side};
    struct sel_surface_level level;
    sel_status status =
        sel_coarse_read(context, worker->job->coarse, number, window, &worker->peek, &level);
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
    int64_t cells = sel_light_block_cells(grid);
    double hx = 2.0 * (double)cells * ((double)block_col + 0.5);
    double hy = 2.0 * (double)cells * ((double)block_row + 0.5);
    struct sel_geographic at;
    double altitude;
    sel_status status =
        sel_project(context, worker->projector, sel_grid_x(grid, hx), sel_grid_y(grid, hy), &at);
    if (status == SEL_OK)
        status = block_altitude(context, worker, cells, block_row, block_col, &altitude);
    if (status != SEL_OK)
        return status;
    sel_season_free(light->season);
    *light = (struct sel_block_light){block_row, block_col, NULL, at.convergence};
    if (sel_season_new(job->plan->season_from, job->plan->season_to, at.latitude, at.longitude,
            altitude, &light->season) != SEL_OK)
        return sel_fail_memory(context);
    return SEL_OK;
}

sel_status sel_light_of(sel_context *context, struct sel_worker *worker,
    const struct sel_candidate *candidate, const struct sel_block_light **light) {
    int64_t half_cells = 2 * sel_light_block_cells(&worker->job->study->grid);
    int64_t block_row = sel_floor_div(candidate->crack_hy, half_cells);
    int64_t block_col = sel_floor_div(candidate->crack_hx, half_cells);
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

// Lookouts are made for a width and a core; both are rounded up so that few are needed.
static const int64_t SIZE_STEP = 64;

static int64_t round_up(int64_t size) {
    return (size + SIZE_STEP - 1) / SIZE_STEP * SIZE_STEP;
}

static struct sel_window near_window(struct sel_window core, int64_t reach) {
    struct sel_window around = sel_window_grow(core, reach);
    around.cols = round_up(around.cols);
    return around;
}

static sel_status make_lookout(
    sel_context *context, const struct sel_job *job, struct sel_lookout *lookout) {
    const struct sel_grid *grid = &job->study->grid;
    if (sel_horizon_plan_new(&job->horizon, grid->cell_x_m, grid->cell_y_m, lookout->near_cols,
            &lookout->plan) == SEL_OK &&
        sel_horizon_view_new(lookout->plan, lookout->core_most, &lookout->view) == SEL_OK)
        return SEL_OK;
    sel_lookout_clear(lookout);
    return sel_fail_memory(context);
}

static sel_status find_lookout(sel_context *context, struct sel_worker *worker, int64_t near_cols,
    int64_t core_most, struct sel_horizon_view **view) {
    for (int i = 0; i < SEL_LOOKOUT_SLOTS; i++) {
        const struct sel_lookout *made = &worker->lookouts[i];
        *view = made->view;
        if (made->view && made->near_cols == near_cols && made->core_most == core_most)
            return SEL_OK;
    }
    struct sel_lookout *slot = &worker->lookouts[worker->next_lookout];
    worker->next_lookout = (worker->next_lookout + 1) % SEL_LOOKOUT_SLOTS;
    sel_lookout_clear(slot);
    slot->near_cols = near_cols;
    slot->core_most = core_most;
    sel_status status = make_lookout(context, worker->job, slot);
    *view = slot->view;
    return status;
}

// Reads all levels of the surface that horizons within `core` need.
static sel_status read_surface(sel_context *context, struct sel_worker *worker,
    struct sel_window core, struct sel_surface *surface) {
    const struct sel_job *job = worker->job;
    double cell = fmin(job->study->grid.cell_x_m, job->study->grid.cell_y_m);
    struct sel_surface_level *levels = surface->levels;
    sel_status status = SEL_OK;
    for (int level = 0; level < SEL_SURFACE_LEVELS && status == SEL_OK; level++) {
        int64_t reach = sel_horizon_level_reach(&job->horizon, cell, level);
        if (level == 0)
            status = sel_ground_surface(context, worker, near_window(core, reach), &levels[0]);
        else
            status = sel_coarse_read(context, job->coarse, level,
                sel_surface_window(sel_window_grow(core, reach), level), &worker->surface[level],
                &levels[level]);
    }
    return status;
}

sel_status sel_light_aim(sel_context *context, struct sel_worker *worker, struct sel_window core,
    const struct sel_horizon_view **view) {
    struct sel_horizon_view *found = NULL;
    struct sel_surface surface = {0};
    int64_t core_most = round_up(sel_larger(core.rows, core.cols));
    sel_status status = read_surface(context, worker, core, &surface);
    if (status == SEL_OK)
        status = find_lookout(context, worker, surface.levels[0].window.cols, core_most, &found);
    if (status == SEL_OK && !sel_horizon_view_aim(found, &surface, core))
        status = sel_fail(context, SEL_BAD_INPUT,
            "the surface around row %lld, column %lld cannot be looked at", (long long)core.row,
            (long long)core.col);
    *view = found;
    return status;
}

// A canopy raster tells heights cell by cell; else the table's stands for the side, and not that of
// a speck which happens to lie there.
static struct sel_horizon_side side_of(const struct sel_job *job, sel_habitat_id id) {
    const struct sel_habitat *habitat = sel_habitat_get(&job->plan->habitats, id);
    float height_m = job->study->has_canopy ? NAN : (float)habitat->canopy_m;
    return (struct sel_horizon_side){height_m, (float)habitat->cover};
}

sel_status sel_light_horizon(sel_context *context, const struct sel_job *job,
    const struct sel_horizon_view *view, const struct sel_candidate *candidate,
    struct sel_horizon *horizon) {
    struct sel_horizon_edge edge = {candidate->crack_hx, candidate->crack_hy,
        (double)candidate->toward_a_x, (double)candidate->toward_a_y, candidate->a_first,
        side_of(job, candidate->a), side_of(job, candidate->b)};
    if (sel_horizon_at_edge(view, &edge, horizon))
        return SEL_OK;
    return sel_fail(context, SEL_BAD_INPUT,
        "no horizon can be found at half-cell %d, %d although the ground there is known: please "
        "report this",
        candidate->crack_hx, candidate->crack_hy);
}
