// SPDX-License-Identifier: MIT
//
// Horizons against closed forms, against the definition walked without any short cut, and under
// shifts, turns and mirrors.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "terrain/horizon.h"
#include "terrain_cast.h"
#include "terrain_eyes.h"
#include "terrain_near.h"

static const double RADIANS = 0.017453292519943295;

// --- closed forms

struct wall {
    int64_t first_col, last_col; // of the wall
    float height_m;
    uint8_t cover;
};

static struct terrain_cell canopy_wall(const void *scene, int level, int64_t row, int64_t col) {
    (void)level, (void)row;
    const struct wall *wall = scene;
    bool inside = col >= wall->first_col && col <= wall->last_col;
    return (struct terrain_cell){0.0f, inside ? wall->height_m : 0.0f, wall->cover};
}

// The side of the wall nearest to a point on the border of columns is met at a whole number of
// cells: atan((h - 1.8) sin A / D) (an infinite wall).
static void a_wall_stands_at_its_height_over_its_distance(void **state) {
    (void)state;
    struct wall wall = {8, 9, 12.0f, 128};
    struct terrain_setting setting = terrain_setting_usual();
    setting.rule.reach_m = 2000.0;
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, canopy_wall, &wall);
    struct sel_horizon horizon = terrain_look(&eyes, 6, 9); // the border of columns 2 and 3
    for (int i = 1; i < 36; i++) { // 50 m away: up to azimuth 5 within level 0
        double tangent = (12.0 - 1.8) / 50.0 * sin(5.0 * i * RADIANS);
        assert_near(terrain_angle_deg(horizon.canopy_tan[i]), atan(tangent) / RADIANS, 0.01);
        assert_near(horizon.cover[i], 128.0 / 255.0, 1e-6);
        assert_near(horizon.ground_tan[i], 0.0, 0.0);
    }
    for (int i = 36; i <= 72; i++)
        assert_near(horizon.canopy_tan[i % 72], 0.0, 0.0);
    assert_true(horizon.complete);
    terrain_eyes_close(&eyes);
}

// Cells that are not square: the wall's distance is counted in metres either way.
static void a_wall_stands_right_on_cells_that_are_not_square(void **state) {
    (void)state;
    struct wall wall = {8, 9, 12.0f, 255};
    struct terrain_setting setting = terrain_setting_usual();
    setting.rule.reach_m = 1000.0;
    setting.cell_x_m = 8.0;
    setting.cell_y_m = 15.0;
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, canopy_wall, &wall);
    struct sel_horizon horizon = terrain_look(&eyes, 5, 9); // a centre, 5.5 columns away
    for (int i = 2; i < 35; i++) {
        double tangent = (12.0 - 1.8) / 44.0 * sin(5.0 * i * RADIANS);
        assert_near(terrain_angle_deg(horizon.canopy_tan[i]), atan(tangent) / RADIANS, 0.01);
    }
    terrain_eyes_close(&eyes);
}

static struct terrain_cell ground_step(const void *scene, int level, int64_t row, int64_t col) {
    (void)level, (void)row;
    const struct wall *wall = scene;
    return (struct terrain_cell){col >= wall->first_col ? wall->height_m : 0.0f, 0.0f, 0};
}

// The ground is linear between centres, so a step is seen at the first high centre. Height 100 m at
// 500 m: atan(98.2 / 500) due east, and at 45 degrees atan(98.2 / (500 sqrt 2)).
static void a_step_of_the_ground_is_seen_at_its_first_high_centre(void **state) {
    (void)state;
    struct wall step = {55, 0, 100.0f, 0};
    struct terrain_setting setting = terrain_setting_usual();
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, ground_step, &step);
    struct sel_horizon horizon = terrain_look(&eyes, 11, 11); // 50 columns away
    double east = atan(98.2 / 500.0) / RADIANS, northeast = atan(98.2 / 707.1068) / RADIANS;
    assert_near(terrain_angle_deg(horizon.ground_tan[18]), east, 0.003);
    assert_near(terrain_angle_deg(horizon.ground_tan[9]), northeast, 0.5);
    assert_near(terrain_angle_deg(horizon.ground_tan[27]), northeast, 0.5);
    assert_near(horizon.ground_tan[0], 0.0, 0.0);
    assert_near(horizon.ground_tan[54], 0.0, 0.0);
    terrain_eyes_close(&eyes);
}

static struct terrain_cell valley(const void *scene, int level, int64_t row, int64_t col) {
    (void)level, (void)row;
    double slope = *(const double *)scene;
    return (struct terrain_cell){(float)(slope * 10.0 * fabs((double)col - 5.0)), 0.0f, 0};
}

// Both sides rise at b from the observer's foot (head at the ground): tan = tan b |sin A|, and the
// sky view is cos b. A level-1 cell on a plane stands 3/4 x 7.5 m x tan b too high at 780 m, and
// within 10 degrees of the valley's line it fills its bottom by up to 20 m x tan b.
static void a_valley_shows_its_slopes_and_the_cosine_of_the_sky(void **state) {
    (void)state;
    const double slopes_deg[3] = {10.0, 30.0, 45.0};
    for (int k = 0; k < 3; k++) {
        double slope = tan(slopes_deg[k] * RADIANS);
        struct terrain_setting setting = terrain_setting_usual();
        setting.rule.head_m = 0.0;
        setting.rule.reach_m = 3000.0;
        struct terrain_eyes eyes;
        terrain_eyes_open(&eyes, &setting, valley, &slope);
        struct sel_horizon horizon = terrain_look(&eyes, 11, 11);
        for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
            bool along = fabs(sin(5.0 * i * RADIANS)) < 0.18;
            double filled = (along ? 20.0 : 5.7) * slope / 780.0;
            assert_near(horizon.ground_tan[i], slope * fabs(sin(5.0 * i * RADIANS)), 2e-4 + filled);
        }
        assert_near(sel_sky_view(&horizon), cos(slopes_deg[k] * RADIANS), 5e-3);
        terrain_eyes_close(&eyes);
    }
}

struct pit {
    double flat_m, rim_m, slope; // a flat floor, a cone up to the rim, level beyond
};

static struct terrain_cell pit_cell(const void *scene, int level, int64_t row, int64_t col) {
    (void)level;
    const struct pit *pit = scene;
    double away = hypot((double)row - 5.0, (double)col - 5.0) * 10.0;
    double up = fmin(fmax(away, pit->flat_m), pit->rim_m) - pit->flat_m;
    return (struct terrain_cell){(float)(up * pit->slope), 0.0f, 0};
}

// The rim stands highest: atan(((R - r) tan 20 - 1.8) / R) all around. Rims on each level.
static void a_cone_pit_shows_its_rim_all_around(void **state) {
    (void)state;
    const double rims_m[3] = {500.0, 1500.0, 6000.0};
    const double tolerances_deg[3] = {0.1, 0.3, 0.3};
    for (int k = 0; k < 3; k++) {
        struct pit pit = {100.0, rims_m[k], tan(20.0 * RADIANS)};
        struct terrain_setting setting = terrain_setting_usual();
        struct terrain_eyes eyes;
        terrain_eyes_open(&eyes, &setting, pit_cell, &pit);
        struct sel_horizon horizon = terrain_look(&eyes, 11, 11);
        double drop = 6.0 / 7.0 * rims_m[k] * rims_m[k] / (2.0 * 6371000.0);
        double tangent = ((rims_m[k] - 100.0) * pit.slope - 1.8 - drop) / rims_m[k];
        for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
            assert_near(terrain_angle_deg(horizon.ground_tan[i]), atan(tangent) / RADIANS,
                tolerances_deg[k]);
        assert_near(sel_sky_view(&horizon), 1.0 / (1.0 + tangent * tangent), 0.005);
        terrain_eyes_close(&eyes);
    }
}

static struct terrain_cell disc(const void *scene, int level, int64_t row, int64_t col) {
    (void)level;
    double radius_m = *(const double *)scene;
    bool inside = hypot((double)row - 5.0, (double)col - 5.0) * 10.0 <= radius_m;
    return (struct terrain_cell){inside ? 0.0f : 300.0f, 0.0f, 0};
}

// A flat disc with a plateau around it: the first rim cell due east stands 10 m beyond the radius.
// On level 1 a cliff is placed to half a level cell: 800 m, 300 m up, 20 m -> 0.5 degrees.
static void a_disc_shows_its_cliff(void **state) {
    (void)state;
    const double radii_m[2] = {400.0, 800.0}, tolerances_deg[2] = {0.01, 0.8};
    for (int k = 0; k < 2; k++) {
        struct terrain_setting setting = terrain_setting_usual();
        setting.rule.reach_m = 4000.0;
        struct terrain_eyes eyes;
        terrain_eyes_open(&eyes, &setting, disc, &radii_m[k]);
        struct sel_horizon horizon = terrain_look(&eyes, 11, 11);
        double expected = atan((300.0 - 1.8) / (radii_m[k] + 10.0)) / RADIANS;
        for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i += 18)
            assert_near(terrain_angle_deg(horizon.ground_tan[i]), expected, tolerances_deg[k]);
        terrain_eyes_close(&eyes);
    }
}

static struct terrain_cell coarse_ridge(const void *scene, int level, int64_t row, int64_t col) {
    (void)level, (void)row;
    return (struct terrain_cell){col == *(const int64_t *)scene ? 900.0f : 0.0f, 0.0f, 0};
}

// 1 km cells, a ridge 900 m high at 5, 10 and 40 km. The drop is 0.06728 m per square kilometre
// (surveying texts, refraction 1/7).
static void far_ground_sinks_by_curvature_less_refraction(void **state) {
    (void)state;
    const int64_t kilometres[3] = {5, 10, 40};
    for (int k = 0; k < 3; k++) {
        struct terrain_setting setting = {
            {60000.0, 1.8, 4.0, 0.0}, 1000.0, 1000.0, {0, 0, 1, 1}, 0, false};
        struct terrain_eyes eyes;
        terrain_eyes_open(&eyes, &setting, coarse_ridge, &kilometres[k]);
        struct sel_horizon horizon = terrain_look(&eyes, 1, 1);
        double far_m = (double)kilometres[k] * 1000.0;
        double drop_m = 0.06728 * (double)(kilometres[k] * kilometres[k]);
        double seen_drop_m = 900.0 - 1.8 - (double)horizon.ground_tan[18] * far_m;
        assert_near(seen_drop_m, drop_m, 0.001 * drop_m + 0.01);
        terrain_eyes_close(&eyes);
    }
}

// --- canopy

static struct terrain_cell wood_everywhere(const void *scene, int level, int64_t row, int64_t col) {
    (void)scene, (void)level, (void)row, (void)col;
    return (struct terrain_cell){50.0f, 20.0f, 204};
}

// In an even wood the canopy stands at the opening's edge: atan((20 - 1.8) / opening).
static void the_opening_is_cut_out_of_the_wood(void **state) {
    (void)state;
    const double openings_m[3] = {4.0, 12.0, 25.0};
    for (int k = 0; k < 3; k++) {
        struct terrain_setting setting = terrain_setting_usual();
        setting.rule.opening_m = openings_m[k];
        setting.rule.reach_m = 500.0;
        struct terrain_eyes eyes;
        terrain_eyes_open(&eyes, &setting, wood_everywhere, NULL);
        for (int64_t h = 10; h <= 11; h++) {
            struct sel_horizon horizon = terrain_look(&eyes, h, 11);
            for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
                assert_near(horizon.canopy_tan[i], 18.2 / openings_m[k], 1e-5);
                assert_near(horizon.cover[i], 0.8, 1e-6);
            }
        }
        terrain_eyes_close(&eyes);
    }
}

static void without_an_opening_a_touching_wood_hides_everything(void **state) {
    (void)state;
    struct wall wood = {5, 1000000, 20.0f, 255};
    struct terrain_setting setting = terrain_setting_usual();
    setting.rule.opening_m = 0.0;
    setting.rule.reach_m = 500.0;
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, canopy_wall, &wood);
    struct sel_horizon horizon = terrain_look(&eyes, 10, 11); // on the wood's edge
    for (int i = 1; i < 36; i++)
        assert_true(horizon.canopy_tan[i] > 1e6f && isfinite(horizon.canopy_tan[i]));
    for (int i = 37; i < 72; i++)
        assert_near(horizon.canopy_tan[i], 0.0, 0.0);
    terrain_eyes_close(&eyes);
}

// Looking along the wood's edge, half of the light passes on the open side.
static void along_an_edge_half_of_the_closure_counts(void **state) {
    (void)state;
    struct wall wood = {5, 1000000, 20.0f, 204};
    struct terrain_setting setting = terrain_setting_usual();
    setting.rule.reach_m = 500.0;
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, canopy_wall, &wood);
    struct sel_horizon horizon = terrain_look(&eyes, 10, 11);
    for (int i = 0; i < 72; i += 36) {
        assert_near(horizon.canopy_tan[i], 18.2 / 4.0, 1e-5);
        assert_near(horizon.cover[i], 0.4, 1e-6);
    }
    terrain_eyes_close(&eyes);
}

static struct terrain_cell two_woods(const void *scene, int level, int64_t row, int64_t col) {
    (void)scene, (void)level, (void)row;
    if (col == 8)
        return (struct terrain_cell){0.0f, 5.0f, 230};
    if (col >= 12 && col <= 13)
        return (struct terrain_cell){0.0f, 30.0f, 77};
    return (struct terrain_cell){0.0f, 0.0f, 0};
}

// A low dense hedge at 20 m (9 degrees) before an open wood at 60 m (25 degrees).
static void the_canopy_that_stands_highest_gives_the_closure(void **state) {
    (void)state;
    struct terrain_setting setting = terrain_setting_usual();
    setting.rule.reach_m = 500.0;
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, two_woods, NULL);
    struct sel_horizon horizon = terrain_look(&eyes, 12, 11);
    assert_near(horizon.canopy_tan[18], (30.0 - 1.8) / 60.0, 1e-5);
    assert_near(horizon.cover[18], 77.0 / 255.0, 1e-6);
    terrain_eyes_close(&eyes);
}

// --- unknown ground and windows

struct hole {
    int64_t row, col, size;
};

static struct terrain_cell flat_with_hole(const void *scene, int level, int64_t row, int64_t col) {
    (void)level;
    const struct hole *hole = scene;
    bool inside = row >= hole->row && row < hole->row + hole->size && col >= hole->col &&
                  col < hole->col + hole->size;
    return (struct terrain_cell){inside ? NAN : 10.0f, 0.0f, 0};
}

static bool complete_beside(struct hole hole) {
    struct terrain_setting setting = terrain_setting_usual();
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, flat_with_hole, &hole);
    struct sel_horizon horizon = terrain_look(&eyes, 11, 11);
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
        assert_near(horizon.ground_tan[i], 0.0, 0.0);
    terrain_eyes_close(&eyes);
    return horizon.complete;
}

static void unknown_ground_within_reach_makes_a_horizon_incomplete(void **state) {
    (void)state;
    assert_false(complete_beside((struct hole){0, 20, 20}));      // on level 0
    assert_false(complete_beside((struct hole){-60, 200, 130}));  // on level 1
    assert_false(complete_beside((struct hole){-100, 700, 300})); // on level 2
    assert_true(complete_beside((struct hole){0, 1032, 40}));     // beyond 10 km
    assert_true(complete_beside((struct hole){0, 0, 0}));
}

static void no_horizon_where_the_ground_is_unknown_or_out_of_the_core(void **state) {
    (void)state;
    struct hole hole = {4, 4, 1};
    struct terrain_setting setting = terrain_setting_usual();
    setting.rule.reach_m = 500.0;
    struct terrain_eyes eyes;
    struct sel_horizon horizon;
    terrain_eyes_open(&eyes, &setting, flat_with_hole, &hole);
    assert_false(sel_horizon_at(eyes.view, 9, 9, &horizon));  // its centre
    assert_false(sel_horizon_at(eyes.view, 10, 9, &horizon)); // its side
    assert_false(sel_horizon_at(eyes.view, 8, 8, &horizon));  // its corner
    assert_true(sel_horizon_at(eyes.view, 11, 9, &horizon));
    assert_true(sel_horizon_at(eyes.view, 32, 32, &horizon)); // the core's corner
    assert_false(sel_horizon_at(eyes.view, 33, 9, &horizon));
    assert_false(sel_horizon_at(eyes.view, -1, 9, &horizon));
    terrain_eyes_close(&eyes);
}

static void a_view_refuses_windows_that_hold_too_little(void **state) {
    (void)state;
    struct hole none = {0, 0, 0};
    struct terrain_setting setting = terrain_setting_usual();
    setting.rule.reach_m = 7000.0;
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, flat_with_hole, &none);
    struct sel_surface surface = eyes.surface;
    assert_true(sel_horizon_view_aim(eyes.view, &surface, setting.core));
    struct sel_window larger = {0, 0, 17, 16};
    assert_false(sel_horizon_view_aim(eyes.view, &surface, larger));
    for (int level = 0; level < SEL_SURFACE_LEVELS; level++) {
        surface = eyes.surface;
        surface.levels[level].window.row += 1000;
        assert_false(sel_horizon_view_aim(eyes.view, &surface, setting.core));
    }
    surface = eyes.surface;
    surface.levels[0].window.cols -= 1; // no longer as the plan has it
    assert_false(sel_horizon_view_aim(eyes.view, &surface, setting.core));
    terrain_eyes_close(&eyes);
}

// --- the definition, walked without short cuts

static int compare_with_definition(
    const struct terrain_eyes *eyes, int64_t hx, int64_t hy, bool *complete) {
    struct sel_horizon horizon = terrain_look(eyes, hx, hy);
    int other_cover = 0;
    *complete = true;
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
        struct terrain_ray ray = terrain_sample(eyes, hx, hy, i);
        assert_near(horizon.ground_tan[i], ray.ground_tan, 2e-5 * (1.0 + ray.ground_tan));
        assert_near(horizon.canopy_tan[i], ray.canopy_tan, 2e-5 * (1.0 + ray.canopy_tan));
        other_cover += fabs((double)horizon.cover[i] - ray.cover) > 0.004;
        *complete = *complete && ray.complete;
    }
    assert_int_equal(horizon.complete, *complete);
    return other_cover;
}

// Every kind of place. Where two canopies stand equally high to the last digits the closure may be
// either's; so a few may differ.
static void check_definition(const struct terrain_setting *setting, terrain_cell_fn *cell,
    const void *scene, int *incomplete) {
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, setting, cell, scene);
    int other_cover = 0, rays = 0;
    *incomplete = 0;
    int64_t west = 2 * setting->core.col, north = 2 * setting->core.row;
    for (int64_t k = 0; k < 24; k++) {
        bool complete;
        int64_t hx = west + (k * 11) % (2 * setting->core.cols + 1);
        int64_t hy = north + (k * 7 + k / 2) % (2 * setting->core.rows + 1);
        other_cover += compare_with_definition(&eyes, hx, hy, &complete);
        *incomplete += !complete;
        rays += SEL_HORIZON_DIRECTIONS;
    }
    assert_true(other_cover * 200 < rays);
    terrain_eyes_close(&eyes);
}

static void the_fast_look_is_the_definition(void **state) {
    (void)state;
    int incomplete;
    for (uint32_t salt = 1; salt <= 3; salt++) {
        struct terrain_setting setting = terrain_setting_usual();
        setting.rule.reach_m = salt == 1 ? 10000.0 : 6000.0;
        setting.core = (struct sel_window){-7 + 40 * (int64_t)salt, -200, 13, 29};
        check_definition(&setting, terrain_rolling, &salt, &incomplete);
        assert_int_equal(incomplete, 0);
    }
}

static void it_is_on_cells_that_are_not_square(void **state) {
    (void)state;
    uint32_t salt = 11;
    int incomplete;
    struct terrain_setting setting = terrain_setting_usual();
    setting.cell_x_m = 31.5302;
    setting.cell_y_m = 24.0;
    setting.rule.reach_m = 14000.0;
    check_definition(&setting, terrain_rolling, &salt, &incomplete);
    setting.cell_x_m = 7.0;
    setting.cell_y_m = 12.5;
    setting.rule.reach_m = 4000.0;
    check_definition(&setting, terrain_rolling, &salt, &incomplete);
}

// Ground known only within a ragged region around the core.
static struct terrain_cell ragged(const void *scene, int level, int64_t row, int64_t col) {
    struct terrain_cell cell = terrain_rolling(scene, level, row, col);
    if (terrain_random(99, row / 40, col / 40) < 0.02 || row > 300 + col % 50 || col < -700)
        cell = (struct terrain_cell){NAN, 0.0f, 0};
    return cell;
}

static void it_is_where_ground_is_unknown(void **state) {
    (void)state;
    uint32_t salt = 21;
    struct terrain_setting setting = terrain_setting_usual();
    int incomplete;
    check_definition(&setting, ragged, &salt, &incomplete);
    assert_true(incomplete > 0);
}

static struct terrain_cell half_metre_ridges(
    const void *scene, int level, int64_t row, int64_t col) {
    const struct wall *wall = scene;
    int64_t study_col = col * ((int64_t)1 << 2 * level);
    double ridge =
        study_col >= wall->first_col && study_col <= wall->last_col ? (double)wall->height_m : 0.0;
    return (struct terrain_cell){(float)(ridge + 0.3 * terrain_random(5, row, col)), 0.0f, 0};
}

// Half-metre cells make the far field some thousand lines long. A ridge stands at 9 km.
static void it_is_on_very_small_cells(void **state) {
    (void)state;
    struct wall ridge = {18000, 18064, 300.0f, 0};
    struct terrain_setting setting = {{10000.0, 1.8, 4.0, 0.0}, 0.5, 0.5, {0, 0, 16, 16}, 0, false};
    int incomplete;
    check_definition(&setting, half_metre_ridges, &ridge, &incomplete);
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, half_metre_ridges, &ridge);
    struct sel_horizon horizon = terrain_look(&eyes, 11, 11);
    assert_near(horizon.ground_tan[18], (300.0 - 1.8 - 5.45) / 9000.0, 2e-4);
    terrain_eyes_close(&eyes);
}

// --- symmetry

struct moved {
    uint32_t salt;
    int64_t rows, cols; // shift
    int quarter_turns;
    bool mirrored;
};

static struct terrain_cell moved_rolling(const void *scene, int level, int64_t row, int64_t col) {
    const struct moved *moved = scene;
    for (int i = 0; i < moved->quarter_turns; i++) { // back to where it came from
        int64_t old_row = -1 - col;
        col = row;
        row = old_row;
    }
    if (moved->mirrored)
        col = -1 - col;
    return terrain_rolling(&moved->salt, level, row - moved->rows, col - moved->cols);
}

// Half-cell places relative to the scene, one of each kind.
static const int64_t PLACES[4][2] = {{5, 7}, {20, 3}, {9, 26}, {14, 12}};

// Far enough for level 2 to take part.
static struct terrain_setting moved_setting(void) {
    struct terrain_setting setting = terrain_setting_usual();
    setting.rule.reach_m = 5600.0;
    return setting;
}

static void assert_same(const struct sel_horizon *one, const struct sel_horizon *other) {
    assert_memory_equal(one, other, offsetof(struct sel_horizon, complete));
    assert_int_equal(one->complete, other->complete);
}

static void shifting_by_whole_coarse_cells_changes_nothing(void **state) {
    (void)state;
    struct terrain_setting setting = moved_setting();
    struct moved here = {31, 0, 0, 0, false}, there = {31, -48, 4096, 0, false};
    struct terrain_eyes one, other;
    terrain_eyes_open(&one, &setting, moved_rolling, &here);
    setting.core.row -= 48;
    setting.core.col += 4096;
    terrain_eyes_open(&other, &setting, moved_rolling, &there);
    for (int k = 0; k < 4; k++) {
        struct sel_horizon a = terrain_look(&one, PLACES[k][0], PLACES[k][1]);
        struct sel_horizon b = terrain_look(&other, PLACES[k][0] + 2 * 4096, PLACES[k][1] - 2 * 48);
        assert_same(&a, &b);
    }
    terrain_eyes_close(&one);
    terrain_eyes_close(&other);
}

static void windows_and_cores_change_nothing(void **state) {
    (void)state;
    struct moved scene = {41, 0, 0, 0, false};
    struct terrain_setting setting = moved_setting();
    struct terrain_eyes usual, large;
    terrain_eyes_open(&usual, &setting, moved_rolling, &scene);
    setting.spare = 37;
    setting.core = (struct sel_window){-21, -9, 60, 45};
    terrain_eyes_open(&large, &setting, moved_rolling, &scene);
    for (int k = 0; k < 4; k++) {
        int64_t hx = PLACES[k][0], hy = PLACES[k][1];
        struct sel_horizon one = terrain_look(&usual, hx, hy), two = terrain_look(&large, hx, hy);
        assert_same(&one, &two);
        struct sel_window small = {(hy - 1) >> 1, (hx - 1) >> 1, 2, 2};
        assert_true(sel_horizon_view_aim(usual.view, &usual.surface, small));
        two = terrain_look(&usual, hx, hy);
        assert_same(&one, &two);
        assert_true(sel_horizon_view_aim(usual.view, &usual.surface, usual.setting.core));
    }
    terrain_eyes_close(&usual);
    terrain_eyes_close(&large);
}

// At 45 degrees rows and columns serve equally as main lines, and columns are taken; so a turn by a
// quarter changes which lines are met there, and what they show by a little.
static bool is_diagonal(int direction) {
    return direction % 18 == 9;
}

static void assert_same_direction(
    const struct sel_horizon *one, int i, const struct sel_horizon *other, int j, bool nearly) {
    double tolerance = nearly ? 0.01 : 1e-6;
    assert_near(one->ground_tan[i], other->ground_tan[j], tolerance);
    assert_near(one->canopy_tan[i], other->canopy_tan[j], tolerance);
    if (!nearly)
        assert_near(one->cover[i], other->cover[j], 1e-6);
}

// A quarter turn takes (hx, hy) to (-hy, hx) and azimuth A to A + 90.
static void a_turned_scene_has_the_turned_horizon(void **state) {
    (void)state;
    struct terrain_setting setting = moved_setting();
    struct moved scene = {51, 0, 0, 0, false};
    struct terrain_eyes straight, turned;
    terrain_eyes_open(&straight, &setting, moved_rolling, &scene);
    setting.core = (struct sel_window){-16, -16, 32, 32};
    for (int turns = 1; turns < 4; turns++) {
        scene.quarter_turns = turns;
        terrain_eyes_open(&turned, &setting, moved_rolling, &scene);
        for (int k = 0; k < 4; k++) {
            int64_t hx = PLACES[k][0], hy = PLACES[k][1];
            struct sel_horizon one = terrain_look(&straight, hx, hy);
            for (int i = 0; i < turns; i++) {
                int64_t old_hx = hx;
                hx = -hy;
                hy = old_hx;
            }
            struct sel_horizon other = terrain_look(&turned, hx, hy);
            for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
                assert_same_direction(
                    &one, i, &other, (i + 18 * turns) % SEL_HORIZON_DIRECTIONS, is_diagonal(i));
        }
        terrain_eyes_close(&turned);
    }
    terrain_eyes_close(&straight);
}

static void a_mirrored_scene_has_the_mirrored_horizon(void **state) {
    (void)state;
    struct terrain_setting setting = moved_setting();
    setting.cell_y_m = 13.0;
    struct moved scene = {61, 0, 0, 0, false};
    struct terrain_eyes straight, mirrored;
    terrain_eyes_open(&straight, &setting, moved_rolling, &scene);
    scene.mirrored = true;
    setting.core.col = -16;
    terrain_eyes_open(&mirrored, &setting, moved_rolling, &scene);
    for (int k = 0; k < 4; k++) {
        struct sel_horizon one = terrain_look(&straight, PLACES[k][0], PLACES[k][1]);
        struct sel_horizon other = terrain_look(&mirrored, -PLACES[k][0], PLACES[k][1]);
        for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
            assert_same_direction(
                &one, i, &other, (SEL_HORIZON_DIRECTIONS - i) % SEL_HORIZON_DIRECTIONS, false);
    }
    terrain_eyes_close(&straight);
    terrain_eyes_close(&mirrored);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_wall_stands_at_its_height_over_its_distance),
        cmocka_unit_test(a_wall_stands_right_on_cells_that_are_not_square),
        cmocka_unit_test(a_step_of_the_ground_is_seen_at_its_first_high_centre),
        cmocka_unit_test(a_valley_shows_its_slopes_and_the_cosine_of_the_sky),
        cmocka_unit_test(a_cone_pit_shows_its_rim_all_around),
        cmocka_unit_test(a_disc_shows_its_cliff),
        cmocka_unit_test(far_ground_sinks_by_curvature_less_refraction),
        cmocka_unit_test(the_opening_is_cut_out_of_the_wood),
        cmocka_unit_test(without_an_opening_a_touching_wood_hides_everything),
        cmocka_unit_test(along_an_edge_half_of_the_closure_counts),
        cmocka_unit_test(the_canopy_that_stands_highest_gives_the_closure),
        cmocka_unit_test(unknown_ground_within_reach_makes_a_horizon_incomplete),
        cmocka_unit_test(no_horizon_where_the_ground_is_unknown_or_out_of_the_core),
        cmocka_unit_test(a_view_refuses_windows_that_hold_too_little),
        cmocka_unit_test(the_fast_look_is_the_definition),
        cmocka_unit_test(it_is_on_cells_that_are_not_square),
        cmocka_unit_test(it_is_where_ground_is_unknown),
        cmocka_unit_test(it_is_on_very_small_cells),
        cmocka_unit_test(shifting_by_whole_coarse_cells_changes_nothing),
        cmocka_unit_test(windows_and_cores_change_nothing),
        cmocka_unit_test(a_turned_scene_has_the_turned_horizon),
        cmocka_unit_test(a_mirrored_scene_has_the_mirrored_horizon),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
