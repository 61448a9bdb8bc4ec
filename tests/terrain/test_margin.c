// SPDX-License-Identifier: MIT
//
// The canopy beside a head at an edge: straight edges have closed forms, and steps of cells must
// not matter.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "terrain/exposure.h"
#include "terrain_eyes.h"
#include "terrain_near.h"

static const double RADIANS = 0.017453292519943295;
enum { DIRECTIONS = SEL_HORIZON_DIRECTIONS, CORE = 16 };
static const float TREES_M = 18.0f, COVER = 217.0f / 255.0f;

// Wood where the line through the point (8, 8) of the cells, with a normal toward the wood, has it.
struct slanting {
    double normal_x, normal_y, jitter;
    uint32_t salt;
};

static struct terrain_cell slanting_wood(const void *scene, int level, int64_t row, int64_t col) {
    const struct slanting *s = scene;
    (void)level;
    double off = ((double)col + 0.5 - 8.0) * s->normal_x + ((double)row + 0.5 - 8.0) * s->normal_y;
    off += s->jitter * (terrain_random(s->salt, row, col) - 0.5);
    return (struct terrain_cell){100.0f, off > 0.0 ? TREES_M : 0.0f, 217};
}

static struct terrain_setting setting_of(bool margin) {
    struct terrain_setting setting = terrain_setting_usual();
    setting.rule.reach_m = 700.0;
    setting.rule.margin_m = margin ? sel_horizon_margin(4.0, 10.0, 10.0) : 0.0;
    return setting;
}

static bool is_wood(const struct slanting *scene, int64_t row, int64_t col) {
    return slanting_wood(scene, 0, row, col).canopy_m > 0.0f;
}

// Side a is the wood.
static struct sel_horizon_edge edge_at(const struct slanting *scene, int64_t hx, int64_t hy) {
    int64_t west = hx % 2 == 0, north = hy % 2 == 0;
    struct sel_horizon_edge edge = {.hx = hx,
        .hy = hy,
        .toward_a_x = scene->normal_x,
        .toward_a_y = scene->normal_y,
        .a = {TREES_M, COVER}};
    edge.a_first = is_wood(scene, (hy - north) / 2, (hx - west) / 2);
    return edge;
}

static struct sel_horizon look(const struct terrain_eyes *eyes, const struct sel_horizon_edge *at) {
    struct sel_horizon horizon;
    assert_true(sel_horizon_at_edge(eyes->view, at, &horizon));
    return horizon;
}

// Where the cells show the edge as straight as it is, nothing changes: boxes to the last bit but
// for the two directions along the edge.
static void along_the_cells_an_edge_is_what_its_boxes_are(void **state) {
    (void)state;
    struct slanting north = {0.0, -1.0, 0.0, 0};
    struct terrain_setting with = setting_of(true), without = setting_of(false);
    struct terrain_eyes one, other;
    terrain_eyes_open(&one, &with, slanting_wood, &north);
    terrain_eyes_open(&other, &without, slanting_wood, &north);
    struct sel_horizon_edge edge = edge_at(&north, 15, 16);
    struct sel_horizon near = look(&one, &edge), boxes = terrain_look(&other, 15, 16);
    for (int i = 0; i < DIRECTIONS; i++) {
        assert_near((double)near.canopy_tan[i], (double)boxes.canopy_tan[i], 1e-5);
        assert_near((double)near.cover[i], (double)boxes.cover[i], 1e-2);
        assert_true(near.ground_tan[i] >= boxes.ground_tan[i]);
    }
    terrain_eyes_close(&one);
    terrain_eyes_close(&other);
}

// Closed form of a wood's margin on flat ground, the edge at any angle: in every direction into the
// wood trees stand at the opening's end, 18 m - 1.8 m high, and none in the others.
static void at_any_angle_the_wood_fills_its_half_of_the_sky(void **state) {
    (void)state;
    for (int degrees = 10; degrees < 180; degrees += 35) {
        struct slanting scene = {cos(degrees * RADIANS), sin(degrees * RADIANS), 0.0, 0};
        struct terrain_setting setting = setting_of(true);
        struct terrain_eyes eyes;
        terrain_eyes_open(&eyes, &setting, slanting_wood, &scene);
        for (int64_t hy = 13; hy < 20; hy++)
            for (int64_t hx = 13 + (hy + 1) % 2; hx < 20; hx += 2) {
                int64_t west = hx % 2 == 0, north = hy % 2 == 0;
                if (is_wood(&scene, hy / 2, hx / 2) ==
                    is_wood(&scene, (hy - north) / 2, (hx - west) / 2))
                    continue;
                struct sel_horizon_edge edge = edge_at(&scene, hx, hy);
                struct sel_horizon horizon = look(&eyes, &edge);
                for (int i = 0; i < DIRECTIONS; i++) {
                    double into = sin(5.0 * i * RADIANS) * scene.normal_x -
                                  cos(5.0 * i * RADIANS) * scene.normal_y;
                    if (into > 0.05)
                        assert_near((double)horizon.canopy_tan[i], (18.0 - 1.8) / 4.0, 1e-5);
                    if (into < -0.75) // beside the edge its own steps still stand
                        assert_near((double)horizon.canopy_tan[i], 0.0, 1e-5);
                }
            }
        terrain_eyes_close(&eyes);
    }
}

struct spread {
    double sum, squares;
    int count;
};

static void add(struct spread *spread, double value) {
    spread->sum += value;
    spread->squares += value * value;
    spread->count++;
}

static double deviation(const struct spread *spread) {
    double mean = spread->sum / spread->count;
    return sqrt(spread->squares / spread->count - mean * mean);
}

// One straight edge as many ragged rasters of it: what light comes to heads on its cracks.
static void of_one_edge_ragged_rasters_tell_nearly_the_same_light(void **state) {
    (void)state;
    struct sel_season *season;
    assert_int_equal(sel_season_new((struct sel_date){2027, 5, 15}, (struct sel_date){2027, 8, 31},
                         49.0, 14.0, 300.0, &season),
        SEL_OK);
    struct spread spreads[2] = {{0}};
    for (uint32_t salt = 1; salt <= 6; salt++) {
        struct slanting scene = {cos(0.6), -sin(0.6), 1.5, salt};
        for (int margin = 0; margin < 2; margin++) {
            struct terrain_setting setting = setting_of(margin);
            struct terrain_eyes eyes;
            terrain_eyes_open(&eyes, &setting, slanting_wood, &scene);
            for (int64_t hy = 3; hy < 30; hy += 2)
                for (int64_t hx = 4; hx < 30; hx += 2) { // cracks that run north and south
                    if (is_wood(&scene, hy / 2, hx / 2) == is_wood(&scene, hy / 2, hx / 2 - 1))
                        continue;
                    struct sel_horizon_edge edge = edge_at(&scene, hx, hy);
                    struct sel_horizon horizon = look(&eyes, &edge);
                    add(&spreads[margin], sel_season_exposure(season, &horizon, 0.0).sun_share);
                }
            terrain_eyes_close(&eyes);
        }
    }
    printf("sun_share spreads by %.3f over boxes, %.3f with a margin, %d heads\n",
        deviation(&spreads[0]), deviation(&spreads[1]), spreads[0].count);
    assert_true(spreads[0].count > 60);
    assert_true(deviation(&spreads[1]) < 0.6 * deviation(&spreads[0]));
    sel_season_free(season);
}

// East for west, and a quarter turn: to the last bit, but for the rounding of the vector.
static void a_mirrored_edge_sees_the_mirrored_sky(void **state) {
    (void)state;
    struct slanting scene = {0.8, -0.6, 0.0, 0}, mirrored = {-0.8, -0.6, 0.0, 0};
    struct terrain_setting setting = setting_of(true);
    struct terrain_eyes one, other;
    terrain_eyes_open(&one, &setting, slanting_wood, &scene);
    terrain_eyes_open(&other, &setting, slanting_wood, &mirrored);
    struct sel_horizon_edge edge = edge_at(&scene, 16, 17), turned = edge_at(&mirrored, 16, 17);
    assert_true(edge.a_first != turned.a_first);
    struct sel_horizon a = look(&one, &edge), b = look(&other, &turned);
    for (int i = 0; i < DIRECTIONS; i++) {
        int j = (DIRECTIONS - i) % DIRECTIONS;
        assert_near((double)a.canopy_tan[i], (double)b.canopy_tan[j], 1e-6);
        assert_near((double)a.cover[i], (double)b.cover[j], 1e-6);
    }
    terrain_eyes_close(&one);
    terrain_eyes_close(&other);
}

// With heights by cell, those of the crack's own cells stand for its sides.
static void a_side_without_a_height_takes_its_cell_s(void **state) {
    (void)state;
    struct slanting scene = {0.8, -0.6, 0.0, 0};
    struct terrain_setting setting = setting_of(true);
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, slanting_wood, &scene);
    struct sel_horizon_edge told = edge_at(&scene, 16, 17), by_cell = told;
    by_cell.a.height_m = by_cell.b.height_m = NAN;
    by_cell.b.cover = COVER;
    struct sel_horizon a = look(&eyes, &told), b = look(&eyes, &by_cell);
    for (int i = 0; i < DIRECTIONS; i++)
        assert_near((double)a.canopy_tan[i], (double)b.canopy_tan[i], 1e-6);
    terrain_eyes_close(&eyes);
}

static void where_the_opening_is_a_cell_wide_there_is_no_margin(void **state) {
    (void)state;
    assert_near(sel_horizon_margin(4.0, 10.0, 10.0), 15.0, 1e-12);
    assert_near(sel_horizon_margin(4.0, 20.0, 30.0), 45.0, 1e-12);
    assert_near(sel_horizon_margin(10.0, 10.0, 12.0), 0.0, 0.0);
    struct slanting scene = {0.8, -0.6, 0.0, 0};
    struct terrain_setting setting = setting_of(false);
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, slanting_wood, &scene);
    struct sel_horizon_edge edge = edge_at(&scene, 16, 17);
    struct sel_horizon a = look(&eyes, &edge), b = terrain_look(&eyes, 16, 17);
    for (int i = 0; i < DIRECTIONS; i++)
        assert_near((double)a.canopy_tan[i], (double)b.canopy_tan[i], 0.0);
    terrain_eyes_close(&eyes);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(along_the_cells_an_edge_is_what_its_boxes_are),
        cmocka_unit_test(at_any_angle_the_wood_fills_its_half_of_the_sky),
        cmocka_unit_test(of_one_edge_ragged_rasters_tell_nearly_the_same_light),
        cmocka_unit_test(a_mirrored_edge_sees_the_mirrored_sky),
        cmocka_unit_test(a_side_without_a_height_takes_its_cell_s),
        cmocka_unit_test(where_the_opening_is_a_cell_wide_there_is_no_margin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
