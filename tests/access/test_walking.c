// SPDX-License-Identifier: MIT
//
// Least-time walks against closed forms, sums made by hand, and a plain Dijkstra that shares
// nothing with the search: its moves are all steps up to two cells that are not multiples of
// shorter ones, the cells passed are found by sampling the straight line, Tobler's function is
// written out for out and back.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "access/pace.h"
#include "access/walking.h"
#include "choose_check.h"
#include "choose_random.h"

static const double FLAT_MIN_PER_M = 60 / 5036.742124615245; // closed form: 6 exp(-0.175) km/h
static const double FOREVER = 5000; // min

// ---- a small country ----

struct country {
    int64_t rows, cols;
    float *elevation_m, *factor;
    uint8_t *marks;
    double cell_x_m, cell_y_m;
    struct sel_walk walk;
};

static struct country country_new(int64_t rows, int64_t cols, double cell_m) {
    size_t cells = (size_t)(rows * cols);
    struct country c = {.rows = rows, .cols = cols, .cell_x_m = cell_m, .cell_y_m = cell_m};
    c.elevation_m = calloc(cells, sizeof *c.elevation_m);
    c.factor = malloc(cells * sizeof *c.factor);
    c.marks = calloc(cells, 1);
    for (size_t i = 0; i < cells; i++)
        c.factor[i] = 1;
    return c;
}

static void country_free(struct country *c) {
    free(c->elevation_m);
    free(c->factor);
    free(c->marks);
    sel_walk_clear(&c->walk);
}

static int64_t at(const struct country *c, int64_t row, int64_t col) {
    return row * c->cols + col;
}

static double minutes_at(const struct country *c, int64_t row, int64_t col) {
    return c->walk.cells[at(c, row, col)].minutes;
}

static void lay_into(const struct country *c, struct sel_walk *walk) {
    assert_int_equal(sel_walk_lay(walk, c->rows, c->cols, c->cell_x_m, c->cell_y_m), SEL_OK);
    for (int64_t i = 0; i < c->rows * c->cols; i++)
        sel_walk_set(walk, i, c->elevation_m[i], c->factor[i], c->marks[i]);
}

// From every cell that is marked as a start, at time zero.
static void search_in(const struct country *c, struct sel_walk *walk, double limit_min) {
    struct sel_walk_start *starts = malloc((size_t)(c->rows * c->cols) * sizeof *starts);
    size_t count = 0;
    for (int64_t i = 0; i < c->rows * c->cols; i++)
        if (c->marks[i] & SEL_WALK_START)
            starts[count++] = (struct sel_walk_start){(int32_t)i, 0};
    lay_into(c, walk);
    assert_int_equal(sel_walk_search(walk, starts, count, limit_min), SEL_OK);
    free(starts);
}

static void search(struct country *c, double limit_min) {
    search_in(c, &c->walk, limit_min);
}

static struct sel_walk_effort measure(
    const struct country *c, const int64_t *visited, size_t count) {
    struct sel_walk_effort sum = {0};
    for (size_t i = 1; i < count; i++)
        sel_walk_add_move(&c->walk, visited[i - 1], visited[i], &sum);
    return sum;
}

// A map drawn with letters: '#' barrier, '.' open, 'S' start, '=' way over open ground, '+' way
// over a barrier, '~' no elevation.
static struct country country_drawn(const char *const *lines, int64_t rows, double cell_m) {
    struct country c = country_new(rows, (int64_t)strlen(lines[0]), cell_m);
    for (int64_t row = 0; row < rows; row++)
        for (int64_t col = 0; col < c.cols; col++) {
            char letter = lines[row][col];
            int64_t i = at(&c, row, col);
            c.factor[i] = letter == '#' || letter == '+' ? 0 : 1;
            c.marks[i] = letter == 'S'                    ? SEL_WALK_START
                         : letter == '=' || letter == '+' ? SEL_WALK_WAY
                                                          : 0;
            if (letter == '~')
                c.elevation_m[i] = (float)NAN;
        }
    return c;
}

// ---- flat ground ----

static void along_a_way_time_is_distance_over_speed(void **state) {
    (void)state;
    const char *const map[] = {"S======.........", "................"};
    struct country c = country_drawn(map, 2, 20);
    search(&c, FOREVER);
    assert_near(minutes_at(&c, 0, 5), 100 * FLAT_MIN_PER_M, 1e-9);
    // Half a cell on the way, eight and a half off it; the next row's way is no shorter.
    assert_near(minutes_at(&c, 0, 15), (130 + 170 / 0.6) * FLAT_MIN_PER_M, 1e-6);
    country_free(&c);
}

static void off_the_way_and_in_rough_ground_it_takes_longer(void **state) {
    (void)state;
    struct country c = country_new(1, 30, 25);
    c.marks[0] = SEL_WALK_START;
    c.marks[1] = SEL_WALK_WAY;
    for (int i = 15; i < 30; i++)
        c.factor[i] = 0.5f;
    search(&c, FOREVER);
    // 37.5 m by path speed, 325 m at 3/5 of it, 12.5 m + 250 m at half of that.
    double metres_of_path = 37.5 + 325 / 0.6 + 262.5 / 0.3;
    assert_near(minutes_at(&c, 0, 25), metres_of_path * FLAT_MIN_PER_M, 1e-5);
    country_free(&c);
}

// 16 moves err by at most 1 / cos(13.28 deg) = 1.02749 (closed form), and never make a walk
// shorter.
static void on_open_ground_every_direction_is_within_three_percent(void **state) {
    (void)state;
    enum { MIDDLE = 120 };
    struct country c = country_new(2 * MIDDLE + 1, 2 * MIDDLE + 1, 25);
    memset(c.marks, SEL_WALK_WAY, (size_t)(c.rows * c.cols));
    c.marks[at(&c, MIDDLE, MIDDLE)] = SEL_WALK_START;
    search(&c, FOREVER);
    double worst = 0;
    for (int64_t row = 0; row < c.rows; row++)
        for (int64_t col = 0; col < c.cols; col++) {
            double cells = hypot((double)(row - MIDDLE), (double)(col - MIDDLE));
            if (cells < 50)
                continue;
            double ratio = minutes_at(&c, row, col) / (25 * cells * FLAT_MIN_PER_M);
            assert_true(ratio > 1 - 1e-12);
            worst = ratio > worst ? ratio : worst;
        }
    assert_near(worst, 1.02749, 0.0005);
    country_free(&c);
}

static void cells_need_not_be_square(void **state) {
    (void)state;
    struct country c = country_new(9, 9, 0);
    c.cell_x_m = 30;
    c.cell_y_m = 40;
    memset(c.marks, SEL_WALK_WAY, 81);
    c.marks[0] = SEL_WALK_START;
    search(&c, FOREVER);
    assert_near(minutes_at(&c, 0, 8), 240 * FLAT_MIN_PER_M, 1e-9);
    assert_near(minutes_at(&c, 8, 0), 320 * FLAT_MIN_PER_M, 1e-9);
    assert_near(minutes_at(&c, 8, 8), 400 * FLAT_MIN_PER_M, 1e-9); // 3-4-5
    country_free(&c);
}

// ---- slopes ----

static void up_and_down_a_plane_differ_and_the_walk_costs_their_mean(void **state) {
    (void)state;
    struct country c = country_new(1, 51, 20);
    memset(c.marks, SEL_WALK_WAY, 51);
    c.marks[0] = SEL_WALK_START;
    for (int i = 0; i < 51; i++)
        c.elevation_m[i] = 2 * (float)i; // slope 0.1
    search(&c, FOREVER);
    // 1000 m up at 3.549332 km/h and down at 5.036742 km/h.
    double up = 60 / 3.549332, down = 60 / 5.036742;
    assert_near(minutes_at(&c, 0, 50), (up + down) / 2, 1e-5);
    int64_t visited[51];
    assert_int_equal(sel_walk_visits(&c.walk, 50), 51);
    sel_walk_path(&c.walk, 50, visited);
    struct sel_walk_effort effort = measure(&c, visited, 51);
    assert_near(effort.out_minutes, up, 1e-5);
    assert_near(effort.back_minutes, down, 1e-5);
    assert_near(effort.length_m, 1000, 1e-9);
    assert_near(effort.climb_out_m, 100, 1e-9);
    assert_near(effort.climb_back_m, 0, 0);
    country_free(&c);
}

// Whoever starts at one end takes as long, there and back, as whoever starts at the other.
static void a_walk_costs_the_same_from_either_end(void **state) {
    (void)state;
    struct country c = country_new(40, 40, 20);
    uint64_t random = 21;
    memset(c.marks, SEL_WALK_WAY, 1600);
    for (int i = 0; i < 1600; i++)
        c.elevation_m[i] = (float)random_between(&random, 0, 12);
    c.marks[at(&c, 3, 4)] = SEL_WALK_START;
    search(&c, FOREVER);
    double there = minutes_at(&c, 37, 30);
    c.marks[at(&c, 3, 4)] = SEL_WALK_WAY;
    c.marks[at(&c, 37, 30)] = SEL_WALK_START;
    search(&c, FOREVER);
    assert_near(minutes_at(&c, 3, 4), there, 1e-10);
    country_free(&c);
}

// A track climbs a wall of rock in hairpins, 1 m in 10 m. Each of the bends is cut by two
// diagonals; the sum is made by hand from Tobler's two directions.
static void a_switchback_track_costs_its_length_at_its_grade(void **state) {
    (void)state;
    const char *const map[] = {"S========", "########+", "+++++++++", "+########", "+++++++++"};
    struct country c = country_drawn(map, 5, 10);
    const int64_t bends[][3] = {{0, 0, 8}, {2, 8, 0}, {4, 0, 8}}; // row, from, to
    float height = 0;
    for (int run = 0; run < 3; run++) {
        int64_t step = bends[run][2] > bends[run][1] ? 1 : -1;
        for (int64_t col = bends[run][1]; col != bends[run][2] + step; col += step)
            c.elevation_m[at(&c, bends[run][0], col)] = height, height += 1;
        if (run < 2)
            c.elevation_m[at(&c, bends[run][0] + 1, bends[run][2])] = height, height += 1;
    }
    search(&c, FOREVER);
    double diagonal = 10 * sqrt(2), grade = 2 / diagonal;
    double straight = 10 * 0.01 * (exp(3.5 * 0.15) + exp(3.5 * 0.05)) / 2;
    double cut = diagonal * 0.01 * (exp(3.5 * (grade + 0.05)) + exp(3.5 * (grade - 0.05))) / 2;
    // Runs of 7, 6 and 7 straight moves, four cuts.
    assert_near(minutes_at(&c, 4, 8), 20 * straight + 4 * cut, 1e-6);
    country_free(&c);
}

// ---- barriers ----

// By hand: 10 m down, two diagonals round the end of the wall, 10 m up.
static void a_wall_is_passed_by_its_gap(void **state) {
    (void)state;
    const char *const map[] = {"==#==", "==#==", "=S#==", "==#==", "====="};
    struct country c = country_drawn(map, 5, 10);
    search(&c, FOREVER);
    assert_near(minutes_at(&c, 2, 3), (20 + 20 * sqrt(2)) * FLAT_MIN_PER_M, 1e-9);
    country_free(&c);
}

static void walls_do_not_leak(void **state) {
    (void)state;
    const char *const upright[] = {"...#....", "S..#....", "...#...."};
    const char *const stairs[] = {"S....#.", "....#..", "...#...", "..#....", ".#.....", "#......"};
    const char *const thick[] = {"S.#..", "..##.", "...##", "....#", "....#", "....#"};
    struct country c = country_drawn(upright, 3, 10);
    search(&c, FOREVER);
    for (int64_t row = 0; row < 3; row++)
        for (int64_t col = 3; col < 8; col++)
            assert_int_equal(c.walk.move[at(&c, row, col)], SEL_WALK_UNREACHED);
    country_free(&c);
    c = country_drawn(stairs, 6, 10);
    search(&c, FOREVER);
    assert_true(isinf(minutes_at(&c, 5, 6)) && isinf(minutes_at(&c, 1, 5)));
    assert_true(!isinf(minutes_at(&c, 0, 4)));
    country_free(&c);
    c = country_drawn(thick, 6, 10);
    search(&c, FOREVER);
    assert_true(isinf(minutes_at(&c, 0, 4)) && isinf(minutes_at(&c, 1, 4)));
    assert_true(!isinf(minutes_at(&c, 5, 3)));
    country_free(&c);
}

static void a_knight_s_move_does_not_jump_a_barrier(void **state) {
    (void)state;
    struct country c = country_new(2, 3, 10);
    c.marks[0] = SEL_WALK_START;
    int knight = 0;
    int64_t rows, cols;
    for (sel_walk_step(0, &rows, &cols); rows != 1 || cols != 2; knight++)
        sel_walk_step(knight + 1, &rows, &cols);
    lay_into(&c, &c.walk);
    double open = sel_walk_move_minutes(&c.walk, 0, knight);
    assert_near(open, 10 * sqrt(5) * (0.25 + 0.75 / 0.6) * FLAT_MIN_PER_M, 1e-7);
    c.factor[1] = 0; // the cell it passes first
    lay_into(&c, &c.walk);
    assert_true(isinf(sel_walk_move_minutes(&c.walk, 0, knight)));
    c.factor[1] = 1, c.factor[4] = 0; // the cell it passes next
    lay_into(&c, &c.walk);
    assert_true(isinf(sel_walk_move_minutes(&c.walk, 0, knight)));
    c.factor[4] = 1, c.factor[2] = c.factor[3] = 0; // cells it does not touch
    lay_into(&c, &c.walk);
    assert_near(sel_walk_move_minutes(&c.walk, 0, knight), open, 0);
    country_free(&c);
}

static void an_island_is_unreachable(void **state) {
    (void)state;
    const char *const map[] = {"S.......", "..####..", "..#..#..", "..#..#..", "..####.."};
    struct country c = country_drawn(map, 5, 10);
    search(&c, FOREVER);
    assert_true(isinf(minutes_at(&c, 2, 3)));
    assert_int_equal(sel_walk_visits(&c.walk, at(&c, 2, 3)), 0);
    assert_true(!isinf(minutes_at(&c, 4, 7)));
    country_free(&c);
}

// A brook of barrier cells, and a way across it that does not quite meet the bank, then does. By
// hand: one cell east, a diagonal onto the bridge, a knight's move round its bend, one cell off it.
static void a_bridge_opens_a_barrier(void **state) {
    (void)state;
    const char *const broken[] = {"S=====", "######", "##++##", "###+##", "======"};
    const char *const whole[] = {"S=====", "##+###", "##++##", "###+##", "======"};
    struct country c = country_drawn(broken, 5, 10);
    search(&c, FOREVER);
    assert_true(isinf(minutes_at(&c, 4, 3)));
    country_free(&c);
    c = country_drawn(whole, 5, 10);
    search(&c, FOREVER);
    double metres = 10 + 10 * sqrt(2) + 10 * sqrt(5) + 10;
    assert_near(minutes_at(&c, 4, 3), metres * FLAT_MIN_PER_M, 1e-9);
    country_free(&c);
}

static void a_start_on_a_barrier_opens_it_and_missing_ground_stays_shut(void **state) {
    (void)state;
    struct country c = country_new(1, 5, 10);
    c.factor[1] = 0;
    c.marks[1] = SEL_WALK_START;
    search(&c, FOREVER);
    assert_near(minutes_at(&c, 0, 0), (5 + 5 / 0.6) * FLAT_MIN_PER_M, 1e-7);
    c.elevation_m[1] = (float)NAN;
    search(&c, FOREVER);
    for (int i = 0; i < 5; i++)
        assert_int_equal(c.walk.move[i], SEL_WALK_UNREACHED);
    c.marks[1] = SEL_WALK_WAY;
    c.marks[0] = SEL_WALK_START;
    search(&c, FOREVER);
    assert_true(isinf(minutes_at(&c, 0, 1)) && isinf(minutes_at(&c, 0, 2)));
    country_free(&c);
}

// ---- a plain Dijkstra ----

enum { PLAIN_SIDE = 14, PLAIN_CELLS = PLAIN_SIDE * PLAIN_SIDE };

static bool plain_open(const struct country *c, int64_t i) {
    return !isnan(c->elevation_m[i]) && (c->marks[i] != 0 || c->factor[i] > 0);
}

static double plain_slowness(const struct country *c, int64_t i) {
    return c->marks[i] ? 1 : 1 / (0.6 * (double)c->factor[i]);
}

// Walks the straight line in small steps; the mean slowness, or a negative number when a cell on
// it is shut or it slips between two shut ones.
static double plain_mean_slowness(
    const struct country *c, int64_t row, int64_t col, int64_t rows, int64_t cols) {
    enum { SAMPLES = 64 }; // a multiple of four, taken at midpoints: the shares come out exact
    double sum = 0;
    for (int k = 0; k < SAMPLES; k++) {
        double t = (k + 0.5) / SAMPLES;
        int64_t r = (int64_t)floor((double)row + 0.5 + t * (double)rows);
        int64_t q = (int64_t)floor((double)col + 0.5 + t * (double)cols);
        if (!plain_open(c, at(c, r, q)))
            return -1;
        sum += plain_slowness(c, at(c, r, q)) / SAMPLES;
    }
    if (rows * rows == 1 && cols * cols == 1 && !plain_open(c, at(c, row, col + cols)) &&
        !plain_open(c, at(c, row + rows, col)))
        return -1;
    return sum;
}

static double plain_minutes(
    const struct country *c, int64_t row, int64_t col, int64_t rows, int64_t cols) {
    int64_t from = at(c, row, col), to = at(c, row + rows, col + cols);
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
            if (more >= 0 && minutes[from] + more < minutes[at(c, r, q)])
                minutes[at(c, r, q)] = minutes[from] + more;
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

static struct country random_country(uint64_t *random, int64_t rows, int64_t cols) {
    struct country c = country_new(rows, cols, random_between(random, 5, 40));
    double relief = random_between(random, 0, 30);
    int64_t shut = random_below(random, 5);
    const float factors[] = {1, 0.8f, 0.55f, 0.1f};
    for (int64_t i = 0; i < rows * cols; i++) {
        c.elevation_m[i] = (float)random_between(random, 0, relief);
        c.factor[i] = random_below(random, 10) < shut ? 0 : factors[random_below(random, 4)];
        if (random_below(random, 8) == 0)
            c.marks[i] = SEL_WALK_WAY;
        if (random_below(random, 60) == 0)
            c.marks[i] |= SEL_WALK_START;
        if (random_below(random, 30) == 0)
            c.elevation_m[i] = (float)NAN;
    }
    return c;
}

// Slowness is kept as a float: 6e-8 of it may be lost.
static void random_grids_agree_with_a_plain_dijkstra(void **state) {
    (void)state;
    uint64_t random = 31;
    int reached = 0;
    for (int trial = 0; trial < 150; trial++) {
        int64_t rows = random_below(&random, PLAIN_SIDE) + 1;
        struct country c = random_country(&random, rows, random_below(&random, PLAIN_SIDE) + 1);
        double minutes[PLAIN_CELLS];
        plain_dijkstra(&c, minutes);
        search(&c, FOREVER);
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
    assert_true(reached > 3000);
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
    struct sel_walk_effort effort = measure(c, visited, visits);
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
        struct country c = random_country(&random, 40, 50);
        search(&c, FOREVER);
        for (int64_t i = 0; i < c.rows * c.cols; i += 7)
            if (c.walk.move[i] != SEL_WALK_UNREACHED)
                assert_walk_is_sound(&c, i);
        country_free(&c);
    }
}

static void beyond_the_limit_nothing_is_reached_and_within_it_nothing_changes(void **state) {
    (void)state;
    uint64_t random = 35;
    struct country c = random_country(&random, 60, 60);
    c.marks[at(&c, 30, 30)] = SEL_WALK_START;
    c.elevation_m[at(&c, 30, 30)] = 0;
    search(&c, FOREVER);
    struct sel_walk all = c.walk;
    c.walk = (struct sel_walk){0};
    const double limits[] = {0, 0.5, all.cells[at(&c, 45, 30)].minutes, 12.75, 1000};
    for (int k = 0; k < 5; k++) {
        search(&c, limits[k]);
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
            int64_t from = at(whole, row + r, col + q), to = at(&c, r, q);
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
            int64_t there = at(whole, row + r, col + q), here = at(part, r, q);
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
        struct country whole = random_country(&random, SIDE, SIDE);
        if (trial % 2)
            for (int i = 0; i < SIDE * SIDE; i++)
                whole.elevation_m[i] = 100, whole.factor[i] = 1;
        double limit = 12 * whole.cell_x_m * FLAT_MIN_PER_M;
        int64_t halo = sel_walk_halo(limit, whole.cell_x_m);
        assert_in_range(halo, 12, 14);
        search(&whole, limit);
        for (int64_t row = 0; row + TILE + 2 * halo <= SIDE; row += TILE)
            for (int64_t col = 0; col + TILE + 2 * halo <= SIDE; col += TILE) {
                struct country part = part_of(&whole, row, col, TILE + 2 * halo, TILE + 2 * halo);
                search(&part, limit);
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
        struct country c = random_country(&random, 25, 40);
        struct country turned = country_new(40, 25, c.cell_x_m);
        for (int64_t row = 0; row < 25; row++)
            for (int64_t col = 0; col < 40; col++) {
                int64_t from = at(&c, row, col), to = at(&turned, col, 24 - row);
                turned.elevation_m[to] = c.elevation_m[from];
                turned.factor[to] = c.factor[from];
                turned.marks[to] = c.marks[from];
            }
        search(&c, FOREVER);
        search(&turned, FOREVER);
        for (int64_t row = 0; row < 25; row++)
            for (int64_t col = 0; col < 40; col++)
                assert_near(minutes_at(&turned, col, 24 - row), minutes_at(&c, row, col), 0);
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
        struct country c = random_country(&random, sizes[k], sizes[k]);
        c.marks[0] = SEL_WALK_START;
        search(&c, FOREVER);
        search_in(&c, &walk, FOREVER);
        for (int64_t i = 0; i < sizes[k] * sizes[k]; i++)
            assert_near(walk.cells[i].minutes, c.walk.cells[i].minutes, 0);
        country_free(&c);
    }
    sel_walk_clear(&walk);
}

static void without_a_start_nothing_is_reached(void **state) {
    (void)state;
    struct country c = country_new(20, 20, 10);
    search(&c, FOREVER);
    for (int i = 0; i < 400; i++)
        assert_int_equal(c.walk.move[i], SEL_WALK_UNREACHED);
    country_free(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(along_a_way_time_is_distance_over_speed),
        cmocka_unit_test(off_the_way_and_in_rough_ground_it_takes_longer),
        cmocka_unit_test(on_open_ground_every_direction_is_within_three_percent),
        cmocka_unit_test(cells_need_not_be_square),
        cmocka_unit_test(up_and_down_a_plane_differ_and_the_walk_costs_their_mean),
        cmocka_unit_test(a_walk_costs_the_same_from_either_end),
        cmocka_unit_test(a_switchback_track_costs_its_length_at_its_grade),
        cmocka_unit_test(a_wall_is_passed_by_its_gap),
        cmocka_unit_test(walls_do_not_leak),
        cmocka_unit_test(a_knight_s_move_does_not_jump_a_barrier),
        cmocka_unit_test(an_island_is_unreachable),
        cmocka_unit_test(a_bridge_opens_a_barrier),
        cmocka_unit_test(a_start_on_a_barrier_opens_it_and_missing_ground_stays_shut),
        cmocka_unit_test(random_grids_agree_with_a_plain_dijkstra),
        cmocka_unit_test(time_and_length_agree_when_summed_along_the_walk),
        cmocka_unit_test(beyond_the_limit_nothing_is_reached_and_within_it_nothing_changes),
        cmocka_unit_test(a_tile_with_its_halo_gets_the_same_times_as_the_whole),
        cmocka_unit_test(turning_and_mirroring_change_no_time),
        cmocka_unit_test(a_walk_can_be_searched_again_for_other_windows),
        cmocka_unit_test(without_a_start_nothing_is_reached),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
