// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>

#include <cmocka.h>

#include "plan/order_weights.h"

static void check(const double *published, int n) {
    double weights[7];
    sel_order_weights(n, weights);
    double sum = 0.0;
    for (int k = 0; k < n; k++) {
        assert_true(fabs(weights[k] - published[k]) < 1e-12);
        sum += weights[k];
    }
    assert_true(fabs(sum - 1.0) < 1e-12);
}

// Barron & Barrett (1996). The formula and n = 4 to two decimals are confirmed in public pages; the
// exact fractions are worked out by hand from the formula.
static void weights_are_the_published_fractions(void **state) {
    (void)state;
    check((const double[]){1.0}, 1);
    check((const double[]){3 / 4.0, 1 / 4.0}, 2);
    check((const double[]){11 / 18.0, 5 / 18.0, 1 / 9.0}, 3);
    check((const double[]){25 / 48.0, 13 / 48.0, 7 / 48.0, 1 / 16.0}, 4);
    check((const double[]){137 / 300.0, 77 / 300.0, 47 / 300.0, 9 / 100.0, 1 / 25.0}, 5);
    check(
        (const double[]){49 / 120.0, 29 / 120.0, 19 / 120.0, 37 / 360.0, 11 / 180.0, 1 / 36.0}, 6);
    check((const double[]){363 / 980.0, 223 / 980.0, 153 / 980.0, 319 / 2940.0, 107 / 1470.0,
              13 / 294.0, 1 / 49.0},
        7);
}

static void weights_fall_from_first_to_last(void **state) {
    (void)state;
    double weights[40];
    sel_order_weights(40, weights);
    for (int k = 1; k < 40; k++)
        assert_true(weights[k] < weights[k - 1]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(weights_are_the_published_fractions),
        cmocka_unit_test(weights_fall_from_first_to_last),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
