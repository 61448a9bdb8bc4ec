// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stdint.h>
#include <stddef.h>
#include <math.h>
#include <string.h>

#include <cmocka.h>

#include "edge/smooth.h"
#include "edge_scene.h"

static const double PI = 3.14159265358979323846;

enum { MOST = 400 };

static void a_length_is_the_sum_of_the_scaled_sides(void **state) {
    (void)state;
    // 3-4-5 and 5-12-13 triangles in scaled units.
    const struct vec2 points[] = {{0, 0}, {3, 2}, {8, 8}};
    assert_true(fabs(sel_line_length(points, 3, (struct vec2){1, 2}) - (5 + 13)) < 1e-12);
    assert_true(sel_line_length(points, 1, (struct vec2){1, 2}) == 0);
}

static void a_straight_line_stays_as_it_is(void **state) {
    (void)state;
    struct vec2 points[41], spare[41];
    for (int i = 0; i <= 40; i++)
        points[i] = (struct vec2){2 * i, -i};
    sel_smooth_line(points, spare, 40, false);
    for (int i = 0; i <= 40; i++)
        assert_true(fabs(points[i].x - 2 * i) < 1e-9 && fabs(points[i].y + i) < 1e-9);
    assert_int_equal(sel_thin_line(points, 41, (struct vec2){1, 1}, 0.1), 2);
    assert_true(fabs(points[1].x - 80) < 1e-9 && fabs(points[1].y + 40) < 1e-9);
}

static void the_ends_of_a_line_are_held(void **state) {
    (void)state;
    struct vec2 points[31], spare[31];
    for (int i = 0; i <= 30; i++)
        points[i] = (struct vec2){i % 7, i / 3};
    sel_smooth_line(points, spare, 30, false);
    assert_true(points[0].x == 0 && points[0].y == 0);
    assert_true(points[30].x == 2 && points[30].y == 10);
}

static void a_ring_stays_closed(void **state) {
    (void)state;
    struct vec2 points[33], spare[33];
    for (int i = 0; i <= 32; i++) {
        double turn = 2 * PI * (i % 32) / 32;
        points[i] = (struct vec2){floor(20 * cos(turn)), floor(12 * sin(turn))};
    }
    sel_smooth_line(points, spare, 32, true);
    assert_memory_equal(&points[0], &points[32], sizeof *points);
}

// A ring's smoothing must not depend on where the ring begins.
static void a_ring_may_begin_anywhere(void **state) {
    (void)state;
    struct vec2 one[25], other[25], spare[25];
    for (int i = 0; i <= 24; i++) {
        one[i] = (struct vec2){(i % 24 * 7) % 11, (i % 24 * 5) % 13};
        other[i] = (struct vec2){((i + 9) % 24 * 7) % 11, ((i + 9) % 24 * 5) % 13};
    }
    sel_smooth_line(one, spare, 24, true);
    sel_smooth_line(other, spare, 24, true);
    for (int i = 0; i < 24; i++) {
        assert_true(fabs(other[i].x - one[(i + 9) % 24].x) < 1e-12);
        assert_true(fabs(other[i].y - one[(i + 9) % 24].y) < 1e-12);
    }
}

static double distance_to_segment(struct vec2 p, struct vec2 a, struct vec2 b) {
    struct vec2 side = vec2_sub(b, a);
    double square = vec2_dot(side, side);
    double share = square > 0 ? vec2_dot(vec2_sub(p, a), side) / square : 0;
    share = fmin(1, fmax(0, share));
    return vec2_length(vec2_sub(p, vec2_add(a, vec2_scale(side, share))));
}

static double distance_to_line(struct vec2 p, const struct vec2 *line, size_t count) {
    double best = HUGE_VAL;
    for (size_t i = 1; i < count; i++)
        best = fmin(best, distance_to_segment(p, line[i - 1], line[i]));
    return best;
}

// Brute force: every dropped point lies within the tolerance of what is left.
static void thinning_drops_only_points_within_the_tolerance(void **state) {
    (void)state;
    uint32_t random = 17;
    size_t dropped = 0;
    for (int round = 0; round < 200; round++) {
        struct vec2 points[MOST], line[MOST];
        double bend = 0, heading = 0, tolerance = 0.05 + 0.5 * edge_uniform(&random);
        points[0] = (struct vec2){0, 0};
        for (int i = 1; i < MOST; i++) {
            // Now and then the walk turns back on itself.
            bend = 0.9 * bend + 0.1 * (edge_uniform(&random) - 0.5);
            heading += bend + (edge_uniform(&random) < 0.01 ? PI : 0);
            points[i] = vec2_add(points[i - 1], (struct vec2){cos(heading), sin(heading)});
        }
        memcpy(line, points, sizeof line);
        size_t left = sel_thin_line(line, MOST, (struct vec2){1, 1}, tolerance);
        assert_true(left >= 2 && left <= MOST);
        assert_memory_equal(&line[0], &points[0], sizeof *points);
        assert_memory_equal(&line[left - 1], &points[MOST - 1], sizeof *points);
        for (int i = 0; i < MOST; i++)
            assert_true(distance_to_line(points[i], line, left) <= tolerance * (1 + 1e-9));
        dropped += MOST - left;
    }
    assert_true(dropped > 20000);
}

static void short_lines_are_left_alone(void **state) {
    (void)state;
    struct vec2 points[2] = {{0, 0}, {2, 0}}, spare[2];
    sel_smooth_line(points, spare, 1, false);
    assert_true(points[1].x == 2 && points[1].y == 0);
    assert_int_equal(sel_thin_line(points, 2, (struct vec2){1, 1}, 10), 2);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_length_is_the_sum_of_the_scaled_sides),
        cmocka_unit_test(a_straight_line_stays_as_it_is),
        cmocka_unit_test(the_ends_of_a_line_are_held),
        cmocka_unit_test(a_ring_stays_closed),
        cmocka_unit_test(a_ring_may_begin_anywhere),
        cmocka_unit_test(thinning_drops_only_points_within_the_tolerance),
        cmocka_unit_test(short_lines_are_left_alone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
