// SPDX-License-Identifier: MIT
//
// Orders against all permutations, against a circle whose best path is known, and for sameness.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "fieldkit/route.h"

enum { PLACES_MOST = 400 };
static struct sel_stop stops[PLACES_MOST];
static size_t order[PLACES_MOST];

// Numbers that look random and are the same everywhere (a linear congruence, Knuth's MMIX).
static uint64_t state_of_chance;

static double chance(void) {
    state_of_chance = state_of_chance * 6364136223846793005u + 1442695040888963407u;
    return (double)(state_of_chance >> 40) / (double)(1 << 24);
}

static void scatter(uint64_t seed, size_t count) {
    state_of_chance = seed;
    for (size_t i = 0; i < count; i++)
        stops[i] = (struct sel_stop){1000 * chance(), 1000 * chance()};
}

static double solve(size_t count) {
    for (size_t i = 0; i < count; i++)
        order[i] = i;
    assert_true(sel_route_order(stops, order, count));
    bool seen[PLACES_MOST] = {false};
    for (size_t i = 0; i < count; i++) {
        assert_true(order[i] < count && !seen[order[i]]);
        seen[order[i]] = true;
    }
    return sel_route_length(stops, order, count);
}

// Tries everything: the path so far ends with its place `depth - 1`.
static double shortest(size_t *path, size_t depth, size_t count, double so_far) {
    if (depth == count)
        return so_far;
    double best = (double)INFINITY;
    for (size_t i = depth; i < count; i++) {
        size_t kept = path[depth];
        path[depth] = path[i];
        path[i] = kept;
        double link = depth == 0 ? 0
                                 : hypot(stops[path[depth]].x - stops[path[depth - 1]].x,
                                       stops[path[depth]].y - stops[path[depth - 1]].y);
        best = fmin(best, shortest(path, depth + 1, count, so_far + link));
        path[i] = path[depth];
        path[depth] = kept;
    }
    return best;
}

static void few_places_are_visited_by_the_shortest_path(void **state) {
    (void)state;
    for (uint64_t seed = 1; seed <= 40; seed++) {
        for (size_t count = 1; count <= 7; count++) {
            size_t path[PLACES_MOST];
            scatter(seed, count);
            for (size_t i = 0; i < count; i++)
                path[i] = i;
            assert_true(fabs(solve(count) - shortest(path, 0, count, 0)) < 1e-6);
        }
    }
}

// Places on a circle, shuffled: the shortest open path goes round and leaves one gap.
static void many_places_on_a_circle_are_visited_around_it(void **state) {
    (void)state;
    const size_t count = 60;
    for (size_t i = 0; i < count; i++) {
        double angle = 2 * 3.14159265358979323846 * (double)(i * 23 % count) / (double)count;
        stops[i] = (struct sel_stop){500 * cos(angle), 500 * sin(angle)};
    }
    double chord = 2 * 500 * sin(3.14159265358979323846 / (double)count);
    assert_true(fabs(solve(count) - (double)(count - 1) * chord) < 1e-6);
}

// Beardwood, Halton & Hammersley (1959): the best tour of n places on area A is near
// 0.7124 sqrt(nA) (the constant from memory). A path within 15 % of that is a good one.
static void many_scattered_places_are_visited_by_a_short_path(void **state) {
    (void)state;
    for (uint64_t seed = 1; seed <= 3; seed++) {
        scatter(seed, PLACES_MOST);
        double expected = 0.7124 * sqrt(PLACES_MOST * 1000.0 * 1000.0);
        assert_true(solve(PLACES_MOST) < 1.15 * expected);
    }
}

static void places_at_one_point_are_no_trouble(void **state) {
    (void)state;
    for (size_t count = 1; count <= 30; count++) {
        memset(stops, 0, sizeof stops);
        assert_true(solve(count) == 0.0);
        assert_true(count == 1 || order[0] < order[count - 1]);
    }
}

static void no_place_is_an_empty_path(void **state) {
    (void)state;
    assert_true(solve(0) == 0.0);
}

static void a_mirrored_world_gives_the_same_length(void **state) {
    (void)state;
    for (uint64_t seed = 1; seed <= 10; seed++) {
        scatter(seed, 9);
        double length = solve(9);
        for (size_t i = 0; i < 9; i++)
            stops[i] = (struct sel_stop){-stops[i].y, stops[i].x};
        assert_true(fabs(solve(9) - length) < 1e-6);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(few_places_are_visited_by_the_shortest_path),
        cmocka_unit_test(many_places_on_a_circle_are_visited_around_it),
        cmocka_unit_test(many_scattered_places_are_visited_by_a_short_path),
        cmocka_unit_test(places_at_one_point_are_no_trouble),
        cmocka_unit_test(no_place_is_an_empty_path),
        cmocka_unit_test(a_mirrored_world_gives_the_same_length),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
