// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stdint.h>
#include <stddef.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "edge/specks.h"
#include "edge_scene.h"
#include "scene.h"

static void remove_specks(struct edge_scene *scene, struct sel_speck_rule rule) {
    struct sel_speck_scratch *scratch = sel_speck_scratch_new();
    assert_non_null(scratch);
    sel_status status =
        sel_remove_specks(&rule, scene->window.rows, scene->window.cols, scene->ids, scratch);
    assert_int_equal(status, SEL_OK);
    sel_speck_scratch_free(scratch);
}

static bool same_ids(const struct edge_scene *p, const struct edge_scene *q) {
    return p->window.rows == q->window.rows && p->window.cols == q->window.cols &&
           memcmp(p->ids, q->ids, sel_window_cells(p->window)) == 0;
}

static void assert_becomes(const char *before, struct sel_speck_rule rule, const char *after) {
    struct edge_scene scene = edge_scene_text(before), expected = edge_scene_text(after);
    remove_specks(&scene, rule);
    assert_true(same_ids(&scene, &expected));
    edge_scene_free(&scene);
    edge_scene_free(&expected);
}

static const struct sel_speck_rule FOUR_CELLS = {10, 10, 400};

static void a_patch_below_the_area_takes_the_habitat_around_it(void **state) {
    (void)state;
    assert_becomes("aaaaaa/aabaaa/aabbaa/aaaaaa", FOUR_CELLS, "aaaaaa/aaaaaa/aaaaaa/aaaaaa");
}

static void a_patch_of_exactly_the_area_stays(void **state) {
    (void)state;
    assert_becomes("aaaaaa/aabbaa/aabbaa/aaaaaa", FOUR_CELLS, "aaaaaa/aabbaa/aabbaa/aaaaaa");
    // 0.7 x 0.7 x 100 is a hair below 49 in binary fractions; it must not count as below.
    struct edge_scene scene = edge_scene_new(16, 16);
    memset(scene.ids, 1, 16 * 16);
    for (int64_t i = 0; i < 100; i++)
        scene.ids[(3 + i / 10) * 16 + 3 + i % 10] = 2;
    struct edge_scene before = edge_scene_cut(&scene, scene.window);
    remove_specks(&scene, (struct sel_speck_rule){0.7, 0.7, 49});
    assert_true(same_ids(&scene, &before));
    edge_scene_free(&before);
    edge_scene_free(&scene);
}

static void cells_that_touch_by_a_corner_are_two_patches(void **state) {
    (void)state;
    assert_becomes(
        "aaaaaaa/abbaaaa/aaabbaa/aaaaaaa", FOUR_CELLS, "aaaaaaa/aaaaaaa/aaaaaaa/aaaaaaa");
}

// A strip of 20 cells of 10 m: 2000 m2, 200 m long. Below A = 2100 m2 by area, but longer than
// 4 sqrt(2100) = 183 m; below A = 2600 m2 and no longer than 4 sqrt(2600) = 204 m.
static void a_strip_thinner_than_a_speck_survives(void **state) {
    (void)state;
    const char *strip = "aaaaaaaaaaaaaaaaaaaaaa/abbbbbbbbbbbbbbbbbbbba/aaaaaaaaaaaaaaaaaaaaaa";
    const char *plain = "aaaaaaaaaaaaaaaaaaaaaa/aaaaaaaaaaaaaaaaaaaaaa/aaaaaaaaaaaaaaaaaaaaaa";
    assert_becomes(strip, (struct sel_speck_rule){10, 10, 2100}, strip);
    assert_becomes(strip, (struct sel_speck_rule){10, 10, 2600}, plain);
    // 4 sqrt(1000) = 126 m: three cells of 30 m are shorter, three of 43 m longer, all below 1000
    // m2.
    assert_becomes("aaaaa/abbba/aaaaa", (struct sel_speck_rule){30, 10, 1000}, "aaaaa/aaaaa/aaaaa");
    assert_becomes("aaaaa/abbba/aaaaa", (struct sel_speck_rule){43, 5, 1000}, "aaaaa/abbba/aaaaa");
}

// 4 sqrt(400) = 80 m, the width of one cell here; area 240 m2.
static void a_box_of_exactly_the_longest_length_is_a_speck(void **state) {
    (void)state;
    assert_becomes(
        "aaa/aba/aba/aba/aaa", (struct sel_speck_rule){80, 1, 400}, "aaa/aaa/aaa/aaa/aaa");
    assert_becomes(
        "aaa/aba/aba/aba/aaa", (struct sel_speck_rule){80.001, 1, 400}, "aaa/aba/aba/aba/aaa");
    assert_becomes("aaaaa/abbba/aaaaa", (struct sel_speck_rule){1, 80, 400}, "aaaaa/aaaaa/aaaaa");
    assert_becomes(
        "aaaaa/abbba/aaaaa", (struct sel_speck_rule){1, 80.001, 400}, "aaaaa/abbba/aaaaa");
}

static void ties_go_to_the_lower_row_then_to_the_lower_column(void **state) {
    (void)state;
    const struct sel_speck_rule two = {10, 10, 200};
    // The middle cell is one cell away from all four.
    assert_becomes(".aa./bedd/bbdd/.cc.", two, ".aa./badd/bbdd/.cc.");
    // Above unknown: west and east tie, the lower column wins.
    assert_becomes("..../bedd/bbdd/.cc.", two, "..../bbdd/bbdd/.cc.");
    // Only diagonal cells: the lower row, then the lower column.
    assert_becomes("aa.cc/a...c/..e../b...d/bb.dd", two, "aa.cc/a...c/..a../b...d/bb.dd");
}

static void distances_are_metres_not_cells(void **state) {
    (void)state;
    // Cells of 10 x 30 m: two cells east (20 m) are nearer than one cell north (30 m).
    assert_becomes("aaaaa/aaaaa/..e.b/..bbb/..bbb", (struct sel_speck_rule){10, 30, 400},
        "aaaaa/aaaaa/..b.b/..bbb/..bbb");
    // Square cells: the one north is nearer.
    assert_becomes("aaaaa/aaaaa/..e.b/..bbb/..bbb", (struct sel_speck_rule){10, 10, 200},
        "aaaaa/aaaaa/..a.b/..bbb/..bbb");
}

static void specks_beside_each_other_look_past_each_other(void **state) {
    (void)state;
    // d and e are specks both; d's nearest settled cell is a, e's is a below it.
    assert_becomes(
        "bbbbbb/b....b/b.de.b/b.aa.b/bbaabb", FOUR_CELLS, "bbbbbb/b....b/b.aa.b/b.aa.b/bbaabb");
}

static void what_lies_too_far_from_everything_becomes_unknown(void **state) {
    (void)state;
    // 8 sqrt(100.5) = 80.2 m: a cell of 10 m is a speck and sees eight cells far.
    struct sel_speck_rule rule = {10, 10, 100.5};
    assert_becomes("bb.......e/bb........", rule, "bb.......b/bb........");
    assert_becomes("bb........e/bb.........", rule, "bb........./bb.........");
}

static void the_reach_is_inclusive(void **state) {
    (void)state;
    // A = 400: 8 sqrt(A) = 160 m, 16 cells of 10 m.
    assert_becomes("bb..............."
                   "e"
                   "/bb................",
        FOUR_CELLS,
        "bb..............."
        "b"
        "/bb................");
    assert_becomes("bb................"
                   "e"
                   "/bb.................",
        FOUR_CELLS,
        "bb................"
        "."
        "/bb.................");
}

static void unknown_cells_stay_unknown(void **state) {
    (void)state;
    assert_becomes("aaaa/a..a/a.aa/aaaa", FOUR_CELLS, "aaaa/a..a/a.aa/aaaa");
}

static void a_scene_of_specks_alone_becomes_unknown(void **state) {
    (void)state;
    assert_becomes("ab/ba", FOUR_CELLS, "../..");
}

static void no_area_means_no_specks(void **state) {
    (void)state;
    assert_becomes("aba/bab/aba", (struct sel_speck_rule){10, 10, 0}, "aba/bab/aba");
    assert_int_equal(sel_speck_halo(&(struct sel_speck_rule){10, 10, 0}), 0);
}

static void the_halo_is_twelve_times_the_root_of_the_area(void **state) {
    (void)state;
    // 12 sqrt(2000) = 536.66 m.
    assert_int_equal(sel_speck_halo(&(struct sel_speck_rule){10, 10, 2000}), 54);
    assert_int_equal(sel_speck_halo(&(struct sel_speck_rule){10, 4, 2000}), 135);
}

// The rule, word by word, by brute force: flood fill for the patches, every settled cell looked at
// for every speck cell. Equal distances are told within one part in 10^9.
struct brute {
    const struct edge_scene *scene;
    struct sel_speck_rule rule;
    int64_t *patch; // per cell, -1 unknown
    bool *settled;  // per cell
};

static void flood(struct brute *brute, int64_t start, int64_t *queue) {
    int64_t cols = brute->scene->window.cols, rows = brute->scene->window.rows;
    int64_t count = 1, low[2] = {rows, cols}, high[2] = {-1, -1};
    queue[0] = start;
    brute->patch[start] = start;
    for (int64_t i = 0; i < count; i++) {
        int64_t at[2] = {queue[i] / cols, queue[i] % cols};
        for (int k = 0; k < 2; k++) {
            low[k] = at[k] < low[k] ? at[k] : low[k];
            high[k] = at[k] > high[k] ? at[k] : high[k];
        }
        const int64_t step[4][2] = {{0, 1}, {1, 0}, {0, -1}, {-1, 0}};
        for (int k = 0; k < 4; k++) {
            int64_t row = at[0] + step[k][0], col = at[1] + step[k][1];
            if (row < 0 || row >= rows || col < 0 || col >= cols)
                continue;
            int64_t next = row * cols + col;
            if (brute->patch[next] < 0 && brute->scene->ids[next] == brute->scene->ids[start]) {
                brute->patch[next] = start;
                queue[count++] = next;
            }
        }
    }
    double root = sqrt(brute->rule.min_patch_m2);
    bool speck =
        (double)count * brute->rule.cell_x_m * brute->rule.cell_y_m < brute->rule.min_patch_m2 &&
        (double)(high[0] - low[0] + 1) * brute->rule.cell_y_m <= 4 * root &&
        (double)(high[1] - low[1] + 1) * brute->rule.cell_x_m <= 4 * root;
    for (int64_t i = 0; i < count; i++)
        brute->settled[queue[i]] = !speck;
}

static sel_habitat_id brute_nearest(const struct brute *brute, int64_t from) {
    int64_t cols = brute->scene->window.cols, rows = brute->scene->window.rows;
    double best = 64 * brute->rule.min_patch_m2 * (1 + 1e-9);
    int64_t found = -1;
    for (int64_t i = 0; i < rows * cols; i++) {
        if (!brute->settled[i])
            continue;
        double x = (double)(i % cols - from % cols) * brute->rule.cell_x_m;
        double y = (double)(i / cols - from / cols) * brute->rule.cell_y_m;
        double square = x * x + y * y;
        // Row-major order: an equal later one never wins.
        if (found < 0 ? square <= best : square < best * (1 - 1e-9)) {
            best = square;
            found = i;
        }
    }
    return found < 0 ? (sel_habitat_id)0 : brute->scene->ids[found];
}

static struct edge_scene brute_force(const struct edge_scene *scene, struct sel_speck_rule rule) {
    size_t cells = sel_window_cells(scene->window);
    struct edge_scene made = edge_scene_cut(scene, scene->window);
    struct brute brute = {scene, rule, malloc(cells * sizeof(int64_t)), calloc(cells, 1)};
    int64_t *queue = malloc(cells * sizeof *queue);
    assert_true(brute.patch && brute.settled && queue);
    for (size_t i = 0; i < cells; i++)
        brute.patch[i] = -1;
    for (size_t i = 0; i < cells; i++) {
        if (scene->ids[i] && brute.patch[i] < 0)
            flood(&brute, (int64_t)i, queue);
    }
    for (size_t i = 0; i < cells; i++) {
        if (scene->ids[i] && !brute.settled[i])
            made.ids[i] = brute_nearest(&brute, (int64_t)i);
    }
    free(brute.patch);
    free(brute.settled);
    free(queue);
    return made;
}

static void random_scenes_agree_with_brute_force_to_the_cell(void **state) {
    (void)state;
    const struct sel_speck_rule rules[] = {{10, 10, 400}, {10, 10, 2000}, {30, 10, 5000},
        {10, 20, 1000}, {31.530298, 31.524659, 8000}, {7, 3, 300}, {10, 10, 150}};
    uint32_t random = 2024;
    size_t changed = 0, lost = 0;
    for (int round = 0; round < 56; round++) {
        struct edge_scene scene = edge_scene_new(30 + round % 20, 50 - round % 23);
        double unknown = round % 4 == 0 ? 0.7 : round % 4 == 1 ? 0 : 0.2;
        edge_scene_patches(&scene, edge_random(&random), 2 + round % 4, 3, 0.3, unknown);
        struct sel_speck_rule rule = rules[round % 7];
        struct edge_scene expected = brute_force(&scene, rule);
        struct edge_scene before = edge_scene_cut(&scene, scene.window);
        remove_specks(&scene, rule);
        assert_true(same_ids(&scene, &expected));
        for (size_t i = 0; i < sel_window_cells(scene.window); i++) {
            changed += scene.ids[i] != before.ids[i];
            lost += scene.ids[i] == 0 && before.ids[i] != 0;
        }
        edge_scene_free(&before);
        edge_scene_free(&expected);
        edge_scene_free(&scene);
    }
    // The scenes must have put the rule to work.
    assert_true(changed > 5000);
    assert_true(lost > 10);
}

// Cuts random windows with their halo and compares their cores with the whole.
static void assert_windows_agree(
    const struct edge_scene *scene, struct sel_speck_rule rule, int64_t side, int rounds) {
    struct edge_scene whole = edge_scene_cut(scene, scene->window);
    remove_specks(&whole, rule);
    int halo = sel_speck_halo(&rule);
    uint32_t random = 99;
    for (int round = 0; round < rounds; round++) {
        struct sel_window core = {
            (int64_t)(edge_uniform(&random) * (double)(scene->window.rows - side)),
            (int64_t)(edge_uniform(&random) * (double)(scene->window.cols - side)), side, side};
        struct edge_scene cut = edge_scene_cut(scene, sel_window_grow(core, halo));
        remove_specks(&cut, rule);
        struct edge_scene mine = edge_scene_cut(&cut, core);
        struct edge_scene theirs = edge_scene_cut(&whole, core);
        assert_true(same_ids(&mine, &theirs));
        edge_scene_free(&mine);
        edge_scene_free(&theirs);
        edge_scene_free(&cut);
    }
    edge_scene_free(&whole);
}

static void a_window_with_its_halo_gives_what_the_whole_gives(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_new(300, 320);
    edge_scene_patches(&scene, 31, 5, 5, 0.35, 0.1);
    assert_windows_agree(&scene, (struct sel_speck_rule){10, 10, 500}, 20, 40);
    assert_windows_agree(&scene, (struct sel_speck_rule){10, 10, 2500}, 9, 40);
    assert_windows_agree(&scene, (struct sel_speck_rule){8, 13, 900}, 15, 40);
    edge_scene_free(&scene);
}

// The hardest case for the halo: lone cells in the unknown whose nearest settled patch is a strip
// at the end of their reach, which only its length (just above 4 sqrt(A) = 20 cells) saves.
static struct edge_scene strips_and_dots(int64_t side, uint32_t start) {
    struct edge_scene scene = edge_scene_new(side, side);
    uint32_t random = start;
    for (int i = 0; i < 150; i++) {
        int64_t length = i % 2 ? 1 : 18 + (int64_t)(7 * edge_uniform(&random));
        bool across = edge_random(&random) >> 31;
        int64_t row = (int64_t)(edge_uniform(&random) * (double)(side - 24));
        int64_t col = (int64_t)(edge_uniform(&random) * (double)(side - 24));
        for (int64_t k = 0; k < length; k++)
            *edge_scene_cell(&scene, row + (across ? 0 : k), col + (across ? k : 0)) =
                (sel_habitat_id)(1 + i % 7);
    }
    return scene;
}

static void a_strip_at_the_end_of_the_reach_is_seen_through_the_halo(void **state) {
    (void)state;
    for (uint32_t round = 1; round <= 4; round++) {
        struct edge_scene scene = strips_and_dots(400, round);
        assert_windows_agree(&scene, (struct sel_speck_rule){10, 10, 2500}, 30, 100);
        edge_scene_free(&scene);
    }
}

// sqrt(A) = 5 cells: the lone cell sees 40 cells far, the strip begins there and is 21 long.
static void the_halo_could_not_be_one_cell_narrower(void **state) {
    (void)state;
    const struct sel_speck_rule rule = {10, 10, 2500};
    struct edge_scene scene = edge_scene_new(1, 62);
    *edge_scene_cell(&scene, 0, 0) = 1;
    for (int64_t col = 40; col <= 60; col++)
        *edge_scene_cell(&scene, 0, col) = 2;
    for (int narrower = 0; narrower <= 1; narrower++) {
        struct edge_scene cut = edge_scene_cut(&scene,
            sel_window_grow((struct sel_window){0, 0, 1, 1}, sel_speck_halo(&rule) - narrower));
        remove_specks(&cut, rule);
        assert_int_equal(*edge_scene_cell(&cut, 0, 0), narrower ? 0 : 2);
        edge_scene_free(&cut);
    }
    edge_scene_free(&scene);
}

static void windows_agree_on_a_real_land_cover(void **state) {
    (void)state;
    const char *data = scene_real_data();
    if (!data)
        skip();
    char path[4200];
    snprintf(path, sizeof path, "%s/zion/nlcd2011.tif", data);
    struct edge_scene scene = edge_scene_read(path);
    assert_windows_agree(
        &scene, (struct sel_speck_rule){31.530298224786595, 31.524658701787931, 8000}, 64, 25);
    edge_scene_free(&scene);
}

static void the_scratch_may_be_used_again_for_a_window_of_another_size(void **state) {
    (void)state;
    struct sel_speck_scratch *scratch = sel_speck_scratch_new();
    struct edge_scene scene = edge_scene_new(40, 90);
    edge_scene_patches(&scene, 3, 4, 4, 0.4, 0.2);
    struct edge_scene small = edge_scene_cut(&scene, (struct sel_window){0, 0, 17, 20});
    struct edge_scene fresh = edge_scene_cut(&small, small.window);
    assert_int_equal(sel_remove_specks(&FOUR_CELLS, 40, 90, scene.ids, scratch), SEL_OK);
    assert_int_equal(sel_remove_specks(&FOUR_CELLS, 17, 20, small.ids, scratch), SEL_OK);
    assert_int_equal(sel_remove_specks(&FOUR_CELLS, 0, 0, small.ids, scratch), SEL_OK);
    remove_specks(&fresh, FOUR_CELLS);
    assert_true(same_ids(&small, &fresh));
    sel_speck_scratch_free(scratch);
    sel_speck_scratch_free(NULL);
    edge_scene_free(&scene);
    edge_scene_free(&small);
    edge_scene_free(&fresh);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_patch_below_the_area_takes_the_habitat_around_it),
        cmocka_unit_test(a_patch_of_exactly_the_area_stays),
        cmocka_unit_test(cells_that_touch_by_a_corner_are_two_patches),
        cmocka_unit_test(a_strip_thinner_than_a_speck_survives),
        cmocka_unit_test(a_box_of_exactly_the_longest_length_is_a_speck),
        cmocka_unit_test(ties_go_to_the_lower_row_then_to_the_lower_column),
        cmocka_unit_test(distances_are_metres_not_cells),
        cmocka_unit_test(specks_beside_each_other_look_past_each_other),
        cmocka_unit_test(what_lies_too_far_from_everything_becomes_unknown),
        cmocka_unit_test(the_reach_is_inclusive),
        cmocka_unit_test(unknown_cells_stay_unknown),
        cmocka_unit_test(a_scene_of_specks_alone_becomes_unknown),
        cmocka_unit_test(no_area_means_no_specks),
        cmocka_unit_test(the_halo_is_twelve_times_the_root_of_the_area),
        cmocka_unit_test(random_scenes_agree_with_brute_force_to_the_cell),
        cmocka_unit_test(a_window_with_its_halo_gives_what_the_whole_gives),
        cmocka_unit_test(a_strip_at_the_end_of_the_reach_is_seen_through_the_halo),
        cmocka_unit_test(the_halo_could_not_be_one_cell_narrower),
        cmocka_unit_test(windows_agree_on_a_real_land_cover),
        cmocka_unit_test(the_scratch_may_be_used_again_for_a_window_of_another_size),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
