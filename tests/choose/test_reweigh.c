// SPDX-License-Identifier: MIT
//
// Orders under weights against a plain sort of the weighted means.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdlib.h>

#include "choose/reweigh.h"
#include "choose_check.h"
#include "choose_random.h"

enum { MOST = 3000 };
static double room[3][MOST], means[MOST];

static int by_mean(const void *left, const void *right) {
    size_t a = *(const size_t *)left, b = *(const size_t *)right;
    long long x = llround(means[a] * 1e9), y = llround(means[b] * 1e9);
    if (x != y)
        return x > y ? -1 : 1;
    return (a > b) - (a < b);
}

// Compares every rank with the sort; `sort` orders the candidate numbers by `means`.
static void check(struct sel_reweigh *reweigh, size_t count) {
    static size_t sorted[MOST];
    for (size_t i = 0; i < count; i++)
        sorted[i] = i;
    qsort(sorted, count, sizeof *sorted, by_mean);
    for (size_t rank = 0; rank < count; rank++)
        assert_int_equal(sel_reweigh_rank(reweigh, sorted[rank]), rank);
    for (size_t rank = 0; rank < count; rank++)
        assert_int_equal(sel_reweigh_at(reweigh, rank), sorted[rank]);
    for (size_t rank = 0; rank < count; rank += 7) // and again, in any order
        assert_int_equal(sel_reweigh_at(reweigh, count - 1 - rank), sorted[count - 1 - rank]);
}

// Values of `steps` levels (0: any), so that ties abound or not at all; weights in quarters, so
// that the means are exact.
static void arithmetic_orders_are_those_of_the_means(void **state) {
    (void)state;
    uint64_t random = 3;
    static const int levels[] = {0, 2, 1, 9, 1000};
    for (int trial = 0; trial < 60; trial++) {
        size_t count = (size_t)random_below(&random, MOST) + 1;
        int steps = levels[trial % 5];
        double weights[3] = {
            0.25 * (double)random_below(&random, 3), 0.25 * (double)random_below(&random, 2), 0};
        weights[2] = 1 - weights[0] - weights[1];
        for (size_t i = 0; i < count; i++) {
            means[i] = 0;
            for (int c = 0; c < 3; c++) {
                double share = random_share(&random);
                room[c][i] = steps ? floor(share * steps) / steps : floor(share * 1e8) / 1e8;
                means[i] += weights[c] * room[c][i];
            }
        }
        struct sel_values values = {{room[0], room[1], room[2]}, 3, count, false};
        struct sel_reweigh *reweigh = sel_reweigh_new(&values);
        assert_non_null(reweigh);
        sel_reweigh(reweigh, weights);
        check(reweigh, count);
        for (size_t i = 0; i < count; i += 11)
            assert_near(sel_reweigh_score(reweigh, i), means[i], 1e-9);
        sel_reweigh_free(reweigh);
    }
}

static void geometric_orders_are_those_of_the_means(void **state) {
    (void)state;
    uint64_t random = 5;
    static const double weights[] = {0.5, 0.25, 0.25};
    size_t count = MOST;
    for (size_t i = 0; i < count; i++) {
        means[i] = 1;
        for (int c = 0; c < 3; c++) {
            double value =
                i % 10 == 0 && c == 1 ? 0 : 0.01 * (double)(1 + random_below(&random, 99));
            room[c][i] = value > 0 ? log(value) : SEL_LOG_OF_ZERO;
            means[i] *= pow(value, weights[c]);
        }
    }
    struct sel_values values = {{room[0], room[1], room[2]}, 3, count, true};
    struct sel_reweigh *reweigh = sel_reweigh_new(&values);
    sel_reweigh(reweigh, weights);
    size_t before = sel_reweigh_at(reweigh, 0);
    for (size_t rank = 1; rank < count; rank++) {
        size_t at = sel_reweigh_at(reweigh, rank);
        assert_true(means[at] <= means[before] * (1 + 2e-8));
        assert_true(means[at] > 0 || means[before] > 0 || at > before);
        before = at;
    }
    for (size_t i = 0; i < count; i++)
        assert_near(sel_reweigh_score(reweigh, i), means[i], 2e-8);
    sel_reweigh_free(reweigh);
}

static void nothing_to_weigh_is_no_trouble(void **state) {
    (void)state;
    struct sel_values values = {{room[0]}, 1, 0, false};
    struct sel_reweigh *reweigh = sel_reweigh_new(&values);
    double weight = 1;
    sel_reweigh(reweigh, &weight);
    sel_reweigh_free(reweigh);
    sel_reweigh_free(NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(arithmetic_orders_are_those_of_the_means),
        cmocka_unit_test(geometric_orders_are_those_of_the_means),
        cmocka_unit_test(nothing_to_weigh_is_no_trouble),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
