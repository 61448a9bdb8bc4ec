// SPDX-License-Identifier: MIT
//
// Random numbers against published vectors and against moments in closed form.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "score/random.h"

static void expect_near(double got, double wanted, double tolerance) {
    if (!(fabs(got - wanted) <= tolerance))
        fail_msg("%.9g is not within %g of %.9g", got, tolerance, wanted);
}

// Known answers: Random123 v1.14.0, file tests/kat_vectors, philox4x32 with 10 rounds.
static void the_generator_gives_the_published_answers(void **state) {
    (void)state;
    static const uint32_t cases[][10] = {
        {0, 0, 0, 0, 0, 0, 0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8},
        {0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff, 0x408f276d,
            0x41c83b0e, 0xa20bc7c6, 0x6d5451fd},
        {0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344, 0xa4093822, 0x299f31d0, 0xd16cfe09,
            0x94fdcceb, 0x5001e420, 0x24126ea1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        uint32_t out[4];
        sel_philox(cases[i], cases[i] + 4, out);
        assert_memory_equal(out, cases[i] + 6, sizeof out);
    }
}

static void a_stream_depends_on_seed_purpose_and_numbers_alone(void **state) {
    (void)state;
    struct sel_random one = sel_random_begin(7, SEL_RANDOM_WEIGHTS, 3, 4), again = one;
    uint32_t first = sel_random_word(&one);
    sel_random_word(&one);
    assert_int_equal(sel_random_word(&again), first);
    struct sel_random others[] = {sel_random_begin(8, SEL_RANDOM_WEIGHTS, 3, 4),
        sel_random_begin(7 + (1ull << 32), SEL_RANDOM_WEIGHTS, 3, 4),
        sel_random_begin(7, SEL_RANDOM_SETS, 3, 4), sel_random_begin(7, SEL_RANDOM_WEIGHTS, 4, 4),
        sel_random_begin(7, SEL_RANDOM_WEIGHTS, 3, 5)};
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        assert_int_not_equal(sel_random_word(&others[i]), first);
}

struct moments {
    double mean, variance;
};

typedef double draw_fn(struct sel_random *random, double parameter);

enum { DRAWS = 200000 };

static struct moments moments_of(draw_fn *draw, double parameter) {
    double sum = 0, squares = 0;
    struct sel_random random = sel_random_begin(11, SEL_RANDOM_SETS, 0, 0);
    for (int i = 0; i < DRAWS; i++) {
        double x = draw(&random, parameter);
        sum += x;
        squares += x * x;
    }
    double mean = sum / DRAWS;
    return (struct moments){mean, squares / DRAWS - mean * mean};
}

static double draw_share(struct sel_random *random, double parameter) {
    (void)parameter;
    double share = sel_random_share(random);
    assert_true(share > 0 && share < 1);
    return share;
}

static double draw_normal(struct sel_random *random, double parameter) {
    (void)parameter;
    return sel_random_normal(random);
}

static double draw_within_one(struct sel_random *random, double parameter) {
    (void)parameter;
    return fabs(sel_random_normal(random)) < 1;
}

// Tolerances are four standard errors or more.
static void uniform_and_normal_have_their_moments(void **state) {
    (void)state;
    struct moments uniform = moments_of(draw_share, 0), normal = moments_of(draw_normal, 0);
    expect_near(uniform.mean, 0.5, 0.003);
    expect_near(uniform.variance, 1.0 / 12, 0.001);
    expect_near(normal.mean, 0, 0.01);
    expect_near(normal.variance, 1, 0.015);
    expect_near(moments_of(draw_within_one, 0).mean, erf(sqrt(0.5)), 0.005);
}

// A gamma variate of scale 1 has mean and variance equal to its shape.
static void gamma_variates_have_their_moments(void **state) {
    (void)state;
    static const double shapes[] = {0.2, 0.75, 1, 3.3333333333333335, 13.3};
    for (size_t i = 0; i < sizeof shapes / sizeof *shapes; i++) {
        struct moments m = moments_of(sel_random_gamma, shapes[i]);
        double error = sqrt(shapes[i] / DRAWS);
        expect_near(m.mean, shapes[i], 5 * error);
        expect_near(m.variance, shapes[i], 0.04 * shapes[i] + 5 * error);
    }
}

// Mean m, variance m (1 - m) / (c + 1), covariance -m n / (c + 1): closed forms.
static void dirichlet_vectors_have_their_moments(void **state) {
    (void)state;
    static const double mean[4] = {4.0 / 9, 2.0 / 9, 0, 3.0 / 9};
    const double concentration = 30;
    double sum[4] = {0}, squares[4] = {0}, product = 0, weights[4];
    for (uint32_t draw = 0; draw < DRAWS / 4; draw++) {
        struct sel_random random = sel_random_begin(5, SEL_RANDOM_WEIGHTS, draw, 0);
        double all = 0;
        sel_random_dirichlet(&random, mean, 4, concentration, weights);
        for (int i = 0; i < 4; i++) {
            assert_true(weights[i] >= 0);
            all += weights[i];
            sum[i] += weights[i];
            squares[i] += weights[i] * weights[i];
        }
        product += weights[0] * weights[1];
        expect_near(all, 1, 1e-12);
        assert_true(weights[2] == 0);
    }
    const double draws = DRAWS / 4;
    for (int i = 0; i < 4; i++) {
        double variance = mean[i] * (1 - mean[i]) / (concentration + 1);
        expect_near(sum[i] / draws, mean[i], 5 * sqrt(variance / draws));
        double got = sum[i] / draws;
        expect_near(squares[i] / draws - got * got, variance, 0.03 * variance);
    }
    double covariance = -mean[0] * mean[1] / (concentration + 1);
    expect_near(
        product / draws - sum[0] / draws * (sum[1] / draws), covariance, 0.06 * fabs(covariance));
}

// About the middle of two criteria with concentration 2 the first weight is uniform.
static void two_criteria_with_concentration_two_are_uniform(void **state) {
    (void)state;
    static const double mean[2] = {0.5, 0.5};
    int below[10] = {0};
    for (uint32_t draw = 0; draw < 50000; draw++) {
        double weights[2];
        struct sel_random random = sel_random_begin(6, SEL_RANDOM_WEIGHTS, draw, 0);
        sel_random_dirichlet(&random, mean, 2, 2, weights);
        for (int i = 0; i < 10; i++)
            below[i] += weights[0] < 0.1 * (i + 1);
    }
    for (int i = 0; i < 10; i++)
        expect_near(below[i] / 50000.0, 0.1 * (i + 1), 0.009);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_generator_gives_the_published_answers),
        cmocka_unit_test(a_stream_depends_on_seed_purpose_and_numbers_alone),
        cmocka_unit_test(uniform_and_normal_have_their_moments),
        cmocka_unit_test(gamma_variates_have_their_moments),
        cmocka_unit_test(dirichlet_vectors_have_their_moments),
        cmocka_unit_test(two_criteria_with_concentration_two_are_uniform),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
