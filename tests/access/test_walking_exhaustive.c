// SPDX-License-Identifier: MIT
//
// Least-time walks on random ground: against a plain Dijkstra that shares nothing with the search
// (its moves are all steps up to two cells that are not multiples of shorter ones, the cells passed
// are found by sampling the straight line, Tobler's function is written out for out and back), and
// what must hold of any search: soundness, limits, tiles, turns.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "access/pace.h"
#include "access/walking.h"
#include "access_country.h"
#include "choose_check.h"
#include "choose_random.h"

// ---- a plain Dijkstra ----

enum { PLAIN_SIDE = 14, PLAIN_CELLS = PLAIN_SIDE * PLAIN_SIDE };

static bool plain_open(const struct country *c, int64_t i) {
    bool way = c->marks[i] & (SEL_WALK_WAY | SEL_WALK_START);
    return !isnan(c->elevation_m[i]) && (way || c->factor[i] > 0);
}

static double plain_slowness(const struct country *c, int64_t i) {
    bool way = c->marks[i] & (SEL_WALK_WAY | SEL_WALK_START);
    return way ? 1 : 1 / (0.6 * (double)c->factor[i]);
}

// Whether one can step from a cell to one that shares a side with it.
static bool plain_step(
    const struct country *c, int64_t row, int64_t col, int64_t rows, int64_t cols) {
    if (!plain_open(c, country_at(c, row + rows, col + cols)))
        return false;
    int64_t first_row = rows < 0 ? row - 1 : row, first_col = cols < 0 ? col - 1 : col;
    int shut = rows != 0 ? SEL_WALK_SHUT_SOUTH : SEL_WALK_SHUT_EAST;
    return !(c->marks[country_at(c, first_row, first_col)] & shut);
}

static bool plain_corner(
    const struct country *c, int64_t row, int64_t col, int64_t rows, int64_t cols) {
    return (plain_step(c, row, col, rows, 0) && plain_step(c, row + rows, col, 0, cols)) ||
           (plain_step(c, row, col, 0, cols) && plain_step(c, row, col + cols, rows, 0));
}

// Walks the straight line in small steps; the mean slowness, or a negative number when a cell on
// it is closed, it crosses a shut side, or it has no way round a corner.
static double plain_mean_slowness(
    const struct country *c, int64_t row, int64_t col, int64_t rows, int64_t cols) {
    enum { SAMPLES = 64 }; // a multiple of four, taken at midpoints: the shares come out exact
    double sum = 0;
    int64_t row_before = row, col_before = col;
    for (int k = 0; k < SAMPLES; k++) {
        double t = (k + 0.5) / SAMPLES;
        int64_t r = (int64_t)floor((double)row + 0.5 + t * (double)rows);
        int64_t q = (int64_t)floor((double)col + 0.5 + t * (double)cols);
        int64_t down = r - row_before, right = q - col_before;
        bool corner = down != 0 && right != 0, side = (down != 0) != (right != 0);
        if (!plain_open(c, country_at(c, r, q)) ||
            (side && !plain_step(c, row_before, col_before, down, right)) ||
            (corner && !plain_corner(c, row_before, col_before, down, right)))
            return -1;
        sum += plain_slowness(c, country_at(c, r, q)) / SAMPLES;
        row_before = r, col_before = q;
    }
    return sum;
}

static double plain_minutes(
    const struct country *c, int64_t row, int64_t col, int64_t rows, int64_t cols) {
    int64_t from = country_at(c, row, col), to = country_at(c, row + rows, col + cols);
    double slowness = plain_mean_slowness(c, row, col, rows, cols);
    if (slowness < 0)
        return -1;
    double metres = c->cell_x_m * hypot((double)rows, (double)cols);
    double slope = ((double)c->elevation_m[to] - (double)c->elevation_m[from]) / metres;
    double out = 6 * exp(-3.5 * fabs(slope + 0.05)), back = 6 * exp(-3.5 * fabs(-slope + 0.05));
    return metres / 1000 * 60 * (1 / out + 1 / back) / 2 * slowness;
}

static void plain_relax(const struct country *c, int64_t from, double *minutes) {
    int64_t row = from / c->cols, col = from % c->cols;
    for (int64_t rows = -2; rows <= 2; rows++)
        for (int64_t cols = -2; cols <= 2; cols++) {
            bool multiple = rows % 2 == 0 && cols % 2 == 0;
            bool long_straight = (rows == 0 && llabs(cols) == 2) || (cols == 0 && llabs(rows) == 2);
            int64_t r = row + rows, q = col + cols;
            if (multiple || long_straight || r < 0 || r >= c->rows || q < 0 || q >= c->cols)
                continue;
            double more = plain_minutes(c, row, col, rows, cols);
            if (more >= 0 && minutes[from] + more < minutes[country_at(c, r, q)])
                minutes[country_at(c, r, q)] = minutes[from] + more;
        }
}

static void plain_dijkstra(const struct country *c, double *minutes) {
    bool done[PLAIN_CELLS] = {false};
    for (int64_t i = 0; i < c->rows * c->cols; i++)
        minutes[i] = c->marks[i] & SEL_WALK_START && plain_open(c, i) ? 0 : HUGE_VAL;
    for (;;) {
        int64_t next = -1;
        for (int64_t i = 0; i < c->rows * c->cols; i++)
            if (!done[i] && !isinf(minutes[i]) && (next < 0 || minutes[i] < minutes[next]))
                next = i;
        if (next < 0)
            return;
        done[next] = true;
        plain_relax(c, next, minutes);
    }
}

// Shuts every third side or so.
static void shut_sides(struct country *c, uint64_t *random) {
    for (int64_t i = 0; i < c->rows * c->cols; i++) {
        c->marks[i] |= random_below(random, 3) == 0 ? SEL_WALK_SHUT_EAST : 0;
        c->marks[i] |= random_below(random, 3) == 0 ? SEL_WALK_SHUT_SOUTH : 0;
    }
}

// Slowness is kept as a float: 6e-8 of it may be lost. Half the trials have shut sides.
static void random_grids_agree_with_a_plain_dijkstra(void **state) {
    (void)state;
    uint64_t random = 31;
    int reached = 0;
    for (int trial = 0; trial < 300; trial++) {
        int64_t rows = random_below(&random, PLAIN_SIDE) + 1;
        struct country c = country_random(&random, rows, random_below(&random, PLAIN_SIDE) + 1);
        if (trial % 2)
            shut_sides(&c, &random);
        double minutes[PLAIN_CELLS];
        plain_dijkstra(&c, minutes);
        country_search(&c, FOREVER);
        for (int64_t i = 0; i < c.rows * c.cols; i++) {
            if (minutes[i] > FOREVER) {
                assert_int_equal(c.walk.move[i], SEL_WALK_UNREACHED);
                continue;
            }
            assert_near(c.walk.cells[i].minutes, minutes[i], 1e-7 * minutes[i]);
            reached++;
        }
        country_free(&c);
    }
    assert_true(reached > 6000);
}

// ---- many squares ----

// A queue of cells to look at once more, each at most once: no order, no buckets, no squares.
static void relax_until_nothing_changes(const struct country *c, double *minutes) {
    int64_t cells = c->rows * c->cols, first = 0, count = 0;
    int64_t *queue = malloc((size_t)cells * sizeof *queue);
    bool *waits = calloc((size_t)cells, sizeof *waits);
    for (int64_t i = 0; i < cells; i++) {
        minutes[i] = c->marks[i] & SEL_WALK_START && plain_open(c, i) ? 0 : HUGE_VAL;
        if (minutes[i] == 0)
            queue[count++] = i, waits[i] = true;
    }
    while (count > 0) {
        int64_t cell = queue[first], rows, cols;
        first = (first + 1) % cells, count--, waits[cell] = false;
        for (int move = 0; move < SEL_WALK_MOVES; move++) {
            double more = sel_walk_move_minutes(&c->walk, cell, move);
            sel_walk_step(move, &rows, &cols);
            int64_t end = cell + rows * c->cols + cols;
            if (isinf(more) || !(minutes[cell] + more < minutes[end]))
                continue;
            minutes[end] = minutes[cell] + more;
            if (!waits[end])
                queue[(first + count++) % cells] = end, waits[end] = true;
        }
    }
    free(queue);
    free(waits);
}

// Windows of several of the search's squares (256 cells a side), with walls that lead walks in and
// out of them: every time is the least, to the last bit.
static void walks_through_many_squares_are_the_shortest(void **state) {
    (void)state;
    uint64_t random = 43;
    for (int trial = 0; trial < 3; trial++) {
        struct country c = country_random(&random, 300, 530);
        for (int64_t i = 0; i < c.rows * c.cols; i++)
            c.marks[i] &= trial == 0 ? (uint8_t)~SEL_WALK_START : 0xFF;
        for (int64_t wall = 20; wall < 530; wall += 40)
            for (int64_t row = 0; row < 290; row++)
                c.factor[country_at(&c, wall / 40 % 2 ? 299 - row : row, wall)] = 0;
        c.marks[country_at(&c, 150, 250)] = SEL_WALK_START;
        c.elevation_m[country_at(&c, 150, 250)] = 10;
        if (trial == 2)
            shut_sides(&c, &random);
        double *minutes = malloc((size_t)(c.rows * c.cols) * sizeof *minutes);
        country_search(&c, FOREVER);
        relax_until_nothing_changes(&c, minutes);
        int64_t reached = 0;
        for (int64_t i = 0; i < c.rows * c.cols; i++) {
            assert_near(c.walk.cells[i].minutes, minutes[i], 0);
            reached += !isinf(minutes[i]);
        }
        assert_true(reached > 10000);
        free(minutes);
        country_free(&c);
    }
}

// ---- properties ----

static void assert_walk_is_sound(const struct country *c, int64_t cell) {
    enum { MOST = 4096 };
    int64_t visited[MOST];
    size_t visits = sel_walk_visits(&c->walk, cell);
    assert_true(visits >= 1 && visits <= MOST);
    sel_walk_path(&c->walk, cell, visited);
    assert_true(c->marks[visited[0]] & SEL_WALK_START);
    assert_int_equal(visited[visits - 1], cell);
    double sum = 0;
    for (size_t i = 1; i < visits; i++)
        sum += sel_walk_move_minutes(&c->walk, visited[i - 1], c->walk.move[visited[i]]);
    struct sel_walk_effort effort = country_measure(c, visited, visits);
    double minutes = c->walk.cells[cell].minutes;
    assert_near(sum, minutes, 0);
    assert_near(effort.minutes, minutes, 0);
    assert_near((effort.out_minutes + effort.back_minutes) / 2, minutes, 1e-12 * (1 + minutes));
    double rise = (double)c->elevation_m[cell] - (double)c->elevation_m[visited[0]];
    assert_near(effort.climb_out_m - effort.climb_back_m, rise, 1e-9 * (1 + effort.climb_out_m));
    assert_true(effort.length_m >= 0);
}

static void time_and_length_agree_when_summed_along_the_walk(void **state) {
    (void)state;
    uint64_t random = 33;
    for (int trial = 0; trial < 20; trial++) {
        struct country c = country_random(&random, 40, 50);
        country_search(&c, FOREVER);
        for (int64_t i = 0; i < c.rows * c.cols; i += 7)
            if (c.walk.move[i] != SEL_WALK_UNREACHED)
                assert_walk_is_sound(&c, i);
        country_free(&c);
    }
}

static void beyond_the_limit_nothing_is_reached_and_within_it_nothing_changes(void **state) {
    (void)state;
    uint64_t random = 35;
    struct country c = country_random(&random, 60, 60);
    c.marks[country_at(&c, 30, 30)] = SEL_WALK_START;
    c.elevation_m[country_at(&c, 30, 30)] = 0;
    country_search(&c, FOREVER);
    struct sel_walk all = c.walk;
    c.walk = (struct sel_walk){0};
    const double limits[] = {0, 0.5, all.cells[country_at(&c, 45, 30)].minutes, 12.75, 1000};
    for (int k = 0; k < 5; k++) {
        country_search(&c, limits[k]);
        for (int64_t i = 0; i < 3600; i++) {
            bool within = all.cells[i].minutes <= limits[k];
            assert_int_equal(c.walk.move[i], within ? all.move[i] : SEL_WALK_UNREACHED);
            assert_near(c.walk.cells[i].minutes, within ? all.cells[i].minutes : HUGE_VAL, 0);
        }
    }
    sel_walk_clear(&all);
    country_free(&c);
}

static struct country part_of(
    const struct country *whole, int64_t row, int64_t col, int64_t rows, int64_t cols) {
    struct country c = country_new(rows, cols, whole->cell_x_m);
    for (int64_t r = 0; r < rows; r++)
        for (int64_t q = 0; q < cols; q++) {
            int64_t from = country_at(whole, row + r, col + q), to = country_at(&c, r, q);
            c.elevation_m[to] = whole->elevation_m[from];
            c.factor[to] = whole->factor[from];
            c.marks[to] = whole->marks[from];
        }
    return c;
}

static void assert_core_agrees(const struct country *whole, const struct country *part, int64_t row,
    int64_t col, int64_t halo, int64_t side) {
    for (int64_t r = halo; r < halo + side; r++)
        for (int64_t q = halo; q < halo + side; q++) {
            int64_t there = country_at(whole, row + r, col + q), here = country_at(part, r, q);
            assert_near(part->walk.cells[here].minutes, whole->walk.cells[there].minutes, 0);
            assert_int_equal(part->walk.move[here], whole->walk.move[there]);
        }
}

// The whole country at once, and tile by tile with the halo: the same to the last bit, last moves
// and all. Half the trials are flat and even, where ties abound.
static void a_tile_with_its_halo_gets_the_same_times_as_the_whole(void **state) {
    (void)state;
    uint64_t random = 37;
    for (int trial = 0; trial < 6; trial++) {
        enum { SIDE = 150, TILE = 30 };
        struct country whole = country_random(&random, SIDE, SIDE);
        if (trial % 2)
            for (int i = 0; i < SIDE * SIDE; i++)
                whole.elevation_m[i] = 100, whole.factor[i] = 1;
        double limit = 12 * whole.cell_x_m * FLAT_MIN_PER_M;
        int64_t halo = sel_walk_halo(limit, whole.cell_x_m);
        assert_in_range(halo, 12, 14);
        country_search(&whole, limit);
        for (int64_t row = 0; row + TILE + 2 * halo <= SIDE; row += TILE)
            for (int64_t col = 0; col + TILE + 2 * halo <= SIDE; col += TILE) {
                struct country part = part_of(&whole, row, col, TILE + 2 * halo, TILE + 2 * halo);
                country_search(&part, limit);
                assert_core_agrees(&whole, &part, row, col, halo, TILE);
                country_free(&part);
            }
        country_free(&whole);
    }
}

// Turning the country by a right angle and mirroring it changes no time.
static void turning_and_mirroring_change_no_time(void **state) {
    (void)state;
    uint64_t random = 39;
    for (int trial = 0; trial < 10; trial++) {
        struct country c = country_random(&random, 25, 40);
        struct country turned = country_new(40, 25, c.cell_x_m);
        for (int64_t row = 0; row < 25; row++)
            for (int64_t col = 0; col < 40; col++) {
                int64_t from = country_at(&c, row, col), to = country_at(&turned, col, 24 - row);
                turned.elevation_m[to] = c.elevation_m[from];
                turned.factor[to] = c.factor[from];
                turned.marks[to] = c.marks[from];
            }
        country_search(&c, FOREVER);
        country_search(&turned, FOREVER);
        for (int64_t row = 0; row < 25; row++)
            for (int64_t col = 0; col < 40; col++)
                assert_near(
                    country_minutes(&turned, col, 24 - row), country_minutes(&c, row, col), 0);
        country_free(&c);
        country_free(&turned);
    }
}

static void a_walk_can_be_searched_again_for_other_windows(void **state) {
    (void)state;
    uint64_t random = 41;
    struct sel_walk walk = {0};
    const int64_t sizes[] = {10, 30, 3, 1, 20};
    for (int k = 0; k < 5; k++) {
        struct country c = country_random(&random, sizes[k], sizes[k]);
        c.marks[0] = SEL_WALK_START;
        country_search(&c, FOREVER);
        country_search_in(&c, &walk, FOREVER);
        for (int64_t i = 0; i < sizes[k] * sizes[k]; i++)
            assert_near(walk.cells[i].minutes, c.walk.cells[i].minutes, 0);
        country_free(&c);
    }
    sel_walk_clear(&walk);
}

static void without_a_start_nothing_is_reached(void **state) {
    (void)state;
    struct country c = country_new(20, 20, 10);
    country_search(&c, FOREVER);
    for (int i = 0; i < 400; i++)
        assert_int_equal(c.walk.move[i], SEL_WALK_UNREACHED);
    country_free(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_grids_agree_with_a_plain_dijkstra),
        cmocka_unit_test(walks_through_many_squares_are_the_shortest),
        cmocka_unit_test(time_and_length_agree_when_summed_along_the_walk),
        cmocka_unit_test(beyond_the_limit_nothing_is_reached_and_within_it_nothing_changes),
        cmocka_unit_test(a_tile_with_its_halo_gets_the_same_times_as_the_whole),
        cmocka_unit_test(turning_and_mirroring_change_no_time),
        cmocka_unit_test(a_walk_can_be_searched_again_for_other_windows),
        cmocka_unit_test(without_a_start_nothing_is_reached),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
