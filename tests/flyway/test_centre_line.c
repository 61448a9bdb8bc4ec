// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>

#include "flyway/centre_line.h"
#include "flyway_near.h"
#include "flyway_scene.h"

static const struct sel_belt_rule RULE = {10, 10, 60, 20};
static const double EXACT = 1e-9; // metres

// Walks from the crack at (hx, hy) toward (x east, y south) in own habitat.
static struct sel_centre_line walk(const struct flyway_scene *scene, int32_t hx, int32_t hy,
    struct vec2 outward, char own, const struct sel_belt_rule *rule) {
    struct sel_crack crack = {.hx = hx, .hy = hy};
    outward = vec2_scale(outward, 1 / vec2_length(outward));
    return sel_walk_centre_line(
        &scene->view, &crack, outward, (sel_habitat_id)(own - 'A' + 1), rule);
}

static void walk_row(
    const char *row, int32_t hx, double east, char own, double depth_m, double belt_m) {
    const char *rows[] = {row};
    struct flyway_scene scene = flyway_draw(rows, 1);
    struct sel_centre_line line = walk(&scene, hx, 1, (struct vec2){east, 0}, own, &RULE);
    assert_near(line.depth_m, depth_m, EXACT);
    assert_near(line.belt_m, belt_m, EXACT);
    flyway_scene_free(&scene);
}

static void an_open_field_is_as_deep_as_the_reach(void **state) {
    (void)state;
    walk_row("BBBBBBBBBAAAAAAAAA", 18, 1, 'A', 60, 60);
    walk_row("BBBBBBBBBAAAAAAAAA", 18, -1, 'B', 60, 60);
}

static void a_strip_ends_where_it_ends(void **state) {
    (void)state;
    walk_row("BBBBAAACCCCC", 8, 1, 'A', 30, 30);
    walk_row("CCBBBAAAAAAA", 10, -1, 'B', 30, 30);
}

static void a_strip_of_one_cell_still_gets_a_belt_of_two(void **state) {
    (void)state;
    walk_row("BBBBACCCCCC", 8, 1, 'A', 10, 20);
}

static void unknown_ground_ends_the_depth_but_not_the_belt(void **state) {
    (void)state;
    walk_row("BBBBAA......", 8, 1, 'A', 20, 60);
    walk_row("BBBBAA..CCCC", 8, 1, 'A', 20, 40);
    walk_row("BBBBAA", 8, 1, 'A', 20, 60); // beyond the view all is unknown
}

static void the_own_habitat_beyond_a_gap_does_not_count(void **state) {
    (void)state;
    walk_row("BBBBAACAAAAAAA", 8, 1, 'A', 20, 20);
}

static void the_reach_wins_over_two_cells(void **state) {
    (void)state;
    const char *rows[] = {"BBBAAAAA"};
    struct flyway_scene scene = flyway_draw(rows, 1);
    struct sel_belt_rule short_rule = {10, 10, 15, 20};
    struct sel_centre_line line = walk(&scene, 6, 1, (struct vec2){1, 0}, 'A', &short_rule);
    assert_near(line.depth_m, 15, EXACT);
    assert_near(line.belt_m, 15, EXACT);
    flyway_scene_free(&scene);
}

// North (up) from the horizontal crack between the two lowest rows, in cells 20 m high and 10 wide.
static void cells_that_are_not_square_count_in_their_own_metres(void **state) {
    (void)state;
    const char *rows[] = {"CCC", "AAA", "AAA", "BBB"};
    struct flyway_scene scene = flyway_draw(rows, 4);
    struct sel_belt_rule tall = {10, 20, 60, 20};
    struct sel_centre_line line = walk(&scene, 3, 6, (struct vec2){0, -1}, 'A', &tall);
    assert_near(line.depth_m, 40, EXACT);
    const char *thin[] = {"CCC", "CCC", "AAA", "BBB"};
    struct flyway_scene one = flyway_draw(thin, 4);
    line = walk(&one, 3, 6, (struct vec2){0, -1}, 'A', &tall);
    assert_near(line.depth_m, 20, EXACT);
    assert_near(line.belt_m, 40, EXACT);
    flyway_scene_free(&scene);
    flyway_scene_free(&one);
}

// From the middle (1 row down) of a vertical crack, 3 east for 4 south: x = 0.6 t, y = 0.8 t. The
// strip's lower border, 3 cells below the crack's middle, is met at t = 2.5 cells / 0.8.
static void an_oblique_line_is_as_long_as_its_slope_says(void **state) {
    (void)state;
    const char *rows[] = {"BBAAAAAA", "BBAAAAAA", "BBAAAAAA", "CCCCCCCC", "CCCCCCCC", "CCCCCCCC"};
    struct flyway_scene scene = flyway_draw(rows, 6);
    struct sel_centre_line line = walk(&scene, 4, 1, (struct vec2){3, 4}, 'A', &RULE);
    assert_near(line.depth_m, 25 / 0.8, EXACT);
    flyway_scene_free(&scene);
}

static void the_first_cell_counts_as_own(void **state) {
    (void)state;
    // Steep north from a vertical crack: the line leaves column 2 at once on its west side.
    const char *rows[] = {"AAAA", "AAAA", "AAAA", "AAAA", "AAAA", "AAAA", "BBAA", "BBBB"};
    struct flyway_scene scene = flyway_draw(rows, 8);
    struct sel_centre_line line = walk(&scene, 4, 13, (struct vec2){-1, -4}, 'A', &RULE);
    assert_near(line.depth_m, 60, EXACT);
    flyway_scene_free(&scene);
}

static void clipping_a_corner_does_not_end_the_habitat(void **state) {
    (void)state;
    // Along y = 0.5 + 0.2 x from the crack, the line is in row 1 from x = 2.5 on. The C cell (1, 5)
    // fills it from x = 2.5 (col 4.5) to 3: half a column only where col 4 is C.
    const char *clipped[] = {"BBAAAAAAAAA", "BBAAAAAAAAA", "BBAAAAAAAAA"};
    struct flyway_scene scene = flyway_draw(clipped, 3);
    scene.ids[1 * 11 + 4] = 3;
    // In (1, 4) for 0.5 / cos: 0.51 cells, just long enough.
    struct sel_centre_line line = walk(&scene, 4, 1, (struct vec2){5, 1}, 'A', &RULE);
    assert_near(line.depth_m, 25 * sqrt(26) / 5, EXACT);
    // At y = 0.5 + 0.18 x it enters row 1 at x = 2.78 and clips the cell for 0.23 cells only.
    line = walk(&scene, 4, 1, (struct vec2){1, 0.18}, 'A', &RULE);
    assert_near(line.depth_m, 60, EXACT);
    flyway_scene_free(&scene);
}

static void a_line_along_a_border_belongs_to_both_sides(void **state) {
    (void)state;
    // North along the border of columns 1 and 2, which end at different heights.
    const char *rows[] = {"CCCC", "CACC", "CACC", "CAAC", "AAAA", "BBAA", "BBBB"};
    struct flyway_scene scene = flyway_draw(rows, 7);
    struct flyway_scene mirrored = flyway_mirrored(&scene);
    struct sel_crack crack = {.hx = 4, .hy = 11};
    assert_near(walk(&scene, 4, 11, (struct vec2){0, -1}, 'A', &RULE).depth_m, 45, EXACT);
    struct sel_crack image = flyway_mirror_crack(&scene, crack);
    assert_near(
        walk(&mirrored, image.hx, image.hy, (struct vec2){0, -1}, 'A', &RULE).depth_m, 45, EXACT);
    flyway_scene_free(&scene);
    flyway_scene_free(&mirrored);
}

// The rules of the header again, by small steps: the start of the first stretch of at least half a
// cell of ground that is not own (`other_only`: known and not own), looked for after one cell.
static double depth_by_steps(const struct flyway_scene *scene, const struct sel_crack *crack,
    struct vec2 outward, sel_habitat_id own, bool other_only) {
    const double step_m = 0.02;
    double start_m = -1;
    for (double at_m = 10 + step_m / 2; at_m < 60; at_m += step_m) {
        double x = crack->hx / 2.0 + at_m * outward.x / 10;
        double y = crack->hy / 2.0 + at_m * outward.y / 10;
        sel_habitat_id id = sel_view_at(&scene->view, (int64_t)floor(y), (int64_t)floor(x));
        bool in_it = id != own && !(other_only && id == 0);
        if (!in_it)
            start_m = -1;
        else if (start_m < 0)
            start_m = at_m;
        if (in_it && at_m - start_m > 5 - step_m)
            return start_m;
    }
    return 60;
}

static void the_walk_agrees_with_small_steps_on_random_scenes(void **state) {
    (void)state;
    enum { MOST = 4000 };
    static struct sel_crack cracks[MOST];
    uint64_t random = 20270515;
    int far = 0, tried = 0;
    for (int round = 0; round < 3; round++) {
        struct flyway_scene scene = flyway_patchy(60, 70, 6, 4, &random);
        size_t count = flyway_all_cracks(&scene, cracks, MOST);
        for (size_t i = 0; i < count; i++) {
            double angle = flyway_random(&random) * 2 * acos(-1);
            struct vec2 outward = {cos(angle), sin(angle)};
            struct sel_centre_line line =
                sel_walk_centre_line(&scene.view, &cracks[i], outward, cracks[i].a, &RULE);
            double depth = depth_by_steps(&scene, &cracks[i], outward, cracks[i].a, false);
            double other = depth_by_steps(&scene, &cracks[i], outward, cracks[i].a, true);
            far += fabs(line.depth_m - depth) > 0.04 || fabs(line.belt_m - fmax(other, 20)) > 0.04;
            tried++;
        }
        flyway_scene_free(&scene);
    }
    // A stretch within a step of half a cell, or a corner clipped within a step, may differ.
    assert_true(tried > 3000);
    assert_true(far <= tried / 100);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_open_field_is_as_deep_as_the_reach),
        cmocka_unit_test(a_strip_ends_where_it_ends),
        cmocka_unit_test(a_strip_of_one_cell_still_gets_a_belt_of_two),
        cmocka_unit_test(unknown_ground_ends_the_depth_but_not_the_belt),
        cmocka_unit_test(the_own_habitat_beyond_a_gap_does_not_count),
        cmocka_unit_test(the_reach_wins_over_two_cells),
        cmocka_unit_test(cells_that_are_not_square_count_in_their_own_metres),
        cmocka_unit_test(an_oblique_line_is_as_long_as_its_slope_says),
        cmocka_unit_test(the_first_cell_counts_as_own),
        cmocka_unit_test(clipping_a_corner_does_not_end_the_habitat),
        cmocka_unit_test(a_line_along_a_border_belongs_to_both_sides),
        cmocka_unit_test(the_walk_agrees_with_small_steps_on_random_scenes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
