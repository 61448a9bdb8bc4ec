// SPDX-License-Identifier: MIT
//
// What is read from a finished search: the cells of a walk, and the last leg to a place that is no
// cell's middle.
#include <math.h>

#include "access/pace.h"
#include "access/walk_moves.h"

// The cell before the last move to a cell.
static int64_t step_back(const struct sel_walk *walk, int64_t cell) {
    int64_t rows, cols;
    sel_walk_step(walk->move[cell], &rows, &cols);
    return cell - rows * walk->cols - cols;
}

size_t sel_walk_visits(const struct sel_walk *walk, int64_t cell) {
    if (walk->move[cell] == SEL_WALK_UNREACHED)
        return 0;
    size_t visits = 1;
    for (; walk->move[cell] != SEL_WALK_AT_START; cell = step_back(walk, cell))
        visits++;
    return visits;
}

void sel_walk_path(const struct sel_walk *walk, int64_t cell, int64_t *visited) {
    size_t left = sel_walk_visits(walk, cell);
    while (left > 0) {
        visited[--left] = cell;
        if (left > 0)
            cell = step_back(walk, cell);
    }
}

static struct sel_walk_leg leg_from(
    const struct sel_walk *walk, int64_t cell, double length_m, double slope, double slowness) {
    struct sel_walk_leg leg = {
        cell, walk->cells[cell].minutes, length_m, slope * length_m, slowness};
    leg.minutes += length_m * sel_walk_pace(slope) * slowness;
    return leg;
}

// `move` leads from the own cell to the one that the leg begins in.
static struct sel_walk_leg leg_from_neighbour(
    const struct sel_walk *walk, int64_t own, int move, double east_m, double south_m) {
    struct sel_walk_reach reach = sel_walk_lay_move(walk, move);
    struct sel_walk_leg none = {.cell = own, .minutes = HUGE_VAL};
    if (!sel_walk_stays(walk, &reach, own / walk->cols, own % walk->cols))
        return none;
    int64_t cell = own + reach.end;
    double slowness = sel_walk_slowness_along(walk, &reach, own);
    if (isinf(walk->cells[cell].minutes) || isinf(slowness))
        return none;
    double east = east_m - reach.cols * walk->cell_x_m;
    double south = south_m - reach.rows * walk->cell_y_m;
    double rise = (double)walk->cells[own].elevation_m - (double)walk->cells[cell].elevation_m;
    return leg_from(walk, cell, sqrt(east * east + south * south), rise / reach.length_m, slowness);
}

struct sel_walk_leg sel_walk_to_place(
    const struct sel_walk *walk, int64_t own, double east_m, double south_m) {
    enum { TO_NEIGHBOURS = 8 }; // the first moves lead to the eight cells around
    struct sel_walk_leg best = {.cell = own, .minutes = HUGE_VAL};
    if (!isinf(walk->cells[own].minutes))
        best = leg_from(walk, own, sqrt(east_m * east_m + south_m * south_m), 0,
            (double)walk->cells[own].slowness);
    for (int move = 0; move < TO_NEIGHBOURS; move++) {
        struct sel_walk_leg leg = leg_from_neighbour(walk, own, move, east_m, south_m);
        bool earlier = best.cell != own && leg.cell < best.cell;
        if (leg.minutes < best.minutes ||
            (leg.minutes == best.minutes && !isinf(leg.minutes) && earlier))
            best = leg;
    }
    return best;
}
