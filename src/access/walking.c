// SPDX-License-Identifier: MIT
//
// Dijkstra's search (1959) with Dial's buckets (1969): cells wait in buckets of time, each bucket a
// little shorter than the quickest possible move. A cell taken from the earliest bucket can then no
// longer be improved, in whatever order its bucket is emptied, so the search is exact without a
// heap and each cell is settled once. A cell that is improved waits once more, in an earlier
// bucket; its later places are passed over, being no longer the bucket of its time.
#include "access/walking.h"

#include <math.h>
#include <stdlib.h>

#include "access/pace.h"
#include "access/walk_ground.h"

static const double BUCKET_MARGIN = 1e-9; // of the quickest move; above what rounding can shift

struct search {
    struct sel_walk *walk;
    const struct sel_walk_ground *ground;
    struct sel_walk_reach reaches[SEL_WALK_MOVES];
    double limit, flat_pace, buckets_per_minute;
    bool out_of_memory;
};

void sel_walk_clear(struct sel_walk *walk) {
    free(walk->cells);
    free(walk->move);
    sel_buckets_clear(&walk->waiting);
    *walk = (struct sel_walk){0};
}

static bool make_room(struct sel_walk *walk, size_t cells) {
    if (walk->cells && cells <= walk->room)
        return true;
    free(walk->cells);
    free(walk->move);
    walk->cells = malloc((cells + 1) * sizeof *walk->cells);
    walk->move = malloc(cells + 1);
    walk->room = walk->cells && walk->move ? cells : 0;
    return walk->cells && walk->move;
}

// Fills the cells; returns the least slowness.
static double read_ground(struct sel_walk *walk, const struct sel_walk_ground *ground) {
    float least = HUGE_VALF;
    int64_t cells = walk->rows * walk->cols;
    for (int64_t i = 0; i < cells; i++) {
        float slowness = sel_walk_slowness(ground, i);
        walk->cells[i] = (struct sel_walk_cell){HUGE_VAL, ground->elevation_m[i], slowness};
        walk->move[i] = SEL_WALK_UNREACHED;
        least = slowness < least ? slowness : least;
    }
    return (double)least;
}

static int64_t bucket_of(const struct search *search, double minutes) {
    return (int64_t)(minutes * search->buckets_per_minute);
}

// Returns the number of buckets.
static int64_t lay_buckets(struct search *search, double least_slowness) {
    double side = fmin(search->ground->cell_x_m, search->ground->cell_y_m);
    double quickest = side * search->flat_pace * (isinf(least_slowness) ? 1 : least_slowness);
    search->buckets_per_minute = 1 / (quickest * (1 - BUCKET_MARGIN));
    return bucket_of(search, search->limit) + 1;
}

static void improve(struct search *search, int64_t cell, double minutes, int move) {
    struct sel_walk *walk = search->walk;
    double before = walk->cells[cell].minutes;
    walk->cells[cell].minutes = minutes;
    walk->move[cell] = (uint8_t)move;
    int64_t bucket = bucket_of(search, minutes);
    if (isinf(before) || bucket_of(search, before) != bucket)
        search->out_of_memory |= !sel_buckets_push(&walk->waiting, bucket, (int32_t)cell);
}

static void begin_at_starts(struct search *search) {
    int64_t cells = search->walk->rows * search->walk->cols;
    for (int64_t i = 0; i < cells; i++)
        if ((search->ground->marks[i] & SEL_WALK_START) && !isinf(search->walk->cells[i].slowness))
            improve(search, i, 0, SEL_WALK_AT_START);
}

// Minutes from `cell` to the end of a move, or more than `most` when it cannot be as few.
static double minutes_after(const struct sel_walk_cell *cell, const struct sel_walk_reach *reach,
    double flat, double most) {
    const struct sel_walk_cell *end = cell + reach->end;
    double slowness = sel_walk_mean_slowness(reach, cell->slowness, end->slowness,
        cell[reach->via_a].slowness, cell[reach->via_b].slowness);
    double at_best = cell->minutes + reach->length_m * flat * slowness;
    if (at_best > most)
        return at_best;
    double rise = (double)end->elevation_m - (double)cell->elevation_m;
    return cell->minutes + reach->length_m * sel_walk_pace(rise / reach->length_m) * slowness;
}

static void try_move(struct search *search, int64_t cell, int move) {
    struct sel_walk *walk = search->walk;
    const struct sel_walk_reach *reach = &search->reaches[move];
    int64_t end = cell + reach->end;
    double before = walk->cells[end].minutes;
    if (before <= walk->cells[cell].minutes)
        return;
    double most = before < search->limit ? before : search->limit;
    double minutes = minutes_after(&walk->cells[cell], reach, search->flat_pace, most);
    if (minutes > most)
        return;
    if (minutes < before)
        improve(search, end, minutes, move);
    else if (cell < end - search->reaches[walk->move[end]].end)
        walk->move[end] = (uint8_t)move;
}

static void settle(struct search *search, int64_t cell) {
    const struct sel_walk *walk = search->walk;
    int64_t row = cell / walk->cols, col = cell % walk->cols;
    bool inner = row >= 2 && row < walk->rows - 2 && col >= 2 && col < walk->cols - 2;
    for (int move = 0; move < SEL_WALK_MOVES; move++)
        if (inner || sel_walk_stays(search->ground, &search->reaches[move], row, col))
            try_move(search, cell, move);
}

sel_status sel_walk_search(
    struct sel_walk *walk, const struct sel_walk_ground *ground, double limit_min) {
    struct search search = {
        .walk = walk, .ground = ground, .limit = limit_min, .flat_pace = sel_walk_pace(0)};
    if (!make_room(walk, (size_t)ground->rows * (size_t)ground->cols))
        return SEL_NO_MEMORY;
    walk->rows = ground->rows;
    walk->cols = ground->cols;
    sel_walk_lay_moves(ground, search.reaches);
    int64_t buckets = lay_buckets(&search, read_ground(walk, ground));
    if (!sel_buckets_reset(&walk->waiting, (size_t)buckets))
        return SEL_NO_MEMORY;
    begin_at_starts(&search);
    int32_t cell;
    for (int64_t bucket = 0; bucket < buckets && !search.out_of_memory; bucket++)
        while (sel_buckets_pop(&walk->waiting, bucket, &cell))
            if (bucket_of(&search, walk->cells[cell].minutes) == bucket)
                settle(&search, cell);
    return search.out_of_memory ? SEL_NO_MEMORY : SEL_OK;
}

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
