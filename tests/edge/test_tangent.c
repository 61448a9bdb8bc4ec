// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stdint.h>
#include <stddef.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "edge/tangent.h"
#include "edge_scene.h"

static const double PI = 3.14159265358979323846;

static const struct sel_tangent_rule FIVE_CELLS = {10, 10, 50};

static struct sel_cracks find_all(const struct edge_scene *scene) {
    struct sel_habitat_view view = edge_scene_view(scene);
    struct sel_cracks cracks = {0};
    assert_int_equal(sel_find_cracks(&view, scene->window, &cracks), SEL_OK);
    return cracks;
}

// The angle between two undirected unit vectors, degrees, 0..90.
static double angle_between(struct vec2 p, struct vec2 q) {
    double sine = fabs(p.x * q.y - p.y * q.x);
    return asin(fmin(1, sine)) * 180 / PI;
}

static void assert_close(struct vec2 p, struct vec2 q, double most) {
    assert_true(fabs(p.x - q.x) <= most && fabs(p.y - q.y) <= most);
}

static void assert_unit_and_square(const struct sel_tangent *t) {
    assert_true(fabs(vec2_length(t->along) - 1) < 1e-9);
    assert_true(fabs(vec2_length(t->toward_a) - 1) < 1e-9);
    assert_true(fabs(vec2_dot(t->along, t->toward_a)) < 1e-9);
    assert_true(t->along.x > 0 || (t->along.x == 0 && t->along.y > 0));
    assert_true(t->straightness >= 0 && t->straightness <= 1);
}

// Errors of many tangents against the truth.
struct errors {
    double *degrees; // owned
    size_t count, capacity;
    double least_straightness;
};

static struct errors errors_new(size_t capacity) {
    struct errors errors = {malloc(capacity * sizeof(double)), 0, capacity, 1};
    assert_non_null(errors.degrees);
    return errors;
}

static void assert_quantiles(
    struct errors *errors, double median, double most_of_them, double worst) {
    double *degrees = errors->degrees;
    size_t count = errors->count;
    double found[3] = {edge_quantile(degrees, count, 0.5), edge_quantile(degrees, count, 0.95),
        edge_quantile(degrees, count, 1)};
    print_message("           %zu tangents: median %.2f, 95 %% %.2f, worst %.2f degrees, "
                  "straightness from %.3f\n",
        count, found[0], found[1], found[2], errors->least_straightness);
    assert_true(found[0] <= median && found[1] <= most_of_them && found[2] <= worst);
    free(degrees);
}

static void note_error(
    struct errors *errors, const struct sel_tangent *found, struct vec2 along, struct vec2 to_a) {
    assert_true(errors->count < errors->capacity);
    assert_unit_and_square(found);
    assert_true(vec2_dot(found->toward_a, to_a) > 0);
    errors->degrees[errors->count++] = angle_between(found->along, along);
    errors->least_straightness = fmin(errors->least_straightness, found->straightness);
}

// Half-planes at every degree and `offsets` offsets within a cell's diagonal; the cracks near the
// middle, none of which sees the scene's border. Truth: the direction of the line itself.
static struct errors half_plane_errors(struct sel_tangent_rule rule, int offsets) {
    int64_t side = 2 * sel_tangent_halo(&rule) + 16;
    struct errors errors = errors_new((size_t)(180 * offsets) * 64);
    for (int i = 0; i < 180 * offsets; i++) {
        double degrees = i / offsets, share = (i % offsets + 0.37) / offsets - 0.5;
        struct edge_scene scene = edge_scene_new(side, side);
        double offset = share * sqrt(rule.cell_x_m * rule.cell_x_m + rule.cell_y_m * rule.cell_y_m);
        edge_scene_half_plane(&scene, degrees, offset, rule.cell_x_m, rule.cell_y_m);
        struct sel_habitat_view view = edge_scene_view(&scene);
        struct sel_cracks cracks = find_all(&scene);
        double c = cos(degrees * PI / 180), s = sin(degrees * PI / 180);
        for (size_t k = 0; k < cracks.count; k++) {
            if (llabs(cracks.items[k].hx - side) > 12 || llabs(cracks.items[k].hy - side) > 12)
                continue;
            struct sel_tangent found;
            assert_true(sel_edge_tangent(&view, &cracks.items[k], &rule, &found));
            note_error(&errors, &found, (struct vec2){c, -s}, (struct vec2){-s, -c});
        }
        sel_cracks_clear(&cracks);
        edge_scene_free(&scene);
    }
    return errors;
}

// The bar of docs/method.md, "Edges".
static void straight_edges_at_every_angle_and_offset_keep_the_bar(void **state) {
    (void)state;
    struct errors errors = half_plane_errors(FIVE_CELLS, 24);
    assert_true(errors.least_straightness > 0.9);
    assert_quantiles(&errors, 2, 5, 11);
}

static void straight_edges_keep_the_bar_on_cells_that_are_not_square(void **state) {
    (void)state;
    // Not quite square, and clearly not: there five of the longer sides.
    struct errors errors = half_plane_errors((struct sel_tangent_rule){31.53, 31.52, 157.7}, 6);
    assert_quantiles(&errors, 2, 5, 11);
    errors = half_plane_errors((struct sel_tangent_rule){10, 6, 50}, 6);
    assert_quantiles(&errors, 2, 5, 11);
}

static void a_longer_radius_gives_a_truer_direction(void **state) {
    (void)state;
    // The staircase's share of the error falls with the radius, so a fourfold radius must do at
    // least twice as well as the bar.
    struct errors errors = half_plane_errors((struct sel_tangent_rule){1, 1, 20}, 4);
    assert_quantiles(&errors, 1, 2.5, 5.5);
    errors = half_plane_errors((struct sel_tangent_rule){0.25, 0.25, 20}, 1);
    assert_quantiles(&errors, 0.5, 1.25, 2.75);
}

// Truth: at right angles to the radius through the crack's middle; habitat 1 is inside.
static void assert_circle(double radius, double median, double most_of_them, double worst) {
    struct errors errors = errors_new(40 * (size_t)(10 * radius));
    uint32_t random = 7;
    int64_t side = (int64_t)(2 * radius) + 8;
    for (int i = 0; i < 40; i++) {
        double x = 0.5 * (double)side + edge_uniform(&random) - 0.5;
        double y = 0.5 * (double)side + edge_uniform(&random) - 0.5;
        struct edge_scene scene = edge_scene_new(side, side);
        edge_scene_disc(&scene, x, y, radius, 1, 2);
        struct sel_habitat_view view = edge_scene_view(&scene);
        struct sel_cracks cracks = find_all(&scene);
        for (size_t k = 0; k < cracks.count; k++) {
            struct sel_tangent found;
            assert_true(sel_edge_tangent(&view, &cracks.items[k], &FIVE_CELLS, &found));
            struct vec2 inward = {x - 0.5 * cracks.items[k].hx, y - 0.5 * cracks.items[k].hy};
            inward = vec2_scale(inward, 1 / vec2_length(inward));
            note_error(&errors, &found, (struct vec2){inward.y, -inward.x}, inward);
        }
        sel_cracks_clear(&cracks);
        edge_scene_free(&scene);
    }
    assert_quantiles(&errors, median, most_of_them, worst);
}

// The bar of docs/method.md, "Edges"; it names no worst error on a circle.
static void circles_of_radius_twenty_keep_the_bar(void **state) {
    (void)state;
    assert_circle(20, 2, 5, 90);
    assert_circle(50, 2, 5, 90);
}

static void an_edge_along_the_cells_has_exactly_their_direction(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_new(20, 20);
    edge_scene_half_plane(&scene, 0, 0, 1, 1);
    struct sel_habitat_view view = edge_scene_view(&scene);
    struct sel_crack crack = {.hx = 21, .hy = 20, .a = 1, .b = 2, .a_first = true};
    struct sel_tangent found;
    assert_true(sel_edge_tangent(&view, &crack, &FIVE_CELLS, &found));
    assert_true(found.along.x == 1 && found.along.y == 0);
    assert_true(found.toward_a.x == 0 && found.toward_a.y == -1);
    assert_true(found.straightness == 1);
    edge_scene_half_plane(&scene, 90, 0, 1, 1);
    crack = (struct sel_crack){.hx = 20, .hy = 21, .a = 1, .b = 2, .a_first = true};
    assert_true(sel_edge_tangent(&view, &crack, &FIVE_CELLS, &found));
    assert_true(found.along.x == 0 && found.along.y == 1);
    assert_true(found.toward_a.x == -1 && found.toward_a.y == 0);
    edge_scene_free(&scene);
}

static void the_far_side_of_a_strip_is_not_followed(void **state) {
    (void)state;
    // Two cells wide, running at 30 degrees through habitat 2, beyond the scene at both ends.
    struct edge_scene scene = edge_scene_new(40, 40), other = edge_scene_new(40, 40);
    edge_scene_half_plane(&scene, 30, -1, 1, 1);
    edge_scene_half_plane(&other, 30, 1.5, 1, 1);
    for (int i = 0; i < 40 * 40; i++)
        scene.ids[i] = scene.ids[i] == 1 && other.ids[i] == 2 ? 1 : 2;
    struct sel_habitat_view view = edge_scene_view(&scene);
    struct sel_cracks cracks = find_all(&scene);
    struct vec2 left = {-0.5, -sqrt(0.75)};
    size_t sides[2] = {0, 0};
    for (size_t k = 0; k < cracks.count; k++) {
        if (abs(cracks.items[k].hx - 40) > 20)
            continue;
        struct sel_tangent found;
        assert_true(sel_edge_tangent(&view, &cracks.items[k], &FIVE_CELLS, &found));
        assert_true(angle_between(found.toward_a, left) < 11);
        // The strip is a; on its left side a lies to the right.
        double x = 0.5 * cracks.items[k].hx - 20, y = 0.5 * cracks.items[k].hy - 20;
        bool left_side = x * left.x + y * left.y > 0.25;
        assert_true((vec2_dot(found.toward_a, left) < 0) == left_side);
        sides[left_side]++;
    }
    assert_true(sides[0] > 10 && sides[1] > 10);
    sel_cracks_clear(&cracks);
    edge_scene_free(&scene);
    edge_scene_free(&other);
}

static bool has_direction(const char *rows, struct sel_crack crack) {
    struct edge_scene scene = edge_scene_text(rows);
    struct sel_habitat_view view = edge_scene_view(&scene);
    struct sel_tangent found;
    bool has = sel_edge_tangent(&view, &crack, &FIVE_CELLS, &found);
    edge_scene_free(&scene);
    return has;
}

static void a_strips_tip_has_no_sides(void **state) {
    (void)state;
    const char *strip = "aaaaaaaaaaaa/bbbbbbbbaaaa/aaaaaaaaaaaa";
    assert_false(has_direction(strip, (struct sel_crack){16, 3, 1, 2, false}));
    assert_true(has_direction(strip, (struct sel_crack){9, 2, 1, 2, true}));
    assert_true(has_direction(strip, (struct sel_crack){9, 4, 1, 2, false}));
}

static void a_round_patch_has_no_direction(void **state) {
    (void)state;
    assert_false(has_direction("aaa/aba/aaa", (struct sel_crack){3, 2, 1, 2, true}));
    assert_false(has_direction("aaaa/abba/abba/aaaa", (struct sel_crack){3, 2, 1, 2, true}));
}

static void fewer_than_three_cracks_have_no_direction(void **state) {
    (void)state;
    assert_false(has_direction("aac/bbc", (struct sel_crack){1, 2, 1, 2, true}));
    assert_true(has_direction("aaac/bbbc", (struct sel_crack){3, 2, 1, 2, true}));
}

static void only_cracks_of_the_pair_are_followed(void **state) {
    (void)state;
    // a over b, then a over c: the direction is that of a over b alone, which is flat.
    struct edge_scene scene = edge_scene_text("aaaaaa/bbbaaa/bbbcaa/bbbcca/bbbccc");
    struct sel_habitat_view view = edge_scene_view(&scene);
    struct sel_crack crack = {3, 2, 1, 2, true};
    struct sel_tangent found;
    struct sel_tangent_rule rule = {1, 1, 2.4};
    // Reaches (1, 2), (5, 2) and the vertical crack (6, 3), not the ones of a and c.
    assert_true(sel_edge_tangent(&view, &crack, &rule, &found));
    *edge_scene_cell(&scene, 2, 3) = 4;
    struct sel_tangent again;
    assert_true(sel_edge_tangent(&view, &crack, &rule, &again));
    assert_memory_equal(&found, &again, sizeof found);
    edge_scene_free(&scene);
}

static void a_radius_beyond_the_limit_is_refused(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_new(20, 20);
    edge_scene_half_plane(&scene, 0, 0, 1, 1);
    struct sel_habitat_view view = edge_scene_view(&scene);
    struct sel_crack crack = {.hx = 21, .hy = 20, .a = 1, .b = 2, .a_first = true};
    struct sel_tangent found;
    struct sel_tangent_rule rule = {1, 1, SEL_TANGENT_CELLS_MOST};
    assert_true(sel_edge_tangent(&view, &crack, &rule, &found));
    rule.radius_m = SEL_TANGENT_CELLS_MOST + 1;
    assert_false(sel_edge_tangent(&view, &crack, &rule, &found));
    rule.radius_m = 0;
    assert_false(sel_edge_tangent(&view, &crack, &rule, &found));
    edge_scene_free(&scene);
}

// Whether two cracks share a corner: corners are the even-even half-cells.
static bool share_corner(const struct sel_crack *p, const struct sel_crack *q) {
    bool pv = sel_crack_is_vertical(p), qv = sel_crack_is_vertical(q);
    for (int i = -1; i <= 1; i += 2) {
        for (int j = -1; j <= 1; j += 2) {
            if (p->hx + (pv ? 0 : i) == q->hx + (qv ? 0 : j) &&
                p->hy + (pv ? i : 0) == q->hy + (qv ? j : 0))
                return true;
        }
    }
    return false;
}

// Written independently: connected cracks of the pair by repeated passes over all of them, then the
// axis by its angle. Returns how many cracks were in reach.
static int brute_axis(const struct sel_cracks *cracks, size_t at, struct sel_tangent_rule rule,
    bool *in, struct vec2 *axis) {
    const struct sel_crack *self = &cracks->items[at];
    memset(in, 0, cracks->count * sizeof *in);
    in[at] = true;
    double sums[6] = {0};
    int count = 0;
    for (bool grew = true; grew;) {
        grew = false;
        for (size_t i = 0; i < cracks->count; i++) {
            const struct sel_crack *crack = &cracks->items[i];
            double x = (crack->hx - self->hx) * 0.5 * rule.cell_x_m;
            double y = (crack->hy - self->hy) * 0.5 * rule.cell_y_m;
            if (in[i] || crack->a != self->a || crack->b != self->b || hypot(x, y) >= rule.radius_m)
                continue;
            for (size_t j = 0; j < cracks->count && !in[i]; j++)
                in[i] = in[j] && share_corner(crack, &cracks->items[j]);
            grew = grew || in[i];
        }
    }
    for (size_t i = 0; i < cracks->count; i++) {
        if (!in[i])
            continue;
        double x = (cracks->items[i].hx - self->hx) * 0.5 * rule.cell_x_m;
        double y = (cracks->items[i].hy - self->hy) * 0.5 * rule.cell_y_m;
        double w = 1 - pow(hypot(x, y) / rule.radius_m, 4);
        const double terms[6] = {w, w * x, w * y, w * x * x, w * x * y, w * y * y};
        for (int k = 0; k < 6; k++)
            sums[k] += terms[k];
        count++;
    }
    double xx = sums[3] - sums[1] * sums[1] / sums[0], yy = sums[5] - sums[2] * sums[2] / sums[0];
    double angle = 0.5 * atan2(2 * (sums[4] - sums[1] * sums[2] / sums[0]), xx - yy);
    *axis = (struct vec2){cos(angle), sin(angle)};
    return count;
}

static void random_scenes_agree_with_brute_force(void **state) {
    (void)state;
    const struct sel_tangent_rule rules[] = {{10, 10, 50}, {10, 6, 45}, {1, 1, 40}, {3, 4, 9}};
    size_t compared = 0;
    for (uint32_t round = 0; round < 12; round++) {
        struct sel_tangent_rule rule = rules[round % 4];
        struct edge_scene scene = edge_scene_new(24, 27);
        edge_scene_patches(&scene, 100 + round, 2 + (int)round % 3, 3, 0.1, 0.03);
        struct sel_habitat_view view = edge_scene_view(&scene);
        struct sel_cracks cracks = find_all(&scene);
        bool *in = malloc(cracks.count * sizeof *in);
        for (size_t k = 0; k < cracks.count; k += 3) {
            struct sel_tangent found;
            struct vec2 axis;
            int count = brute_axis(&cracks, k, rule, in, &axis);
            if (!sel_edge_tangent(&view, &cracks.items[k], &rule, &found))
                continue;
            assert_true(count >= 3);
            assert_unit_and_square(&found);
            assert_true(angle_between(found.along, axis) < 1e-5);
            compared++;
        }
        free(in);
        sel_cracks_clear(&cracks);
        edge_scene_free(&scene);
    }
    assert_true(compared > 700);
}

static void a_shift_by_whole_cells_changes_nothing(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_new(40, 40);
    edge_scene_patches(&scene, 8, 3, 5, 0.05, 0.02);
    struct edge_scene shifted = edge_scene_cut(&scene, scene.window);
    shifted.window.row = 123457;
    shifted.window.col = 98765;
    struct sel_habitat_view view = edge_scene_view(&scene), far = edge_scene_view(&shifted);
    struct sel_cracks cracks = find_all(&scene);
    for (size_t k = 0; k < cracks.count; k++) {
        struct sel_crack moved = cracks.items[k];
        moved.hx += 2 * 98765;
        moved.hy += 2 * 123457;
        struct sel_tangent here = {0}, there = {0};
        bool has = sel_edge_tangent(&view, &cracks.items[k], &FIVE_CELLS, &here);
        assert_int_equal(has, sel_edge_tangent(&far, &moved, &FIVE_CELLS, &there));
        assert_memory_equal(&here, &there, sizeof here);
    }
    sel_cracks_clear(&cracks);
    edge_scene_free(&scene);
    edge_scene_free(&shifted);
}

static void the_halo_is_all_a_crack_sees(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_new(60, 60);
    edge_scene_patches(&scene, 21, 3, 5, 0.05, 0.02);
    struct sel_habitat_view view = edge_scene_view(&scene);
    const struct sel_tangent_rule rules[] = {{10, 10, 50}, {10, 10, 44}, {10, 7, 46}};
    for (int i = 0; i < 3; i++) {
        // A core as tiles have it, and its cracks.
        struct sel_window core = {24, 25, 9, 8};
        struct sel_cracks cracks = {0};
        assert_int_equal(sel_find_cracks(&view, core, &cracks), SEL_OK);
        struct edge_scene cut =
            edge_scene_cut(&scene, sel_window_grow(core, sel_tangent_halo(&rules[i])));
        struct sel_habitat_view near = edge_scene_view(&cut);
        for (size_t k = 0; k < cracks.count; k++) {
            struct sel_tangent whole = {0}, part = {0};
            bool has = sel_edge_tangent(&view, &cracks.items[k], &rules[i], &whole);
            assert_int_equal(has, sel_edge_tangent(&near, &cracks.items[k], &rules[i], &part));
            assert_memory_equal(&whole, &part, sizeof whole);
        }
        sel_cracks_clear(&cracks);
        edge_scene_free(&cut);
    }
    edge_scene_free(&scene);
}

// The sum of the cracks' order changes, so 1e-9 and not the last bit. Directions are undirected.
static void assert_same_tangent(
    bool has, const struct sel_tangent *expected, bool had, const struct sel_tangent *found) {
    assert_int_equal(has, had);
    if (!has)
        return;
    assert_true(angle_between(expected->along, found->along) < 1e-7);
    assert_close(expected->toward_a, found->toward_a, 1e-9);
    assert_true(fabs(expected->straightness - found->straightness) < 1e-9);
}

static void a_mirrored_scene_has_mirrored_tangents(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_new(50, 44);
    edge_scene_patches(&scene, 4, 3, 5, 0.05, 0.02);
    struct edge_scene mirrored = edge_scene_mirrored(&scene);
    struct sel_habitat_view view = edge_scene_view(&scene), image = edge_scene_view(&mirrored);
    struct sel_tangent_rule rule = {10, 8, 47};
    struct sel_cracks cracks = find_all(&scene);
    for (size_t k = 0; k < cracks.count; k++) {
        struct sel_crack there = cracks.items[k];
        there.hx = 2 * 44 - there.hx;
        there.a_first ^= sel_crack_is_vertical(&there);
        struct sel_tangent p = {0}, q = {0};
        bool has = sel_edge_tangent(&view, &cracks.items[k], &rule, &p);
        bool had = sel_edge_tangent(&image, &there, &rule, &q);
        p.along.x = -p.along.x;
        p.toward_a.x = -p.toward_a.x;
        assert_same_tangent(has, &p, had, &q);
    }
    sel_cracks_clear(&cracks);
    edge_scene_free(&scene);
    edge_scene_free(&mirrored);
}

static void a_turned_scene_has_turned_tangents(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_new(50, 44);
    edge_scene_patches(&scene, 14, 3, 5, 0.05, 0.02);
    struct edge_scene turned = edge_scene_turned(&scene);
    struct sel_habitat_view view = edge_scene_view(&scene), image = edge_scene_view(&turned);
    struct sel_tangent_rule rule = {10, 8, 47}, turned_rule = {8, 10, 47};
    struct sel_cracks cracks = find_all(&scene);
    for (size_t k = 0; k < cracks.count; k++) {
        // East becomes south, south becomes west.
        struct sel_crack here = cracks.items[k], there = here;
        there.hx = 2 * 50 - here.hy;
        there.hy = here.hx;
        there.a_first ^= !sel_crack_is_vertical(&here);
        struct sel_tangent p = {0}, q = {0};
        bool has = sel_edge_tangent(&view, &here, &rule, &p);
        bool had = sel_edge_tangent(&image, &there, &turned_rule, &q);
        p.along = (struct vec2){-p.along.y, p.along.x};
        p.toward_a = (struct vec2){-p.toward_a.y, p.toward_a.x};
        assert_same_tangent(has, &p, had, &q);
    }
    sel_cracks_clear(&cracks);
    edge_scene_free(&scene);
    edge_scene_free(&turned);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(straight_edges_at_every_angle_and_offset_keep_the_bar),
        cmocka_unit_test(straight_edges_keep_the_bar_on_cells_that_are_not_square),
        cmocka_unit_test(a_longer_radius_gives_a_truer_direction),
        cmocka_unit_test(circles_of_radius_twenty_keep_the_bar),
        cmocka_unit_test(an_edge_along_the_cells_has_exactly_their_direction),
        cmocka_unit_test(the_far_side_of_a_strip_is_not_followed),
        cmocka_unit_test(a_strips_tip_has_no_sides),
        cmocka_unit_test(a_round_patch_has_no_direction),
        cmocka_unit_test(fewer_than_three_cracks_have_no_direction),
        cmocka_unit_test(only_cracks_of_the_pair_are_followed),
        cmocka_unit_test(a_radius_beyond_the_limit_is_refused),
        cmocka_unit_test(random_scenes_agree_with_brute_force),
        cmocka_unit_test(a_shift_by_whole_cells_changes_nothing),
        cmocka_unit_test(the_halo_is_all_a_crack_sees),
        cmocka_unit_test(a_mirrored_scene_has_mirrored_tangents),
        cmocka_unit_test(a_turned_scene_has_turned_tangents),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
