// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include <cmocka.h>
#include <math.h>

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

// The defaults of the design for walking: best within 5 minutes, worthless from 45, out beyond 60.
static void walking_time_has_defaults_of_its_own(void **state) {
    (void)state;
    assert_int_equal(
        plan_files_read(
            &files, plan_files_with("access: roads.gpkg\ncriteria: { access: { by: time } }\n")),
        SEL_OK);
    const struct sel_plan_criterion *access = &files.plan.criteria[SEL_CRITERION_ACCESS];
    assert_int_equal(access->by, SEL_ACCESS_BY_TIME);
    assert_int_equal(access->value_count, 2);
    assert_true(access->value[0].at == 5 && access->value[0].worth == 1);
    assert_true(access->value[1].at == 45 && access->value[1].worth == 0);
    assert_true(access->has_limit && access->limit == 60);
    assert_true(files.plan.access_min_m == 0);
    assert_string_equal(sel_measure_unit(&files.plan, SEL_CRITERION_ACCESS), "min");
    assert_string_equal(sel_measure_unit(&files.plan, SEL_CRITERION_SLOPE), "deg");
}

static void what_the_plan_says_of_walking_stands(void **state) {
    (void)state;
    assert_int_equal(
        plan_files_read(
            &files, plan_files_with("access: roads.gpkg\ncriteria:\n  access: { by: time, value: "
                                    "[[0, 0.2], [3, 1], [30, 0.2]], limit: 45, min_m: 25 }\n")),
        SEL_OK);
    const struct sel_plan_criterion *access = &files.plan.criteria[SEL_CRITERION_ACCESS];
    assert_int_equal(access->value_count, 3);
    assert_true(access->limit == 45 && files.plan.access_min_m == 25);
}

static void walking_without_end_is_refused(void **state) {
    (void)state;
    plan_files_refused(&files,
        plan_files_with("access: roads.gpkg\ncriteria:\n  access: { by: time, limit: none }\n"),
        "@/survey.yaml:5: criteria.access.limit: none: by time nothing is searched beyond the "
        "limit, so it needs one: give minutes, like 60");
    plan_files_refused(&files,
        plan_files_with("access: roads.gpkg\ncriteria:\n  access: { by: time, limit: 2000 }\n"),
        "@/survey.yaml:5: criteria.access.limit: 2000 is not in 1..240 min: give the longest walk "
        "one way, in minutes, like 60");
    plan_files_refused(&files,
        plan_files_with(
            "access: roads.gpkg\ncriteria:\n  access: { by: time, value: [[50, 1], [1200, 0]] "
            "}\n"),
        "@/survey.yaml:5: criteria.access.value: 1200 is not in 0..480 min: by time the pairs are "
        "[minutes, worth], like [[5, 1], [45, 0]]");
}

static void access_needs_a_place_to_begin(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("access: { file: paths.gpkg, role: way }\n"),
        "@/survey.yaml:3: access: no layer has the role start, so no walk begins anywhere: give "
        "one that a vehicle can reach");
}

static void a_season_may_cross_new_year(void **state) {
    (void)state;
    assert_int_equal(
        plan_files_read(&files, plan_files_with("season: { from: 2027-11-15, to: 2028-02-29 }\n")),
        SEL_OK);
    assert_int_equal(files.plan.season_to.year, 2028);
}

static void a_season_of_one_day_or_a_leap_year_is_fine(void **state) {
    (void)state;
    assert_int_equal(
        plan_files_read(&files, plan_files_with("season: { from: 2027-06-01, to: 2027-06-01 }\n")),
        SEL_OK);
    assert_int_equal(
        plan_files_read(&files, plan_files_with("season: { from: 2028-01-01, to: 2028-12-31 }\n")),
        SEL_OK);
}

static void a_season_that_ends_before_it_begins_is_refused(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("season:\n  from: 2027-11-15\n  to: 2027-02-28\n"),
        "@/survey.yaml:5: season.to: lies before season.from: give the last day of the season; a "
        "season across New Year ends in the next year");
}

static void a_season_longer_than_a_year_is_refused(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("season: { from: 2027-01-01, to: 2028-01-02 }\n"),
        "@/survey.yaml:3: season.to: the season has 367 days: give at most 366");
}

static void half_a_season_is_refused(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("season: { from: 2027-04-01 }\n"),
        "@/survey.yaml:3: season.from: stands alone: give both season.from and season.to");
    plan_files_refused(&files, plan_files_with("season: { to: 2027-09-01 }\n"),
        "@/survey.yaml:3: season.to: stands alone: give both season.from and season.to");
}

static void years_beyond_the_sun_formulas_are_refused(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("season: { from: 1949-06-01, to: 1949-08-01 }\n"),
        "@/survey.yaml:3: season.from: year 1949 is not in 1950..2050: give a year for which the "
        "sun's position is known");
    plan_files_refused(&files, plan_files_with("season: { from: 2050-12-01, to: 2051-02-01 }\n"),
        "@/survey.yaml:3: season.to: year 2051 is not in 1950..2050: give a year for which the "
        "sun's position is known");
}

static void quotas_that_contradict_are_refused(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("choose: { per_pair: { min: 3, max: 2 } }\n"),
        "@/survey.yaml:3: choose.per_pair.min: 3 is more than choose.per_pair.max, which is 2: "
        "lower the one or raise the other");
    plan_files_refused(&files, plan_files_with("choose: { sites: 4, per_pair: { min: 5 } }\n"),
        "@/survey.yaml:3: choose.per_pair.min: 5 is more than choose.sites, which is 4: lower the "
        "one or raise the other");
    plan_files_refused(&files,
        plan_files_with("choose: { block_m: 900, per_block: { min: 2, max: 1 } }\n"),
        "@/survey.yaml:3: choose.per_block.min: 2 is more than choose.per_block.max, which is 1: "
        "lower the one or raise the other");
}

static void blocks_and_their_quotas_need_each_other(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("choose: { per_block: { max: 1 } }\n"),
        "@/survey.yaml:3: choose.per_block: there are no blocks: give choose.block_m or "
        "choose.blocks");
    plan_files_refused(&files, plan_files_with("choose: { block_m: 900 }\n"),
        "@/survey.yaml:3: choose.block_m: no quota counts by blocks: give choose.per_block, with "
        "min or max");
    plan_files_refused(&files, plan_files_with("choose: { block_m: 0.5, per_block: { max: 1 } }\n"),
        "@/survey.yaml:3: choose.block_m: is under 1: give at least 1, or 0 for no such blocks");
    plan_files_refused(&files,
        plan_files_with("choose: { block_m: 900, blocks: area.gpkg, per_block: { max: 1 } }\n"),
        "@/survey.yaml:3: choose.block_m: stands beside choose.blocks: blocks are squares or "
        "polygons: keep one of the two");
    assert_int_equal(plan_files_read(&files,
                         plan_files_with("choose: { blocks: area.gpkg, per_block: { min: 1 } }\n")),
        SEL_OK);
    assert_string_equal(files.plan.block_name, "block");
    assert_int_equal(files.plan.choose.block_min, 1);
}

static void a_limit_needs_a_worse_side(void **state) {
    (void)state;
    plan_files_refused(&files,
        plan_files_with(
            "criteria:\n  sun:\n    value: [[0.2, 0], [0.5, 1], [0.8, 0]]\n    limit: 0.1\n"),
        "@/survey.yaml:6: criteria.sun.limit: the value function begins and ends with the same "
        "worth, so it cannot be told which side the limit excludes: write limit: none, or let one "
        "end be worth less");
    plan_files_refused(&files,
        plan_files_with("criteria:\n  slope: { value: [[5, 1], [20, 1]] }\n"),
        "@/survey.yaml:4: criteria.slope.limit: the value function begins and ends with the same "
        "worth, so it cannot be told which side the limit excludes: write limit: none, or let one "
        "end be worth less");
    assert_int_equal(
        plan_files_read(&files,
            plan_files_with("criteria: { sun: { value: [[0.2, 0], [0.5, 1], [0.8, 0]] } }\n")),
        SEL_OK);
}

static void something_must_have_a_weight(void **state) {
    (void)state;
    plan_files_refused(&files,
        plan_files_with(
            "criteria: { edge_contrast: { weight: 0 }, slope: { weight: 0 }, sun: { weight: 0 }, "
            "access: { weight: 0 } }\n"),
        "@/survey.yaml:3: criteria: no criterion has a weight above 0: give at least one");
    plan_files_refused(&files, plan_files_with("weights: [access]\n"),
        "@/survey.yaml:3: weights: only access has a weight, and the plan has no access layer: "
        "give access: or another criterion's weight");
    assert_int_equal(
        plan_files_read(&files, plan_files_with("weights: [access]\naccess: roads.gpkg\n")),
        SEL_OK);
}

static void one_raster_for_both_is_a_slip(void **state) {
    (void)state;
    plan_files_refused(&files,
        "rasters:\n  landcover: landcover.tif\n  elevation: landcover.tif\nhabitats: nlcd\n",
        "@/survey.yaml:3: rasters.elevation: is the same file and band as rasters.landcover: give "
        "the raster of the ground's elevation");
    assert_int_equal(
        plan_files_read(&files, "rasters:\n  landcover: landcover.tif\n"
                                "  elevation: { file: landcover.tif, band: 2 }\nhabitats: nlcd\n"),
        SEL_OK);
}

static void the_habitat_of_lines_must_exist(void **state) {
    (void)state;
    plan_files_refused(&files,
        plan_files_with("lines:\n  - { file: brook.gpkg, habitat: brook, width_m: 4 }\n"
                        "  - { file: hedges.gpkg, habitat: hegde, width_m: 6 }\n"),
        "@/survey.yaml:5: lines[].habitat: \"hegde\" is no habitat of @/habitats.csv; did you mean "
        "\"hedge\"?: give a name from its column habitat, or add a row");
}

static void the_habitats_of_a_contrast_must_exist_and_differ(void **state) {
    (void)state;
    plan_files_refused(&files,
        plan_files_with("contrast:\n  - { a: hay meadow, b: lawn, contrast: 0.2 }\n"),
        "@/survey.yaml:4: contrast[].b: \"lawn\" is no habitat of @/habitats.csv: give a name from "
        "its column habitat, or add a row");
    plan_files_refused(&files,
        plan_files_with("contrast:\n  - { a: Brook, b: hedge, contrast: 0.2 }\n"),
        "@/survey.yaml:4: contrast[].a: \"Brook\" is no habitat of @/habitats.csv; did you mean "
        "\"brook\"?: give a name from its column habitat, or add a row");
    plan_files_refused(&files,
        plan_files_with("contrast:\n  - { a: brook, b: brook, contrast: 0.2 }\n"),
        "@/survey.yaml:4: contrast[]: a and b are the same habitat: give two that differ");
}

static void a_pair_is_contrasted_once(void **state) {
    (void)state;
    plan_files_refused(&files,
        plan_files_with("contrast:\n  - { a: brook, b: hedge, contrast: 0.2 }\n"
                        "  - { a: brook, b: alder wood, contrast: 0.7 }\n"
                        "  - { a: hedge, b: brook, contrast: 0.3 }\n"),
        "@/survey.yaml:6: contrast[]: this pair was given in line 4 already: keep one of them");
    assert_int_equal(
        plan_files_read(&files, plan_files_with("contrast: { a: brook, b: hedge, contrast: 1 }\n")),
        SEL_OK);
    assert_int_equal(files.plan.contrast_count, 1);
    assert_true(files.plan.contrast[0].contrast == 1.0);
    assert_int_equal(files.plan.contrast[0].place.line, 3);
}

// ISO 3166-1 alpha-2: two capital letters. A spreadsheet computes cells that begin with =, +, - or
// @.
static void a_country_is_two_capital_letters_and_a_region_a_name(void **state) {
    (void)state;
    assert_int_equal(
        plan_files_read(&files,
            plan_files_with("field: { place: Alder Brook valley, region: \"\u0160tajerska\", "
                            "country_code: SI }\n")),
        SEL_OK);
    assert_string_equal(files.plan.field.place, "Alder Brook valley");
    assert_string_equal(files.plan.field.country_code, "SI");
    static const char *const CODES[] = {"si", "SVN", "S", "S1", "Slovenia"};
    for (size_t i = 0; i < sizeof CODES / sizeof *CODES; i++) {
        char more[80], refused[200];
        snprintf(more, sizeof more, "field: { country_code: %s }\n", CODES[i]);
        snprintf(refused, sizeof refused,
            "@/survey.yaml:3: field.country_code: \"%s\" is no country code: give the two capital "
            "letters of ISO 3166-1, like SI",
            CODES[i]);
        plan_files_refused(&files, plan_files_with(more), refused);
    }
    plan_files_refused(&files, plan_files_with("field: { region: \"=1+1\" }\n"),
        "@/survey.yaml:3: field.region: \"=1+1\" begins with no letter, and a spreadsheet might "
        "compute it: give a name");
}

static void taking_down_takes_half_the_set_up_unless_the_plan_says_so(void **state) {
    (void)state;
    assert_int_equal(plan_files_read(&files, plan_files_with("")), SEL_OK);
    assert_true(isnan(files.plan.field.takedown_min));
    assert_int_equal(
        plan_files_read(&files, plan_files_with("field: { takedown_min: 20 }\n")), SEL_OK);
    assert_true(files.plan.field.takedown_min == 20);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(walking_time_has_defaults_of_its_own),
        cmocka_unit_test(what_the_plan_says_of_walking_stands),
        cmocka_unit_test(walking_without_end_is_refused),
        cmocka_unit_test(access_needs_a_place_to_begin),
        cmocka_unit_test(a_season_may_cross_new_year),
        cmocka_unit_test(a_season_of_one_day_or_a_leap_year_is_fine),
        cmocka_unit_test(a_season_that_ends_before_it_begins_is_refused),
        cmocka_unit_test(a_season_longer_than_a_year_is_refused),
        cmocka_unit_test(half_a_season_is_refused),
        cmocka_unit_test(years_beyond_the_sun_formulas_are_refused),
        cmocka_unit_test(quotas_that_contradict_are_refused),
        cmocka_unit_test(blocks_and_their_quotas_need_each_other),
        cmocka_unit_test(a_limit_needs_a_worse_side),
        cmocka_unit_test(something_must_have_a_weight),
        cmocka_unit_test(one_raster_for_both_is_a_slip),
        cmocka_unit_test(the_habitat_of_lines_must_exist),
        cmocka_unit_test(the_habitats_of_a_contrast_must_exist_and_differ),
        cmocka_unit_test(a_pair_is_contrasted_once),
        cmocka_unit_test(a_country_is_two_capital_letters_and_a_region_a_name),
        cmocka_unit_test(taking_down_takes_half_the_set_up_unless_the_plan_says_so),
    };
    return cmocka_run_group_tests(tests, open_files, close_files);
}
