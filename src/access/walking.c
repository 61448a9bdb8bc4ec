// SPDX-License-Identifier: MIT
//
// Dijkstra's search (1959) with Dial's buckets (1969): cells wait in buckets of time, each bucket a
// little shorter than the quickest possible move. A cell taken from the earliest bucket can then no
// longer be improved by cells still waiting, in whatever order its bucket is emptied, so no heap is
// needed. A cell that is improved waits once more, in an earlier bucket; its later places are
// passed over, being no longer the bucket of its time.
//
// The window is worked through in squares small enough for the processor's cache. Each is searched
// to its end; what leaves it is left pending with the square it enters, which is searched again
// from there, until nothing is pending. That settles a few cells in a hundred more than once, and
// is twice as fast. The result is that of one search over the whole: in either, a time is the least
// over all walks of the same sums.
#include "access/walking.h"

#include <math.h>
#include <stdlib.h>

#include "access/pace.h"
#include "access/walk_moves.h"
#include "base/whole.h"

static const double BUCKET_MARGIN = 1e-9; // of the quickest move; above what rounding can shift
enum { SQUARE = 256 };                    // cells a side: 1 MiB

struct search {
    struct sel_walk *walk;
    struct sel_walk_reach reaches[SEL_WALK_MOVES];
    double limit, flat_pace, buckets_per_minute;
    int64_t buckets, square_cols, squares;
    int64_t row, col, row_end, col_end; // the square in work
    bool out_of_memory;
};

void sel_walk_clear(struct sel_walk *walk) {
    free(walk->cells);
    free(walk->marks);
    free(walk->move);
    sel_buckets_clear(&walk->waiting);
    sel_buckets_clear(&walk->pending);
    *walk = (struct sel_walk){0};
}

static bool make_room(struct sel_walk *walk, size_t cells) {
    if (walk->cells && cells <= walk->room)
        return true;
    free(walk->cells);
    free(walk->marks);
    free(walk->move);
    walk->cells = malloc((cells + 1) * sizeof *walk->cells);
    walk->marks = malloc(cells + 1);
    walk->move = malloc(cells + 1);
    bool made = walk->cells && walk->marks && walk->move;
    walk->room = made ? cells : 0;
    return made;
}

sel_status sel_walk_lay(
    struct sel_walk *walk, int64_t rows, int64_t cols, double cell_x_m, double cell_y_m) {
    if (!make_room(walk, (size_t)rows * (size_t)cols))
        return SEL_NO_MEMORY;
    walk->rows = rows;
    walk->cols = cols;
    walk->cell_x_m = cell_x_m;
    walk->cell_y_m = cell_y_m;
    for (int64_t i = 0; i < rows * cols; i++) {
        walk->cells[i] = (struct sel_walk_cell){HUGE_VAL, 0, HUGE_VALF};
        walk->marks[i] = 0;
        walk->move[i] = SEL_WALK_UNREACHED;
    }
    return SEL_OK;
}

static float slowness_of(float elevation_m, float factor, uint8_t marks) {
    if (isnan(elevation_m))
        return HUGE_VALF;
    if (marks & (SEL_WALK_WAY | SEL_WALK_START))
        return 1;
    return factor > 0 ? (float)(1 / (SEL_WALK_OFF_PATH * (double)factor)) : HUGE_VALF;
}

void sel_walk_set(
    struct sel_walk *walk, int64_t cell, float elevation_m, float factor, uint8_t marks) {
    float slowness = slowness_of(elevation_m, factor, marks);
    walk->cells[cell] = (struct sel_walk_cell){HUGE_VAL, elevation_m, slowness};
    walk->marks[cell] = marks;
}

// Marks the cells from which a move may pass the east or south side of (row, col).
static void warn_around(struct sel_walk *walk, int64_t row, int64_t col) {
    int64_t row_end = sel_smaller(row + 4, walk->rows), col_end = sel_smaller(col + 4, walk->cols);
    for (int64_t r = sel_larger(row - 2, 0); r < row_end; r++)
        for (int64_t c = sel_larger(col - 2, 0); c < col_end; c++)
            walk->marks[r * walk->cols + c] |= SEL_WALK_NEAR_SHUT;
}

// Forgets an earlier search and warns of shut sides; returns the least slowness.
static double prepare(struct sel_walk *walk) {
    float least = HUGE_VALF;
    for (int64_t i = 0; i < walk->rows * walk->cols; i++) {
        walk->cells[i].minutes = HUGE_VAL;
        walk->move[i] = SEL_WALK_UNREACHED;
        walk->marks[i] &= (uint8_t)~SEL_WALK_WAITING;
        if (walk->marks[i] & (SEL_WALK_SHUT_EAST | SEL_WALK_SHUT_SOUTH))
            warn_around(walk, i / walk->cols, i % walk->cols);
        least = fminf(least, walk->cells[i].slowness);
    }
    return isinf(least) ? 1 : (double)least;
}

static int64_t bucket_of(const struct search *search, double minutes) {
    return (int64_t)(minutes * search->buckets_per_minute);
}

static bool lay_queues(struct search *search, double least_slowness) {
    struct sel_walk *walk = search->walk;
    double side = fmin(walk->cell_x_m, walk->cell_y_m);
    double quickest = side * search->flat_pace * least_slowness;
    search->buckets_per_minute = 1 / (quickest * (1 - BUCKET_MARGIN));
    search->buckets = bucket_of(search, search->limit) + 1;
    search->square_cols = (walk->cols + SQUARE - 1) / SQUARE;
    search->squares = search->square_cols * ((walk->rows + SQUARE - 1) / SQUARE);
    return sel_buckets_reset(&walk->waiting, (size_t)search->buckets) &&
           sel_buckets_reset(&walk->pending, (size_t)search->squares);
}

static int64_t square_of(const struct search *search, int64_t row, int64_t col) {
    return row / SQUARE * search->square_cols + col / SQUARE;
}

static void wait_in(
    struct search *search, struct sel_buckets *queue, int64_t bucket, int64_t cell) {
    search->out_of_memory |= !sel_buckets_push(queue, bucket, (int32_t)cell);
    search->walk->marks[cell] |= SEL_WALK_WAITING;
}

// Outside the square in work a cell that waits is pending already; inside it waits in the bucket of
// its time before.
static void improve(struct search *search, int64_t cell, double minutes, int move, bool inside) {
    struct sel_walk *walk = search->walk;
    double before = walk->cells[cell].minutes;
    bool waits = walk->marks[cell] & SEL_WALK_WAITING;
    walk->cells[cell].minutes = minutes;
    walk->move[cell] = (uint8_t)move;
    if (inside) {
        int64_t bucket = bucket_of(search, minutes);
        if (!waits || bucket_of(search, before) != bucket)
            wait_in(search, &walk->waiting, bucket, cell);
    } else if (!waits) {
        int64_t square = square_of(search, cell / walk->cols, cell % walk->cols);
        wait_in(search, &walk->pending, square, cell);
    }
}

static void begin_at(struct search *search, const struct sel_walk_start *starts, size_t count) {
    for (size_t i = 0; i < count; i++) {
        const struct sel_walk_cell *cell = &search->walk->cells[starts[i].cell];
        double minutes = starts[i].minutes;
        if (!isinf(cell->slowness) && minutes <= search->limit && minutes < cell->minutes)
            improve(search, starts[i].cell, minutes, SEL_WALK_AT_START, false);
    }
}

// Minutes from `cell` to the end of a move, or more than `most` when it cannot be as few.
static inline double minutes_after(const struct sel_walk_cell *cell,
    const struct sel_walk_reach *reach, double flat, double most) {
    const struct sel_walk_cell *end = cell + reach->end;
    double slowness = sel_walk_mean_slowness(reach, cell->slowness, end->slowness,
        cell[reach->via_a].slowness, cell[reach->via_b].slowness);
    double at_best = cell->minutes + reach->length_m * flat * slowness;
    if (at_best > most)
        return at_best;
    double rise = (double)end->elevation_m - (double)cell->elevation_m;
    return cell->minutes + reach->length_m * sel_walk_pace(rise / reach->length_m) * slowness;
}

static inline void try_move(
    struct search *search, int64_t row, int64_t col, const struct sel_walk_reach *reach, int move) {
    struct sel_walk *walk = search->walk;
    int64_t cell = row * walk->cols + col, end = cell + reach->end;
    double before = walk->cells[end].minutes;
    if (before <= walk->cells[cell].minutes)
        return;
    double most = before < search->limit ? before : search->limit;
    double minutes = minutes_after(&walk->cells[cell], reach, search->flat_pace, most);
    if (minutes > most)
        return;
    if (minutes < before) {
        int64_t to_row = row + reach->rows, to_col = col + reach->cols;
        bool inside = to_row >= search->row && to_row < search->row_end && to_col >= search->col &&
                      to_col < search->col_end;
        improve(search, end, minutes, move, inside);
    } else if (walk->move[end] != SEL_WALK_AT_START &&
               cell < end - search->reaches[walk->move[end]].end) {
        walk->move[end] = (uint8_t)move;
    }
}

static void settle(struct search *search, int64_t cell) {
    const struct sel_walk *walk = search->walk;
    int64_t row = cell / walk->cols, col = cell % walk->cols;
    bool inner = row >= 2 && row < walk->rows - 2 && col >= 2 && col < walk->cols - 2;
    bool careful = walk->marks[cell] & SEL_WALK_NEAR_SHUT;
    for (int move = 0; move < SEL_WALK_MOVES; move++) {
        const struct sel_walk_reach *reach = &search->reaches[move];
        if (!inner && !sel_walk_stays(walk, reach, row, col))
            continue;
        if (careful && sel_walk_is_shut(walk, reach, cell))
            continue;
        try_move(search, row, col, reach, move);
    }
}

// Sorts what is pending in a square into buckets; returns the first of them.
static int64_t take_up(struct search *search, int64_t square) {
    struct sel_walk *walk = search->walk;
    int64_t first = search->buckets;
    int32_t cell;
    while (sel_buckets_pop(&walk->pending, square, &cell)) {
        int64_t bucket = bucket_of(search, walk->cells[cell].minutes);
        first = sel_smaller(first, bucket);
        wait_in(search, &walk->waiting, bucket, cell);
    }
    return first;
}

static void search_square(struct search *search, int64_t square) {
    struct sel_walk *walk = search->walk;
    search->row = square / search->square_cols * SQUARE;
    search->col = square % search->square_cols * SQUARE;
    search->row_end = search->row + SQUARE;
    search->col_end = search->col + SQUARE;
    int64_t bucket = take_up(search, square);
    for (int32_t cell; bucket < search->buckets && !search->out_of_memory; bucket++)
        while (sel_buckets_pop(&walk->waiting, bucket, &cell)) {
            if (bucket_of(search, walk->cells[cell].minutes) != bucket)
                continue;
            walk->marks[cell] &= (uint8_t)~SEL_WALK_WAITING;
            settle(search, cell);
        }
}

sel_status sel_walk_search(
    struct sel_walk *walk, const struct sel_walk_start *starts, size_t count, double limit_min) {
    struct search search = {.walk = walk, .limit = limit_min, .flat_pace = sel_walk_pace(0)};
    for (int move = 0; move < SEL_WALK_MOVES; move++)
        search.reaches[move] = sel_walk_lay_move(walk, move);
    if (!lay_queues(&search, prepare(walk)))
        return SEL_NO_MEMORY;
    begin_at(&search, starts, count);
    bool pending = true;
    while (pending && !search.out_of_memory) {
        pending = false;
        for (int64_t square = 0; square < search.squares; square++)
            if (sel_buckets_any(&walk->pending, square)) {
                pending = true;
                search_square(&search, square);
            }
    }
    return search.out_of_memory ? SEL_NO_MEMORY : SEL_OK;
}
