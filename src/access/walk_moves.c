// SPDX-License-Identifier: MIT
//
// Which cells a move passes over follows from the straight line between the cell centres: a
// knight's move spends a quarter of its length in each of four cells; a move to a neighbour or a
// diagonal half in each of two, a diagonal touching two more at one corner. It may pass one barred
// cell or shut side at that corner, but not squeeze between two.
#include "access/walk_moves.h"

#include <math.h>
#include <stdlib.h>

#include "access/pace.h"

static const int8_t STEPS[SEL_WALK_MOVES][2] = {{-1, 0}, {0, -1}, {0, 1}, {1, 0}, {-1, -1}, {-1, 1},
    {1, -1}, {1, 1}, {-2, -1}, {-2, 1}, {-1, -2}, {-1, 2}, {1, -2}, {1, 2}, {2, -1}, {2, 1}};

void sel_walk_step(int move, int64_t *rows, int64_t *cols) {
    *rows = STEPS[move][0];
    *cols = STEPS[move][1];
}

static int sign(int number) {
    return (number > 0) - (number < 0);
}

struct sel_walk_reach sel_walk_lay_move(const struct sel_walk *walk, int move) {
    int rows = STEPS[move][0], cols = STEPS[move][1];
    double south = rows * walk->cell_y_m, east = cols * walk->cell_x_m;
    struct sel_walk_reach reach = {.rows = rows,
        .cols = cols,
        .end = rows * walk->cols + cols,
        .length_m = sqrt(south * south + east * east),
        .knight = abs(rows) + abs(cols) == 3,
        .diagonal = abs(rows) + abs(cols) == 2};
    if (reach.diagonal) {
        reach.via_a = rows * walk->cols;
        reach.via_b = cols;
    } else if (reach.knight) {
        reach.via_a = rows / 2 * walk->cols + cols / 2; // straight on along the longer step
        reach.via_b = sign(rows) * walk->cols + sign(cols);
    }
    return reach;
}

// Between two cells that share a side.
static bool side_is_shut(const struct sel_walk *walk, int64_t a, int64_t b) {
    int64_t first = a < b ? a : b, second = a < b ? b : a;
    bool upright = second - first == walk->cols;
    return walk->marks[first] & (upright ? SEL_WALK_SHUT_SOUTH : SEL_WALK_SHUT_EAST);
}

static bool corner_is_shut(const struct sel_walk *walk, int64_t from, int64_t via, int64_t to) {
    return isinf(walk->cells[via].slowness) || side_is_shut(walk, from, via) ||
           side_is_shut(walk, via, to);
}

bool sel_walk_is_shut(
    const struct sel_walk *walk, const struct sel_walk_reach *reach, int64_t cell) {
    int64_t a = cell + reach->via_a, b = cell + reach->via_b, end = cell + reach->end;
    if (reach->knight)
        return side_is_shut(walk, cell, a) || side_is_shut(walk, a, b) ||
               side_is_shut(walk, b, end);
    if (reach->diagonal)
        return corner_is_shut(walk, cell, a, end) && corner_is_shut(walk, cell, b, end);
    return side_is_shut(walk, cell, end);
}

double sel_walk_slowness_along(
    const struct sel_walk *walk, const struct sel_walk_reach *reach, int64_t cell) {
    if (sel_walk_is_shut(walk, reach, cell))
        return HUGE_VAL;
    const struct sel_walk_cell *from = &walk->cells[cell];
    return sel_walk_mean_slowness(reach, from->slowness, from[reach->end].slowness,
        from[reach->via_a].slowness, from[reach->via_b].slowness);
}

static double rise_between(const struct sel_walk *walk, int64_t from, int64_t to) {
    return (double)walk->cells[to].elevation_m - (double)walk->cells[from].elevation_m;
}

double sel_walk_move_minutes(const struct sel_walk *walk, int64_t cell, int move) {
    struct sel_walk_reach reach = sel_walk_lay_move(walk, move);
    if (!sel_walk_stays(walk, &reach, cell / walk->cols, cell % walk->cols))
        return HUGE_VAL;
    double slowness = sel_walk_slowness_along(walk, &reach, cell);
    if (isinf(slowness))
        return HUGE_VAL;
    double rise = rise_between(walk, cell, cell + reach.end);
    return reach.length_m * sel_walk_pace(rise / reach.length_m) * slowness;
}

void sel_walk_add(struct sel_walk_effort *sum, double length_m, double rise_m, double slowness) {
    if (!(length_m > 0))
        return;
    double slope = rise_m / length_m;
    sum->length_m += length_m;
    sum->minutes += length_m * sel_walk_pace(slope) * slowness;
    sum->out_minutes += length_m * sel_walk_pace_one_way(slope) * slowness;
    sum->back_minutes += length_m * sel_walk_pace_one_way(-slope) * slowness;
    sum->climb_out_m += fmax(rise_m, 0);
    sum->climb_back_m += fmax(-rise_m, 0);
}

static int move_between(const struct sel_walk *walk, int64_t from, int64_t to) {
    int64_t rows = to / walk->cols - from / walk->cols;
    int64_t cols = to % walk->cols - from % walk->cols;
    int move = 0;
    while (move + 1 < SEL_WALK_MOVES && (STEPS[move][0] != rows || STEPS[move][1] != cols))
        move++;
    return move;
}

void sel_walk_add_move(
    const struct sel_walk *walk, int64_t from, int64_t to, struct sel_walk_effort *sum) {
    struct sel_walk_reach reach = sel_walk_lay_move(walk, move_between(walk, from, to));
    sel_walk_add(sum, reach.length_m, rise_between(walk, from, to),
        sel_walk_slowness_along(walk, &reach, from));
}
