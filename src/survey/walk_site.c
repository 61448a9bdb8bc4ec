// SPDX-License-Identifier: MIT
//
// The walk to one chosen site, searched anew in a window just large enough for its known time: the
// search within that time gives every cell on the way the same time as before, and so the same
// walk. So nothing of the searches need be kept, and parts can be gathered elsewhere.
#include <math.h>
#include <stdlib.h>

#include "access/pace.h"
#include "base/whole.h"
#include "survey/walk.h"
#include "survey/walk_tract.h"

void sel_site_walk_clear(struct sel_site_walk *walk) {
    free(walk->places);
    *walk = (struct sel_site_walk){0};
}

// ---- ground ----

static struct sel_window window_around(
    const struct sel_walk_rule *rule, const struct sel_candidate *candidate, double minutes) {
    int64_t row = candidate->hy / 2 / rule->per_row, col = candidate->hx / 2 / rule->per_col;
    int64_t reach = sel_walk_halo(minutes, fmin(rule->cell_x_m, rule->cell_y_m)) + 3;
    int64_t first_row = sel_larger(row - reach, 0), first_col = sel_larger(col - reach, 0);
    return (struct sel_window){first_row, first_col,
        sel_smaller(row + reach + 1, rule->rows) - first_row,
        sel_smaller(col + reach + 1, rule->cols) - first_col};
}

// Fills the window and finds the anchors of the site.
static sel_status fill_around(sel_context *context, struct sel_worker *worker,
    const struct sel_candidate *candidate, struct sel_walk_tract *tract, int64_t *anchors,
    int *anchor_count) {
    const struct sel_walk_rule *rule = &worker->job->walking;
    const struct sel_window *window = &tract->window;
    int64_t own_row, own_col;
    sel_walk_chunk_of(rule, candidate->hx, candidate->hy, &own_row, &own_col);
    sel_status status = SEL_OK;
    for (int64_t row = window->row / rule->chunk; row * rule->chunk < window->row + window->rows;
         row++)
        for (int64_t col = window->col / rule->chunk;
             col * rule->chunk < window->col + window->cols && status == SEL_OK; col++) {
            status = sel_walk_tract_fill(
                context, worker, tract, sel_walk_chunk(rule, row, col, *window));
            if (status == SEL_OK && row == own_row && col == own_col)
                *anchor_count =
                    sel_walk_tract_anchors(tract, candidate->hx, candidate->hy, anchors);
        }
    return status;
}

static struct sel_walk_leg best_leg(const struct sel_walk_tract *tract, const struct sel_job *job,
    const struct sel_candidate *candidate, const int64_t *anchors, int count) {
    struct sel_walk_leg best = {.minutes = HUGE_VAL};
    for (int i = 0; i < count; i++) {
        struct sel_walk_leg leg =
            sel_walk_tract_leg(tract, job, anchors[i], candidate->hx, candidate->hy);
        if (leg.minutes < best.minutes || (leg.minutes == best.minutes && leg.cell < best.cell))
            best = leg;
    }
    return best;
}

// ---- the walk ----

struct tracing {
    const struct sel_job *job;
    const struct sel_walk_tract *tract;
    struct sel_walk_effort sum;
    struct sel_site_walk *walk;
};

// Adds a place at metres east and south of the grid's corner.
static void add_place(struct tracing *tracing, struct vec2 at, double elevation_m, bool by_way) {
    const struct sel_grid *grid = &tracing->job->study->grid;
    tracing->walk->places[tracing->walk->place_count++] =
        (struct sel_walk_place){grid->x0 + at.x / grid->metres, grid->y0 - at.y / grid->metres,
            elevation_m, tracing->sum.minutes, by_way};
}

static bool has_way(const struct tracing *tracing, int64_t cell) {
    return (tracing->tract->walk.marks[cell] & (SEL_WALK_WAY | SEL_WALK_START)) != 0;
}

static double elevation_of(const struct tracing *tracing, int64_t cell) {
    return (double)tracing->tract->walk.cells[cell].elevation_m;
}

static struct vec2 middle_of(const struct tracing *tracing, int64_t cell) {
    const struct sel_window *window = &tracing->tract->window;
    return sel_walk_middle(&tracing->job->walking, window->row + cell / window->cols,
        window->col + cell % window->cols);
}

// From the access geometry to the first cell's middle, level, at path speed.
static void begin(struct tracing *tracing, int64_t first) {
    struct vec2 middle = middle_of(tracing, first);
    struct vec2 from = sel_walk_tract_beginning(tracing->tract, first);
    double away = vec2_length(vec2_sub(middle, from));
    add_place(tracing, from, elevation_of(tracing, first), true);
    sel_walk_add(&tracing->sum, away, 0, 1);
    if (away > 0)
        add_place(tracing, middle, elevation_of(tracing, first), true);
}

static void end(struct tracing *tracing, const struct sel_walk_leg *leg,
    const struct sel_candidate *candidate) {
    const struct sel_grid *grid = &tracing->job->study->grid;
    struct vec2 site = {0.5 * candidate->hx * grid->cell_x_m, 0.5 * candidate->hy * grid->cell_y_m};
    sel_walk_add(&tracing->sum, leg->length_m, leg->rise_m, leg->slowness);
    if (leg->length_m > 0)
        add_place(tracing, site, elevation_of(tracing, leg->cell) + leg->rise_m, false);
}

static sel_status trace(sel_context *context, struct tracing *tracing,
    const struct sel_walk_leg *leg, const struct sel_candidate *candidate) {
    const struct sel_walk *walk = &tracing->tract->walk;
    size_t visits = sel_walk_visits(walk, leg->cell);
    int64_t *visited = malloc((visits + 1) * sizeof *visited);
    tracing->walk->places = calloc(visits + 2, sizeof *tracing->walk->places);
    if (!visited || !tracing->walk->places) {
        free(visited);
        return sel_fail_memory(context);
    }
    sel_walk_path(walk, leg->cell, visited);
    begin(tracing, visited[0]);
    for (size_t i = 1; i < visits; i++) {
        sel_walk_add_move(walk, visited[i - 1], visited[i], &tracing->sum);
        bool by_way = has_way(tracing, visited[i - 1]) && has_way(tracing, visited[i]);
        add_place(
            tracing, middle_of(tracing, visited[i]), elevation_of(tracing, visited[i]), by_way);
    }
    end(tracing, leg, candidate);
    free(visited);
    const struct sel_walk_effort *sum = &tracing->sum;
    tracing->walk->length_m = sum->length_m;
    tracing->walk->minutes = sum->minutes;
    tracing->walk->out_minutes = sum->out_minutes;
    tracing->walk->back_minutes = sum->back_minutes;
    tracing->walk->climb_m = sum->climb_out_m;
    tracing->walk->climb_back_m = sum->climb_back_m;
    return SEL_OK;
}

static sel_status walk_to(sel_context *context, struct sel_worker *worker,
    const struct sel_candidate *candidate, struct sel_walk_tract *tract,
    struct sel_site_walk *walk) {
    const struct sel_job *job = worker->job;
    double minutes = candidate->measure[SEL_CRITERION_ACCESS];
    int64_t anchors[SEL_TRACT_ANCHORS_MOST];
    int count = 0;
    sel_status status =
        sel_walk_tract_lay(context, job, tract, window_around(&job->walking, candidate, minutes));
    if (status == SEL_OK)
        status = fill_around(context, worker, candidate, tract, anchors, &count);
    if (status == SEL_OK)
        status = sel_walk_tract_search(context, tract, minutes);
    struct sel_walk_leg leg = {.minutes = HUGE_VAL};
    if (status == SEL_OK)
        leg = best_leg(tract, job, candidate, anchors, count);
    if (status != SEL_OK || isinf(leg.minutes))
        return status;
    struct tracing tracing = {.job = job, .tract = tract, .walk = walk};
    return trace(context, &tracing, &leg, candidate);
}

// ---- the access point ----

static sel_status tell_access(
    sel_context *context, struct sel_worker *worker, double x, double y, struct sel_site *site) {
    struct sel_geographic at = {0};
    sel_status status = sel_project(context, worker->projector, x, y, &at);
    if (status != SEL_OK)
        return status;
    site->access_x = x;
    site->access_y = y;
    site->access_latitude = at.latitude;
    site->access_longitude = at.longitude;
    return SEL_OK;
}

sel_status sel_walk_to_site(sel_context *context, struct sel_worker *worker,
    const struct sel_candidate *candidate, struct sel_site *site) {
    const struct sel_job *job = worker->job;
    const struct sel_grid *grid = &job->study->grid;
    struct vec2 nearest = {0.0, 0.0};
    site->access_x = site->access_y = (double)NAN;
    site->access_latitude = site->access_longitude = (double)NAN;
    if (!job->access)
        return SEL_OK;
    sel_segment_distance(job->access, 0.5 * candidate->hx * grid->cell_x_m,
        0.5 * candidate->hy * grid->cell_y_m, &nearest);
    double x = grid->x0 + nearest.x / grid->metres, y = grid->y0 - nearest.y / grid->metres;
    if (job->walking.in_use) {
        struct sel_walk_tract tract = {0};
        sel_status status = walk_to(context, worker, candidate, &tract, &site->walk);
        sel_walk_tract_clear(&tract);
        if (status == SEL_OK)
            status = sel_walk_find_water(context, worker, &site->walk);
        if (status != SEL_OK)
            return status;
    }
    if (site->walk.places && site->walk.place_count > 0) {
        x = site->walk.places[0].x;
        y = site->walk.places[0].y;
    }
    return tell_access(context, worker, x, y, site);
}
