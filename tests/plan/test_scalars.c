// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include <cmocka.h>

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

static void a_number_out_of_range_names_range_and_mend(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("choose: { sites: 0 }\n"),
        "@/survey.yaml:3: choose.sites: 0 is not in 1..1000: give how many sites to choose");
    plan_files_refused(&files, plan_files_with("choose:\n  apart_m: -5\n"),
        "@/survey.yaml:4: choose.apart_m: -5 is not in 0..1000000 m: give the least distance "
        "between any two sites");
    plan_files_refused(&files, plan_files_with("choose: { reserves: 6 }\n"),
        "@/survey.yaml:3: choose.reserves: 6 is not in 0..5: give how many reserves to keep for "
        "each site");
    plan_files_refused(&files, plan_files_with("output: { candidates: 9999999999999 }\n"),
        "@/survey.yaml:3: output.candidates: 9999999999999 is not in 0..100000000: give how many "
        "of the best candidates to write, besides all sites; 0 for no such layer");
}

static void a_plan_of_another_version_is_refused(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("plan: 2\n"),
        "@/survey.yaml:3: plan: 2 is not in 1..1: give the version of the plan's format, which is "
        "1");
}

static void a_word_where_a_number_belongs_is_refused(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("choose: { sites: many }\n"),
        "@/survey.yaml:3: choose.sites: \"many\" is not a whole number: give how many sites to "
        "choose");
    plan_files_refused(&files, plan_files_with("choose: { sites: 3.5 }\n"),
        "@/survey.yaml:3: choose.sites: \"3.5\" is not a whole number: give how many sites to "
        "choose");
    plan_files_refused(&files, plan_files_with("choose: { apart_m: 400 m }\n"),
        "@/survey.yaml:3: choose.apart_m: \"400 m\" is not a number: give the least distance "
        "between any two sites, as digits with a point and without a unit");
    plan_files_refused(&files, plan_files_with("flyways: { belt_m: wide }\n"),
        "@/survey.yaml:3: flyways.belt_m: \"wide\" is not a number or auto: give how wide a flyway "
        "is; auto is the larger of 20 m and 2 cells, as digits with a point and without a unit");
    plan_files_refused(&files, plan_files_with("choose: { apart_m: auto }\n"),
        "@/survey.yaml:3: choose.apart_m: \"auto\" is not a number: give the least distance "
        "between any two sites, as digits with a point and without a unit");
    plan_files_refused(&files, plan_files_with("seed: -1\n"),
        "@/survey.yaml:3: seed: -1 is not in 0..4294967295: give a number that starts every random "
        "draw, so that a run can be repeated");
}

static void a_list_where_one_value_belongs_is_refused(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("choose: { sites: [1, 2] }\n"),
        "@/survey.yaml:3: choose.sites: is a list where one value is expected: give how many sites "
        "to choose");
    plan_files_refused(&files, plan_files_with("title: { a: b }\n"),
        "@/survey.yaml:3: title: is a mapping where one value is expected: give a title for the "
        "outputs");
    plan_files_refused(&files, plan_files_with("edges: { min_patch_m2: [1] }\n"),
        "@/survey.yaml:3: edges.min_patch_m2: is a list where one value is expected: give the area "
        "below which a compact patch is a speck that joins its surroundings");
    plan_files_refused(&files, plan_files_with("area: { file: [a] }\n"),
        "@/survey.yaml:3: area.file: is a list where one value is expected: give the path of the "
        "study area's polygons");
    plan_files_refused(&files, plan_files_with("flyways: { flight: [along] }\n"),
        "@/survey.yaml:3: flyways.flight: is a list where one value is expected: give the insects' "
        "flight to stand against: across the edge or along it");
    plan_files_refused(&files, plan_files_with("season: { from: [1], to: 2027-06-01 }\n"),
        "@/survey.yaml:3: season.from: is a list where one value is expected: give the first day, "
        "as year-month-day");
}

static void a_word_outside_the_choice_lists_the_choice(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("flyways: { flight: accross }\n"),
        "@/survey.yaml:3: flyways.flight: \"accross\" is not one of across, along: give the "
        "insects' flight to stand against: across the edge or along it");
    plan_files_refused(&files, plan_files_with("zones:\n - { file: zones.gpkg, rule: forbid }\n"),
        "@/survey.yaml:4: zones[].rule: \"forbid\" is not one of exclude, no_clearing, note: give "
        "exclude for no trap at all, no_clearing for traps without cutting, note for a remark "
        "only");
    plan_files_refused(&files, plan_files_with("score: { mean: harmonic }\n"),
        "@/survey.yaml:3: score.mean: \"harmonic\" is not one of arithmetic, geometric: give the "
        "mean: arithmetic lets a strong side make up for a weak one, geometric hardly");
}

static void a_missing_file_names_the_path_that_was_looked_for(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("area: { file: aera.gpkg }\n"),
        "@/survey.yaml:3: area.file: aera.gpkg: no such file (looked for @/aera.gpkg): mend the "
        "path, which is relative to the plan's folder");
    plan_files_refused(&files, plan_files_with("access: road.gpkg\n"),
        "@/survey.yaml:3: access[].file: road.gpkg: no such file (looked for @/road.gpkg): mend "
        "the path, which is relative to the plan's folder");
    plan_files_refused(&files,
        "rasters:\n  landcover: landcover.tif\n  elevation: dem.tif\nhabitats: habitats.csv\n",
        "@/survey.yaml:3: rasters.elevation.file: dem.tif: no such file (looked for @/dem.tif): "
        "mend the path, which is relative to the plan's folder");
}

static void a_web_address_is_shown_the_way_through_gdal(void **state) {
    (void)state;
    plan_files_refused(&files,
        "rasters:\n  landcover: landcover.tif\n"
        "  elevation: https://maps.example/dem.tif\nhabitats: habitats.csv\n",
        "@/survey.yaml:3: rasters.elevation.file: https://maps.example/dem.tif: is an address, not "
        "a path: GDAL reads http addresses as /vsicurl/http...");
}

static void a_virtual_path_is_not_looked_for(void **state) {
    (void)state;
    assert_int_equal(
        plan_files_read(&files, plan_files_with("area: /vsicurl/https://maps.example/a.gpkg\n")),
        SEL_OK);
    assert_string_equal(files.plan.area.file, "/vsicurl/https://maps.example/a.gpkg");
}

static void a_blank_or_broken_text_is_refused(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("title: \" \"\n"),
        "@/survey.yaml:3: title: is blank: give a title for the outputs");
    plan_files_refused(&files, plan_files_with("title: \"a\\nb\"\n"),
        "@/survey.yaml:3: title: \"a?b\": holds a line break or another control character: write "
        "it in one line");
    plan_files_refused(&files, plan_files_with("area: \"\"\n"),
        "@/survey.yaml:3: area.file: is blank: give the path of the study area's polygons");
}

static void a_day_that_does_not_exist_is_refused(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("season:\n  from: 2027-02-29\n  to: 2027-08-31\n"),
        "@/survey.yaml:4: season.from: \"2027-02-29\" is no day of the calendar: give the first "
        "day, as year-month-day, like 2027-05-15");
    plan_files_refused(&files, plan_files_with("season: { from: 2027-05-15, to: 31.8.2027 }\n"),
        "@/survey.yaml:3: season.to: \"31.8.2027\" is no day of the calendar: give the last day, "
        "as year-month-day, like 2027-05-15");
}

static void auto_and_numbers_stand_side_by_side(void **state) {
    (void)state;
    assert_int_equal(
        plan_files_read(&files, plan_files_with("grid: { crs: EPSG:32633, cell_m: 12.5 }\n"
                                                "flyways: { every_m: 80, belt_m: auto }\n"
                                                "edges: { tangent_m: 30 }\n"
                                                "seed: 4294967295\n")),
        SEL_OK);
    assert_string_equal(files.plan.crs, "EPSG:32633");
    assert_true(files.plan.cell_m == 12.5);
    assert_true(files.plan.every_m == 80.0);
    assert_true(files.plan.belt_m != files.plan.belt_m);
    assert_true(files.plan.tangent_m == 30.0);
    assert_true(files.plan.seed == 4294967295u);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_number_out_of_range_names_range_and_mend),
        cmocka_unit_test(a_plan_of_another_version_is_refused),
        cmocka_unit_test(a_word_where_a_number_belongs_is_refused),
        cmocka_unit_test(a_list_where_one_value_belongs_is_refused),
        cmocka_unit_test(a_word_outside_the_choice_lists_the_choice),
        cmocka_unit_test(a_missing_file_names_the_path_that_was_looked_for),
        cmocka_unit_test(a_web_address_is_shown_the_way_through_gdal),
        cmocka_unit_test(a_virtual_path_is_not_looked_for),
        cmocka_unit_test(a_blank_or_broken_text_is_refused),
        cmocka_unit_test(a_day_that_does_not_exist_is_refused),
        cmocka_unit_test(auto_and_numbers_stand_side_by_side),
    };
    return cmocka_run_group_tests(tests, open_files, close_files);
}
