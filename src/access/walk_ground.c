// SPDX-License-Identifier: MIT
//
// Which cells a move passes over follows from the straight line between the cell centres: a
// knight's move spends a quarter of its length in each of four cells; a move to a neighbour or a
// diagonal half in each of two, a diagonal touching two more at one corner. It may pass one barred
// cell at that corner, but not squeeze between two.
#include "access/walk_ground.h"

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

static struct sel_walk_reach lay_move(const struct sel_walk_ground *ground, int rows, int cols) {
    double south = rows * ground->cell_y_m, east = cols * ground->cell_x_m;
    struct sel_walk_reach reach = {.rows = rows,
        .cols = cols,
        .end = rows * ground->cols + cols,
        .length_m = sqrt(south * south + east * east),
        .knight = abs(rows) + abs(cols) == 3,
        .diagonal = abs(rows) + abs(cols) == 2};
    if (reach.diagonal) {
        reach.via_a = rows * ground->cols;
        reach.via_b = cols;
    } else if (reach.knight) {
        reach.via_a = rows / 2 * ground->cols + cols / 2; // straight on along the longer step
        reach.via_b = sign(rows) * ground->cols + sign(cols);
    }
    return reach;
}

void sel_walk_lay_moves(
    const struct sel_walk_ground *ground, struct sel_walk_reach reaches[SEL_WALK_MOVES]) {
    for (int move = 0; move < SEL_WALK_MOVES; move++)
        reaches[move] = lay_move(ground, STEPS[move][0], STEPS[move][1]);
}

float sel_walk_slowness(const struct sel_walk_ground *ground, int64_t cell) {
    if (isnan(ground->elevation_m[cell]))
        return HUGE_VALF;
    if (ground->marks[cell] & (SEL_WALK_WAY | SEL_WALK_START))
        return 1;
    double factor = (double)ground->factor[cell];
    return factor > 0 ? (float)(1 / (SEL_WALK_OFF_PATH * factor)) : HUGE_VALF;
}

static double slowness_of_move(
    const struct sel_walk_ground *ground, const struct sel_walk_reach *reach, int64_t cell) {
    float begin = sel_walk_slowness(ground, cell);
    float end = sel_walk_slowness(ground, cell + reach->end);
    float via_a = sel_walk_slowness(ground, cell + reach->via_a);
    float via_b = sel_walk_slowness(ground, cell + reach->via_b);
    return sel_walk_mean_slowness(reach, begin, end, via_a, via_b);
}

double sel_walk_move_minutes(const struct sel_walk_ground *ground, int64_t cell, int move) {
    struct sel_walk_reach reach = lay_move(ground, STEPS[move][0], STEPS[move][1]);
    if (!sel_walk_stays(ground, &reach, cell / ground->cols, cell % ground->cols))
        return HUGE_VAL;
    double slowness = slowness_of_move(ground, &reach, cell);
    if (isinf(slowness))
        return HUGE_VAL;
    double rise = (double)ground->elevation_m[cell + reach.end] - (double)ground->elevation_m[cell];
    return reach.length_m * sel_walk_pace(rise / reach.length_m) * slowness;
}

static int move_between(const struct sel_walk_ground *ground, int64_t from, int64_t to) {
    int64_t rows = to / ground->cols - from / ground->cols;
    int64_t cols = to % ground->cols - from % ground->cols;
    int move = 0;
    while (move < SEL_WALK_MOVES && (STEPS[move][0] != rows || STEPS[move][1] != cols))
        move++;
    return move;
}

struct sel_walk_effort sel_walk_measure(
    const struct sel_walk_ground *ground, const int64_t *visited, size_t count) {
    struct sel_walk_effort sum = {0};
    for (size_t i = 1; i < count; i++) {
        int move = move_between(ground, visited[i - 1], visited[i]);
        struct sel_walk_reach reach = lay_move(ground, STEPS[move][0], STEPS[move][1]);
        double slowness = slowness_of_move(ground, &reach, visited[i - 1]);
        double rise =
            (double)ground->elevation_m[visited[i]] - (double)ground->elevation_m[visited[i - 1]];
        double slope = rise / reach.length_m;
        sum.length_m += reach.length_m;
        sum.minutes += reach.length_m * sel_walk_pace(slope) * slowness;
        sum.out_minutes += reach.length_m * sel_walk_pace_one_way(slope) * slowness;
        sum.back_minutes += reach.length_m * sel_walk_pace_one_way(-slope) * slowness;
        sum.climb_out_m += fmax(rise, 0);
        sum.climb_back_m += fmax(-rise, 0);
    }
    return sum;
}
