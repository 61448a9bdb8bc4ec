// SPDX-License-Identifier: MIT
//
// Whether a walk leads through open water: its pieces off the ways are followed in steps of half a
// cell over the raw habitats, brooks burned in. What is barred is never crossed, so it is not
// looked for; nor is what a way leads over or through.
#include <math.h>

#include "base/whole.h"
#include "survey/ground.h"
#include "survey/walk.h"

enum { PLACES_AT_ONCE = 65 }; // what is read for them is a kilometre or so wide

struct waters {
    const struct sel_grid *grid;
    const struct sel_habitats *habitats;
    struct sel_window window;
    const sel_habitat_id *raw;
};

static double col_at(const struct sel_grid *grid, const struct sel_walk_place *place) {
    return (place->x - grid->x0) / grid->dx;
}

static double row_at(const struct sel_grid *grid, const struct sel_walk_place *place) {
    return (grid->y0 - place->y) / grid->dy;
}

// The cells that a run of places passes over, and a ring.
static struct sel_window window_of(
    const struct sel_grid *grid, const struct sel_walk_place *places, size_t count) {
    double north = row_at(grid, &places[0]), south = north;
    double west = col_at(grid, &places[0]), east = west;
    for (size_t i = 1; i < count; i++) {
        double row = row_at(grid, &places[i]), col = col_at(grid, &places[i]);
        north = fmin(north, row);
        south = fmax(south, row);
        west = fmin(west, col);
        east = fmax(east, col);
    }
    int64_t row = (int64_t)floor(north) - 1, col = (int64_t)floor(west) - 1;
    return (struct sel_window){
        row, col, (int64_t)floor(south) + 2 - row, (int64_t)floor(east) + 2 - col};
}

static bool is_wet(const struct waters *waters, double row, double col) {
    int64_t at = ((int64_t)floor(row) - waters->window.row) * waters->window.cols +
                 (int64_t)floor(col) - waters->window.col;
    sel_habitat_id id = waters->raw[at];
    if (id == SEL_HABITAT_UNKNOWN)
        return false;
    const struct sel_habitat *habitat = sel_habitat_get(waters->habitats, id);
    return habitat->water && habitat->walk > 0;
}

static bool piece_wades(const struct waters *waters, const struct sel_walk_place *from,
    const struct sel_walk_place *to) {
    double row = row_at(waters->grid, from), rows = row_at(waters->grid, to) - row;
    double col = col_at(waters->grid, from), cols = col_at(waters->grid, to) - col;
    int steps = (int)ceil(2 * hypot(rows, cols)) + 1;
    for (int i = 0; i <= steps; i++)
        if (is_wet(waters, row + rows * i / steps, col + cols * i / steps))
            return true;
    return false;
}

static sel_status run_wades(sel_context *context, struct sel_worker *worker,
    const struct sel_walk_place *places, size_t count, bool *wades) {
    const struct sel_job *job = worker->job;
    struct waters waters = {.grid = &job->study->grid, .habitats = &job->plan->habitats};
    waters.window = window_of(waters.grid, places, count);
    sel_status status = sel_ground_raw(context, worker, waters.window, &waters.raw);
    for (size_t i = 1; i < count && status == SEL_OK && !*wades; i++)
        *wades = !places[i].by_way && piece_wades(&waters, &places[i - 1], &places[i]);
    return status;
}

sel_status sel_walk_find_water(
    sel_context *context, struct sel_worker *worker, struct sel_site_walk *walk) {
    sel_status status = SEL_OK;
    walk->wades = false;
    for (size_t i = 0; i + 1 < walk->place_count && status == SEL_OK && !walk->wades;
         i += PLACES_AT_ONCE - 1) {
        size_t left = walk->place_count - i;
        status = run_wades(context, worker, &walk->places[i],
            left < PLACES_AT_ONCE ? left : PLACES_AT_ONCE, &walk->wades);
    }
    return status;
}
