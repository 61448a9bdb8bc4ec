// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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

static void an_unknown_key_names_the_nearest_and_all_others(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("choose: { sties: 4 }\n"),
        "@/survey.yaml:3: choose.\"sties\": is no key of a plan: did you mean sites? Keys allowed "
        "here: sites, apart_m, reserves, per_pair, per_block, block_m, blocks, spread, relax");
    plan_files_refused(&files, plan_files_with("season: { from: 2027-05-01, until: 2027-06-01 }\n"),
        "@/survey.yaml:3: season.\"until\": is no key of a plan: keys allowed here: from, to");
    plan_files_refused(&files, plan_files_with("zones:\n  - file: zones.gpkg\n    role: exclude\n"),
        "@/survey.yaml:5: zones[].\"role\": is no key of a plan: did you mean rule? Keys allowed "
        "here: file, layer, rule, reason");
}

static void an_unknown_key_at_the_top_lists_the_sections(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("flyway: { every_m: 50 }\n"),
        "@/survey.yaml:3: \"flyway\": is no key of a plan: did you mean flyways? Keys allowed "
        "here: plan, title, rasters, habitats, contrast, grid, area, lines, access, parcels, "
        "zones, "
        "occupied, season, edges, flyways, criteria, weights, score, choose, uncertainty, field, "
        "permit, output, "
        "seed");
}

// Keys of the design that belong to later versions are no keys yet.
static void keys_of_later_versions_are_unknown(void **state) {
    (void)state;
    static const char *const lines[] = {"field: { days: 3 }\n", "permit: { days: 3 }\n"};
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        assert_int_equal(plan_files_read(&files, plan_files_with(lines[i])), SEL_BAD_INPUT);
        assert_non_null(strstr(sel_context_message(files.context), "is no key of a plan"));
    }
}

static void a_missing_raster_is_named(void **state) {
    (void)state;
    plan_files_refused(&files, "rasters:\n  landcover: landcover.tif\nhabitats: habitats.csv\n",
        "@/survey.yaml:1: rasters.elevation: is missing: give the raster of the ground's "
        "elevation");
    plan_files_refused(&files, "habitats: habitats.csv\n",
        "@/survey.yaml: rasters.landcover: is missing: give the land-cover raster, one whole "
        "number per class");
    plan_files_refused(&files,
        "rasters: { landcover: { band: 2 }, elevation: elevation.tif }\nhabitats: habitats.csv\n",
        "@/survey.yaml:1: rasters.landcover.file: is missing: give the path of the land-cover "
        "raster");
}

static void a_missing_habitat_table_is_named(void **state) {
    (void)state;
    plan_files_refused(&files, "rasters: { landcover: landcover.tif, elevation: elevation.tif }\n",
        "@/survey.yaml:1: habitats: is missing: give the path of a habitat table (CSV), or the "
        "name "
        "of a built-in legend");
}

static void a_required_key_of_an_entry_is_named_with_the_entrys_line(void **state) {
    (void)state;
    plan_files_refused(&files,
        plan_files_with("lines:\n  - { file: brook.gpkg, habitat: brook, width_m: 4 }\n"
                        "  - { file: hedges.gpkg, width_m: 4 }\n"),
        "@/survey.yaml:5: lines[].habitat: is missing: give the habitat of the habitat table that "
        "these lines are");
    plan_files_refused(&files, plan_files_with("parcels: { file: parcels.gpkg }\n"),
        "@/survey.yaml:3: parcels.name: is missing: give the attribute that holds the parcel's "
        "name or number");
}

static void nothing_after_a_key_is_refused(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("access:\n#  - roads.gpkg\n"),
        "@/survey.yaml:3: access: nothing is written after it: give roads, tracks and paths; "
        "without them the access criterion is left out, or take the key out");
    plan_files_refused(&files, plan_files_with("choose: { sites: ~ }\n"),
        "@/survey.yaml:3: choose.sites: nothing is written after it: give how many sites to "
        "choose, or take the key out");
}

static void a_section_that_is_a_value_or_a_list_is_refused(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("choose: 12\n"),
        "@/survey.yaml:3: choose: is \"12\" where keys with values are expected: give how many "
        "sites, and how spread");
    plan_files_refused(&files, plan_files_with("area: [area.gpkg]\n"),
        "@/survey.yaml:3: area: is a list where keys with values are expected, or a path alone: "
        "give the polygons of the study area; without them, all the rasters' common ground");
    plan_files_refused(&files, plan_files_with("zones: [zones.gpkg]\n"),
        "@/survey.yaml:3: zones[]: is \"zones.gpkg\" where keys with values are expected: give one "
        "layer, { file: zones.gpkg, rule: exclude, reason: nesting colony }");
}

static void an_empty_list_is_refused(void **state) {
    (void)state;
    plan_files_refused(&files, plan_files_with("lines: []\n"),
        "@/survey.yaml:3: lines: is an empty list: give narrow habitats that a land-cover raster "
        "misses: brooks, hedges, rides, or take the key out");
}

static void a_list_is_bounded(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_text_add(&text, "access: [");
    for (int i = 0; i < 1001; i++)
        sel_text_add(&text, "a,");
    sel_text_add(&text, "]\n");
    plan_files_refused(&files, plan_files_with(text.chars),
        "@/survey.yaml:3: access: has 1001 entries: give at most 1000");
    sel_text_clear(&text);
}

static void a_plan_without_keys_is_refused(void **state) {
    (void)state;
    plan_files_refused(
        &files, "", "@/survey.yaml: is empty: `selvedge start` writes a plan to begin with");
    plan_files_refused(&files, "# nothing\n---\n",
        "@/survey.yaml: is empty: `selvedge start` writes a plan to begin with");
    plan_files_refused(&files, "\n- a\n- b\n",
        "@/survey.yaml:2: a plan is made of lines like `title: Alder Brook`: see docs/plan.md");
}

static void a_path_alone_stands_for_a_section_or_a_list(void **state) {
    (void)state;
    assert_int_equal(
        plan_files_read(&files, plan_files_with("area: area.gpkg\noccupied: running.gpkg\n"
                                                "access: roads.gpkg\n")),
        SEL_OK);
    assert_non_null(strstr(files.plan.area.file, "area.gpkg"));
    assert_non_null(strstr(files.plan.occupied.file, "running.gpkg"));
    assert_int_equal(files.plan.access_count, 1);
    assert_int_equal(files.plan.access[0].role, SEL_ACCESS_START);
    assert_int_equal(files.plan.access[0].source.place.line, 5);
    assert_int_equal(
        plan_files_read(&files, plan_files_with("access: { file: paths.gpkg, layer: tracks }\n")),
        SEL_OK);
    assert_int_equal(files.plan.access_count, 1);
    assert_string_equal(files.plan.access[0].source.layer, "tracks");
    assert_int_equal(
        plan_files_read(
            &files, plan_files_with("access: [roads.gpkg, { file: paths.gpkg, role: way }]\n")),
        SEL_OK);
    assert_int_equal(files.plan.access_count, 2);
    assert_int_equal(files.plan.access[1].role, SEL_ACCESS_WAY);
}

static void a_raster_may_be_told_in_full(void **state) {
    (void)state;
    assert_int_equal(
        plan_files_read(&files, "rasters:\n"
                                "  landcover: { file: landcover.tif, band: 3 }\n"
                                "  elevation: { file: elevation.tif, band: 2, unit: ft }\n"
                                "  canopy: { file: canopy.tif, unit: dm }\n"
                                "habitats: habitats.csv\n"),
        SEL_OK);
    assert_int_equal(files.plan.landcover.band, 3);
    assert_int_equal(files.plan.elevation.band, 2);
    assert_int_equal(files.plan.elevation.unit, SEL_UNIT_FOOT);
    assert_int_equal(files.plan.canopy.band, 1);
    assert_int_equal(files.plan.canopy.unit, SEL_UNIT_DECIMETRE);
    assert_int_equal(files.plan.elevation.place.line, 3);
}

static void a_criterion_that_gives_some_keys_keeps_the_other_defaults(void **state) {
    (void)state;
    assert_int_equal(
        plan_files_read(&files, plan_files_with("criteria: { slope: { weight: 7 } }\n")), SEL_OK);
    const struct sel_plan_criterion *slope = &files.plan.criteria[SEL_CRITERION_SLOPE];
    assert_true(slope->weight == 7.0);
    assert_int_equal(slope->value_count, 2);
    assert_true(slope->value[1].at == 20.0);
    assert_true(slope->has_limit && slope->limit == 25.0);
    assert_int_equal(slope->place.line, 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_unknown_key_names_the_nearest_and_all_others),
        cmocka_unit_test(an_unknown_key_at_the_top_lists_the_sections),
        cmocka_unit_test(keys_of_later_versions_are_unknown),
        cmocka_unit_test(a_missing_raster_is_named),
        cmocka_unit_test(a_missing_habitat_table_is_named),
        cmocka_unit_test(a_required_key_of_an_entry_is_named_with_the_entrys_line),
        cmocka_unit_test(nothing_after_a_key_is_refused),
        cmocka_unit_test(a_section_that_is_a_value_or_a_list_is_refused),
        cmocka_unit_test(an_empty_list_is_refused),
        cmocka_unit_test(a_list_is_bounded),
        cmocka_unit_test(a_plan_without_keys_is_refused),
        cmocka_unit_test(a_path_alone_stands_for_a_section_or_a_list),
        cmocka_unit_test(a_raster_may_be_told_in_full),
        cmocka_unit_test(a_criterion_that_gives_some_keys_keeps_the_other_defaults),
    };
    return cmocka_run_group_tests(tests, open_files, close_files);
}
