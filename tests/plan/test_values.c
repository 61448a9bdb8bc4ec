// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include <cmocka.h>

#include "base/text.h"
#include "plan_files.h"

static struct plan_files files;

static int open_files(void **state) {
    (void)state;
    plan_files_open(&files);
    return 0;
}

static int close_files(void **state) {
    (void)state;
    plan_files_close(&files);
    return 0;
}

static void a_value_function_may_bend(void **state) {
    (void)state;
    assert_int_equal(
        plan_files_read(&files,
            plan_files_with("criteria:\n  slope:\n    value:\n"
                            "    - [0, 0.5]\n    - [5, 1]\n    - [12.5, 1]\n    - [20, 0]\n")),
        SEL_OK);
    const struct sel_plan_criterion *slope = &files.plan.criteria[SEL_CRITERION_SLOPE];
    assert_int_equal(slope->value_count, 4);
    assert_true(slope->value[0].worth == 0.5 && slope->value[2].at == 12.5);
}

static void a_value_function_needs_pairs(void **state) {
    (void)state;
    static const char wanted[] =
        "@/survey.yaml:3: criteria.slope.value: is not a list of 2 to 32 pairs: give its worth as "
        "pairs [slope, worth 0 to 1], slope rising, like [[5, 1], [20, 0]]";
    plan_files_refused(&files, plan_files_with("criteria: { slope: { value: 5 } }\n"), wanted);
    plan_files_refused(
        &files, plan_files_with("criteria: { slope: { value: [[5, 1]] } }\n"), wanted);
    plan_files_refused(&files, plan_files_with("criteria: { slope: { value: [5, 1] } }\n"),
        "@/survey.yaml:3: criteria.slope.value: an entry is not a pair: write each as [measure, "
        "worth], like [[5, 1], [20, 0]]");
    plan_files_refused(&files,
        plan_files_with("criteria: { slope: { value: [[5, 1], [20, 0, 1]] } }\n"),
        "@/survey.yaml:3: criteria.slope.value: an entry is not a pair: write each as [measure, "
        "worth], like [[5, 1], [20, 0]]");
}

static void a_value_function_has_at_most_32_pairs(void **state) {
    (void)state;
    for (int pairs = 32; pairs <= 33; pairs++) {
        struct sel_text text;
        sel_text_init(&text);
        sel_text_add(&text, "criteria: { slope: { limit: none, value: [");
        for (int i = 0; i < pairs; i++)
            sel_text_addf(&text, "[%d, %d], ", i, i % 2);
        sel_text_add(&text, "] } }\n");
        assert_int_equal(plan_files_read(&files, plan_files_with(text.chars)),
            pairs == 32 ? SEL_OK : SEL_BAD_INPUT);
        sel_text_clear(&text);
    }
}

static void the_measure_must_rise(void **state) {
    (void)state;
    plan_files_refused(&files,
        plan_files_with("criteria:\n  slope:\n    value:\n      - [20, 0]\n      - [5, 1]\n"),
        "@/survey.yaml:7: criteria.slope.value: 5 comes after 20: give the pairs with the measure "
        "rising");
    plan_files_refused(&files,
        plan_files_with("criteria: { sun: { value: [[0.3, 0], [0.3, 1]] } }\n"),
        "@/survey.yaml:3: criteria.sun.value: 0.3 comes after 0.3: give the pairs with the measure "
        "rising");
}

static void measure_and_worth_have_their_ranges(void **state) {
    (void)state;
    plan_files_refused(&files,
        plan_files_with("criteria: { slope: { value: [[5, 1], [200, 0]] } }\n"),
        "@/survey.yaml:3: criteria.slope.value: 200 is not in 0..90 deg: give its worth as pairs "
        "[slope, worth 0 to 1], slope rising");
    plan_files_refused(&files,
        plan_files_with("criteria: { slope: { value: [[5, 10], [20, 0]] } }\n"),
        "@/survey.yaml:3: criteria.slope.value: 10 is not in 0..1: give the worth, second in its "
        "pair, from 0 to 1");
    plan_files_refused(&files,
        plan_files_with("criteria: { slope: { value: [[5, good], [20, 0]] } }\n"),
        "@/survey.yaml:3: criteria.slope.value: \"good\" is not a number: give the worth, second "
        "in "
        "its pair, from 0 to 1, as digits with a point and without a unit");
}

static void a_limit_can_be_taken_away(void **state) {
    (void)state;
    assert_int_equal(plan_files_read(&files, plan_files_with("criteria: { slope: { limit: none }, "
                                                             "sun: { limit: 0.2 } }\n")),
        SEL_OK);
    assert_false(files.plan.criteria[SEL_CRITERION_SLOPE].has_limit);
    assert_true(files.plan.criteria[SEL_CRITERION_SUN].has_limit);
    assert_true(files.plan.criteria[SEL_CRITERION_SUN].limit == 0.2);
}

static void a_limit_is_a_number_in_range(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("criteria: { slope: { limit: steep } }\n"),
        "@/survey.yaml:3: criteria.slope.limit: \"steep\" is not a number: give the slope above "
        "which a place is excluded, as digits with a point and without a unit");
    plan_files_refused(&files, plan_files_with("criteria: { slope: { limit: 100 } }\n"),
        "@/survey.yaml:3: criteria.slope.limit: 100 is not in 0..90 deg: give the slope above "
        "which a place is excluded");
    plan_files_refused(&files, plan_files_with("criteria: { slope: { limit: [25] } }\n"),
        "@/survey.yaml:3: criteria.slope.limit: is a list where one value is expected: give the "
        "slope above which a place is excluded");
}

// Barron & Barrett (1996), three criteria: 11/18, 5/18, 1/9 (by hand from the formula).
static void an_order_of_importance_gives_centroid_weights(void **state) {
    (void)state;
    assert_int_equal(
        plan_files_read(&files, plan_files_with("weights: [sun, edge_contrast, slope]\n")), SEL_OK);
    const struct sel_plan_criterion *criteria = files.plan.criteria;
    assert_true(fabs(criteria[SEL_CRITERION_SUN].weight - 11 / 18.0) < 1e-12);
    assert_true(fabs(criteria[SEL_CRITERION_EDGE_CONTRAST].weight - 5 / 18.0) < 1e-12);
    assert_true(fabs(criteria[SEL_CRITERION_SLOPE].weight - 1 / 9.0) < 1e-12);
    assert_true(criteria[SEL_CRITERION_ACCESS].weight == 0.0);
}

static void an_order_and_numbers_together_are_refused(void **state) {
    (void)state;
    plan_files_refused(&files,
        plan_files_with("weights: [sun, slope]\ncriteria: { sun: { weight: 2 } }\n"),
        "@/survey.yaml:3: weights: gives an order of importance, but line 4 gives "
        "criteria.sun.weight as a number: keep one of the two ways");
}

static void an_order_names_each_criterion_once(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("weights:\n  - sun\n  - slope\n  - sun\n"),
        "@/survey.yaml:6: weights: names sun twice: keep one");
    plan_files_refused(&files, plan_files_with("weights: [sun, shade]\n"),
        "@/survey.yaml:3: weights: \"shade\" is no criterion: the criteria are edge_contrast, "
        "slope, sun, access");
    plan_files_refused(&files, plan_files_with("weights: [[sun]]\n"),
        "@/survey.yaml:3: weights: is a list where one value is expected: give the criteria from "
        "the most important to the least, instead of weights as numbers; those left out get weight "
        "0");
}

static void an_order_is_a_list_of_one_to_four(void **state) {
    (void)state;
    static const char wanted[] =
        "@/survey.yaml:3: weights: is not a list of 1 to 4 criteria: give the criteria from the "
        "most important to the least, instead of weights as numbers; those left out get weight 0, "
        "like [edge_contrast, sun, slope]";
    plan_files_refused(&files, plan_files_with("weights: sun\n"), wanted);
    plan_files_refused(&files, plan_files_with("weights: []\n"), wanted);
    plan_files_refused(
        &files, plan_files_with("weights: [sun, slope, access, edge_contrast, sun]\n"), wanted);
}

static void habitats_that_are_neither_file_nor_legend_are_refused(void **state) {
    (void)state;
    plan_files_refused(&files,
        "rasters: { landcover: landcover.tif, elevation: elevation.tif }\nhabitats: wordcover\n",
        "@/survey.yaml:2: habitats: wordcover: is neither a file (looked for @/wordcover) nor a "
        "built-in legend (worldcover, nlcd, corine, cgls-lc100, modis-igbp); did you mean "
        "worldcover?: give the path of a habitat table (CSV), or the name of a built-in legend");
    plan_files_refused(&files,
        "rasters: { landcover: landcover.tif, elevation: elevation.tif }\nhabitats: [a]\n",
        "@/survey.yaml:2: habitats: is a list where one value is expected: give the path of a "
        "habitat table (CSV), or the name of a built-in legend");
    plan_files_refused(&files,
        "rasters: { landcover: landcover.tif, elevation: elevation.tif }\nhabitats: \"a\\nb\"\n",
        "@/survey.yaml:2: habitats: \"a?b\": holds a line break or another control character: "
        "write it in one line");
}

static void a_faulty_habitat_table_is_named_with_its_own_line(void **state) {
    (void)state;
    plan_files_write(&files, "bad.csv",
        "value,habitat,canopy_m,cover,wetness,edge,walk,trap,water,ground,support\n"
        "1,meadow,0.5,0,0.3,1,0.9,maybe,no,firm,no\n");
    plan_files_refused(&files,
        "rasters: { landcover: landcover.tif, elevation: elevation.tif }\nhabitats: bad.csv\n",
        "@/bad.csv:2: trap: \"maybe\": write yes or no");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_value_function_may_bend),
        cmocka_unit_test(a_value_function_needs_pairs),
        cmocka_unit_test(a_value_function_has_at_most_32_pairs),
        cmocka_unit_test(the_measure_must_rise),
        cmocka_unit_test(measure_and_worth_have_their_ranges),
        cmocka_unit_test(a_limit_can_be_taken_away),
        cmocka_unit_test(a_limit_is_a_number_in_range),
        cmocka_unit_test(an_order_of_importance_gives_centroid_weights),
        cmocka_unit_test(an_order_and_numbers_together_are_refused),
        cmocka_unit_test(an_order_names_each_criterion_once),
        cmocka_unit_test(an_order_is_a_list_of_one_to_four),
        cmocka_unit_test(habitats_that_are_neither_file_nor_legend_are_refused),
        cmocka_unit_test(a_faulty_habitat_table_is_named_with_its_own_line),
    };
    return cmocka_run_group_tests(tests, open_files, close_files);
}
