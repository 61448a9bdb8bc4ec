// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "plan/plan.h"
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

// The plan of the design page, with walking distance in place of walking time.
static const char design_plan[] =
    "plan: 1\n"
    "title: Alder Brook flyways\n"
    "rasters:\n"
    "  landcover: landcover.tif\n"
    "  elevation: elevation.tif\n"
    "  canopy: canopy.tif              # optional: vegetation height, m\n"
    "habitats: habitats.csv            # or the name of a built-in legend\n"
    "grid: { crs: auto, cell_m: auto } # optional\n"
    "area: { file: area.gpkg }         # optional study area\n"
    "lines:                            # narrow habitats that a land-cover raster misses\n"
    "  - { file: brook.gpkg, habitat: brook, width_m: 4 }\n"
    "  - { file: hedges.gpkg, habitat: hedge, width_m: 6 }\n"
    "access:\n"
    "  - { file: roads.gpkg, role: start }   # reachable by vehicle: the walk begins here\n"
    "  - { file: paths.gpkg, role: way }     # walked at path speed\n"
    "parcels: { file: parcels.gpkg, name: parcel, owner: owner_ref }\n"
    "zones:\n"
    "  - { file: zones.gpkg, layer: core, rule: exclude, reason: nesting colony }\n"
    "  - { file: zones.gpkg, layer: meadow, rule: no_clearing, reason: hay-meadow agreement }\n"
    "  - { file: zones.gpkg, layer: pasture, rule: note, reason: cattle from June }\n"
    "occupied: { file: running.gpkg }  # traps that already stand\n"
    "season: { from: 2027-05-15, to: 2027-08-31 }\n"
    "edges: { min_patch_m2: 2000 }\n"
    "flyways: { every_m: auto, reach_m: auto, belt_m: auto, flight: across }\n"
    "criteria:\n"
    "  edge_contrast: { weight: 4, value: [[0.1, 0], [0.7, 1]] }\n"
    "  slope:         { weight: 2, value: [[5, 1], [20, 0]], limit: 25 }\n"
    "  sun:           { weight: 2, value: [[0.3, 0], [0.8, 1]] }\n"
    "  access:        { weight: 1, by: distance, value: [[100, 1], [3000, 0]], limit: 4000 }\n"
    "choose: { sites: 12, apart_m: 400, reserves: 1, per_pair: { max: 4 } }\n";

static void is_file(const char *path, const char *name) {
    char *wanted = plan_files_path(&files, name);
    assert_string_equal(path, wanted);
    free(wanted);
}

static void is_criterion(
    enum sel_criterion which, double weight, double at0, double worth0, double at1, double worth1) {
    const struct sel_plan_criterion *criterion = &files.plan.criteria[which];
    assert_true(criterion->weight == weight);
    assert_int_equal(criterion->value_count, 2);
    assert_true(criterion->value[0].at == at0 && criterion->value[0].worth == worth0);
    assert_true(criterion->value[1].at == at1 && criterion->value[1].worth == worth1);
}

static void is_date(struct sel_date date, int year, int month, int day) {
    assert_int_equal(date.year, year);
    assert_int_equal(date.month, month);
    assert_int_equal(date.day, day);
}

static void the_plan_of_the_design_is_understood(void **state) {
    (void)state;
    assert_int_equal(plan_files_read(&files, design_plan), SEL_OK);
    const struct sel_plan *plan = &files.plan;
    is_file(plan->path, "survey.yaml");
    assert_string_equal(plan->folder, files.folder);
    assert_int_equal(plan->version, 1);
    assert_string_equal(plan->title, "Alder Brook flyways");
    is_file(plan->landcover.file, "landcover.tif");
    is_file(plan->elevation.file, "elevation.tif");
    is_file(plan->canopy.file, "canopy.tif");
    assert_int_equal(plan->landcover.band, 1);
    assert_int_equal(plan->canopy.unit, SEL_UNIT_FROM_FILE);
    assert_int_equal(plan->elevation.place.line, 5);
    is_file(plan->habitats_source, "habitats.csv");
    assert_false(plan->habitats_is_legend);
    assert_int_equal(plan->habitats.count, 4);
    assert_null(plan->crs);
    assert_true(isnan(plan->cell_m));
    is_file(plan->area.file, "area.gpkg");
    assert_null(plan->area.layer);
    assert_int_equal(plan->area.place.line, 9);
}

static void the_layers_of_the_design_are_understood(void **state) {
    (void)state;
    assert_int_equal(plan_files_read(&files, design_plan), SEL_OK);
    const struct sel_plan *plan = &files.plan;
    assert_int_equal(plan->lines_count, 2);
    is_file(plan->lines[1].source.file, "hedges.gpkg");
    assert_string_equal(plan->lines[1].habitat, "hedge");
    assert_true(plan->lines[1].width_m == 6.0);
    assert_int_equal(plan->lines[1].source.place.line, 12);
    assert_int_equal(plan->access_count, 2);
    assert_int_equal(plan->access[0].role, SEL_ACCESS_START);
    assert_int_equal(plan->access[1].role, SEL_ACCESS_WAY);
    is_file(plan->access[1].source.file, "paths.gpkg");
    is_file(plan->parcels.file, "parcels.gpkg");
    assert_string_equal(plan->parcel_name, "parcel");
    assert_string_equal(plan->parcel_owner, "owner_ref");
    assert_int_equal(plan->zones_count, 3);
    assert_int_equal(plan->zones[0].rule, SEL_ZONE_EXCLUDE);
    assert_int_equal(plan->zones[1].rule, SEL_ZONE_NO_CLEARING);
    assert_int_equal(plan->zones[2].rule, SEL_ZONE_NOTE);
    assert_string_equal(plan->zones[2].source.layer, "pasture");
    assert_string_equal(plan->zones[0].reason, "nesting colony");
    is_file(plan->occupied.file, "running.gpkg");
    assert_int_equal(plan->contrast_count, 0);
}

static void the_numbers_of_the_design_are_understood(void **state) {
    (void)state;
    assert_int_equal(plan_files_read(&files, design_plan), SEL_OK);
    const struct sel_plan *plan = &files.plan;
    is_date(plan->season_from, 2027, 5, 15);
    is_date(plan->season_to, 2027, 8, 31);
    assert_true(plan->min_patch_m2 == 2000.0);
    assert_true(isnan(plan->tangent_m) && isnan(plan->every_m));
    assert_true(isnan(plan->reach_m) && isnan(plan->belt_m));
    assert_int_equal(plan->flight, SEL_FLIGHT_ACROSS);
    assert_true(plan->opening_m == 4.0);
    is_criterion(SEL_CRITERION_EDGE_CONTRAST, 4, 0.1, 0, 0.7, 1);
    is_criterion(SEL_CRITERION_SLOPE, 2, 5, 1, 20, 0);
    is_criterion(SEL_CRITERION_SUN, 2, 0.3, 0, 0.8, 1);
    is_criterion(SEL_CRITERION_ACCESS, 1, 100, 1, 3000, 0);
    assert_true(plan->criteria[SEL_CRITERION_SLOPE].has_limit);
    assert_true(plan->criteria[SEL_CRITERION_SLOPE].limit == 25.0);
    assert_false(plan->criteria[SEL_CRITERION_SUN].has_limit);
    assert_int_equal(plan->criteria[SEL_CRITERION_ACCESS].by, SEL_ACCESS_BY_DISTANCE);
    assert_int_equal(plan->criteria[SEL_CRITERION_ACCESS].place.line, 29);
    assert_int_equal(plan->aggregate, SEL_MEAN_ARITHMETIC);
    assert_int_equal(plan->choose.sites, 12);
    assert_true(plan->choose.apart_m == 400.0);
    assert_int_equal(plan->choose.reserves, 1);
    assert_int_equal(plan->choose.pair_min, 0);
    assert_int_equal(plan->choose.pair_max, 4);
}

static void the_field_days_are_read(void **state) {
    (void)state;
    char text[1024];
    snprintf(text, sizeof text,
        "%sfield: { day_hours: 6.5, interval_days: 9, setup_min: 45, service_min: 20, travel_kmh: "
        "30,\n  fluid_ml: 350, pans: 3, pan_ml: 200, trap_type: \"tent, grey\",\n"
        "  preservative: ethanol 80 %%, collector: A. Weir, label_code: true }\n",
        plan_files_least);
    assert_int_equal(plan_files_read(&files, text), SEL_OK);
    const struct sel_plan_field *field = &files.plan.field;
    assert_true(field->day_hours == 6.5 && field->travel_kmh == 30);
    assert_true(field->fluid_ml == 350 && field->pan_ml == 200);
    assert_int_equal(field->interval_days, 9);
    assert_int_equal(field->setup_min, 45);
    assert_int_equal(field->service_min, 20);
    assert_int_equal(field->pans, 3);
    assert_string_equal(field->trap_type, "tent, grey");
    assert_string_equal(field->preservative, "ethanol 80 %");
    assert_string_equal(field->collector, "A. Weir");
    assert_int_equal(field->label_code, 1);
}

// Heads are changed after about 7 days (common practice, no source).
static void the_field_days_have_defaults(void **state) {
    (void)state;
    assert_int_equal(plan_files_read(&files, plan_files_least), SEL_OK);
    assert_int_equal(files.plan.field.interval_days, 7);
    assert_true(files.plan.field.day_hours == 8);
    assert_null(files.plan.field.preservative);
    assert_null(files.plan.field.collector);
    assert_non_null(files.plan.field.trap_type);
    assert_int_equal(files.plan.field.label_code, 0);
}

static void two_rasters_and_a_table_are_enough(void **state) {
    (void)state;
    assert_int_equal(plan_files_read(&files, plan_files_least), SEL_OK);
    const struct sel_plan *plan = &files.plan;
    assert_int_equal(plan->version, 1);
    assert_null(plan->canopy.file);
    assert_null(plan->area.file);
    assert_null(plan->parcels.file);
    assert_null(plan->occupied.file);
    assert_int_equal(plan->lines_count + plan->access_count + plan->zones_count, 0);
    is_date(plan->season_from, 2027, 5, 15);
    is_date(plan->season_to, 2027, 8, 31);
    is_criterion(SEL_CRITERION_EDGE_CONTRAST, 4, 0.1, 0, 0.7, 1);
    is_criterion(SEL_CRITERION_SLOPE, 2, 5, 1, 20, 0);
    is_criterion(SEL_CRITERION_SUN, 2, 0.3, 0, 0.8, 1);
    assert_true(plan->criteria[SEL_CRITERION_SLOPE].limit == 25.0);
    assert_true(plan->criteria[SEL_CRITERION_ACCESS].weight == 1.0);
    assert_int_equal(plan->choose.sites, 12);
    assert_int_equal(plan->choose.pair_max, 0);
    assert_int_equal(sel_plan_place(plan, "season.from").line, 0);
    assert_int_equal(sel_plan_place(plan, "rasters.elevation").line, 1);
    assert_int_equal(sel_plan_place(plan, "habitats").line, 2);
    assert_int_equal(sel_plan_place(plan, "no.such.key").line, 0);
}

static void a_path_is_relative_to_the_plan_unless_it_says_otherwise(void **state) {
    (void)state;
    char text[4096];
    snprintf(text, sizeof text,
        "rasters: { landcover: %s/landcover.tif, elevation: /vsizip/dem.zip/dem.tif }\n"
        "habitats: worldcover\n",
        files.folder);
    assert_int_equal(plan_files_read(&files, text), SEL_OK);
    is_file(files.plan.landcover.file, "landcover.tif");
    assert_string_equal(files.plan.elevation.file, "/vsizip/dem.zip/dem.tif");
    assert_true(files.plan.habitats_is_legend);
    assert_string_equal(files.plan.habitats_source, "worldcover");
}

static void a_file_named_like_a_legend_wins(void **state) {
    (void)state;
    plan_files_write(&files, "nlcd", plan_files_table);
    assert_int_equal(plan_files_read(&files, "rasters: { landcover: landcover.tif, elevation: "
                                             "elevation.tif }\nhabitats: nlcd\n"),
        SEL_OK);
    assert_false(files.plan.habitats_is_legend);
    assert_int_equal(files.plan.habitats.count, 4);
}

static void a_missing_plan_is_bad_input(void **state) {
    (void)state;
    char *path = plan_files_path(&files, "other.yaml");
    sel_context_begin(files.context);
    sel_plan_clear(&files.plan);
    assert_int_equal(sel_plan_read(files.context, path, &files.plan), SEL_BAD_INPUT);
    plan_files_message(&files, "@/other.yaml: cannot be read: No such file or directory: check its "
                               "name and permissions");
    assert_null(files.plan.path);
    free(path);
}

static void a_plan_over_a_mebibyte_is_refused(void **state) {
    (void)state;
    size_t length = (1 << 20) + 1;
    char *text = malloc(length + 1);
    assert_non_null(text);
    memset(text, '#', length);
    text[length] = '\0';
    plan_files_refused(&files, text,
        "@/survey.yaml: is larger than 1048576 bytes: is it "
        "the right file?");
    free(text);
}

static void criteria_have_names_and_units(void **state) {
    (void)state;
    assert_string_equal(sel_criterion_name(SEL_CRITERION_EDGE_CONTRAST), "edge_contrast");
    assert_string_equal(sel_criterion_name(SEL_CRITERION_ACCESS), "access");
    assert_string_equal(sel_criterion_unit(SEL_CRITERION_EDGE_CONTRAST), "");
    assert_string_equal(sel_criterion_unit(SEL_CRITERION_SLOPE), "deg");
    assert_string_equal(sel_criterion_unit(SEL_CRITERION_SUN), "share");
    assert_string_equal(sel_criterion_unit(SEL_CRITERION_ACCESS), "m");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_plan_of_the_design_is_understood),
        cmocka_unit_test(the_layers_of_the_design_are_understood),
        cmocka_unit_test(the_numbers_of_the_design_are_understood),
        cmocka_unit_test(the_field_days_are_read),
        cmocka_unit_test(the_field_days_have_defaults),
        cmocka_unit_test(two_rasters_and_a_table_are_enough),
        cmocka_unit_test(a_path_is_relative_to_the_plan_unless_it_says_otherwise),
        cmocka_unit_test(a_file_named_like_a_legend_wins),
        cmocka_unit_test(a_missing_plan_is_bad_input),
        cmocka_unit_test(a_plan_over_a_mebibyte_is_refused),
        cmocka_unit_test(criteria_have_names_and_units),
    };
    return cmocka_run_group_tests(tests, open_files, close_files);
}
