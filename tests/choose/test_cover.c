// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include <cmocka.h>

#include "choose/cover.h"
#include "choose_check.h"
#include "choose_random.h"

enum { COUNT = 600 };

static double distance(const struct sel_choice_item *a, const struct sel_choice_item *b) {
    return hypot(a->x_m - b->x_m, a->y_m - b->y_m);
}

// Whole metres, so that many pairs lie at exactly apart_m; corners of hexagons, too.
static void two_in_one_hexagon_are_never_apart(void **state) {
    (void)state;
    const double aparts[] = {1, 5, 10, 13, 25, 1000};
    uint64_t random = 61;
    for (int trial = 0; trial < 36; trial++) {
        struct sel_choice_item items[COUNT] = {0};
        double apart = aparts[trial % 6];
        for (int i = 0; i < COUNT; i++) {
            items[i].x_m = (double)random_below(&random, 80) - 40;
            items[i].y_m = (double)random_below(&random, 80) - 40;
            if (i < 60) { // corners of the hexagons themselves
                items[i].x_m = apart / 2 * sqrt(3) * (double)random_below(&random, 9) / 2;
                items[i].y_m = apart / 2 * (double)random_below(&random, 9) / 2;
            }
        }
        int32_t cells[COUNT], cell_count;
        assert_true(sel_cover_number(items, COUNT, apart, trial % SEL_COVERS, cells, &cell_count));
        for (int i = 0; i < COUNT; i++)
            for (int k = 0; k < i; k++)
                if (cells[i] == cells[k])
                    assert_true(distance(&items[i], &items[k]) < apart);
    }
}

// Along the long diagonals of the hexagons, where they come nearest to apart_m.
static void two_just_apart_never_share_a_hexagon(void **state) {
    (void)state;
    enum { PAIRS = 400000 };
    uint64_t random = 62;
    struct sel_choice_item *items = calloc(2 * PAIRS, sizeof *items);
    int32_t *cells = malloc(2 * PAIRS * sizeof *cells), cell_count;
    for (int i = 0; i < PAIRS; i++) {
        double angle = acos(-1) / 6 * (1 + 2 * (i % 3));
        items[2 * i].x_m = random_between(&random, 0, 1000);
        items[2 * i].y_m = random_between(&random, 0, 1000);
        items[2 * i + 1].x_m = items[2 * i].x_m + 10.00001 * cos(angle);
        items[2 * i + 1].y_m = items[2 * i].y_m + 10.00001 * sin(angle);
    }
    for (int cover = 0; cover < SEL_COVERS; cover++) {
        assert_true(sel_cover_number(items, 2 * PAIRS, 10, cover, cells, &cell_count));
        for (int i = 0; i < PAIRS; i++)
            assert_int_not_equal(cells[2 * i], cells[2 * i + 1]);
    }
    free(items);
    free(cells);
}

static void numbers_rise_in_order_of_appearance(void **state) {
    (void)state;
    uint64_t random = 63;
    struct sel_choice_item items[COUNT] = {0};
    for (int i = 0; i < COUNT; i++)
        items[i].x_m = random_between(&random, 0, 900),
        items[i].y_m = random_between(&random, 0, 9);
    for (int cover = 0; cover < SEL_COVERS; cover++) {
        int32_t cells[COUNT], cell_count, seen = 0;
        assert_true(sel_cover_number(items, COUNT, 20, cover, cells, &cell_count));
        for (int i = 0; i < COUNT; i++) {
            assert_in_range(cells[i], 0, seen);
            seen += cells[i] == seen;
        }
        assert_int_equal(seen, cell_count);
        assert_in_range(cell_count, 50, 250); // hexagons 17.3 m wide along 900 m
    }
}

// A square of that diagonal covers half of apart_m squared, a hexagon 0.65 of it (closed forms).
static void hexagons_are_larger_than_squares_of_the_same_diagonal(void **state) {
    (void)state;
    enum { SIDE = 120 };
    static struct sel_choice_item items[SIDE * SIDE];
    static int32_t cells[SIDE * SIDE];
    int32_t cell_count;
    for (int i = 0; i < SIDE * SIDE; i++)
        items[i].x_m = i % SIDE, items[i].y_m = (double)i / SIDE;
    assert_true(sel_cover_number(items, SIDE * SIDE, 10, 0, cells, &cell_count));
    double expected = SIDE * SIDE / (3 * sqrt(3) / 2 * 25);
    assert_true(cell_count > expected && cell_count < 1.25 * expected); // cut ones at the border
}

static void without_spacing_everyone_is_alone(void **state) {
    (void)state;
    struct sel_choice_item items[3] = {0};
    int32_t cells[3], cell_count;
    assert_true(sel_cover_number(items, 3, 0, 0, cells, &cell_count));
    assert_int_equal(cell_count, 3);
    for (int i = 0; i < 3; i++)
        assert_int_equal(cells[i], i);
}

// Two of one disc are nearer than apart_m, two on its edge, too; and touching discs in rows cover
// pi / (2 sqrt 3) of the plane (the densest packing of circles).
static void discs_hold_no_two_apart_and_cover_what_circles_can(void **state) {
    (void)state;
    enum { MANY = 4000 };
    const double share = acos(-1) / (2 * sqrt(3));
    uint64_t random = 64;
    static struct sel_choice_item items[MANY];
    static int32_t cells[MANY];
    int covered = 0;
    for (int lattice = 0; lattice < SEL_DISCS; lattice++) {
        int32_t cell_count;
        for (int i = 0; i < MANY; i++) {
            items[i].x_m = random_between(&random, 0, 200);
            items[i].y_m = random_between(&random, 0, 200);
            if (i < 400) { // on the edges of discs, in steps of the lattice
                items[i].x_m = 2.5 * (double)random_below(&random, 80);
                items[i].y_m = 2.5 * sqrt(3) * (double)random_below(&random, 40);
            }
        }
        assert_true(sel_discs_number(items, MANY, 10, lattice, cells, &cell_count));
        for (int i = 0; i < MANY; i++) {
            assert_in_range(cells[i], 0, cell_count - 1);
            covered += i >= 400 && cells[i] > 0;
            for (int k = 0; k < i; k++)
                if (cells[i] > 0 && cells[i] == cells[k])
                    assert_true(distance(&items[i], &items[k]) < 10);
        }
    }
    assert_near((double)covered / (SEL_DISCS * (MANY - 400)), share, 0.005);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_in_one_hexagon_are_never_apart),
        cmocka_unit_test(two_just_apart_never_share_a_hexagon),
        cmocka_unit_test(numbers_rise_in_order_of_appearance),
        cmocka_unit_test(hexagons_are_larger_than_squares_of_the_same_diagonal),
        cmocka_unit_test(without_spacing_everyone_is_alone),
        cmocka_unit_test(discs_hold_no_two_apart_and_cover_what_circles_can),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
