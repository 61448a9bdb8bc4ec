// SPDX-License-Identifier: MIT
//
// Correlated errors: their covariances against the function they are drawn from.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>

#include "score/field.h"

enum { PLACES = 4, DRAWS = 100000 };

static void expect_near(double got, double wanted, double tolerance) {
    if (!(fabs(got - wanted) <= tolerance))
        fail_msg("%.9g is not within %g of %.9g", got, tolerance, wanted);
}

static void errors_are_alike_by_their_distance(void **state) {
    (void)state;
    static const double places[PLACES][2] = {{0, 0}, {10, 0}, {0, 30}, {400, 400}};
    const double deviation = 3, range = 30;
    struct sel_field field;
    double sums[PLACES][PLACES] = {0}, errors[PLACES];
    assert_true(sel_field_init(&field, places, PLACES, deviation, range));
    struct sel_random random = sel_random_begin(1, SEL_RANDOM_ELEVATION, 0, 0);
    for (int draw = 0; draw < DRAWS; draw++) {
        sel_field_draw(&field, &random, errors);
        for (int i = 0; i < PLACES; i++)
            for (int k = 0; k < PLACES; k++)
                sums[i][k] += errors[i] * errors[k];
    }
    for (int i = 0; i < PLACES; i++)
        for (int k = 0; k < PLACES; k++) {
            double dx = places[i][0] - places[k][0], dy = places[i][1] - places[k][1];
            double wanted = deviation * deviation * exp(-(dx * dx + dy * dy) / (range * range));
            expect_near(sums[i][k] / DRAWS, wanted, 0.02 * deviation * deviation);
        }
}

// Twelve cells of a tenth of the range: the covariance is all but singular, and still the
// difference of neighbours has its variance, 2 s^2 (1 - exp(-(d/r)^2)).
static void near_places_have_near_errors(void **state) {
    (void)state;
    double places[12][2], errors[12], squares = 0;
    for (int i = 0; i < 12; i++) {
        places[i][0] = 10 * (i % 4);
        places[i][1] = 10 * (i / 4);
    }
    struct sel_field field;
    assert_true(sel_field_init(&field, (const double(*)[2])places, 12, 2, 100));
    struct sel_random random = sel_random_begin(2, SEL_RANDOM_ELEVATION, 0, 0);
    for (int draw = 0; draw < DRAWS; draw++) {
        sel_field_draw(&field, &random, errors);
        squares += (errors[5] - errors[6]) * (errors[5] - errors[6]);
    }
    double wanted = 2 * 4 * (1 - exp(-0.01));
    expect_near(squares / DRAWS, wanted, 0.03 * wanted);
}

static void the_same_place_twice_has_the_same_error(void **state) {
    (void)state;
    static const double places[2][2] = {{5, 5}, {5, 5}};
    struct sel_field field;
    double errors[2];
    assert_true(sel_field_init(&field, places, 2, 1, 10));
    struct sel_random random = sel_random_begin(3, SEL_RANDOM_ELEVATION, 0, 0);
    sel_field_draw(&field, &random, errors);
    expect_near(errors[0], errors[1], 0.01);
    assert_false(sel_field_init(&field, places, SEL_FIELD_PLACES_MOST + 1, 1, 10));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(errors_are_alike_by_their_distance),
        cmocka_unit_test(near_places_have_near_errors),
        cmocka_unit_test(the_same_place_twice_has_the_same_error),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
