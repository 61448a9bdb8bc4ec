// SPDX-License-Identifier: MIT
//
// Least-time walks against closed forms and sums made by hand.
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

// ---- flat ground ----

static void along_a_way_time_is_distance_over_speed(void **state) {
    (void)state;
    const char *const map[] = {"S======.........", "................"};
    struct country c = country_drawn(map, 2, 20);
    country_search(&c, FOREVER);
    assert_near(country_minutes(&c, 0, 5), 100 * FLAT_MIN_PER_M, 1e-9);
    // Half a cell on the way, eight and a half off it; the next row's way is no shorter.
    assert_near(country_minutes(&c, 0, 15), (130 + 170 / 0.6) * FLAT_MIN_PER_M, 1e-6);
    country_free(&c);
}

static void off_the_way_and_in_rough_ground_it_takes_longer(void **state) {
    (void)state;
    struct country c = country_new(1, 30, 25);
    c.marks[0] = SEL_WALK_START;
    c.marks[1] = SEL_WALK_WAY;
    for (int i = 15; i < 30; i++)
        c.factor[i] = 0.5f;
    country_search(&c, FOREVER);
    // 37.5 m by path speed, 325 m at 3/5 of it, 12.5 m + 250 m at half of that.
    double metres_of_path = 37.5 + 325 / 0.6 + 262.5 / 0.3;
    assert_near(country_minutes(&c, 0, 25), metres_of_path * FLAT_MIN_PER_M, 1e-5);
    country_free(&c);
}

// 16 moves err by at most 1 / cos(13.28 deg) = 1.02749 (closed form), and never make a walk
// shorter.
static void on_open_ground_every_direction_is_within_three_percent(void **state) {
    (void)state;
    enum { MIDDLE = 120 };
    struct country c = country_new(2 * MIDDLE + 1, 2 * MIDDLE + 1, 25);
    memset(c.marks, SEL_WALK_WAY, (size_t)(c.rows * c.cols));
    c.marks[country_at(&c, MIDDLE, MIDDLE)] = SEL_WALK_START;
    country_search(&c, FOREVER);
    double worst = 0;
    for (int64_t row = 0; row < c.rows; row++)
        for (int64_t col = 0; col < c.cols; col++) {
            double cells = hypot((double)(row - MIDDLE), (double)(col - MIDDLE));
            if (cells < 50)
                continue;
            double ratio = country_minutes(&c, row, col) / (25 * cells * FLAT_MIN_PER_M);
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
    country_search(&c, FOREVER);
    assert_near(country_minutes(&c, 0, 8), 240 * FLAT_MIN_PER_M, 1e-9);
    assert_near(country_minutes(&c, 8, 0), 320 * FLAT_MIN_PER_M, 1e-9);
    assert_near(country_minutes(&c, 8, 8), 400 * FLAT_MIN_PER_M, 1e-9); // 3-4-5
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
    country_search(&c, FOREVER);
    // 1000 m up at 3.549332 km/h and down at 5.036742 km/h.
    double up = 60 / 3.549332, down = 60 / 5.036742;
    assert_near(country_minutes(&c, 0, 50), (up + down) / 2, 1e-5);
    int64_t visited[51];
    assert_int_equal(sel_walk_visits(&c.walk, 50), 51);
    sel_walk_path(&c.walk, 50, visited);
    struct sel_walk_effort effort = country_measure(&c, visited, 51);
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
    c.marks[country_at(&c, 3, 4)] = SEL_WALK_START;
    country_search(&c, FOREVER);
    double there = country_minutes(&c, 37, 30);
    c.marks[country_at(&c, 3, 4)] = SEL_WALK_WAY;
    c.marks[country_at(&c, 37, 30)] = SEL_WALK_START;
    country_search(&c, FOREVER);
    assert_near(country_minutes(&c, 3, 4), there, 1e-10);
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
            c.elevation_m[country_at(&c, bends[run][0], col)] = height, height += 1;
        if (run < 2)
            c.elevation_m[country_at(&c, bends[run][0] + 1, bends[run][2])] = height, height += 1;
    }
    country_search(&c, FOREVER);
    double diagonal = 10 * sqrt(2), grade = 2 / diagonal;
    double straight = 10 * 0.01 * (exp(3.5 * 0.15) + exp(3.5 * 0.05)) / 2;
    double cut = diagonal * 0.01 * (exp(3.5 * (grade + 0.05)) + exp(3.5 * (grade - 0.05))) / 2;
    // Runs of 7, 6 and 7 straight moves, four cuts.
    assert_near(country_minutes(&c, 4, 8), 20 * straight + 4 * cut, 1e-6);
    country_free(&c);
}

// ---- barriers ----

// By hand: 10 m down, two diagonals round the end of the wall, 10 m up.
static void a_wall_is_passed_by_its_gap(void **state) {
    (void)state;
    const char *const map[] = {"==#==", "==#==", "=S#==", "==#==", "====="};
    struct country c = country_drawn(map, 5, 10);
    country_search(&c, FOREVER);
    assert_near(country_minutes(&c, 2, 3), (20 + 20 * sqrt(2)) * FLAT_MIN_PER_M, 1e-9);
    country_free(&c);
}

static void walls_do_not_leak(void **state) {
    (void)state;
    const char *const upright[] = {"...#....", "S..#....", "...#...."};
    const char *const stairs[] = {"S....#.", "....#..", "...#...", "..#....", ".#.....", "#......"};
    const char *const thick[] = {"S.#..", "..##.", "...##", "....#", "....#", "....#"};
    struct country c = country_drawn(upright, 3, 10);
    country_search(&c, FOREVER);
    for (int64_t row = 0; row < 3; row++)
        for (int64_t col = 3; col < 8; col++)
            assert_int_equal(c.walk.move[country_at(&c, row, col)], SEL_WALK_UNREACHED);
    country_free(&c);
    c = country_drawn(stairs, 6, 10);
    country_search(&c, FOREVER);
    assert_true(isinf(country_minutes(&c, 5, 6)) && isinf(country_minutes(&c, 1, 5)));
    assert_true(!isinf(country_minutes(&c, 0, 4)));
    country_free(&c);
    c = country_drawn(thick, 6, 10);
    country_search(&c, FOREVER);
    assert_true(isinf(country_minutes(&c, 0, 4)) && isinf(country_minutes(&c, 1, 4)));
    assert_true(!isinf(country_minutes(&c, 5, 3)));
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
    country_lay(&c, &c.walk);
    double open = sel_walk_move_minutes(&c.walk, 0, knight);
    assert_near(open, 10 * sqrt(5) * (0.25 + 0.75 / 0.6) * FLAT_MIN_PER_M, 1e-7);
    c.factor[1] = 0; // the cell it passes first
    country_lay(&c, &c.walk);
    assert_true(isinf(sel_walk_move_minutes(&c.walk, 0, knight)));
    c.factor[1] = 1, c.factor[4] = 0; // the cell it passes next
    country_lay(&c, &c.walk);
    assert_true(isinf(sel_walk_move_minutes(&c.walk, 0, knight)));
    c.factor[4] = 1, c.factor[2] = c.factor[3] = 0; // cells it does not touch
    country_lay(&c, &c.walk);
    assert_near(sel_walk_move_minutes(&c.walk, 0, knight), open, 0);
    country_free(&c);
}

static void an_island_is_unreachable(void **state) {
    (void)state;
    const char *const map[] = {"S.......", "..####..", "..#..#..", "..#..#..", "..####.."};
    struct country c = country_drawn(map, 5, 10);
    country_search(&c, FOREVER);
    assert_true(isinf(country_minutes(&c, 2, 3)));
    assert_int_equal(sel_walk_visits(&c.walk, country_at(&c, 2, 3)), 0);
    assert_true(!isinf(country_minutes(&c, 4, 7)));
    country_free(&c);
}

// A brook of barrier cells, and a way across it that does not quite meet the bank, then does. By
// hand: one cell east, a diagonal onto the bridge, a knight's move round its bend, one cell off it.
static void a_bridge_opens_a_barrier(void **state) {
    (void)state;
    const char *const broken[] = {"S=====", "######", "##++##", "###+##", "======"};
    const char *const whole[] = {"S=====", "##+###", "##++##", "###+##", "======"};
    struct country c = country_drawn(broken, 5, 10);
    country_search(&c, FOREVER);
    assert_true(isinf(country_minutes(&c, 4, 3)));
    country_free(&c);
    c = country_drawn(whole, 5, 10);
    country_search(&c, FOREVER);
    double metres = 10 + 10 * sqrt(2) + 10 * sqrt(5) + 10;
    assert_near(country_minutes(&c, 4, 3), metres * FLAT_MIN_PER_M, 1e-9);
    country_free(&c);
}

static void a_start_on_a_barrier_opens_it_and_missing_ground_stays_shut(void **state) {
    (void)state;
    struct country c = country_new(1, 5, 10);
    c.factor[1] = 0;
    c.marks[1] = SEL_WALK_START;
    country_search(&c, FOREVER);
    assert_near(country_minutes(&c, 0, 0), (5 + 5 / 0.6) * FLAT_MIN_PER_M, 1e-7);
    c.elevation_m[1] = (float)NAN;
    country_search(&c, FOREVER);
    for (int i = 0; i < 5; i++)
        assert_int_equal(c.walk.move[i], SEL_WALK_UNREACHED);
    c.marks[1] = SEL_WALK_WAY;
    c.marks[0] = SEL_WALK_START;
    country_search(&c, FOREVER);
    assert_true(isinf(country_minutes(&c, 0, 1)) && isinf(country_minutes(&c, 0, 2)));
    country_free(&c);
}

// Between two starts equally far the walk begins at the northern, then at the western one.
static void of_walks_that_take_the_same_time_the_first_by_place_stands(void **state) {
    (void)state;
    const char *const across[] = {"S...S"}, *const down[] = {"S", ".", ".", ".", "S"};
    struct country c = country_drawn(across, 1, 10);
    country_search(&c, FOREVER);
    int64_t visited[3], rows, cols;
    sel_walk_path(&c.walk, 2, visited);
    assert_int_equal(sel_walk_visits(&c.walk, 2), 3);
    assert_int_equal(visited[0], 0);
    sel_walk_step(c.walk.move[2], &rows, &cols);
    assert_true(rows == 0 && cols == 1);
    country_free(&c);
    c = country_drawn(down, 5, 10);
    country_search(&c, FOREVER);
    sel_walk_path(&c.walk, 2, visited);
    assert_int_equal(visited[0], 0);
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
        cmocka_unit_test(of_walks_that_take_the_same_time_the_first_by_place_stands),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
