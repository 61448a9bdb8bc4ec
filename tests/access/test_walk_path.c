// SPDX-License-Identifier: MIT
//
// Starts that lie off the middle of their cells, and last legs to places that are no cell's middle:
// sums by hand on flat ground and slopes.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "access/pace.h"
#include "access_country.h"
#include "choose_check.h"

static const double OFF_PATH = 1 / 0.6; // slowness, docs/method-walking.md

static void search_from(
    struct country *c, const struct sel_walk_start *starts, size_t count, double limit) {
    country_lay(c, &c->walk);
    assert_int_equal(sel_walk_search(&c->walk, starts, count, limit), SEL_OK);
}

static void a_start_off_the_middle_costs_the_way_to_it(void **state) {
    (void)state;
    struct country c = country_new(1, 12, 20);
    memset(c.marks, SEL_WALK_WAY, 12);
    struct sel_walk_start starts[] = {{0, 7 * FLAT_MIN_PER_M}, {11, 0}};
    search_from(&c, starts, 2, FOREVER);
    assert_near(country_minutes(&c, 0, 0), 7 * FLAT_MIN_PER_M, 0);
    assert_near(country_minutes(&c, 0, 5), 107 * FLAT_MIN_PER_M, 1e-12);
    assert_near(country_minutes(&c, 0, 6), 100 * FLAT_MIN_PER_M, 1e-12); // from the other end
    assert_int_equal(sel_walk_visits(&c.walk, 5), 6);
    country_free(&c);
}

// A start whose middle is reached sooner from another one is walked through.
static void a_later_start_may_be_passed_by_an_earlier_one(void **state) {
    (void)state;
    struct country c = country_new(1, 5, 20);
    memset(c.marks, SEL_WALK_WAY, 5);
    struct sel_walk_start starts[] = {{1, 1}, {0, 0}, {0, 0.5}, {4, 99}};
    search_from(&c, starts, 4, 10);
    assert_near(country_minutes(&c, 0, 1), 20 * FLAT_MIN_PER_M, 1e-12);
    assert_near(country_minutes(&c, 0, 4), 80 * FLAT_MIN_PER_M, 1e-12);
    assert_int_equal(sel_walk_visits(&c.walk, 4), 5);
    country_free(&c);
}

static void a_barred_start_begins_no_walk(void **state) {
    (void)state;
    struct country c = country_new(1, 5, 20);
    c.factor[2] = 0;
    struct sel_walk_start start = {2, 0};
    search_from(&c, &start, 1, FOREVER);
    for (int64_t i = 0; i < 5; i++)
        assert_int_equal(sel_walk_visits(&c.walk, i), 0);
    country_free(&c);
}

// Open flat ground, start at the western end of a row: the last leg to a place in the western half
// of a cell comes straight from the cell before, in the eastern half from the cell's own middle.
static void a_leg_comes_from_where_it_is_quickest(void **state) {
    (void)state;
    struct country c = country_new(1, 10, 20);
    struct sel_walk_start start = {0, 0};
    search_from(&c, &start, 1, FOREVER);
    struct sel_walk_leg leg = sel_walk_to_place(&c.walk, 5, -4, 0);
    assert_int_equal(leg.cell, 4);
    assert_near(leg.length_m, 16, 1e-12);
    assert_near(leg.minutes, 96 * OFF_PATH * FLAT_MIN_PER_M, 1e-6);
    leg = sel_walk_to_place(&c.walk, 5, 6, 0);
    assert_int_equal(leg.cell, 5);
    assert_near(leg.minutes, 106 * OFF_PATH * FLAT_MIN_PER_M, 1e-6);
    leg = sel_walk_to_place(&c.walk, 5, 0, 8); // off the line: 3-4-5 has no part here
    assert_near(
        leg.minutes, (80 + fmin(20 + 8, sqrt(20 * 20 + 8 * 8))) * OFF_PATH * FLAT_MIN_PER_M, 1e-6);
    country_free(&c);
}

// A slope of 0.1 rising east, walked as a way: each leg costs what a move of its grade does.
static void a_leg_has_the_grade_of_its_move(void **state) {
    (void)state;
    struct country c = country_new(1, 6, 20);
    memset(c.marks, SEL_WALK_WAY, 6);
    for (int i = 0; i < 6; i++)
        c.elevation_m[i] = 2 * (float)i;
    struct sel_walk_start start = {0, 0};
    search_from(&c, &start, 1, FOREVER);
    struct sel_walk_leg leg = sel_walk_to_place(&c.walk, 4, -5, 0);
    // 75 m at 0.1 up and down: 6 exp(-3.5 * 0.15) and 6 exp(-3.5 * 0.05) km/h.
    double pace = 60.0 / 6000 * (exp(3.5 * 0.15) + exp(3.5 * 0.05)) / 2;
    assert_near(leg.minutes, 75 * pace, 1e-9);
    assert_near(leg.rise_m, 1.5, 1e-12);
    assert_near(leg.slowness, 1, 0);
    country_free(&c);
}

static void a_leg_crosses_no_barrier_and_no_shut_side(void **state) {
    (void)state;
    const char *const map[] = {"S....", "##.##", "....."};
    struct country c = country_drawn(map, 3, 20);
    country_search(&c, FOREVER);
    // Two cells west of the gap, south of the wall: the row before the wall must not serve.
    struct sel_walk_leg leg = sel_walk_to_place(&c.walk, country_at(&c, 2, 0), 0, -9);
    assert_true(leg.cell / c.cols == 2);
    assert_true(leg.minutes > country_minutes(&c, 2, 1));
    c.factor[country_at(&c, 1, 0)] = 1; // open, but shut off from the south
    c.marks[country_at(&c, 1, 0)] = SEL_WALK_SHUT_SOUTH;
    country_search(&c, FOREVER);
    leg = sel_walk_to_place(&c.walk, country_at(&c, 2, 0), 0, -9);
    assert_true(leg.cell / c.cols == 2);
    c.marks[country_at(&c, 1, 0)] = 0;
    country_search(&c, FOREVER);
    leg = sel_walk_to_place(&c.walk, country_at(&c, 2, 0), 0, -9);
    assert_int_equal(leg.cell, country_at(&c, 1, 0));
    country_free(&c);
}

static void a_place_nobody_reaches_has_no_leg(void **state) {
    (void)state;
    const char *const map[] = {"S.#...", "..#..."};
    struct country c = country_drawn(map, 2, 20);
    country_search(&c, FOREVER);
    assert_true(isinf(sel_walk_to_place(&c.walk, country_at(&c, 0, 4), 3, 3).minutes));
    assert_true(isinf(sel_walk_to_place(&c.walk, country_at(&c, 0, 2), 3, 3).minutes));
    country_free(&c);
}

// By hand: a knight's move and a diagonal past sides that are shut on their way.
static void moves_do_not_cross_shut_sides(void **state) {
    (void)state;
    struct country c = country_new(2, 3, 10);
    int moves[SEL_WALK_MOVES], east = -1, knight = -1, diagonal = -1;
    for (int i = 0; i < SEL_WALK_MOVES; i++) {
        int64_t rows, cols;
        sel_walk_step(i, &rows, &cols);
        moves[i] = (int)(10 * rows + cols);
        east = moves[i] == 1 ? i : east;
        diagonal = moves[i] == 11 ? i : diagonal;
        knight = moves[i] == 12 ? i : knight;
    }
    const struct {
        uint8_t marks[6];
        bool east, diagonal, knight; // barred
    } cases[] = {
        {{0}, false, false, false},
        {{SEL_WALK_SHUT_EAST}, true, false, true},
        {{SEL_WALK_SHUT_SOUTH}, false, false, false},
        {{SEL_WALK_SHUT_EAST | SEL_WALK_SHUT_SOUTH}, true, true, true},
        {{0, SEL_WALK_SHUT_SOUTH}, false, false, true},
        {{SEL_WALK_SHUT_SOUTH, SEL_WALK_SHUT_SOUTH}, false, true, true},
        {{SEL_WALK_SHUT_EAST, 0, 0, SEL_WALK_SHUT_EAST}, true, true, true},
        {{0, 0, 0, 0, SEL_WALK_SHUT_EAST}, false, false, true},
        {{0, SEL_WALK_SHUT_EAST, 0, SEL_WALK_SHUT_EAST}, false, false, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        memcpy(c.marks, cases[i].marks, 6);
        country_lay(&c, &c.walk);
        assert_int_equal(isinf(sel_walk_move_minutes(&c.walk, 0, east)) != 0, cases[i].east);
        assert_int_equal(
            isinf(sel_walk_move_minutes(&c.walk, 0, diagonal)) != 0, cases[i].diagonal);
        assert_int_equal(isinf(sel_walk_move_minutes(&c.walk, 0, knight)) != 0, cases[i].knight);
    }
    country_free(&c);
}

// Two rows parted along their whole length, but for one side at the end: the walk goes round.
static void a_shut_line_is_walked_round(void **state) {
    (void)state;
    struct country c = country_new(2, 8, 10);
    memset(c.marks, SEL_WALK_WAY, 16);
    for (int i = 0; i < 7; i++)
        c.marks[i] |= SEL_WALK_SHUT_SOUTH;
    struct sel_walk_start start = {0, 0};
    search_from(&c, &start, 1, FOREVER);
    // Six cells east, a diagonal would cut the last side's corner but has one way round only: by
    // the open side at the end; so does the next diagonal back.
    assert_near(country_minutes(&c, 1, 0), (60 + 10 * sqrt(2) + 70) * FLAT_MIN_PER_M, 1e-9);
    country_free(&c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_start_off_the_middle_costs_the_way_to_it),
        cmocka_unit_test(a_later_start_may_be_passed_by_an_earlier_one),
        cmocka_unit_test(a_barred_start_begins_no_walk),
        cmocka_unit_test(a_leg_comes_from_where_it_is_quickest),
        cmocka_unit_test(a_leg_has_the_grade_of_its_move),
        cmocka_unit_test(a_leg_crosses_no_barrier_and_no_shut_side),
        cmocka_unit_test(a_place_nobody_reaches_has_no_leg),
        cmocka_unit_test(moves_do_not_cross_shut_sides),
        cmocka_unit_test(a_shut_line_is_walked_round),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
