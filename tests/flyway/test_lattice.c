// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flyway/lattice.h"
#include "flyway_scene.h"

enum { MOST = 8000 };

static struct sel_lattice_scratch *scratch;

static int make_scratch(void **state) {
    (void)state;
    scratch = sel_lattice_scratch_new();
    return scratch ? 0 : -1;
}

static int free_scratch(void **state) {
    (void)state;
    sel_lattice_scratch_free(scratch);
    return 0;
}

static struct sel_prospect candidate(int32_t hx, int32_t hy, float contrast) {
    return (struct sel_prospect){.crack = {.hx = hx, .hy = hy, .a = 1, .b = 2},
        .fate = SEL_FATE_CANDIDATE,
        .belt = {.contrast = contrast}};
}

// Squares of 10 half-cells, rows and columns -10 .. 9.
static const struct sel_lattice_range AROUND = {10, -10, 10, -10, 10};

static size_t pick(const struct sel_prospect *prospects, size_t count,
    const struct sel_lattice_range *range, size_t *winners, int64_t fates[SEL_FATES]) {
    size_t winner_count = 0;
    memset(fates, 0, SEL_FATES * sizeof *fates);
    assert_int_equal(
        sel_lattice_pick(prospects, count, range, scratch, winners, &winner_count, fates), SEL_OK);
    return winner_count;
}

// The winner among prospects that all belong to one group, in either order.
static size_t winner_of_two(struct sel_prospect one, struct sel_prospect other) {
    struct sel_prospect forth[] = {one, other}, back[] = {other, one};
    size_t winners[2];
    int64_t fates[SEL_FATES];
    assert_int_equal(pick(back, 2, &AROUND, winners, fates), 1);
    size_t from_back = 1 - winners[0];
    assert_int_equal(pick(forth, 2, &AROUND, winners, fates), 1);
    assert_int_equal(winners[0], from_back);
    assert_int_equal(fates[SEL_FATE_CANDIDATE], 1);
    return winners[0];
}

static void the_highest_contrast_wins(void **state) {
    (void)state;
    assert_int_equal(winner_of_two(candidate(0, 1, 0.5f), candidate(4, 5, 0.4f)), 0);
    assert_int_equal(winner_of_two(candidate(0, 1, 0.5f), candidate(4, 5, 0.500001f)), 1);
}

static void of_equals_the_nearest_to_the_centre_wins(void **state) {
    (void)state;
    // The centre of square (0, 0) is at (5, 5).
    assert_int_equal(winner_of_two(candidate(0, 1, 0.5f), candidate(6, 5, 0.5f)), 1);
    assert_int_equal(winner_of_two(candidate(4, 5, 0.5f), candidate(2, 5, 0.5f)), 0);
}

// Each pair below is equally far from the centre (5, 5). Rows and columns are those of cells: the
// crack (hx, hy) is in row hy / 2, column hx / 2.
static void then_the_lower_row_wins(void **state) {
    (void)state;
    assert_int_equal(winner_of_two(candidate(5, 4, 0.5f), candidate(5, 6, 0.5f)), 0);
    assert_int_equal(winner_of_two(candidate(5, 6, 0.5f), candidate(6, 5, 0.5f)), 1);
}

static void then_the_lower_column_wins(void **state) {
    (void)state;
    assert_int_equal(winner_of_two(candidate(6, 5, 0.5f), candidate(4, 5, 0.5f)), 1);
    // Both in row 4, both 5 half-cells off: column 4 and horizontal, column 1 and vertical.
    assert_int_equal(winner_of_two(candidate(9, 8, 0.5f), candidate(2, 9, 0.5f)), 1);
}

static void then_the_horizontal_crack_wins(void **state) {
    (void)state;
    // Both in row 2, column 2.
    assert_int_equal(winner_of_two(candidate(4, 5, 0.5f), candidate(5, 4, 0.5f)), 1);
}

static void squares_are_half_open_and_go_on_below_zero(void **state) {
    (void)state;
    struct sel_prospect prospects[] = {candidate(-10, 5, 0.1f), candidate(-1, 6, 0.2f),
        candidate(0, 5, 0.3f), candidate(9, 6, 0.4f), candidate(10, 5, 0.5f),
        candidate(-11, 6, 0.6f)};
    size_t winners[6];
    int64_t fates[SEL_FATES];
    assert_int_equal(pick(prospects, 6, &AROUND, winners, fates), 4);
    // By position: hy 5 before hy 6, then hx.
    const size_t wanted[] = {4, 5, 1, 3};
    assert_memory_equal(winners, wanted, sizeof wanted);
    assert_int_equal(fates[SEL_FATE_CANDIDATE], 4);
}

static void each_pair_of_habitats_has_its_own_winner(void **state) {
    (void)state;
    struct sel_prospect prospects[] = {
        candidate(2, 5, 0.9f), candidate(4, 5, 0.2f), candidate(6, 5, 0.3f)};
    prospects[1].crack.b = 3;
    prospects[2].crack.a = 2;
    prospects[2].crack.b = 3;
    size_t winners[3];
    int64_t fates[SEL_FATES];
    assert_int_equal(pick(prospects, 3, &AROUND, winners, fates), 3);
}

static void a_group_ends_in_its_furthest_fate(void **state) {
    (void)state;
    struct sel_prospect prospects[] = {candidate(2, 5, 0), candidate(4, 5, 0), candidate(6, 5, 0),
        candidate(12, 5, 0), candidate(14, 5, 0.1f), candidate(22, 5, 0)};
    prospects[0].fate = SEL_FATE_EXCLUDED;
    prospects[1].fate = SEL_FATE_NO_DIRECTION;
    prospects[2].fate = SEL_FATE_STEEP;
    prospects[3].fate = SEL_FATE_UNKNOWN_BELT;
    prospects[3].belt.contrast = 0.9f; // no candidate, so it cannot win
    prospects[5].fate = SEL_FATE_OUTSIDE;
    size_t winners[6];
    int64_t fates[SEL_FATES];
    assert_int_equal(pick(prospects, 6, &AROUND, winners, fates), 1);
    assert_int_equal(winners[0], 4);
    const int64_t wanted[SEL_FATES] = {
        [SEL_FATE_OUTSIDE] = 1, [SEL_FATE_NO_DIRECTION] = 1, [SEL_FATE_CANDIDATE] = 1};
    assert_memory_equal(fates, wanted, sizeof wanted);
}

static void fates_are_added_to_what_was_there(void **state) {
    (void)state;
    struct sel_prospect one = candidate(2, 5, 0.5f);
    size_t winner, winner_count;
    int64_t fates[SEL_FATES] = {[SEL_FATE_CANDIDATE] = 41};
    assert_int_equal(
        sel_lattice_pick(&one, 1, &AROUND, scratch, &winner, &winner_count, fates), SEL_OK);
    assert_int_equal(fates[SEL_FATE_CANDIDATE], 42);
}

static void nothing_in_gives_nothing_out(void **state) {
    (void)state;
    size_t winner;
    int64_t fates[SEL_FATES];
    assert_int_equal(pick(NULL, 0, &AROUND, &winner, fates), 0);
}

static void every_fate_has_a_name_of_its_own(void **state) {
    (void)state;
    for (int i = 0; i < SEL_FATES; i++)
        for (int j = 0; j < i; j++)
            assert_string_not_equal(
                sel_fate_name((enum sel_fate)i), sel_fate_name((enum sel_fate)j));
    assert_string_equal(sel_fate_name(SEL_FATE_OUTSIDE), "outside the study area");
}

static void a_window_owns_the_squares_that_begin_in_it(void **state) {
    (void)state;
    // 25 rows from row 5 are half-cells 10 .. 59; 12 columns from 0 are half-cells 0 .. 23.
    struct sel_lattice_range range = sel_lattice_owned(10, (struct sel_window){5, 0, 25, 12});
    assert_int_equal(range.first_row, 1);
    assert_int_equal(range.last_row, 6);
    assert_int_equal(range.first_col, 0);
    assert_int_equal(range.last_col, 3);
    // Of 7 half-cells: none begins in rows' half-cells 10 .. 13, one (14) in columns' 10 .. 15.
    range = sel_lattice_owned(7, (struct sel_window){5, 5, 2, 3});
    assert_int_equal(range.first_row, 2);
    assert_int_equal(range.last_row, 2);
    assert_int_equal(range.first_col, 2);
    assert_int_equal(range.last_col, 3);
    assert_int_equal(sel_lattice_cells(&range).rows, 0);
}

static void cells_hold_their_squares_and_no_more(void **state) {
    (void)state;
    // Squares 1 and 2 of 7 half-cells are half-cells 7 .. 20: cells 3 .. 10.
    struct sel_lattice_range range = {7, 1, 3, -3, -2};
    struct sel_window cells = sel_lattice_cells(&range);
    assert_int_equal(cells.row, 3);
    assert_int_equal(cells.rows, 8);
    // Square -3 is half-cells -21 .. -15: cells -11 .. -8.
    assert_int_equal(cells.col, -11);
    assert_int_equal(cells.cols, 4);
}

// Prospects of a random scene with few distinct contrasts, so that ties are many.
static size_t random_prospects(struct sel_prospect *prospects, uint64_t *random) {
    static struct sel_crack cracks[MOST];
    struct flyway_scene scene = flyway_patchy(70, 83, 5, 4, random);
    size_t count = flyway_all_cracks(&scene, cracks, MOST);
    for (size_t i = 0; i < count; i++) {
        int fate = flyway_random_below(random, 2 * SEL_FATES);
        prospects[i] = (struct sel_prospect){.crack = cracks[i],
            .fate = fate < SEL_FATES ? (enum sel_fate)fate : SEL_FATE_CANDIDATE,
            .belt = {.contrast = 0.25f * (float)flyway_random_below(random, 4)}};
    }
    flyway_scene_free(&scene);
    return count;
}

static int64_t below(int32_t half, int64_t side) {
    return (int64_t)floor((double)half / (double)side);
}

static bool same_group(
    const struct sel_prospect *one, const struct sel_prospect *other, int64_t side) {
    return below(one->crack.hy, side) == below(other->crack.hy, side) &&
           below(one->crack.hx, side) == below(other->crack.hx, side) &&
           one->crack.a == other->crack.a && one->crack.b == other->crack.b;
}

// The rule once more, as one number list to be compared front to back; smaller is better.
static void rank_of(const struct sel_prospect *prospect, int64_t side, double rank[5]) {
    double centre_x = ((double)below(prospect->crack.hx, side) + 0.5) * (double)side;
    double centre_y = ((double)below(prospect->crack.hy, side) + 0.5) * (double)side;
    rank[0] = -(double)prospect->belt.contrast;
    rank[1] = pow(prospect->crack.hx - centre_x, 2) + pow(prospect->crack.hy - centre_y, 2);
    rank[2] = prospect->crack.hy / 2;
    rank[3] = prospect->crack.hx / 2;
    rank[4] = prospect->crack.hx % 2 == 0;
}

static bool ranks_before(
    const struct sel_prospect *one, const struct sel_prospect *other, int64_t side) {
    double rank[5], other_rank[5];
    rank_of(one, side, rank);
    rank_of(other, side, other_rank);
    for (int i = 0; i < 5; i++)
        if (rank[i] != other_rank[i])
            return rank[i] < other_rank[i];
    return false;
}

// Winners and fates by comparing every prospect with every other: won[i] tells whether i wins.
static void pick_by_force(const struct sel_prospect *prospects, size_t count, int64_t side,
    bool *won, int64_t fates[SEL_FATES]) {
    for (size_t i = 0; i < count; i++) {
        enum sel_fate furthest = prospects[i].fate;
        bool first = true, best = prospects[i].fate == SEL_FATE_CANDIDATE;
        for (size_t j = 0; j < count; j++) {
            if (i == j || !same_group(&prospects[i], &prospects[j], side))
                continue;
            first = first && i < j;
            furthest = prospects[j].fate > furthest ? prospects[j].fate : furthest;
            best = best && !(prospects[j].fate == SEL_FATE_CANDIDATE &&
                               ranks_before(&prospects[j], &prospects[i], side));
        }
        won[i] = best;
        fates[furthest] += first;
    }
}

static void winners_match_a_comparison_of_all_with_all(void **state) {
    (void)state;
    static struct sel_prospect prospects[MOST];
    static bool won[MOST];
    static size_t winners[MOST];
    uint64_t random = 31;
    size_t count = random_prospects(prospects, &random);
    assert_true(count > 2000);
    for (int64_t side = 3; side <= 13; side += 5) {
        int64_t forced[SEL_FATES] = {0}, fates[SEL_FATES];
        pick_by_force(prospects, count, side, won, forced);
        struct sel_lattice_range all = sel_lattice_owned(side, (struct sel_window){0, 0, 70, 83});
        size_t winner_count = pick(prospects, count, &all, winners, fates);
        assert_memory_equal(fates, forced, sizeof forced);
        size_t at = 0;
        for (size_t i = 0; i < count; i++) // they were made in order of hy, then hx
            if (won[i])
                assert_int_equal(winners[at++], i);
        assert_int_equal(at, winner_count);
    }
}

static void the_order_of_prospects_does_not_matter(void **state) {
    (void)state;
    static struct sel_prospect prospects[MOST], shuffled[MOST];
    static size_t winners[MOST], shuffled_winners[MOST];
    uint64_t random = 77;
    size_t count = random_prospects(prospects, &random);
    memcpy(shuffled, prospects, count * sizeof *prospects);
    for (size_t i = count - 1; i > 0; i--) {
        size_t j = (size_t)flyway_random_below(&random, (int)i + 1);
        struct sel_prospect kept = shuffled[i];
        shuffled[i] = shuffled[j];
        shuffled[j] = kept;
    }
    struct sel_lattice_range all = sel_lattice_owned(10, (struct sel_window){0, 0, 70, 83});
    int64_t fates[SEL_FATES], shuffled_fates[SEL_FATES];
    size_t winner_count = pick(prospects, count, &all, winners, fates);
    assert_int_equal(pick(shuffled, count, &all, shuffled_winners, shuffled_fates), winner_count);
    assert_memory_equal(fates, shuffled_fates, sizeof fates);
    for (size_t i = 0; i < winner_count; i++) {
        const struct sel_crack *one = &prospects[winners[i]].crack;
        const struct sel_crack *other = &shuffled[shuffled_winners[i]].crack;
        assert_true(one->hx == other->hx && one->hy == other->hy);
    }
}

// Picks tile by tile, giving each tile only the cracks of its own cells; marks the winners.
static void pick_in_tiles(const struct sel_prospect *prospects, size_t count, int64_t side,
    int64_t tile_rows, int64_t tile_cols, bool *won, int64_t fates[SEL_FATES]) {
    static struct sel_prospect inside[MOST];
    static size_t origin[MOST], winners[MOST];
    for (int64_t row = 0; row < 70; row += tile_rows)
        for (int64_t col = 0; col < 83; col += tile_cols) {
            struct sel_window tile = {row, col, row + tile_rows < 70 ? tile_rows : 70 - row,
                col + tile_cols < 83 ? tile_cols : 83 - col};
            struct sel_lattice_range range = sel_lattice_owned(side, tile);
            struct sel_window cells = sel_lattice_cells(&range);
            size_t in_tile = 0, winner_count;
            for (size_t i = 0; i < count; i++)
                if (sel_window_has(cells, prospects[i].crack.hy / 2, prospects[i].crack.hx / 2)) {
                    origin[in_tile] = i;
                    inside[in_tile++] = prospects[i];
                }
            assert_int_equal(
                sel_lattice_pick(inside, in_tile, &range, scratch, winners, &winner_count, fates),
                SEL_OK);
            for (size_t i = 0; i < winner_count; i++) {
                assert_false(won[origin[winners[i]]]); // no square belongs to two tiles
                won[origin[winners[i]]] = true;
            }
        }
}

static void any_tiling_gives_the_same_winners(void **state) {
    (void)state;
    static struct sel_prospect prospects[MOST];
    static bool won_whole[MOST], won_tiled[MOST];
    uint64_t random = 123;
    size_t count = random_prospects(prospects, &random);
    for (int round = 0; round < 40; round++) {
        int64_t side = 2 + flyway_random_below(&random, 40);
        int64_t rows = 1 + flyway_random_below(&random, 70);
        int64_t cols = 1 + flyway_random_below(&random, 83);
        int64_t whole[SEL_FATES] = {0}, tiled[SEL_FATES] = {0};
        memset(won_whole, 0, sizeof won_whole);
        memset(won_tiled, 0, sizeof won_tiled);
        pick_in_tiles(prospects, count, side, 70, 83, won_whole, whole);
        pick_in_tiles(prospects, count, side, rows, cols, won_tiled, tiled);
        assert_memory_equal(whole, tiled, sizeof whole);
        assert_memory_equal(won_whole, won_tiled, sizeof won_whole);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_highest_contrast_wins),
        cmocka_unit_test(of_equals_the_nearest_to_the_centre_wins),
        cmocka_unit_test(then_the_lower_row_wins),
        cmocka_unit_test(then_the_lower_column_wins),
        cmocka_unit_test(then_the_horizontal_crack_wins),
        cmocka_unit_test(squares_are_half_open_and_go_on_below_zero),
        cmocka_unit_test(each_pair_of_habitats_has_its_own_winner),
        cmocka_unit_test(a_group_ends_in_its_furthest_fate),
        cmocka_unit_test(fates_are_added_to_what_was_there),
        cmocka_unit_test(nothing_in_gives_nothing_out),
        cmocka_unit_test(every_fate_has_a_name_of_its_own),
        cmocka_unit_test(a_window_owns_the_squares_that_begin_in_it),
        cmocka_unit_test(cells_hold_their_squares_and_no_more),
        cmocka_unit_test(winners_match_a_comparison_of_all_with_all),
        cmocka_unit_test(the_order_of_prospects_does_not_matter),
        cmocka_unit_test(any_tiling_gives_the_same_winners),
    };
    return cmocka_run_group_tests(tests, make_scratch, free_scratch);
}
