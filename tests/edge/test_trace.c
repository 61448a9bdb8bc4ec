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

#include "edge/trace.h"
#include "edge_scene.h"

static const double PI = 3.14159265358979323846;

enum { SIDE = SEL_TRACE_BLOCK };

static const struct sel_trace_rule METRE_CELLS = {1, 1};

static struct sel_traced_lines trace(
    const struct edge_scene *scene, int64_t row, int64_t col, struct sel_trace_rule rule) {
    struct sel_trace_scratch *scratch = sel_trace_scratch_new();
    struct sel_traced_lines lines = {0};
    struct sel_habitat_view view = edge_scene_view(scene);
    assert_non_null(scratch);
    assert_int_equal(sel_trace_block(&view, row, col, &rule, scratch, &lines), SEL_OK);
    sel_trace_scratch_free(scratch);
    return lines;
}

static double total_length(const struct sel_traced_lines *lines) {
    double length = 0;
    for (size_t i = 0; i < lines->count; i++)
        length += lines->items[i].length_m;
    return length;
}

static int64_t total_cracks(const struct sel_traced_lines *lines) {
    int64_t count = 0;
    for (size_t i = 0; i < lines->count; i++)
        count += lines->items[i].crack_count;
    return count;
}

// A block and one cell around it, so that a straight edge runs right through.
static struct edge_scene block_scene(void) {
    struct edge_scene scene = edge_scene_new(SIDE + 2, SIDE + 2);
    scene.window.row = scene.window.col = -1;
    return scene;
}

// The length inside the block of the line that edge_scene_half_plane draws (Liang & Barsky 1984).
static double clipped_length(double degrees, double offset, struct sel_trace_rule rule) {
    double c = cos(degrees * PI / 180), s = sin(degrees * PI / 180);
    double way[2] = {c, -s}, half[2] = {0.5 * SIDE * rule.cell_x_m, 0.5 * SIDE * rule.cell_y_m};
    double at[2] = {-s * offset, -c * offset}, first = -HUGE_VAL, last = HUGE_VAL;
    for (int k = 0; k < 2; k++) {
        if (fabs(way[k]) < 1e-12)
            continue;
        double p = (-half[k] - at[k]) / way[k], q = (half[k] - at[k]) / way[k];
        first = fmax(first, fmin(p, q));
        last = fmin(last, fmax(p, q));
    }
    return last - first;
}

static void assert_straight_lengths(struct sel_trace_rule rule, int step) {
    struct edge_scene scene = block_scene();
    double least = 9, most = 0;
    for (int degrees = 0; degrees < 180; degrees += step) {
        for (int k = 0; k < 2; k++) {
            double offset = (k ? 31.3 : 0) + 0.01 * degrees;
            edge_scene_half_plane(&scene, degrees, offset, rule.cell_x_m, rule.cell_y_m);
            struct sel_traced_lines lines = trace(&scene, 0, 0, rule);
            double ratio = total_length(&lines) / clipped_length(degrees, offset, rule);
            least = fmin(least, ratio);
            most = fmax(most, ratio);
            assert_int_equal(lines.count, 1);
            sel_traced_lines_clear(&lines);
        }
    }
    print_message("           length over truth %.4f to %.4f\n", least, most);
    assert_true(least >= 0.98 && most <= 1.02);
    edge_scene_free(&scene);
}

// The bar of docs/method.md, "Edges".
static void straight_lines_at_every_angle_have_the_right_length(void **state) {
    (void)state;
    assert_straight_lengths(METRE_CELLS, 1);
}

static void cells_that_are_not_square_keep_the_length(void **state) {
    (void)state;
    assert_straight_lengths((struct sel_trace_rule){31.53, 31.52}, 15);
    assert_straight_lengths((struct sel_trace_rule){10, 7}, 5);
}

// The bar of docs/method.md, "Edges": circumference 2 pi R.
static void circles_have_the_right_length(void **state) {
    (void)state;
    const double radii[] = {20, 50, 100};
    uint32_t random = 3;
    for (int i = 0; i < 3; i++) {
        double least = 9, most = 0, off = 0;
        for (int k = 0; k < 12; k++) {
            struct edge_scene scene = edge_scene_new(240, 240);
            double x = 120 + edge_uniform(&random), y = 120 + edge_uniform(&random);
            edge_scene_disc(&scene, x, y, radii[i], 1, 2);
            struct sel_traced_lines lines = trace(&scene, 0, 0, METRE_CELLS);
            assert_int_equal(lines.count, 1);
            double ratio = lines.items[0].length_m / (2 * PI * radii[i]);
            least = fmin(least, ratio);
            most = fmax(most, ratio);
            for (size_t v = 0; v < lines.vertex_count; v++) {
                double dx = 0.5 * lines.vertices[v].x - x, dy = 0.5 * lines.vertices[v].y - y;
                off = fmax(off, fabs(hypot(dx, dy) - radii[i]));
            }
            // Raw cracks: those of the bounding box, 4/pi of the circumference.
            double raw = lines.items[0].crack_count / (2 * PI * radii[i]);
            assert_true(fabs(raw - 4 / PI) <= 4 / (2 * PI * radii[i]));
            sel_traced_lines_clear(&lines);
            edge_scene_free(&scene);
        }
        print_message("           radius %g: length over truth %.4f to %.4f, off by %.2f cells\n",
            radii[i], least, most, off);
        assert_true(least >= 0.98 && most <= 1.02);
        // A crack's middle lies within half a cell of the circle, its ends within a diagonal.
        assert_true(off < sqrt(0.5));
    }
}

// Twice the area enclosed, positive when it lies on the left, seen with north up.
static double area_on_the_left(const struct vec2 *v, size_t count) {
    double sum = 0;
    for (size_t i = 1; i < count; i++)
        sum -= v[i - 1].x * v[i].y - v[i].x * v[i - 1].y;
    return sum;
}

static void a_ring_is_closed_and_has_a_on_its_left(void **state) {
    (void)state;
    for (int inside = 1; inside <= 2; inside++) {
        struct edge_scene scene = edge_scene_new(60, 60);
        edge_scene_disc(
            &scene, 30.2, 29.6, 12, (sel_habitat_id)inside, (sel_habitat_id)(3 - inside));
        struct sel_traced_lines lines = trace(&scene, 0, 0, METRE_CELLS);
        assert_int_equal(lines.count, 1);
        const struct sel_traced_line *line = &lines.items[0];
        const struct vec2 *v = lines.vertices + line->first;
        assert_int_equal(line->a, 1);
        assert_int_equal(line->b, 2);
        assert_true(line->closed);
        assert_memory_equal(&v[0], &v[line->count - 1], sizeof *v);
        double area = area_on_the_left(v, line->count) / 8; // half-cells squared, twice
        assert_true(fabs(fabs(area) - PI * 144) < 0.02 * PI * 144);
        assert_true((area > 0) == (inside == 1));
        sel_traced_lines_clear(&lines);
        edge_scene_free(&scene);
    }
}

static void an_open_line_has_a_on_its_left(void **state) {
    (void)state;
    struct edge_scene scene = block_scene();
    for (int degrees = 0; degrees < 360; degrees += 24) {
        edge_scene_half_plane(&scene, degrees, 0.1, 1, 1);
        struct sel_traced_lines lines = trace(&scene, 0, 0, METRE_CELLS);
        const struct sel_traced_line *line = &lines.items[0];
        assert_false(line->closed);
        struct vec2 way = vec2_sub(lines.vertices[line->count - 1], lines.vertices[0]);
        double c = cos(degrees * PI / 180), s = sin(degrees * PI / 180);
        // Habitat 1 lies on the left of (c, -s).
        assert_true(way.x * c - way.y * s > 0.999 * vec2_length(way));
        sel_traced_lines_clear(&lines);
    }
    edge_scene_free(&scene);
}

static void three_habitats_meet_in_one_held_point(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_text("aaaaaa/aaaaaa/bbbccc/bbbccc/bbbccc");
    struct sel_traced_lines lines = trace(&scene, 0, 0, METRE_CELLS);
    assert_int_equal(lines.count, 3);
    // In the order of their first crack: a over b, a over c, b beside c.
    const sel_habitat_id pairs[3][2] = {{1, 2}, {1, 3}, {2, 3}};
    for (int i = 0; i < 3; i++) {
        const struct sel_traced_line *line = &lines.items[i];
        assert_int_equal(line->a, pairs[i][0]);
        assert_int_equal(line->b, pairs[i][1]);
        assert_int_equal(line->crack_count, 3);
        assert_int_equal(line->count, 2);
        assert_true(fabs(line->length_m - 3) < 1e-9);
        struct vec2 first = lines.vertices[line->first], last = lines.vertices[line->first + 1];
        bool meets = (first.x == 6 && first.y == 4) || (last.x == 6 && last.y == 4);
        assert_true(meets);
    }
    sel_traced_lines_clear(&lines);
    edge_scene_free(&scene);
}

static void a_corner_where_four_cracks_meet_cuts_the_lines(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_text("aabb/aabb/bbaa/bbaa");
    struct sel_traced_lines lines = trace(&scene, 0, 0, METRE_CELLS);
    assert_int_equal(lines.count, 4);
    for (size_t i = 0; i < 4; i++) {
        assert_int_equal(lines.items[i].crack_count, 2);
        assert_false(lines.items[i].closed);
    }
    sel_traced_lines_clear(&lines);
    edge_scene_free(&scene);
}

static void small_patches_keep_their_ring(void **state) {
    (void)state;
    // One cell keeps its square; the others keep most of their area.
    const char *rows[] = {"aaa/aba/aaa", "aaaa/abba/abba/aaaa", "aaaaa/abbba/abbba/abbba/aaaaa",
        "aaaaaa/abbbba/abbbba/abbbba/abbbba/aaaaaa"};
    for (int side = 1; side <= 4; side++) {
        struct edge_scene scene = edge_scene_text(rows[side - 1]);
        struct sel_traced_lines lines = trace(&scene, 0, 0, METRE_CELLS);
        assert_int_equal(lines.count, 1);
        assert_true(lines.items[0].closed);
        assert_true(lines.items[0].count >= 5);
        double area = -area_on_the_left(lines.vertices, lines.items[0].count) / 8;
        assert_true(area > 0.7 * side * side && area <= side * side);
        if (side == 1)
            assert_true(lines.items[0].length_m == 4);
        sel_traced_lines_clear(&lines);
        edge_scene_free(&scene);
    }
}

static void lines_come_in_the_order_of_their_first_crack(void **state) {
    (void)state;
    // Three squares in the order of their top sides.
    struct edge_scene scene =
        edge_scene_text("aaaaaaaa/aaaaabba/aaaaabba/acaaaaaa/aaaddaaa/aaaddaaa/aaaaaaaa");
    struct sel_traced_lines lines = trace(&scene, 0, 0, METRE_CELLS);
    assert_int_equal(lines.count, 3);
    for (size_t i = 0; i < 3; i++)
        assert_int_equal(lines.items[i].b, 2 + i);
    sel_traced_lines_clear(&lines);
    edge_scene_free(&scene);
}

static void an_empty_block_has_no_lines(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_new(30, 30);
    struct sel_traced_lines lines = trace(&scene, 0, 0, METRE_CELLS);
    assert_int_equal(lines.count, 0);
    sel_traced_lines_clear(&lines);
    lines = trace(&scene, 3, 5, METRE_CELLS); // away from the view
    assert_int_equal(lines.count, 0);
    sel_traced_lines_clear(&lines);
    edge_scene_free(&scene);
}

// Two by two blocks of ragged patches.
static struct edge_scene four_blocks(void) {
    struct edge_scene scene = edge_scene_new(2 * SIDE, 2 * SIDE - 40);
    edge_scene_patches(&scene, 11, 4, 9, 0.02, 0.01);
    return scene;
}

static void every_crack_is_walked_once_and_counted_by_pair(void **state) {
    (void)state;
    struct edge_scene scene = four_blocks();
    struct sel_habitat_view view = edge_scene_view(&scene);
    for (int64_t block = 0; block < 4; block++) {
        int64_t row = block / 2, col = block % 2, by_pair[5][5] = {{0}};
        struct sel_traced_lines lines = trace(&scene, row, col, METRE_CELLS);
        struct sel_cracks cracks = {0};
        struct sel_window core = {row * SIDE, col * SIDE, SIDE, SIDE};
        assert_int_equal(sel_find_cracks(&view, core, &cracks), SEL_OK);
        for (size_t i = 0; i < cracks.count; i++)
            by_pair[cracks.items[i].a][cracks.items[i].b]++;
        assert_int_equal(total_cracks(&lines), cracks.count);
        for (size_t i = 0; i < lines.count; i++)
            by_pair[lines.items[i].a][lines.items[i].b] -= lines.items[i].crack_count;
        for (int i = 0; i < 25; i++)
            assert_int_equal(by_pair[i / 5][i % 5], 0);
        sel_cracks_clear(&cracks);
        sel_traced_lines_clear(&lines);
    }
    edge_scene_free(&scene);
}

// How many cracks of all pairs, and how many of the pair, meet in a corner.
static void count_at_corner(const struct sel_habitat_view *view, int64_t row, int64_t col,
    const struct sel_traced_line *line, int *all, int *own) {
    const sel_habitat_id around[5] = {sel_view_at(view, row - 1, col - 1),
        sel_view_at(view, row - 1, col), sel_view_at(view, row, col),
        sel_view_at(view, row, col - 1), sel_view_at(view, row - 1, col - 1)};
    *all = *own = 0;
    for (int k = 0; k < 4; k++) {
        sel_habitat_id p = around[k], q = around[k + 1];
        if (p == q || p == 0 || q == 0)
            continue;
        (*all)++;
        *own += (p == line->a && q == line->b) || (p == line->b && q == line->a);
    }
}

static void lines_end_only_at_junctions_and_on_the_lattice(void **state) {
    (void)state;
    struct edge_scene scene = four_blocks();
    struct sel_habitat_view view = edge_scene_view(&scene);
    size_t lattice = 0, junctions = 0, rings = 0;
    for (int64_t block = 0; block < 4; block++) {
        struct sel_traced_lines lines = trace(&scene, block / 2, block % 2, METRE_CELLS);
        for (size_t i = 0; i < lines.count; i++) {
            const struct sel_traced_line *line = &lines.items[i];
            for (int end = 0; end < 2 && !line->closed; end++) {
                struct vec2 v = lines.vertices[line->first + (end ? line->count - 1 : 0)];
                int64_t row = (int64_t)v.y / 2, col = (int64_t)v.x / 2;
                assert_true(v.x == 2 * (double)col && v.y == 2 * (double)row);
                int all, own;
                count_at_corner(&view, row, col, line, &all, &own);
                bool plain = all == 2 && own == 2;
                assert_true(!plain || row % SIDE == 0 || col % SIDE == 0);
                lattice += plain;
                junctions += !plain;
            }
            rings += line->closed;
        }
        sel_traced_lines_clear(&lines);
    }
    assert_true(lattice > 20 && junctions > 200 && rings > 20);
    edge_scene_free(&scene);
}

static void assert_same_lines(
    const struct sel_traced_lines *p, const struct sel_traced_lines *q, struct vec2 shift) {
    assert_int_equal(p->count, q->count);
    assert_int_equal(p->vertex_count, q->vertex_count);
    for (size_t i = 0; i < p->count; i++) {
        assert_int_equal(p->items[i].a, q->items[i].a);
        assert_int_equal(p->items[i].b, q->items[i].b);
        assert_int_equal(p->items[i].first, q->items[i].first);
        assert_int_equal(p->items[i].count, q->items[i].count);
        assert_int_equal(p->items[i].closed, q->items[i].closed);
        assert_int_equal(p->items[i].crack_count, q->items[i].crack_count);
        assert_true(p->items[i].length_m == q->items[i].length_m);
    }
    for (size_t i = 0; i < p->vertex_count; i++) {
        struct vec2 moved = vec2_add(p->vertices[i], shift);
        // Adding a shift rounds the last bits of the fraction away.
        double most = shift.x == 0 && shift.y == 0 ? 0 : 1e-9;
        assert_true(fabs(moved.x - q->vertices[i].x) <= most);
        assert_true(fabs(moved.y - q->vertices[i].y) <= most);
    }
}

static void a_block_and_one_cell_around_it_is_all_that_counts(void **state) {
    (void)state;
    struct edge_scene scene = four_blocks();
    for (int64_t block = 0; block < 4; block++) {
        int64_t row = block / 2, col = block % 2;
        struct sel_window core = {row * SIDE, col * SIDE, SIDE, SIDE};
        struct edge_scene cut = edge_scene_cut(&scene, sel_window_grow(core, 1));
        struct sel_traced_lines whole = trace(&scene, row, col, METRE_CELLS);
        struct sel_traced_lines part = trace(&cut, row, col, METRE_CELLS);
        assert_same_lines(&whole, &part, (struct vec2){0, 0});
        sel_traced_lines_clear(&whole);
        sel_traced_lines_clear(&part);
        edge_scene_free(&cut);
    }
    edge_scene_free(&scene);
}

static void a_shift_by_whole_blocks_shifts_the_lines(void **state) {
    (void)state;
    struct edge_scene scene = four_blocks();
    struct sel_traced_lines here = trace(&scene, 1, 0, METRE_CELLS);
    scene.window.row += 7 * SIDE;
    scene.window.col += 30 * SIDE;
    struct sel_traced_lines there = trace(&scene, 8, 30, METRE_CELLS);
    assert_same_lines(&here, &there, (struct vec2){2.0 * 30 * SIDE, 2.0 * 7 * SIDE});
    sel_traced_lines_clear(&here);
    sel_traced_lines_clear(&there);
    edge_scene_free(&scene);
}

static void one_scratch_and_list_serve_many_blocks(void **state) {
    (void)state;
    struct edge_scene scene = four_blocks();
    struct sel_habitat_view view = edge_scene_view(&scene);
    struct sel_trace_scratch *scratch = sel_trace_scratch_new();
    struct sel_traced_lines lines = {0};
    for (int64_t block = 0; block < 4; block++) {
        int64_t row = block / 2, col = block % 2;
        assert_int_equal(sel_trace_block(&view, row, col, &METRE_CELLS, scratch, &lines), SEL_OK);
        struct sel_traced_lines fresh = trace(&scene, row, col, METRE_CELLS);
        assert_same_lines(&lines, &fresh, (struct vec2){0, 0});
        sel_traced_lines_clear(&fresh);
    }
    sel_traced_lines_clear(&lines);
    sel_trace_scratch_free(scratch);
    sel_trace_scratch_free(NULL);
    edge_scene_free(&scene);
}

static void mirrored_scenes_have_equal_lengths(void **state) {
    (void)state;
    // Inside one block and away from the lattice. Thinning is one-way, hence not to the last bit.
    struct edge_scene scene = edge_scene_new(200, 200);
    edge_scene_patches(&scene, 6, 4, 9, 0.02, 0.01);
    struct edge_scene images[2] = {edge_scene_mirrored(&scene), edge_scene_turned(&scene)};
    struct sel_traced_lines lines = trace(&scene, 0, 0, METRE_CELLS);
    for (int k = 0; k < 2; k++) {
        struct sel_traced_lines image = trace(&images[k], 0, 0, METRE_CELLS);
        assert_int_equal(image.count, lines.count);
        assert_true(fabs(total_length(&image) / total_length(&lines) - 1) < 0.002);
        sel_traced_lines_clear(&image);
        edge_scene_free(&images[k]);
    }
    sel_traced_lines_clear(&lines);
    edge_scene_free(&scene);
}

static void every_crack_of_a_real_land_cover_is_walked(void **state) {
    (void)state;
    struct edge_scene scene;
    if (!edge_scene_real(&scene))
        skip();
    struct sel_habitat_view view = edge_scene_view(&scene);
    struct sel_cracks cracks = {0};
    assert_int_equal(sel_find_cracks(&view, scene.window, &cracks), SEL_OK);
    int64_t walked = 0;
    for (int64_t row = 0; row * SIDE < scene.window.rows; row++) {
        for (int64_t col = 0; col * SIDE < scene.window.cols; col++) {
            struct sel_traced_lines lines = trace(&scene, row, col, METRE_CELLS);
            walked += total_cracks(&lines);
            sel_traced_lines_clear(&lines);
        }
    }
    assert_int_equal(walked, cracks.count);
    sel_cracks_clear(&cracks);
    edge_scene_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(straight_lines_at_every_angle_have_the_right_length),
        cmocka_unit_test(cells_that_are_not_square_keep_the_length),
        cmocka_unit_test(circles_have_the_right_length),
        cmocka_unit_test(a_ring_is_closed_and_has_a_on_its_left),
        cmocka_unit_test(an_open_line_has_a_on_its_left),
        cmocka_unit_test(three_habitats_meet_in_one_held_point),
        cmocka_unit_test(a_corner_where_four_cracks_meet_cuts_the_lines),
        cmocka_unit_test(small_patches_keep_their_ring),
        cmocka_unit_test(lines_come_in_the_order_of_their_first_crack),
        cmocka_unit_test(an_empty_block_has_no_lines),
        cmocka_unit_test(every_crack_is_walked_once_and_counted_by_pair),
        cmocka_unit_test(lines_end_only_at_junctions_and_on_the_lattice),
        cmocka_unit_test(a_block_and_one_cell_around_it_is_all_that_counts),
        cmocka_unit_test(a_shift_by_whole_blocks_shifts_the_lines),
        cmocka_unit_test(one_scratch_and_list_serve_many_blocks),
        cmocka_unit_test(mirrored_scenes_have_equal_lengths),
        cmocka_unit_test(every_crack_of_a_real_land_cover_is_walked),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
