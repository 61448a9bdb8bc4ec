// SPDX-License-Identifier: MIT
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "terrain/surface.h"
#include "terrain_near.h"

enum { SIDE = 12 };

struct fine {
    float ground[SIDE * SIDE], top[SIDE * SIDE];
    uint8_t cover[SIDE * SIDE];
    struct sel_surface_level level;
};

static void make_fine(struct fine *fine, int64_t row, int64_t col) {
    for (int i = 0; i < SIDE * SIDE; i++) {
        fine->ground[i] = 100.0f;
        fine->top[i] = -INFINITY;
        fine->cover[i] = 255;
    }
    fine->level =
        (struct sel_surface_level){{row, col, SIDE, SIDE}, fine->ground, fine->top, fine->cover};
}

static void level_windows_cover_their_study_cells(void **state) {
    (void)state;
    struct sel_window one = sel_surface_window((struct sel_window){-1, 3, 6, 6}, 1);
    assert_int_equal(one.row, -1);
    assert_int_equal(one.col, 0);
    assert_int_equal(one.rows, 3); // rows -1..4 -> -1, 0, 1
    assert_int_equal(one.cols, 3); // columns 3..8 -> 0, 1, 2
    struct sel_window two = sel_surface_window((struct sel_window){-17, 15, 2, 2}, 2);
    assert_int_equal(two.row, -2);
    assert_int_equal(two.rows, 2);
    assert_int_equal(two.col, 0);
    assert_int_equal(two.cols, 2);
    struct sel_window same = sel_surface_window((struct sel_window){-5, 7, 3, 4}, 0);
    assert_int_equal(same.row, -5);
    assert_int_equal(same.cols, 4);
}

// By hand: one cell of 16 stands 8 m higher: the highest of its row and of its column are 108, of
// the other three 100, so both means are 102; the plain mean is 100.5; 0.75 x 102 + 0.25 x 100.5.
static void a_peak_counts_in_its_row_and_its_column(void **state) {
    (void)state;
    struct fine fine;
    make_fine(&fine, 0, 0);
    fine.ground[5 * SIDE + 6] = 108.0f; // in coarse cell (1, 1)
    float ground[9], top[9];
    uint8_t cover[9];
    sel_surface_coarsen(&fine.level, (struct sel_window){0, 0, 3, 3}, ground, top, cover);
    for (int i = 0; i < 9; i++) {
        assert_near(ground[i], i == 4 ? 101.625 : 100.0, 1e-5);
        assert_true(top[i] == ground[i]);
        assert_int_equal(cover[i], 0);
    }
}

// A north-south wall of canopy one cell wide, 20 m high, is met whole by every row, and by one
// column of four: (20 + 5) / 2 = 12.5.
static void a_wall_of_canopy_counts_by_the_rays_it_meets(void **state) {
    (void)state;
    struct fine fine;
    make_fine(&fine, -4, -8);
    for (int row = 0; row < SIDE; row++) {
        fine.top[row * SIDE + 5] = 120.0f;
        fine.cover[row * SIDE + 5] = row % 2 ? 100 : 201;
    }
    float ground[9], top[9];
    uint8_t cover[9];
    sel_surface_coarsen(&fine.level, (struct sel_window){-1, -2, 3, 3}, ground, top, cover);
    assert_near(top[1], 112.5, 1e-4);
    assert_near(ground[1], 100.0, 0.0);
    assert_int_equal(cover[1], 151); // (2 x 100 + 2 x 201) / 4, rounded
    assert_true(top[0] == ground[0]);
}

static void unknown_cells_are_left_out_and_unknown_sixteens_stay_unknown(void **state) {
    (void)state;
    struct fine fine;
    make_fine(&fine, 0, 0);
    for (int row = 0; row < 4; row++)
        for (int col = 0; col < 4; col++)
            fine.ground[row * SIDE + col] = NAN;
    fine.ground[4 * SIDE + 4] = NAN;
    fine.top[4 * SIDE + 4] = -INFINITY;
    float ground[16], top[16];
    uint8_t cover[16];
    sel_surface_coarsen(&fine.level, (struct sel_window){0, 0, 4, 4}, ground, top, cover);
    assert_true(isnan(ground[0]) && isnan(top[0]));
    assert_near(ground[5], 100.0, 0.0);
    assert_true(isnan(ground[3])); // beyond the fine window
}

static void a_coarse_cell_is_the_same_in_every_window(void **state) {
    (void)state;
    struct fine fine;
    make_fine(&fine, -4, 4);
    for (int i = 0; i < SIDE * SIDE; i++)
        fine.ground[i] = (float)((i * 7919) % 101);
    float whole[9], part[1], top[9];
    uint8_t cover[9];
    sel_surface_coarsen(&fine.level, (struct sel_window){-1, 1, 3, 3}, whole, top, cover);
    sel_surface_coarsen(&fine.level, (struct sel_window){0, 2, 1, 1}, part, top, cover);
    assert_true(part[0] == whole[4]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(level_windows_cover_their_study_cells),
        cmocka_unit_test(a_peak_counts_in_its_row_and_its_column),
        cmocka_unit_test(a_wall_of_canopy_counts_by_the_rays_it_meets),
        cmocka_unit_test(unknown_cells_are_left_out_and_unknown_sixteens_stay_unknown),
        cmocka_unit_test(a_coarse_cell_is_the_same_in_every_window),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
