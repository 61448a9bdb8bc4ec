// SPDX-License-Identifier: MIT
//
// Blocks of study cells by hand, and on random ground against labels spread until nothing changes:
// no barrier leaks, and where every block hangs together nothing is lost.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "access/walk_blocks.h"
#include "choose_check.h"
#include "choose_random.h"

enum { WATER = 0, MEADOW, WOOD, UNKNOWN };
static const float FACTORS[256] = {[WATER] = 0, [MEADOW] = 1, [WOOD] = 0.5f, [UNKNOWN] = 0};

// ---- windows ----

struct window {
    struct sel_walk_study study;
    float *elevation;
    uint8_t *habitat, *marks, *piece;
    struct sel_walk_block *blocks;
    struct sel_walk_scratch *scratch;
};

static struct window window_new(int64_t rows, int64_t cols, int64_t per_row, int64_t per_col) {
    size_t cells = (size_t)(rows * cols * per_row * per_col);
    struct window w = {.elevation = calloc(cells, sizeof(float)),
        .habitat = malloc(cells),
        .marks = calloc(cells, 1),
        .piece = malloc(cells),
        .blocks = malloc((size_t)(rows * cols) * sizeof(struct sel_walk_block)),
        .scratch = sel_walk_scratch_new(per_row, per_col)};
    memset(w.habitat, MEADOW, cells);
    w.study = (struct sel_walk_study){
        rows, cols, per_row, per_col, w.elevation, w.habitat, FACTORS, w.marks};
    return w;
}

static void window_free(struct window *w) {
    free(w->elevation);
    free(w->habitat);
    free(w->marks);
    free(w->piece);
    free(w->blocks);
    sel_walk_scratch_free(w->scratch);
}

static int64_t width(const struct window *w) {
    return w->study.cols * w->study.per_col;
}

// '.' meadow, 'w' wood, '#' water, '=' way over meadow, 'S' start over meadow, '+' way over water.
static struct window window_drawn(
    const char *const *lines, int64_t rows, int64_t cols, int64_t per_row, int64_t per_col) {
    struct window w = window_new(rows, cols, per_row, per_col);
    for (int64_t row = 0; row < rows * per_row; row++)
        for (int64_t col = 0; col < width(&w); col++) {
            char letter = lines[row][col];
            int64_t i = row * width(&w) + col;
            w.habitat[i] = letter == '#' || letter == '+' ? WATER : letter == 'w' ? WOOD : MEADOW;
            w.marks[i] = letter == 'S'                    ? SEL_WALK_START
                         : letter == '=' || letter == '+' ? SEL_WALK_WAY
                                                          : 0;
        }
    return w;
}

static void run(struct window *w) {
    sel_walk_blocks(&w->study, w->scratch, w->piece, w->blocks);
}

static uint8_t shut(const struct window *w, int64_t block) {
    return w->blocks[block].marks & (SEL_WALK_SHUT_EAST | SEL_WALK_SHUT_SOUTH);
}

// ---- sizes ----

static void walking_cells_are_twenty_to_thirty_metres(void **state) {
    (void)state;
    const struct {
        double cell_m;
        int64_t count;
    } cases[] = {{0.5, 40}, {1, 20}, {3, 7}, {5, 4}, {6, 4}, {7, 3}, {8, 3}, {10, 2}, {12.5, 2},
        {15, 2}, {16, 1}, {19, 1}, {20, 1}, {27.3, 1}, {30, 1}, {100, 1}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        assert_int_equal(sel_walk_cells_per_side(cases[i].cell_m), cases[i].count);
    for (double cell = 0.1; cell < 15; cell += 0.013) {
        double side = cell * (double)sel_walk_cells_per_side(cell);
        assert_true(side >= 20 - 1e-9 && side <= 30 + 1e-9);
    }
}

// ---- by hand ----

static void a_block_is_the_mean_of_its_study_cells(void **state) {
    (void)state;
    const char *const map[] = {".w", "ww"};
    struct window w = window_drawn(map, 1, 1, 2, 2);
    for (int i = 0; i < 4; i++)
        w.elevation[i] = 10 + (float)i;
    run(&w);
    assert_near((double)w.blocks[0].elevation_m, 11.5, 0);
    assert_near((double)w.blocks[0].factor, 4.0 / (1 + 2 + 2 + 2), 1e-7); // harmonic
    assert_int_equal(w.blocks[0].marks, 0);
    window_free(&w);
}

static void a_way_keeps_its_own_elevation(void **state) {
    (void)state;
    const char *const map[] = {".=", "ww"};
    struct window w = window_drawn(map, 1, 1, 2, 2);
    w.elevation[1] = 40;
    run(&w);
    assert_near((double)w.blocks[0].elevation_m, 40, 0);
    assert_int_equal(w.blocks[0].marks, SEL_WALK_WAY);
    window_free(&w);
}

static void unknown_ground_is_no_ground(void **state) {
    (void)state;
    struct window w = window_new(1, 2, 2, 2);
    for (int i = 0; i < 8; i++)
        w.elevation[i] = (float)NAN;
    w.elevation[2] = 7;
    run(&w);
    assert_true(isnan(w.blocks[0].elevation_m));
    assert_near((double)w.blocks[1].elevation_m, 7, 0);
    w.habitat[2] = UNKNOWN;
    run(&w);
    assert_true(isnan(w.blocks[1].elevation_m));
    w.marks[2] = SEL_WALK_WAY; // but a way is walked on, whatever grows beside it
    run(&w);
    assert_near((double)w.blocks[1].elevation_m, 7, 0);
    window_free(&w);
}

// A river one study cell wide through the second of three blocks: both banks stay walkable, and
// only the side that the river follows is shut.
static void a_thin_river_parts_blocks_without_swallowing_them(void **state) {
    (void)state;
    const char *const map[] = {"...#..", "...#.."};
    struct window w = window_drawn(map, 1, 3, 2, 2);
    run(&w);
    assert_int_equal(shut(&w, 0), 0);
    assert_int_equal(shut(&w, 1), SEL_WALK_SHUT_EAST);
    for (int i = 0; i < 3; i++)
        assert_true(isfinite(w.blocks[i].elevation_m));
    assert_int_equal(w.piece[3], SEL_PIECE_NONE);
    assert_int_equal(w.piece[2], SEL_PIECE_HELD);
    window_free(&w);
}

// A river across the middle of a block: the larger bank is its piece, or the one with a way.
static void a_parted_block_is_its_larger_piece_or_the_one_with_a_way(void **state) {
    (void)state;
    const char *const plain[] = {"...", "###", "..."};
    const char *const larger[] = {".#.", "##.", "..."};
    const char *const way[] = {"..=", "###", "..."};
    struct window w = window_drawn(plain, 1, 1, 3, 3);
    run(&w);
    assert_int_equal(w.piece[0], SEL_PIECE_HELD); // as large as the other, and first
    assert_int_equal(w.piece[6], SEL_PIECE_OTHER);
    window_free(&w);
    w = window_drawn(larger, 1, 1, 3, 3);
    run(&w);
    assert_int_equal(w.piece[0], SEL_PIECE_OTHER);
    assert_int_equal(w.piece[8], SEL_PIECE_HELD);
    window_free(&w);
    w = window_drawn(way, 1, 1, 3, 3);
    w.habitat[3] = MEADOW; // a gap in the river: one piece
    run(&w);
    assert_int_equal(w.piece[6], SEL_PIECE_HELD);
    w.habitat[3] = WATER;
    w.habitat[0] = WATER; // the way's bank is the smaller one now
    run(&w);
    assert_int_equal(w.piece[2], SEL_PIECE_HELD);
    assert_int_equal(w.piece[6], SEL_PIECE_OTHER);
    window_free(&w);
}

static void a_bridge_joins_the_banks(void **state) {
    (void)state;
    const char *const without[] = {"..#...", "..#...", "..#...", "..#..."};
    const char *const with[] = {"..#...", "==+===", "..#...", "..#..."};
    struct window w = window_drawn(without, 2, 3, 2, 2);
    run(&w);
    assert_int_equal(shut(&w, 0), SEL_WALK_SHUT_EAST);
    assert_int_equal(shut(&w, 3), SEL_WALK_SHUT_EAST);
    window_free(&w);
    w = window_drawn(with, 2, 3, 2, 2);
    run(&w);
    assert_int_equal(shut(&w, 0), 0);
    assert_int_equal(w.blocks[1].marks & SEL_WALK_WAY, SEL_WALK_WAY);
    assert_int_equal(shut(&w, 3), SEL_WALK_SHUT_EAST);
    window_free(&w);
}

// A road and a river side by side in one block column: the road does not lead across the river.
static void a_road_beside_a_river_does_not_cross_it(void **state) {
    (void)state;
    const char *const map[] = {"=#..", "=#..", "=#..", "=#.."};
    struct window w = window_drawn(map, 2, 2, 2, 2);
    run(&w);
    assert_int_equal(shut(&w, 0), SEL_WALK_SHUT_EAST);
    assert_int_equal(shut(&w, 2), SEL_WALK_SHUT_EAST);
    window_free(&w);
}

static void a_place_is_reached_from_the_pieces_around_it(void **state) {
    (void)state;
    int64_t anchors[SEL_WALK_ANCHORS_MOST];
    // The second block is parted; its lesser piece (column 5) touches the third block, and water
    // in column 4 can be stepped out of.
    const char *const map[] = {"....#....", "....#....", "...#.#...", "..##.##.."};
    struct window w = window_drawn(map, 2, 3, 2, 3);
    run(&w);
    assert_int_equal(sel_walk_anchors(&w.study, w.scratch, w.piece, 0, 3, anchors), 1);
    assert_int_equal(anchors[0], 1);
    assert_int_equal(w.piece[5], SEL_PIECE_OTHER);
    assert_int_equal(sel_walk_anchors(&w.study, w.scratch, w.piece, 0, 5, anchors), 1);
    assert_int_equal(anchors[0], 2);
    assert_int_equal(sel_walk_anchors(&w.study, w.scratch, w.piece, 1, 4, anchors), 3);
    assert_int_equal(anchors[0], 1); // west of it
    assert_int_equal(anchors[1], 2); // by column 5
    assert_int_equal(anchors[2], 4); // south of it
    window_free(&w);
    const char *const island[] = {"####", "#.##", "####", "####"};
    w = window_drawn(island, 2, 2, 2, 2);
    run(&w);
    assert_int_equal(sel_walk_anchors(&w.study, w.scratch, w.piece, 1, 1, anchors), 1);
    assert_int_equal(sel_walk_anchors(&w.study, w.scratch, w.piece, 3, 3, anchors), 0);
    window_free(&w);
}

// A lesser piece with a wall of one cell on every side: it is not stepped over.
static void a_wall_of_one_cell_parts_a_piece_from_those_around_it(void **state) {
    (void)state;
    int64_t anchors[SEL_WALK_ANCHORS_MOST];
    const char *const map[] = {"...........", "...........", "...........", "....###....",
        "....#.#....", "....###....", "...........", "...........", "...........", "..........."};
    for (int side = 0; side < 2; side++) {
        // The second time the wall above the piece is the next block's.
        struct window w = window_drawn(map + side, 3, 3, 3, 3);
        run(&w);
        assert_int_equal(sel_walk_anchors(&w.study, w.scratch, w.piece, 4 - side, 5, anchors), 0);
        window_free(&w);
    }
}

// ---- at random ----

static bool open_cell(const struct window *w, int64_t i) {
    return !isnan(w->elevation[i]) && (w->marks[i] || FACTORS[w->habitat[i]] > 0);
}

// Labels spread over four neighbours until nothing changes; parts[] is 0 for closed cells. With
// `within` they stay in their block.
static void label(const struct window *w, bool within, int64_t *parts) {
    int64_t rows = w->study.rows * w->study.per_row, cols = width(w);
    for (int64_t i = 0; i < rows * cols; i++)
        parts[i] = open_cell(w, i) ? i + 1 : 0;
    for (bool changed = true; changed;) {
        changed = false;
        for (int64_t i = 0; i < rows * cols; i++)
            for (int side = 0; side < 4 && parts[i]; side++) {
                int64_t row = i / cols + (side == 0) - (side == 1);
                int64_t col = i % cols + (side == 2) - (side == 3);
                bool same = row / w->study.per_row == i / cols / w->study.per_row &&
                            col / w->study.per_col == i % cols / w->study.per_col;
                if (row < 0 || row >= rows || col < 0 || col >= cols || (within && !same))
                    continue;
                int64_t other = parts[row * cols + col];
                if (other > parts[i])
                    parts[i] = other, changed = true;
            }
    }
}

static struct window random_window(uint64_t *random) {
    int64_t per_row = random_below(random, 4) + 1, per_col = random_below(random, 4) + 1;
    int64_t rows = random_below(random, 7) + 1, cols = random_below(random, 7) + 1;
    struct window w = window_new(rows, cols, per_row, per_col);
    int64_t water = random_below(random, 6);
    for (int64_t i = 0; i < rows * cols * per_row * per_col; i++) {
        w.elevation[i] = (float)random_between(random, 0, 20);
        w.habitat[i] = i % 2 ? WOOD : MEADOW;
        if (random_below(random, 10) < water)
            w.habitat[i] = WATER;
        if (random_below(random, 12) == 0)
            w.marks[i] = (uint8_t)(1 + random_below(random, 2));
        if (random_below(random, 25) == 0)
            w.elevation[i] = (float)NAN;
    }
    run(&w);
    return w;
}

// The piece of each block is one label, the best by the rules, and nothing else is open and held.
static void check_pieces(const struct window *w, const int64_t *within) {
    int64_t cols = width(w), cells = w->study.rows * w->study.per_row * cols;
    for (int64_t block = 0; block < w->study.rows * w->study.cols; block++) {
        int64_t held = 0;
        int64_t score[4096] = {0}; // by label: cells, and a thousand for ways
        for (int64_t i = 0; i < cells; i++) {
            int64_t of = i / cols / w->study.per_row * w->study.cols + i % cols / w->study.per_col;
            if (of != block)
                continue;
            assert_int_equal(w->piece[i] == SEL_PIECE_NONE, !open_cell(w, i));
            if (w->piece[i] == SEL_PIECE_HELD) {
                assert_true(held == 0 || held == within[i]);
                held = within[i];
            }
            score[within[i]]++;
            if (w->marks[i] && score[within[i]] < 1000)
                score[within[i]] += 1000;
        }
        score[0] = 0;
        for (int64_t i = 0; i < cells; i++) {
            int64_t of = i / cols / w->study.per_row * w->study.cols + i % cols / w->study.per_col;
            if (of == block && within[i]) {
                assert_true(score[within[i]] <= score[held]);
                assert_int_equal(w->piece[i] == SEL_PIECE_HELD, within[i] == held);
            }
        }
        assert_int_equal(isnan(w->blocks[block].elevation_m) != 0, held == 0);
    }
}

// The label over the whole window of a block's piece; 0: it has none.
static int64_t label_of_block(const struct window *w, int64_t block, const int64_t *across) {
    int64_t cols = width(w), cells = w->study.rows * w->study.per_row * cols;
    for (int64_t i = 0; i < cells; i++)
        if (w->piece[i] == SEL_PIECE_HELD &&
            i / cols / w->study.per_row * w->study.cols + i % cols / w->study.per_col == block)
            return across[i];
    return 0;
}

// Labels of blocks that can be walked between, spread over sides that are not shut.
static void label_blocks(const struct window *w, int64_t *parts) {
    int64_t rows = w->study.rows, cols = w->study.cols;
    for (int64_t i = 0; i < rows * cols; i++)
        parts[i] = isnan(w->blocks[i].elevation_m) ? 0 : i + 1;
    for (bool changed = true; changed;) {
        changed = false;
        for (int64_t i = 0; i < rows * cols; i++) {
            bool east = i % cols + 1 < cols && !(w->blocks[i].marks & SEL_WALK_SHUT_EAST);
            bool south = i / cols + 1 < rows && !(w->blocks[i].marks & SEL_WALK_SHUT_SOUTH);
            for (int side = 0; side < 2; side++) {
                int64_t to = side == 0 ? i + 1 : i + cols;
                if (!(side == 0 ? east : south) || !parts[i] || !parts[to] || parts[i] == parts[to])
                    continue;
                parts[i] = parts[to] = parts[i] > parts[to] ? parts[i] : parts[to];
                changed = true;
            }
        }
    }
}

static void no_barrier_leaks_and_whole_blocks_lose_nothing(void **state) {
    (void)state;
    uint64_t random = 51;
    int joined = 0, parted = 0;
    for (int trial = 0; trial < 400; trial++) {
        struct window w = random_window(&random);
        int64_t cells = w.study.rows * w.study.per_row * width(&w);
        int64_t blocks = w.study.rows * w.study.cols;
        int64_t *within = malloc((size_t)cells * sizeof *within);
        int64_t *across = malloc((size_t)cells * sizeof *across);
        int64_t *parts = malloc((size_t)blocks * sizeof *parts);
        label(&w, true, within);
        label(&w, false, across);
        label_blocks(&w, parts);
        check_pieces(&w, within);
        bool whole = true; // no block has a second piece
        for (int64_t i = 0; i < cells; i++)
            whole = whole && w.piece[i] != SEL_PIECE_OTHER;
        for (int64_t i = 0; i < blocks; i++)
            for (int64_t j = 0; j < i; j++) {
                if (!parts[i] || !parts[j])
                    continue;
                bool linked = parts[i] == parts[j];
                bool reach = label_of_block(&w, i, across) == label_of_block(&w, j, across);
                assert_true(!linked || reach);
                assert_true(!whole || linked == reach);
                joined += linked, parted += !reach;
            }
        free(within);
        free(across);
        free(parts);
        window_free(&w);
    }
    assert_true(joined > 3000 && parted > 3000);
}

// Cutting a window along its blocks changes no block, but for sides towards what was cut away.
static void a_part_of_a_window_has_the_same_blocks(void **state) {
    (void)state;
    uint64_t random = 53;
    for (int trial = 0; trial < 100; trial++) {
        struct window w = random_window(&random);
        int64_t rows = w.study.rows / 2 + 1, cols = w.study.cols / 2 + 1;
        struct window part = window_new(rows, cols, w.study.per_row, w.study.per_col);
        for (int64_t row = 0; row < rows * w.study.per_row; row++)
            for (int64_t col = 0; col < width(&part); col++) {
                int64_t from = row * width(&w) + col, to = row * width(&part) + col;
                part.elevation[to] = w.elevation[from];
                part.habitat[to] = w.habitat[from];
                part.marks[to] = w.marks[from];
            }
        run(&part);
        for (int64_t row = 0; row + 1 < rows; row++)
            for (int64_t col = 0; col + 1 < cols; col++)
                assert_memory_equal(&part.blocks[row * cols + col],
                    &w.blocks[row * w.study.cols + col], sizeof(float) * 2 + 1);
        window_free(&w);
        window_free(&part);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(walking_cells_are_twenty_to_thirty_metres),
        cmocka_unit_test(a_block_is_the_mean_of_its_study_cells),
        cmocka_unit_test(a_way_keeps_its_own_elevation),
        cmocka_unit_test(unknown_ground_is_no_ground),
        cmocka_unit_test(a_thin_river_parts_blocks_without_swallowing_them),
        cmocka_unit_test(a_parted_block_is_its_larger_piece_or_the_one_with_a_way),
        cmocka_unit_test(a_bridge_joins_the_banks),
        cmocka_unit_test(a_road_beside_a_river_does_not_cross_it),
        cmocka_unit_test(a_place_is_reached_from_the_pieces_around_it),
        cmocka_unit_test(a_wall_of_one_cell_parts_a_piece_from_those_around_it),
        cmocka_unit_test(no_barrier_leaks_and_whole_blocks_lose_nothing),
        cmocka_unit_test(a_part_of_a_window_has_the_same_blocks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
