// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "choose/nearby.h"
#include "choose_random.h"

enum { MOST = 300 };

static void check_query(const struct sel_nearby *nearby, const struct sel_choice_item *items,
    size_t count, double x, double y, double radius) {
    bool met[MOST] = {false};
    size_t position;
    struct sel_nearby_query query = sel_nearby_begin(nearby, x, y, radius);
    while (sel_nearby_next(&query, &position)) {
        assert_true(position < count);
        assert_false(met[position]); // once only
        met[position] = true;
    }
    for (size_t i = 0; i < count; i++) {
        double dx = items[i].x_m - x, dy = items[i].y_m - y;
        assert_int_equal(met[i], dx * dx + dy * dy <= radius * radius);
    }
}

// Candidates spread out, on one line, and all in one place; radii below and above the bins' side.
static void every_candidate_within_the_radius_is_met_once(void **state) {
    (void)state;
    const double radii[] = {0, 1, 13, 25, 400};
    uint64_t random = 4;
    for (int trial = 0; trial < 60; trial++) {
        struct sel_choice_item items[MOST] = {0};
        size_t count = (size_t)random_below(&random, MOST) + 1;
        for (size_t i = 0; i < count; i++) {
            items[i].x_m = trial % 3 == 2 ? 40 : (double)random_below(&random, 200) - 60;
            items[i].y_m = trial % 3 == 0 ? (double)random_below(&random, 200) - 60 : 17;
        }
        struct sel_nearby nearby;
        assert_true(sel_nearby_init(&nearby, items, count, radii[trial % 5]));
        for (int query = 0; query < 50; query++) {
            double x = (double)random_below(&random, 260) - 90;
            double y = (double)random_below(&random, 260) - 90;
            check_query(&nearby, items, count, x, y, radii[query % 5]);
        }
        sel_nearby_clear(&nearby);
    }
}

static void nothing_is_near_when_there_is_nothing(void **state) {
    (void)state;
    struct sel_nearby nearby;
    size_t position;
    assert_true(sel_nearby_init(&nearby, NULL, 0, 10));
    struct sel_nearby_query query = sel_nearby_begin(&nearby, 0, 0, 1e9);
    assert_false(sel_nearby_next(&query, &position));
    sel_nearby_clear(&nearby);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_candidate_within_the_radius_is_met_once),
        cmocka_unit_test(nothing_is_near_when_there_is_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
