// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <stdio.h>

#include "output/palette.h"
#include "output_scene.h"

static void assert_near(double value, double wanted, double tolerance) {
    if (!(fabs(value - wanted) <= tolerance))
        fprintf(stderr, "%.12g is not %.12g\n", value, wanted);
    assert_true(fabs(value - wanted) <= tolerance);
}

// Clearly told apart side by side; about four just noticeable differences of OKLab (0.02).
static const double APART = 0.08;

static void the_valleys_habitats_are_told_apart_by_every_eye(void **state) {
    struct output_scene *scene = *state;
    struct sel_rgb colours[SEL_HABITATS_MOST];
    sel_palette_build(&scene->plan.habitats, colours);
    for (int i = 0; i < scene->plan.habitats.count; i++)
        for (int j = 0; j < i; j++)
            assert_true(sel_palette_distance(colours[i], colours[j]) >= APART);
}

// The ends of OKLab: black to white is 1 under every kind of sight.
static void black_and_white_are_one_apart(void **state) {
    (void)state;
    struct sel_rgb black = {0, 0, 0}, white = {255, 255, 255};
    assert_near(sel_palette_distance(black, white), 1.0, 0.01);
    assert_near(sel_palette_distance(white, white), 0.0, 1e-12);
}

// Red and green of one lightness, far apart for the normal eye, are near for a red-green-blind one.
static void the_distance_is_that_of_the_eye_that_sees_least(void **state) {
    (void)state;
    struct sel_rgb red = {200, 80, 80}, green = {110, 125, 60};
    struct sel_rgb blue = {80, 110, 200};
    assert_true(sel_palette_distance(red, green) < sel_palette_distance(red, blue));
}

static void water_is_blue_and_woods_are_darker_than_meadows(void **state) {
    struct output_scene *scene = *state;
    const struct sel_habitat *habitats = scene->plan.habitats.items;
    struct sel_rgb water = sel_palette_base(&habitats[SCENE_WATER - 1]);
    struct sel_rgb wood = sel_palette_base(&habitats[SCENE_PLANTATION - 1]);
    struct sel_rgb meadow = sel_palette_base(&habitats[SCENE_MEADOW - 1]);
    assert_true(water.blue > water.green && water.green > water.red);
    assert_true(wood.green > wood.red && wood.green > wood.blue);
    assert_true(wood.red + wood.green + wood.blue < meadow.red + meadow.green + meadow.blue);
}

static void a_full_table_gets_colours_that_all_differ_from_the_first(void **state) {
    (void)state;
    struct sel_habitat items[SEL_HABITATS_MOST];
    struct sel_habitats habitats = {.items = items, .count = SEL_HABITATS_MOST};
    struct sel_rgb colours[SEL_HABITATS_MOST];
    for (int i = 0; i < SEL_HABITATS_MOST; i++)
        items[i] = (struct sel_habitat){.canopy_m = i % 30,
            .cover = i % 7 / 7.0,
            .wetness = i % 5 / 5.0,
            .edge = 1,
            .trap = true};
    sel_palette_build(&habitats, colours);
    for (int i = 1; i < SEL_HABITATS_MOST; i++)
        assert_true(sel_palette_distance(colours[0], colours[i]) > 0.0);
}

static int set_up(void **state) {
    *state = output_scene_new((struct output_scene_size){50, 60, 1, 0, 400, false});
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_valleys_habitats_are_told_apart_by_every_eye),
        cmocka_unit_test(black_and_white_are_one_apart),
        cmocka_unit_test(the_distance_is_that_of_the_eye_that_sees_least),
        cmocka_unit_test(water_is_blue_and_woods_are_darker_than_meadows),
        cmocka_unit_test(a_full_table_gets_colours_that_all_differ_from_the_first),
    };
    return cmocka_run_group_tests(tests, set_up, output_scene_tear_down);
}
