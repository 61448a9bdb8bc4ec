// SPDX-License-Identifier: MIT
//
// The order of work on one tile. Cracks are screened with the cheap questions first; what passes
// is measured across the edge, the lattice picks the winners, and the winners get their access.
// Light is dearer and comes later, for those that can matter: see pool.h.
#include "survey/tile.h"

#include <math.h>
#include <stdlib.h>

#include "base/array.h"
#include "base/whole.h"
#include "score/score.h"
#include "survey/ground.h"
#include "terrain/slope.h"

void sel_candidates_clear(struct sel_candidates *candidates) {
    free(candidates->items);
    *candidates = (struct sel_candidates){0};
}

// What the screening of cracks looks at.
struct tile {
    sel_context *context;
    struct sel_worker *worker;
    const struct sel_job *job;
    struct sel_habitat_view view;
    const float *elevation; // same window as the view
    struct sel_lattice_range range;
};

// The site's half-cell position: the crack's middle, or the middle of the one cell that may hold
// the trap.
static void site_position(const struct sel_prospect *prospect, int64_t *hx, int64_t *hy) {
    *hx = prospect->crack.hx;
    *hy = prospect->crack.hy;
    if (prospect->trap_a && prospect->trap_b)
        return;
    int64_t row, col;
    sel_crack_cell(&prospect->crack, prospect->trap_a, &row, &col);
    *hx = 2 * col + 1;
    *hy = 2 * row + 1;
}

static double cell_slope(const struct tile *tile, const struct sel_crack *crack, bool side_a) {
    const struct sel_window *window = &tile->view.window;
    int64_t row, col;
    sel_crack_cell(crack, side_a, &row, &col);
    return sel_slope_at(tile->elevation, window->rows, window->cols, row - window->row,
        col - window->col, tile->job->study->grid.cell_x_m, tile->job->study->grid.cell_y_m);
}

// The slope under the trap: of the steeper of the cells that hold it. NAN when one is unknown.
static double site_slope(const struct tile *tile, const struct sel_prospect *prospect) {
    double a = prospect->trap_a ? cell_slope(tile, &prospect->crack, true) : 0.0;
    double b = prospect->trap_b ? cell_slope(tile, &prospect->crack, false) : 0.0;
    if (isnan(a) || isnan(b))
        return (double)NAN;
    return fmax(a, b);
}

static bool excluded(const struct tile *tile, double x, double y) {
    const struct sel_plan *plan = tile->job->plan;
    for (size_t i = 0; i < plan->zones_count; i++)
        if (plan->zones[i].rule == SEL_ZONE_EXCLUDE &&
            sel_polygons_at(tile->worker->zones[i], x, y) >= 0)
            return true;
    return false;
}

// In sight of a public way, be it reached by vehicle or on foot.
static bool near_way(const struct tile *tile, int64_t hx, int64_t hy) {
    const struct sel_job *job = tile->job;
    double least = job->plan->access_min_m;
    double x = 0.5 * (double)hx * job->study->grid.cell_x_m;
    double y = 0.5 * (double)hy * job->study->grid.cell_y_m;
    return least > 0 && ((job->access && sel_segment_within(job->access, x, y, least)) ||
                            (job->ways && sel_segment_within(job->ways, x, y, least)));
}

// Everything that can be asked before the edge's direction is looked at.
static enum sel_fate screen(const struct tile *tile, struct sel_prospect *prospect) {
    const struct sel_plan *plan = tile->job->plan;
    const struct sel_grid *grid = &tile->job->study->grid;
    prospect->trap_a = sel_habitat_get(&plan->habitats, prospect->crack.a)->trap;
    prospect->trap_b = sel_habitat_get(&plan->habitats, prospect->crack.b)->trap;
    int64_t hx, hy;
    site_position(prospect, &hx, &hy);
    double x = sel_grid_x(grid, (double)hx), y = sel_grid_y(grid, (double)hy);
    if (tile->worker->area && sel_polygons_at(tile->worker->area, x, y) < 0)
        return SEL_FATE_OUTSIDE;
    if (!prospect->trap_a && !prospect->trap_b)
        return SEL_FATE_NO_GROUND;
    if (excluded(tile, x, y))
        return SEL_FATE_EXCLUDED;
    if (near_way(tile, hx, hy))
        return SEL_FATE_NEAR_WAY;
    double slope = site_slope(tile, prospect);
    prospect->slope_deg = (float)slope;
    if (isnan(slope))
        return SEL_FATE_NO_SLOPE;
    if (sel_beyond_limit(&plan->criteria[SEL_CRITERION_SLOPE], slope))
        return SEL_FATE_STEEP;
    return SEL_FATE_CANDIDATE;
}

static enum sel_fate measure_edge(const struct tile *tile, struct sel_prospect *prospect) {
    const struct sel_job *job = tile->job;
    if (!sel_edge_tangent(&tile->view, &prospect->crack, &job->tangent, &prospect->tangent))
        return SEL_FATE_NO_DIRECTION;
    if (!sel_measure_belt(&tile->view, &prospect->crack, &prospect->tangent, &job->belt,
            &job->contrast, &prospect->belt))
        return SEL_FATE_UNKNOWN_BELT;
    return SEL_FATE_CANDIDATE;
}

static sel_status find_prospects(struct tile *tile, size_t *count) {
    struct sel_worker *worker = tile->worker;
    worker->cracks.count = 0;
    struct sel_window cells = sel_lattice_cells(&tile->range);
    if (sel_find_cracks(&tile->view, cells, &worker->cracks) != SEL_OK)
        return sel_fail_memory(tile->context);
    *count = worker->cracks.count;
    struct sel_prospect *grown =
        sel_grow(worker->prospects, *count, &worker->prospect_capacity, sizeof *worker->prospects);
    if (!grown)
        return sel_fail_memory(tile->context);
    worker->prospects = grown;
    size_t *winners =
        sel_grow(worker->winners, *count, &worker->winner_capacity, sizeof *worker->winners);
    if (!winners)
        return sel_fail_memory(tile->context);
    worker->winners = winners;
    for (size_t i = 0; i < *count; i++) {
        struct sel_prospect *prospect = &worker->prospects[i];
        *prospect = (struct sel_prospect){.crack = worker->cracks.items[i]};
        prospect->fate = screen(tile, prospect);
        if (prospect->fate == SEL_FATE_CANDIDATE)
            prospect->fate = measure_edge(tile, prospect);
    }
    return SEL_OK;
}

static struct sel_candidate new_candidate(
    const struct tile *tile, const struct sel_prospect *prospect) {
    int64_t hx, hy;
    site_position(prospect, &hx, &hy);
    const struct sel_tangent *tangent = &prospect->tangent;
    struct sel_candidate candidate = {
        .hx = (int32_t)hx,
        .hy = (int32_t)hy,
        .crack_hx = prospect->crack.hx,
        .crack_hy = prospect->crack.hy,
        .a = prospect->crack.a,
        .b = prospect->crack.b,
        .a_first = prospect->crack.a_first,
        .trap_a = prospect->trap_a,
        .trap_b = prospect->trap_b,
        .along_x = (float)tangent->along.x,
        .along_y = (float)tangent->along.y,
        .toward_a_x = (float)tangent->toward_a.x,
        .toward_a_y = (float)tangent->toward_a.y,
        .straightness = (float)tangent->straightness,
        .depth_a_m = prospect->belt.depth_a_m,
        .depth_b_m = prospect->belt.depth_b_m,
        .elevation_m = (float)sel_ground_height(tile->elevation, tile->view.window, hx, hy),
    };
    candidate.measure[SEL_CRITERION_SUN] = (double)NAN; // until its light is measured
    candidate.measure[SEL_CRITERION_EDGE_CONTRAST] = (double)prospect->belt.contrast;
    candidate.measure[SEL_CRITERION_SLOPE] = (double)prospect->slope_deg;
    return candidate;
}

// Walking time, where access goes by it, is filled in when all tiles are done: see walk.h.
static void measure_access(const struct tile *tile, struct sel_candidate *candidate) {
    const struct sel_grid *grid = &tile->job->study->grid;
    candidate->access_m = (double)NAN;
    if (tile->job->access)
        candidate->access_m = sel_segment_distance(tile->job->access,
            0.5 * candidate->hx * grid->cell_x_m, 0.5 * candidate->hy * grid->cell_y_m, NULL);
    candidate->measure[SEL_CRITERION_ACCESS] = candidate->access_m;
}

static sel_status add_candidate(
    sel_context *context, struct sel_candidates *candidates, struct sel_candidate candidate) {
    struct sel_candidate *grown = sel_grow(
        candidates->items, candidates->count + 1, &candidates->capacity, sizeof *candidates->items);
    if (!grown)
        return sel_fail_memory(context);
    candidates->items = grown;
    candidates->items[candidates->count++] = candidate;
    return SEL_OK;
}

static sel_status measure_winners(
    const struct tile *tile, size_t winner_count, struct sel_candidates *candidates) {
    sel_status status = SEL_OK;
    for (size_t i = 0; i < winner_count && status == SEL_OK; i++) {
        struct sel_candidate candidate =
            new_candidate(tile, &tile->worker->prospects[tile->worker->winners[i]]);
        measure_access(tile, &candidate);
        status = add_candidate(tile->context, candidates, candidate);
    }
    return status;
}

static bool in_range(const struct sel_lattice_range *range, const struct sel_crack *crack) {
    int64_t row = sel_floor_div(crack->hy, range->side),
            col = sel_floor_div(crack->hx, range->side);
    return row >= range->first_row && row < range->last_row && col >= range->first_col &&
           col < range->last_col;
}

// A polygon look-up that failed answered "none": ask once, before its answers are used.
static sel_status check_queries(const struct tile *tile) {
    const struct sel_worker *worker = tile->worker;
    sel_status status = SEL_OK;
    if (worker->area)
        status = sel_polygons_query_status(tile->context, worker->area);
    for (size_t i = 0; worker->zones && i < tile->job->plan->zones_count && status == SEL_OK; i++)
        status = sel_polygons_query_status(tile->context, worker->zones[i]);
    return status;
}

static sel_status make_candidates(
    struct tile *tile, struct sel_candidates *candidates, struct sel_tile_counts *counts) {
    size_t count = 0, winner_count = 0;
    sel_status status = find_prospects(tile, &count);
    if (status == SEL_OK)
        status = check_queries(tile);
    if (status != SEL_OK)
        return status;
    struct sel_worker *worker = tile->worker;
    if (sel_lattice_pick(worker->prospects, count, &tile->range, worker->lattice, worker->winners,
            &winner_count, counts->fates) != SEL_OK)
        return sel_fail_memory(tile->context);
    for (size_t i = 0; i < count; i++)
        if (worker->prospects[i].fate != SEL_FATE_OUTSIDE &&
            in_range(&tile->range, &worker->prospects[i].crack))
            counts->cracks++;
    return measure_winners(tile, winner_count, candidates);
}

static void add_lengths(const struct tile *tile, struct sel_tile_counts *counts) {
    const struct sel_traced_lines *lines = &tile->worker->lines;
    size_t side = (size_t)tile->job->plan->habitats.count + 1;
    for (size_t i = 0; i < lines->count; i++) {
        const struct sel_traced_line *line = &lines->items[i];
        counts->edge_mm[line->a * side + line->b] += llround(1000.0 * line->length_m);
    }
}

static sel_status trace_edges(struct tile *tile, struct sel_window core,
    const struct sel_edge_sink *sink, struct sel_tile_counts *counts) {
    sel_status status = SEL_OK;
    struct sel_worker *worker = tile->worker;
    int64_t first_row = core.row / SEL_TRACE_BLOCK, first_col = core.col / SEL_TRACE_BLOCK;
    int64_t rows = core.rows / SEL_TRACE_BLOCK, cols = core.cols / SEL_TRACE_BLOCK;
    for (int64_t i = 0; i < rows * cols && status == SEL_OK; i++) {
        int64_t row = first_row + i / cols, col = first_col + i % cols;
        if (sel_trace_block(
                &tile->view, row, col, &tile->job->trace, worker->trace, &worker->lines) != SEL_OK)
            return sel_fail_memory(tile->context);
        add_lengths(tile, counts);
        status = sink->add(sink->user, row, col, &worker->lines);
    }
    return status;
}

sel_status sel_tile_run(sel_context *context, struct sel_worker *worker, struct sel_window core,
    const struct sel_edge_sink *sink, struct sel_candidates *candidates,
    struct sel_tile_counts *counts) {
    const struct sel_job *job = worker->job;
    struct tile tile = {.context = context, .worker = worker, .job = job};
    tile.range = sel_lattice_owned(job->lengths.every_half_cells, core);
    tile.view.window = sel_window_grow(core, job->halo);
    const sel_habitat_id *raw;
    sel_status status =
        sel_ground_habitats(context, worker, tile.view.window, &raw, &tile.view.ids);
    if (status == SEL_OK)
        status = sel_ground_elevation(context, worker, tile.view.window, &tile.elevation);
    if (status == SEL_OK)
        status = trace_edges(&tile, core, sink, counts);
    if (status == SEL_OK)
        status = make_candidates(&tile, candidates, counts);
    return status;
}
