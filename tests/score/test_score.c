// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "flyway_near.h"
#include "plan/order_weights.h"
#include "score/score.h"
#include "score_reference.h"

static const double EXACT = 1e-12;

static const struct sel_plan_criterion RISING = {
    .value = {{0.1, 0}, {0.7, 1}}, .value_count = 2, .has_limit = true, .limit = 0.2};
static const struct sel_plan_criterion FALLING = {
    .value = {{5, 1}, {20, 0}}, .value_count = 2, .has_limit = true, .limit = 25};
static const struct sel_plan_criterion HUMPED = {.value = {{0, 0}, {10, 1}, {30, 0.5}, {40, 0.5}},
    .value_count = 4,
    .has_limit = true,
    .limit = 35};
static const struct sel_plan_criterion LEVEL = {
    .value = {{0, 1}, {10, 1}}, .value_count = 2, .has_limit = true, .limit = 5};

static void values_lie_on_the_lines_between_breakpoints(void **state) {
    (void)state;
    assert_near(sel_value(&RISING, 0.4), 0.5, EXACT);
    assert_near(sel_value(&FALLING, 8), 0.8, EXACT);
    assert_near(sel_value(&HUMPED, 2.5), 0.25, EXACT);
    assert_near(sel_value(&HUMPED, 20), 0.75, EXACT);
    assert_near(sel_value(&HUMPED, 35), 0.5, EXACT);
}

static void values_at_breakpoints_are_theirs(void **state) {
    (void)state;
    assert_near(sel_value(&HUMPED, 0), 0, 0);
    assert_near(sel_value(&HUMPED, 10), 1, 0);
    assert_near(sel_value(&HUMPED, 30), 0.5, 0);
    assert_near(sel_value(&HUMPED, 40), 0.5, 0);
}

static void values_are_clamped_beyond_the_ends(void **state) {
    (void)state;
    assert_near(sel_value(&RISING, -3), 0, 0);
    assert_near(sel_value(&RISING, 7), 1, 0);
    assert_near(sel_value(&FALLING, 0), 1, 0);
    assert_near(sel_value(&FALLING, (double)INFINITY), 0, 0);
}

static void an_unknown_measure_has_an_unknown_value(void **state) {
    (void)state;
    assert_true(isnan(sel_value(&RISING, (double)NAN)));
}

static void where_less_is_better_what_is_above_the_limit_is_out(void **state) {
    (void)state;
    assert_true(sel_beyond_limit(&FALLING, 25.001));
    assert_false(sel_beyond_limit(&FALLING, 25));
    assert_false(sel_beyond_limit(&FALLING, 0));
}

static void where_more_is_better_what_is_below_the_limit_is_out(void **state) {
    (void)state;
    assert_true(sel_beyond_limit(&RISING, 0.199));
    assert_false(sel_beyond_limit(&RISING, 0.2));
    assert_false(sel_beyond_limit(&RISING, 0.9));
}

static void where_worth_goes_up_and_down_what_is_above_is_out(void **state) {
    (void)state;
    assert_true(sel_beyond_limit(&HUMPED, 36));
    assert_false(sel_beyond_limit(&HUMPED, 1));
}

static void where_worth_never_changes_what_is_below_is_out(void **state) {
    (void)state;
    assert_true(sel_beyond_limit(&LEVEL, 4));
    assert_false(sel_beyond_limit(&LEVEL, 6));
}

static void without_a_limit_nothing_is_out(void **state) {
    (void)state;
    struct sel_plan_criterion criterion = FALLING;
    criterion.has_limit = false;
    assert_false(sel_beyond_limit(&criterion, 1e9));
}

static void check_centroid(const struct reference_row *row) {
    double weights[16];
    int n = (int)row->numbers[0], k = (int)row->numbers[1];
    sel_order_weights(n, weights);
    assert_near(weights[k - 1], row->numbers[2] / row->numbers[3], row->numbers[4]);
}

static void rank_order_centroids_match_the_table(void **state) {
    (void)state;
    assert_int_equal(reference_each("rank_order_centroid.csv", 5, check_centroid), 27);
}

static void rank_order_centroids_of_four_are_the_published_ones(void **state) {
    (void)state;
    // Barron & Barrett (1996), four decimals.
    const double published[] = {0.5208, 0.2708, 0.1458, 0.0625};
    double weights[4];
    sel_order_weights(4, weights);
    for (int i = 0; i < 4; i++)
        assert_near(weights[i], published[i], 0.5e-4);
}

static void one_criterion_alone_has_all_the_weight(void **state) {
    (void)state;
    double weight;
    sel_order_weights(1, &weight);
    assert_near(weight, 1, 0);
}

static struct sel_plan weighted(double contrast, double slope, double sun, double access) {
    struct sel_plan plan = {0};
    plan.criteria[SEL_CRITERION_EDGE_CONTRAST].weight = contrast;
    plan.criteria[SEL_CRITERION_SLOPE].weight = slope;
    plan.criteria[SEL_CRITERION_SUN].weight = sun;
    plan.criteria[SEL_CRITERION_ACCESS].weight = access;
    return plan;
}

static void assert_weights(
    const double got[SEL_CRITERIA], double contrast, double slope, double sun, double access) {
    assert_near(got[SEL_CRITERION_EDGE_CONTRAST], contrast, EXACT);
    assert_near(got[SEL_CRITERION_SLOPE], slope, EXACT);
    assert_near(got[SEL_CRITERION_SUN], sun, EXACT);
    assert_near(got[SEL_CRITERION_ACCESS], access, EXACT);
}

static void weights_are_scaled_over_the_criteria_in_use(void **state) {
    (void)state;
    struct sel_plan plan = weighted(4, 2, 2, 1);
    double weights[SEL_CRITERIA];
    const bool all[SEL_CRITERIA] = {true, true, true, true};
    sel_scale_weights(&plan, all, weights);
    assert_weights(weights, 4.0 / 9, 2.0 / 9, 2.0 / 9, 1.0 / 9);
    const bool no_access[SEL_CRITERIA] = {true, true, true, false};
    sel_scale_weights(&plan, no_access, weights);
    assert_weights(weights, 0.5, 0.25, 0.25, 0);
}

static void no_weight_at_all_gives_zeros(void **state) {
    (void)state;
    struct sel_plan plan = weighted(0, 0, 0, 5);
    double weights[SEL_CRITERIA];
    const bool no_access[SEL_CRITERIA] = {true, true, true, false};
    sel_scale_weights(&plan, no_access, weights);
    assert_weights(weights, 0, 0, 0, 0);
    const double values[SEL_CRITERIA] = {1, 1, 1, 1};
    assert_near(sel_aggregate_values(SEL_MEAN_ARITHMETIC, weights, values), 0, 0);
    assert_near(sel_aggregate_values(SEL_MEAN_GEOMETRIC, weights, values), 0, 0);
}

static void means_worked_by_hand(void **state) {
    (void)state;
    const double weights[SEL_CRITERIA] = {0.5, 0.25, 0.25, 0};
    const double values[SEL_CRITERIA] = {0.25, 1, 0.0625, (double)NAN};
    // 0.125 + 0.25 + 0.015625
    assert_near(sel_aggregate_values(SEL_MEAN_ARITHMETIC, weights, values), 0.390625, EXACT);
    // 0.25^0.5 * 1 * 0.0625^0.25 = 0.5 * 0.5
    assert_near(sel_aggregate_values(SEL_MEAN_GEOMETRIC, weights, values), 0.25, EXACT);
}

static void weights_need_not_sum_to_one(void **state) {
    (void)state;
    const double weights[SEL_CRITERIA] = {2, 1, 1, 0};
    const double values[SEL_CRITERIA] = {0.25, 1, 0.0625, 0};
    assert_near(sel_aggregate_values(SEL_MEAN_ARITHMETIC, weights, values), 0.390625, EXACT);
    assert_near(sel_aggregate_values(SEL_MEAN_GEOMETRIC, weights, values), 0.25, EXACT);
}

static void one_worthless_criterion_sinks_a_geometric_mean(void **state) {
    (void)state;
    const double weights[SEL_CRITERIA] = {0.7, 0.1, 0.1, 0.1};
    const double values[SEL_CRITERIA] = {1, 1, 1, 0};
    assert_near(sel_aggregate_values(SEL_MEAN_ARITHMETIC, weights, values), 0.9, EXACT);
    assert_near(sel_aggregate_values(SEL_MEAN_GEOMETRIC, weights, values), 0, 0);
}

static void alike_values_are_their_own_mean(void **state) {
    (void)state;
    const double weights[SEL_CRITERIA] = {0.4, 0.3, 0.2, 0.1};
    const double values[SEL_CRITERIA] = {0.37, 0.37, 0.37, 0.37};
    assert_near(sel_aggregate_values(SEL_MEAN_ARITHMETIC, weights, values), 0.37, EXACT);
    assert_near(sel_aggregate_values(SEL_MEAN_GEOMETRIC, weights, values), 0.37, EXACT);
}

static void scores_are_rounded_to_a_billionth(void **state) {
    (void)state;
    const double weights[SEL_CRITERIA] = {1, 0, 0, 0};
    double values[SEL_CRITERIA] = {0.12345678949, 0, 0, 0};
    double low = sel_aggregate_values(SEL_MEAN_ARITHMETIC, weights, values);
    assert_near(low, 0.123456789, 1e-16);
    values[0] = 0.1234567888;
    double high = sel_aggregate_values(SEL_MEAN_ARITHMETIC, weights, values);
    assert_true(low == high);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_lie_on_the_lines_between_breakpoints),
        cmocka_unit_test(values_at_breakpoints_are_theirs),
        cmocka_unit_test(values_are_clamped_beyond_the_ends),
        cmocka_unit_test(an_unknown_measure_has_an_unknown_value),
        cmocka_unit_test(where_less_is_better_what_is_above_the_limit_is_out),
        cmocka_unit_test(where_more_is_better_what_is_below_the_limit_is_out),
        cmocka_unit_test(where_worth_goes_up_and_down_what_is_above_is_out),
        cmocka_unit_test(where_worth_never_changes_what_is_below_is_out),
        cmocka_unit_test(without_a_limit_nothing_is_out),
        cmocka_unit_test(rank_order_centroids_match_the_table),
        cmocka_unit_test(rank_order_centroids_of_four_are_the_published_ones),
        cmocka_unit_test(one_criterion_alone_has_all_the_weight),
        cmocka_unit_test(weights_are_scaled_over_the_criteria_in_use),
        cmocka_unit_test(no_weight_at_all_gives_zeros),
        cmocka_unit_test(means_worked_by_hand),
        cmocka_unit_test(weights_need_not_sum_to_one),
        cmocka_unit_test(one_worthless_criterion_sinks_a_geometric_mean),
        cmocka_unit_test(alike_values_are_their_own_mean),
        cmocka_unit_test(scores_are_rounded_to_a_billionth),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
