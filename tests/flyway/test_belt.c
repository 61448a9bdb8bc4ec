// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flyway/belt.h"
#include "flyway_near.h"
#include "flyway_scene.h"

enum { CRACKS_MOST = 6000, HABITATS = 4 };

static const struct sel_belt_rule RULE = {10, 10, 60, 20};
static const double ROUNDED = 0.6e-6; // the contrast is rounded to 1e-6
static const double FLOAT_M = 1e-5;   // depths are floats, metres

// Contrasts of habitats A, B, C, D, invented for these tests.
static const double CONTRASTS[HABITATS * HABITATS] = {
    0.0,
    0.6,
    0.3,
    0.9, //
    0.6,
    0.0,
    0.5,
    0.2, //
    0.3,
    0.5,
    0.0,
    0.4, //
    0.9,
    0.2,
    0.4,
    0.0,
};

static struct sel_contrast contrast;

static int make_contrast(void **state) {
    (void)state;
    contrast = flyway_contrast(HABITATS, CONTRASTS);
    return 0;
}

static int clear_contrast(void **state) {
    (void)state;
    sel_contrast_clear(&contrast);
    return 0;
}

// Measures the belt of a vertical crack in a scene whose rows are all alike, east being side a.
static bool measure_rows(const char *row, int32_t hx, struct sel_belt *belt) {
    const char *rows[] = {row, row, row, row, row};
    struct flyway_scene scene = flyway_draw(rows, 5);
    struct sel_crack crack = flyway_crack_at(&scene, hx, 5);
    struct sel_tangent tangent = flyway_tangent((struct vec2){crack.a_first ? -1 : 1, 0});
    bool known = sel_measure_belt(&scene.view, &crack, &tangent, &RULE, &contrast, belt);
    flyway_scene_free(&scene);
    return known;
}

static void a_clean_edge_has_the_contrast_of_its_pair(void **state) {
    (void)state;
    struct sel_belt belt;
    assert_true(measure_rows("BBBBBBBBBBAAAAAAAAAA", 20, &belt));
    assert_near((double)belt.contrast, 0.6, ROUNDED);
    assert_near((double)belt.known_a, 1, 0);
    assert_near((double)belt.known_b, 1, 0);
    assert_near((double)belt.depth_a_m, 60, FLOAT_M);
    assert_near((double)belt.depth_b_m, 60, FLOAT_M);
}

static void a_strip_is_not_diluted_by_what_lies_beyond(void **state) {
    (void)state;
    struct sel_belt belt;
    assert_true(measure_rows("BBBBBBBBBBAAACCCCCCC", 20, &belt));
    assert_near((double)belt.contrast, 0.6, ROUNDED);
    assert_near((double)belt.depth_a_m, 30, FLOAT_M);
    assert_near((double)belt.depth_b_m, 60, FLOAT_M);
}

static void a_strip_of_one_cell_shares_its_belt_with_the_next(void **state) {
    (void)state;
    struct sel_belt belt;
    assert_true(measure_rows("BBBBBBBBBBACCCCCCCCC", 20, &belt));
    // Half A, half C against B: (0.6 + 0.5) / 2.
    assert_near((double)belt.contrast, 0.55, ROUNDED);
    assert_near((double)belt.depth_a_m, 10, FLOAT_M);
}

static void both_sides_mix(void **state) {
    (void)state;
    struct sel_belt belt;
    assert_true(measure_rows("DDDDDDDDDBACCCCCCCCC", 20, &belt));
    // p = A 1/2, C 1/2; q = B 1/2, D 1/2: (0.6 + 0.9 + 0.5 + 0.4) / 4.
    assert_near((double)belt.contrast, 0.6, ROUNDED);
}

static void too_little_known_ground_is_told(void **state) {
    (void)state;
    struct sel_belt belt;
    assert_true(measure_rows("BBBBBBBBBBAAAAA.....", 20, &belt)); // 5 of 6 cells
    assert_near((double)belt.known_a, 5.0 / 6, FLOAT_M);
    assert_near((double)belt.depth_a_m, 50, FLOAT_M);
    assert_false(measure_rows("BBBBBBBBBBAAAA......", 20, &belt)); // 4 of 6 cells
    assert_near((double)belt.known_a, 4.0 / 6, FLOAT_M);
    assert_near((double)belt.known_b, 1, 0);
    assert_near((double)belt.contrast, 0.6, ROUNDED); // over what is known
}

static void ground_beyond_the_view_is_unknown(void **state) {
    (void)state;
    struct sel_belt belt;
    assert_true(measure_rows("BBBBBAAAAAA", 10, &belt));
    assert_near((double)belt.known_b, 5.0 / 6, FLOAT_M);
    assert_false(measure_rows("BBBBAAAAAA", 8, &belt));
    assert_near((double)belt.known_b, 4.0 / 6, FLOAT_M);
}

// A half-plane at an angle: habitat B where (x, y) is on the positive side of a line.
static struct flyway_scene half_plane(double angle, double offset) {
    const char *rows[41];
    for (int i = 0; i < 41; i++)
        rows[i] = "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA";
    struct flyway_scene scene = flyway_draw(rows, 41);
    for (int row = 0; row < 41; row++)
        for (int col = 0; col < 41; col++)
            if ((col - 20) * cos(angle) + (row - 20) * sin(angle) > offset)
                scene.ids[row * 41 + col] = 2;
    return scene;
}

// Near the edge a staircase of cells departs from the straight line by at most half a cell's
// diagonal, so of 6 cells to each side at most 0.71 / 6 = 12 % can be of the other habitat, and
// contrast >= 0.6 (0.88^2 + 0.12^2) = 0.6 * 0.79. The crack's middle lies as far off the line.
static void a_straight_edge_at_any_angle_loses_little(void **state) {
    (void)state;
    double worst = 1;
    for (int degrees = 0; degrees < 360; degrees += 7) {
        double angle = degrees * acos(-1) / 180;
        struct flyway_scene scene = half_plane(angle, 0.3);
        struct sel_crack cracks[200];
        size_t count = flyway_all_cracks(&scene, cracks, 200);
        struct sel_tangent tangent = flyway_tangent((struct vec2){-cos(angle), -sin(angle)});
        for (size_t i = 0; i < count; i++) {
            if (hypot(cracks[i].hx / 2.0 - 20, cracks[i].hy / 2.0 - 20) > 8)
                continue;
            struct sel_belt belt;
            assert_true(
                sel_measure_belt(&scene.view, &cracks[i], &tangent, &RULE, &contrast, &belt));
            assert_near((double)belt.depth_a_m, 60, FLOAT_M);
            assert_near((double)belt.depth_b_m, 60, FLOAT_M);
            worst = fmin(worst, (double)belt.contrast);
        }
        flyway_scene_free(&scene);
    }
    assert_true(worst > 0.6 * 0.75);
}

static struct vec2 random_direction(uint64_t *random) {
    // Every fourth along an axis, every fourth diagonal: where samples could fall on borders.
    int kind = flyway_random_below(random, 4), quarter = flyway_random_below(random, 4);
    double angle = flyway_random(random) * 2 * acos(-1);
    static const struct vec2 axes[] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    static const struct vec2 diagonals[] = {{1, 1}, {-1, 1}, {-1, -1}, {1, -1}};
    if (kind == 0)
        return axes[quarter];
    return kind == 1 ? diagonals[quarter] : (struct vec2){cos(angle), sin(angle)};
}

// Composition by brute force: cell under each of many points of the belt, both sides.
static void mix_by_points(const struct flyway_scene *scene, const struct sel_crack *crack,
    struct vec2 out, double length_m, double shares[HABITATS + 1]) {
    enum { ACROSS = 80, ASIDE = 40 };
    memset(shares, 0, (HABITATS + 1) * sizeof *shares);
    for (int i = 0; i < ACROSS; i++)
        for (int k = 0; k < ASIDE; k++) {
            double u = (i + 0.5) / ACROSS * length_m, v = ((k + 0.5) / ASIDE - 0.5) * RULE.belt_m;
            double x = crack->hx / 2.0 + (u * out.x - v * out.y) / 10;
            double y = crack->hy / 2.0 + (u * out.y + v * out.x) / 10;
            sel_habitat_id id = sel_view_at(&scene->view, (int64_t)floor(y), (int64_t)floor(x));
            shares[id] += 1.0 / (ACROSS * ASIDE);
        }
}

static double contrast_by_points(const double p[HABITATS + 1], const double q[HABITATS + 1]) {
    double sum = 0;
    for (int i = 1; i <= HABITATS; i++)
        for (int j = 1; j <= HABITATS; j++)
            sum += p[i] * q[j] * CONTRASTS[(i - 1) * HABITATS + j - 1];
    return sum / ((1 - p[0]) * (1 - q[0]));
}

// On known ground, so that the belt is as long as the depth, or two cells. The scene is as ragged
// as can be and the directions are random, so points half a cell apart miss the area by a little: a
// belt of two cells has 16 of them a side. The bars are our own.
static void samples_stand_for_the_area_of_the_belt(void **state) {
    (void)state;
    static struct sel_crack cracks[CRACKS_MOST];
    uint64_t random = 4711;
    struct flyway_scene scene = flyway_patchy(60, 60, 5, HABITATS, &random);
    for (size_t i = 0; i < sel_window_cells(scene.view.window); i++)
        scene.ids[i] = scene.ids[i] ? scene.ids[i] : 1;
    size_t count = flyway_all_cracks(&scene, cracks, CRACKS_MOST), compared = 0;
    double total = 0, worst = 0;
    for (size_t i = 0; i < count; i++) {
        struct sel_crack *crack = &cracks[i];
        struct sel_tangent tangent = flyway_tangent(random_direction(&random));
        struct sel_belt belt;
        sel_measure_belt(&scene.view, crack, &tangent, &RULE, &contrast, &belt);
        if (belt.known_a < 1 || belt.known_b < 1)
            continue;
        double p[HABITATS + 1], q[HABITATS + 1];
        mix_by_points(&scene, crack, tangent.toward_a, fmax((double)belt.depth_a_m, 20), p);
        mix_by_points(
            &scene, crack, vec2_scale(tangent.toward_a, -1), fmax((double)belt.depth_b_m, 20), q);
        double off = fabs((double)belt.contrast - contrast_by_points(p, q));
        total += off;
        worst = fmax(worst, off);
        compared++;
    }
    flyway_scene_free(&scene);
    print_message(
        "%zu belts: mean difference %.4f, worst %.4f\n", compared, total / (double)compared, worst);
    assert_true(compared > 300);
    assert_true(total / (double)compared < 0.02);
    assert_true(worst < 0.15);
}

static void a_shift_by_whole_cells_changes_no_bit(void **state) {
    (void)state;
    static struct sel_crack cracks[CRACKS_MOST];
    uint64_t random = 99;
    struct flyway_scene scene = flyway_patchy(50, 60, 6, HABITATS, &random);
    struct flyway_scene shifted = flyway_shifted(&scene, 123457, 765433);
    size_t count = flyway_all_cracks(&scene, cracks, CRACKS_MOST);
    for (size_t i = 0; i < count; i++) {
        struct sel_crack moved = flyway_shift_crack(cracks[i], 123457, 765433);
        struct sel_tangent tangent = flyway_tangent(random_direction(&random));
        struct sel_belt here, there;
        sel_measure_belt(&scene.view, &cracks[i], &tangent, &RULE, &contrast, &here);
        sel_measure_belt(&shifted.view, &moved, &tangent, &RULE, &contrast, &there);
        assert_memory_equal(&here, &there, sizeof here);
    }
    flyway_scene_free(&scene);
    flyway_scene_free(&shifted);
}

static void assert_same_belt(const struct sel_belt *one, const struct sel_belt *other) {
    assert_near((double)one->contrast, (double)other->contrast, 1e-6);
    assert_near((double)one->known_a, (double)other->known_a, 1e-6);
    assert_near((double)one->known_b, (double)other->known_b, 1e-6);
    assert_near((double)one->depth_a_m, (double)other->depth_a_m, FLOAT_M);
    assert_near((double)one->depth_b_m, (double)other->depth_b_m, FLOAT_M);
}

static void check_images(
    const struct flyway_scene *scene, const struct sel_belt_rule *rule, uint64_t *random) {
    static struct sel_crack cracks[CRACKS_MOST];
    struct flyway_scene mirrored = flyway_mirrored(scene), turned = flyway_turned(scene);
    struct sel_belt_rule turned_rule = {
        rule->cell_y_m, rule->cell_x_m, rule->reach_m, rule->belt_m};
    size_t count = flyway_all_cracks(scene, cracks, CRACKS_MOST);
    assert_true(count > 500);
    for (size_t i = 0; i < count; i++) {
        struct vec2 toward_a = random_direction(random);
        struct sel_tangent tangent = flyway_tangent(toward_a);
        // Rounding of the last bits, as a computed tangent would have it.
        double noise = 1e-14 * (flyway_random(random) - 0.5);
        struct sel_tangent in_mirror =
            flyway_tangent((struct vec2){-toward_a.x + noise, toward_a.y - noise});
        struct sel_tangent in_turn =
            flyway_tangent((struct vec2){-toward_a.y - noise, toward_a.x + noise});
        struct sel_crack mirror_crack = flyway_mirror_crack(scene, cracks[i]);
        struct sel_crack turn_crack = flyway_turn_crack(scene, cracks[i]);
        struct sel_belt belt, mirror_belt, turn_belt;
        sel_measure_belt(&scene->view, &cracks[i], &tangent, rule, &contrast, &belt);
        sel_measure_belt(&mirrored.view, &mirror_crack, &in_mirror, rule, &contrast, &mirror_belt);
        sel_measure_belt(&turned.view, &turn_crack, &in_turn, &turned_rule, &contrast, &turn_belt);
        assert_same_belt(&belt, &mirror_belt);
        assert_same_belt(&belt, &turn_belt);
    }
    flyway_scene_free(&mirrored);
    flyway_scene_free(&turned);
}

static void mirrored_and_turned_scenes_agree(void **state) {
    (void)state;
    static const struct sel_belt_rule rules[] = {
        {10, 10, 60, 20},
        {10, 10, 62, 23},
        {10, 10, 65, 25},       // lanes of whole half-cells, but for the even number
        {10, 10, 40, 40.0 / 3}, // lanes at half a cell
        {30, 30, 90, 60},
        {29.97, 30.02, 90, 60.1}, // not quite square
        {1, 1, 20, 7},
    };
    uint64_t random = 1;
    for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++) {
        struct flyway_scene scene = flyway_patchy(45, 50, 5, HABITATS, &random);
        check_images(&scene, &rules[i], &random);
        flyway_scene_free(&scene);
    }
}

// A window of just the halo around a crack gives the same as the whole scene, and so does a window
// that must be checked at every step (the scene set in unknown ground against the bare scene).
static void only_the_halo_is_needed(void **state) {
    (void)state;
    static struct sel_crack cracks[CRACKS_MOST];
    uint64_t random = 5;
    struct flyway_scene scene = flyway_patchy(50, 50, 6, HABITATS, &random);
    int halo = sel_belt_halo(&RULE);
    size_t count = flyway_all_cracks(&scene, cracks, CRACKS_MOST);
    for (size_t i = 0; i < count; i++) {
        struct sel_window window = {
            cracks[i].hy / 2 - halo, cracks[i].hx / 2 - halo, 2 * halo + 1, 2 * halo + 1};
        sel_habitat_id *ids = malloc(sel_window_cells(window));
        assert_non_null(ids);
        for (int64_t row = 0; row < window.rows; row++)
            for (int64_t col = 0; col < window.cols; col++)
                ids[row * window.cols + col] =
                    sel_view_at(&scene.view, window.row + row, window.col + col);
        struct sel_habitat_view view = {window, ids};
        struct sel_tangent tangent = flyway_tangent(random_direction(&random));
        struct sel_belt whole, part;
        sel_measure_belt(&scene.view, &cracks[i], &tangent, &RULE, &contrast, &whole);
        sel_measure_belt(&view, &cracks[i], &tangent, &RULE, &contrast, &part);
        assert_memory_equal(&whole, &part, sizeof whole);
        free(ids);
    }
    flyway_scene_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_clean_edge_has_the_contrast_of_its_pair),
        cmocka_unit_test(a_strip_is_not_diluted_by_what_lies_beyond),
        cmocka_unit_test(a_strip_of_one_cell_shares_its_belt_with_the_next),
        cmocka_unit_test(both_sides_mix),
        cmocka_unit_test(too_little_known_ground_is_told),
        cmocka_unit_test(ground_beyond_the_view_is_unknown),
        cmocka_unit_test(a_straight_edge_at_any_angle_loses_little),
        cmocka_unit_test(samples_stand_for_the_area_of_the_belt),
        cmocka_unit_test(a_shift_by_whole_cells_changes_no_bit),
        cmocka_unit_test(mirrored_and_turned_scenes_agree),
        cmocka_unit_test(only_the_halo_is_needed),
    };
    return cmocka_run_group_tests(tests, make_contrast, clear_contrast);
}
