// SPDX-License-Identifier: MIT
//
// The distance index against closed forms, a brute force with another formula, and ST_Distance as
// ogrinfo's SQLite dialect computes it.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "access/distance.h"
#include "choose_check.h"
#include "choose_random.h"
#include "scene.h"

static struct sel_segment_index *index_of(struct sel_segment *items, size_t count) {
    struct sel_segments segments = {.items = items, .count = count, .capacity = count};
    struct sel_segment_index *index = NULL;
    assert_int_equal(sel_segment_index_new(&segments, &index), SEL_OK);
    return index;
}

static void no_segment_is_infinitely_far(void **state) {
    (void)state;
    struct sel_segment_index *index = index_of(NULL, 0);
    struct vec2 nearest = {1, 1};
    assert_true(isinf(sel_segment_distance(index, 3, 4, &nearest)));
    assert_true(isnan(nearest.x) && isnan(nearest.y));
    sel_segment_index_free(index);
    sel_segment_index_free(NULL);
}

struct closed_form {
    double x, y, distance, nearest_x, nearest_y;
};

// A track from (0, 0) to (100, 0) and a parking place at (40, 300): Pythagoras by hand.
static void closed_forms_hold(void **state) {
    (void)state;
    struct sel_segment items[] = {{0, 0, 100, 0}, {40, 300, 40, 300}};
    struct sel_segment_index *index = index_of(items, 2);
    const struct closed_form cases[] = {{50, 25, 25, 50, 0}, // square to the track
        {103, 4, 5, 100, 0},                                 // 3-4-5 beyond its end
        {-5, -12, 13, 0, 0},                                 // 5-12-13 beyond the other
        {70, 0, 0, 70, 0},                                   // on it
        {48, 315, 17, 40, 300},                              // 8-15-17 from the parking place
        {60, 150, 150, 60, 0},         // as the track: nearer than the parking place
        {1100000, 0, 1099900, 100, 0}, // far to the east
        {40, 1000300, 1000000, 40, 300}, {-300000, -400000, 500000, 0, 0}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct vec2 nearest;
        double distance = sel_segment_distance(index, cases[i].x, cases[i].y, &nearest);
        assert_near(distance, cases[i].distance, 1e-9);
        assert_near(nearest.x, cases[i].nearest_x, 1e-9);
        assert_near(nearest.y, cases[i].nearest_y, 1e-9);
    }
    sel_segment_index_free(index);
}

static void of_two_equally_near_the_northern_then_western_counts(void **state) {
    (void)state;
    struct sel_segment orders[][2] = {{{0, 0, 0, 0}, {10, 0, 10, 0}},
        {{10, 0, 10, 0}, {0, 0, 0, 0}}, {{5, 0, 5, 0}, {5, 10, 5, 10}},
        {{5, 10, 5, 10}, {5, 0, 5, 0}}};
    for (int i = 0; i < 4; i++) {
        struct sel_segment_index *index = index_of(orders[i], 2);
        struct vec2 nearest;
        assert_near(sel_segment_distance(index, 5, i < 2 ? 0 : 5, &nearest), 5, 0);
        assert_near(nearest.x, i < 2 ? 0 : 5, 0);
        assert_near(nearest.y, 0, 0);
        sel_segment_index_free(index);
    }
}

static void a_piece_without_finite_coordinates_is_left_out(void **state) {
    (void)state;
    struct sel_segment items[] = {
        {(double)NAN, 0, 1, 1}, {0, 0, HUGE_VAL, 0}, {30, 40, 30, 40}, {0, -HUGE_VAL, 0, 0}};
    struct sel_segment_index *index = index_of(items, 4);
    assert_near(sel_segment_distance(index, 0, 0, NULL), 50, 1e-12);
    assert_true(isinf(sel_segment_distance(index, (double)NAN, 0, NULL)));
    sel_segment_index_free(index);
}

static double hypotenuse(double x, double y) {
    return sqrt(x * x + y * y);
}

// By the area of a triangle where the foot of the height lies between the ends, else by the ends.
static double brute_distance(const struct sel_segment *s, double x, double y) {
    double to_0 = hypotenuse(x - s->x0, y - s->y0), to_1 = hypotenuse(x - s->x1, y - s->y1);
    double base = hypotenuse(s->x1 - s->x0, s->y1 - s->y0);
    double ends = to_0 < to_1 ? to_0 : to_1;
    double before = (x - s->x0) * (s->x1 - s->x0) + (y - s->y0) * (s->y1 - s->y0);
    double behind = (x - s->x1) * (s->x0 - s->x1) + (y - s->y1) * (s->y0 - s->y1);
    if (base == 0 || before <= 0 || behind <= 0)
        return ends;
    return fabs((s->x1 - s->x0) * (y - s->y0) - (s->y1 - s->y0) * (x - s->x0)) / base;
}

static double brute_nearest(const struct sel_segment *items, size_t count, double x, double y) {
    double least = HUGE_VAL;
    for (size_t i = 0; i < count; i++)
        least = fmin(least, brute_distance(&items[i], x, y));
    return least;
}

// Kinds of network: short pieces, long pieces, points, level and upright pieces, one crowded
// corner, everything on one line, everything in one place.
enum { KINDS = 7 };

static struct sel_segment random_segment(uint64_t *random, int kind) {
    double x = random_between(random, 0, 5000), y = random_between(random, 0, 3000);
    double dx = random_between(random, -80, 80), dy = random_between(random, -80, 80);
    switch (kind) {
    case 1:
        return (struct sel_segment){x, y, x + 60 * dx, y + 40 * dy};
    case 2:
        return (struct sel_segment){x, y, x, y};
    case 3:
        return dx < 0 ? (struct sel_segment){x, y, x, y + dy}
                      : (struct sel_segment){x, y, x + dx, y};
    case 4:
        return random_below(random, 10) == 0
                   ? (struct sel_segment){x, y, x + dx, y + dy}
                   : (struct sel_segment){x / 500, y / 500, dx / 8, dy / 8};
    case 5:
        return (struct sel_segment){x, 70, x + dx, 70};
    case 6:
        return (struct sel_segment){1234.5, 678.25, 1234.5, 678.25};
    default:
        return (struct sel_segment){x, y, x + dx, y + dy};
    }
}

static void check_against_brute_force(const struct sel_segment_index *index,
    const struct sel_segment *items, size_t count, uint64_t *random) {
    for (int query = 0; query < 150; query++) {
        double spread = query < 100 ? 400 : 200000; // the last fifty lie far outside
        double x = random_between(random, -spread, 5000 + spread);
        double y = random_between(random, -spread, 3000 + spread);
        struct vec2 nearest;
        double distance = sel_segment_distance(index, x, y, &nearest);
        assert_near(distance, brute_nearest(items, count, x, y), 1e-7);
        assert_near(hypotenuse(nearest.x - x, nearest.y - y), distance, 1e-9);
        assert_near(brute_nearest(items, count, nearest.x, nearest.y), 0, 1e-7);
    }
}

static void random_networks_agree_with_brute_force(void **state) {
    (void)state;
    uint64_t random = 2;
    for (int trial = 0; trial < 140; trial++) {
        struct sel_segment items[400];
        size_t count =
            trial < 20 ? (size_t)(trial / 7 + 1) : (size_t)random_below(&random, 400) + 1;
        for (size_t i = 0; i < count; i++)
            items[i] = random_segment(&random, trial % KINDS);
        struct sel_segment_index *index = index_of(items, count);
        check_against_brute_force(index, items, count, &random);
        sel_segment_index_free(index);
    }
}

static void a_radius_is_kept_exactly(void **state) {
    (void)state;
    uint64_t random = 5;
    struct sel_segment one = {10, 0, 10, 8};
    struct sel_segment_index *index = index_of(&one, 1);
    assert_true(sel_segment_within(index, 0, 4, 10));
    assert_false(sel_segment_within(index, 0, 4, 9.999999));
    assert_true(sel_segment_within(index, 10, 5, 0));
    assert_true(sel_segment_within(index, 13, 12, 5)); // 3-4-5 from its end
    assert_false(sel_segment_within(index, 1e9, 4, 1000));
    sel_segment_index_free(index);
    for (int trial = 0; trial < 70; trial++) {
        struct sel_segment items[200];
        size_t count = (size_t)random_below(&random, 200) + 1;
        for (size_t i = 0; i < count; i++)
            items[i] = random_segment(&random, trial % KINDS);
        index = index_of(items, count);
        for (int query = 0; query < 100; query++) {
            double x = random_between(&random, -500, 5500), y = random_between(&random, -500, 3500);
            double radius = random_between(&random, 0, 600),
                   away = brute_nearest(items, count, x, y);
            if (fabs(away - radius) > 1e-6)
                assert_int_equal(sel_segment_within(index, x, y, radius), away < radius);
        }
        sel_segment_index_free(index);
    }
}

struct box {
    double west, north, east, south;
    const struct sel_segment *items;
    bool *seen;
    size_t count;
};

static void see(void *user, const struct sel_segment *segment) {
    struct box *box = user;
    for (size_t i = 0; i < box->count; i++)
        if (memcmp(&box->items[i], segment, sizeof *segment) == 0)
            box->seen[i] = true;
}

// Some of many places along it lies in the box.
static bool comes_into(const struct sel_segment *s, const struct box *box) {
    for (int i = 0; i <= 1000; i++) {
        double x = s->x0 + i / 1000.0 * (s->x1 - s->x0), y = s->y0 + i / 1000.0 * (s->y1 - s->y0);
        if (x >= box->west && x <= box->east && y >= box->north && y <= box->south)
            return true;
    }
    return false;
}

static void whatever_comes_into_a_box_is_visited(void **state) {
    (void)state;
    uint64_t random = 6;
    for (int trial = 0; trial < 70; trial++) {
        struct sel_segment items[100];
        bool seen[100];
        size_t count = (size_t)random_below(&random, 100) + 1;
        for (size_t i = 0; i < count; i++)
            items[i] = random_segment(&random, trial % KINDS);
        struct sel_segment_index *index = index_of(items, count);
        for (int query = 0; query < 20; query++) {
            double x = random_between(&random, -500, 5500), y = random_between(&random, -500, 3500);
            struct box box = {x, y, x + random_between(&random, 0, 900),
                y + random_between(&random, 0, 900), items, seen, count};
            memset(seen, 0, sizeof seen);
            sel_segments_near(index, box.west, box.north, box.east, box.south, see, &box);
            for (size_t i = 0; i < count; i++)
                assert_true(seen[i] || !comes_into(&items[i], &box));
        }
        sel_segment_index_free(index);
    }
}

// Whole metres and quarter metres are exact in binary, so nothing may change at all.
static void order_shift_and_mirror_change_nothing(void **state) {
    (void)state;
    enum { COUNT = 300 };
    static struct sel_segment plain[COUNT], reversed[COUNT], shifted[COUNT], mirrored[COUNT];
    uint64_t random = 11;
    for (int i = 0; i < COUNT; i++) {
        double x = (double)random_below(&random, 8000) / 4,
               y = (double)random_below(&random, 8000) / 4;
        double u = x + (double)random_below(&random, 400) / 4, v = y;
        plain[i] = (struct sel_segment){x, y, u, v};
        reversed[COUNT - 1 - i] = plain[i];
        shifted[i] = (struct sel_segment){x + 4096, y + 8192, u + 4096, v + 8192};
        mirrored[i] = (struct sel_segment){y, x, v, u};
    }
    struct sel_segment_index *a = index_of(plain, COUNT), *b = index_of(reversed, COUNT);
    struct sel_segment_index *c = index_of(shifted, COUNT), *d = index_of(mirrored, COUNT);
    for (int i = 0; i < 500; i++) {
        double x = (double)random_below(&random, 8000) / 4,
               y = (double)random_below(&random, 8000) / 4;
        struct vec2 p, q, r;
        double distance = sel_segment_distance(a, x, y, &p);
        assert_near(sel_segment_distance(b, x, y, &q), distance, 0);
        assert_near(sel_segment_distance(c, x + 4096, y + 8192, &r), distance, 0);
        assert_near(sel_segment_distance(d, y, x, NULL), distance, 0);
        assert_true(p.x == q.x && p.y == q.y && r.x == p.x + 4096 && r.y == p.y + 8192);
    }
    sel_segment_index_free(a), sel_segment_index_free(b);
    sel_segment_index_free(c), sel_segment_index_free(d);
}

enum { ORACLE_LINES = 60, ORACLE_POINTS = 40 };

static void write_oracle_file(
    const char *path, const struct sel_segment *lines, const struct vec2 *points) {
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fprintf(file, "{\"type\":\"FeatureCollection\",\"name\":\"net\",\"features\":[");
    for (int i = 0; i < ORACLE_LINES; i++) {
        const struct sel_segment *s = &lines[i];
        bool point = s->x0 == s->x1 && s->y0 == s->y1;
        fprintf(file, "{\"type\":\"Feature\",\"properties\":{\"kind\":\"net\",\"number\":%d},", i);
        if (point)
            fprintf(file, "\"geometry\":{\"type\":\"Point\",\"coordinates\":[%.17g,%.17g]}},",
                s->x0, s->y0);
        else
            fprintf(file,
                "\"geometry\":{\"type\":\"LineString\",\"coordinates\":[[%.17g,%.17g],[%.17g,%.17g]"
                "]}},",
                s->x0, s->y0, s->x1, s->y1);
    }
    for (int i = 0; i < ORACLE_POINTS; i++)
        fprintf(file,
            "%s{\"type\":\"Feature\",\"properties\":{\"kind\":\"query\",\"number\":%d},"
            "\"geometry\":{\"type\":\"Point\",\"coordinates\":[%.17g,%.17g]}}",
            i ? "," : "", i, points[i].x, points[i].y);
    fprintf(file, "]}\n");
    assert_int_equal(fclose(file), 0);
}

static FILE *ask_oracle(const char *path) {
    char command[8192];
    snprintf(command, sizeof command,
        "ogrinfo -ro -q '%s' -dialect sqlite -sql \"SELECT q.number AS number, "
        "MIN(ST_Distance(q.geometry, n.geometry)) AS metres FROM net q, net n "
        "WHERE q.kind = 'query' AND n.kind = 'net' GROUP BY q.number ORDER BY q.number\"",
        path);
    FILE *answer = popen(command, "r");
    assert_non_null(answer);
    return answer;
}

static void agrees_with_st_distance(void **state) {
    (void)state;
    struct sel_segment lines[ORACLE_LINES];
    struct vec2 points[ORACLE_POINTS];
    uint64_t random = 5;
    for (int i = 0; i < ORACLE_LINES; i++)
        lines[i] = random_segment(&random, i % 4);
    for (int i = 0; i < ORACLE_POINTS; i++)
        points[i] = (struct vec2){
            random_between(&random, -2000, 7000), random_between(&random, -2000, 5000)};
    char *folder = scene_folder();
    char path[4096];
    snprintf(path, sizeof path, "%s/net.geojson", folder);
    write_oracle_file(path, lines, points);
    struct sel_segment_index *index = index_of(lines, ORACLE_LINES);
    FILE *answer = ask_oracle(path);
    char line[1024];
    int met = 0;
    while (fgets(line, sizeof line, answer)) {
        double metres;
        if (sscanf(line, " metres (Real) = %lf", &metres) != 1)
            continue;
        assert_true(met < ORACLE_POINTS);
        double ours = sel_segment_distance(index, points[met].x, points[met].y, NULL);
        assert_near(ours, metres, 1e-6); // ogrinfo prints 15 digits
        met++;
    }
    assert_int_equal(pclose(answer), 0);
    assert_int_equal(met, ORACLE_POINTS);
    sel_segment_index_free(index);
    scene_remove(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_segment_is_infinitely_far),
        cmocka_unit_test(closed_forms_hold),
        cmocka_unit_test(of_two_equally_near_the_northern_then_western_counts),
        cmocka_unit_test(a_piece_without_finite_coordinates_is_left_out),
        cmocka_unit_test(random_networks_agree_with_brute_force),
        cmocka_unit_test(a_radius_is_kept_exactly),
        cmocka_unit_test(whatever_comes_into_a_box_is_visited),
        cmocka_unit_test(order_shift_and_mirror_change_nothing),
        cmocka_unit_test(agrees_with_st_distance),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
