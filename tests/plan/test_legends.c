// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <gdal.h>
#include <math.h>
#include <ogr_api.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "plan/legends.h"
#include "plan_files.h"
#include "scene.h"

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

// Names of a legend's classes from tests/reference/legend-classes.csv, whose header line tells the
// source: legend;value;name.
static int check_reference_row(char *row) {
    char *rest = NULL;
    const char *name = strtok_r(row, ";", &rest);
    const char *value = strtok_r(NULL, ";", &rest);
    const char *published = strtok_r(NULL, "\n", &rest);
    const struct sel_legend *legend = sel_legend_get(name);
    assert_non_null(legend);
    const struct sel_legend_class *class = sel_legend_find(legend, strtoll(value, NULL, 10));
    if (!class)
        fail_msg("%s does not list %s", name, value);
    assert_string_equal(class->name, published);
    return 1;
}

// Every published class is listed under its published name, and nothing else is.
static void codes_and_names_are_the_published_ones(void **state) {
    (void)state;
    FILE *file = fopen(SEL_TEST_REFERENCE "/legend-classes.csv", "r");
    assert_non_null(file);
    char row[1024];
    size_t rows = 0, codes = 0;
    while (fgets(row, sizeof row, file))
        if (row[0] != '#' && strncmp(row, "legend;", 7) != 0)
            rows += (size_t)check_reference_row(row);
    fclose(file);
    const char *names[SEL_LEGENDS_MOST];
    size_t count = sel_legend_names(names);
    for (size_t i = 0; i < count; i++) {
        const struct sel_legend *legend = sel_legend_get(names[i]);
        for (size_t k = 0; k < legend->class_count; k++)
            codes += legend->classes[k].value == legend->classes[k].also ? 1 : 2;
    }
    assert_int_equal(rows, codes);
    assert_int_equal(rows, 11 + 20 + 44 + 44 + 23 + 17);
}

static void every_class_has_a_full_set_of_sane_traits(void **state) {
    (void)state;
    const char *names[SEL_LEGENDS_MOST];
    size_t count = sel_legend_names(names);
    for (size_t i = 0; i < count; i++) {
        const struct sel_legend *legend = sel_legend_get(names[i]);
        assert_non_null(legend->title);
        assert_non_null(legend->source);
        for (size_t k = 0; k < legend->class_count; k++) {
            const struct sel_legend_class *class = &legend->classes[k];
            assert_true(class->canopy_m >= 0 && class->canopy_m <= 30);
            assert_true(class->cover >= 0 && class->cover <= 1);
            assert_true(class->wetness >= 0 && class->wetness <= 1);
            assert_true(class->edge >= 0 && class->edge <= 1);
            assert_true(class->walk >= 0 && class->walk <= 1);
            assert_false(class->water && (class->trap || class->walk > 0));
            assert_false(class->cover > 0 && class->canopy_m == 0);
            assert_false(class->trap && class->walk == 0);
        }
    }
}

// What docs/habitats.md asks of traits: edges with built-up land are worth nothing, with bare
// ground and open water little; wet woods are the case that riparian surveys look for.
static void traits_follow_the_method(void **state) {
    (void)state;
    const struct sel_legend *nlcd = sel_legend_get("nlcd");
    const struct sel_legend_class *wet = sel_legend_find(nlcd, 90);
    assert_true(wet->canopy_m == 12 && wet->cover == 0.7 && wet->wetness == 0.9);
    assert_true(wet->edge == 1 && wet->trap && wet->support && wet->ground == SEL_GROUND_WET);
    assert_true(sel_legend_find(nlcd, 24)->edge == 0);
    assert_true(sel_legend_find(nlcd, 31)->edge <= 0.3);
    const struct sel_legend_class *water = sel_legend_find(nlcd, 11);
    assert_true(water->water && !water->trap && water->walk == 0 && water->edge <= 0.4);
}

static void a_legend_makes_a_habitat_table(void **state) {
    (void)state;
    struct sel_habitats habitats;
    assert_int_equal(sel_habitats_from_legend(files.context, "nlcd", &habitats), SEL_OK);
    assert_int_equal(habitats.value_count, 20);
    const struct sel_habitat *wet = sel_habitat_get(&habitats, sel_habitat_of_value(&habitats, 90));
    assert_string_equal(wet->name, "woody wetland");
    assert_int_equal(sel_habitat_of_value(&habitats, 22), sel_habitat_of_value(&habitats, 24));
    sel_habitats_clear(&habitats);
}

static void corine_knows_class_codes_and_grid_codes(void **state) {
    (void)state;
    struct sel_habitats habitats;
    assert_int_equal(sel_habitats_from_legend(files.context, "corine", &habitats), SEL_OK);
    assert_int_equal(habitats.value_count, 88);
    assert_int_equal(sel_habitat_of_value(&habitats, 311), sel_habitat_of_value(&habitats, 23));
    assert_int_equal(sel_habitat_of_value(&habitats, 523), sel_habitat_of_value(&habitats, 44));
    assert_int_equal(sel_habitat_of_value(&habitats, 45), SEL_HABITAT_UNKNOWN);
    sel_habitats_clear(&habitats);
}

static void an_unknown_legend_is_refused(void **state) {
    (void)state;
    struct sel_habitats habitats;
    sel_context_begin(files.context);
    assert_null(sel_legend_get("alder-brook"));
    assert_int_equal(
        sel_habitats_from_legend(files.context, "alder-brook", &habitats), SEL_BAD_INPUT);
    plan_files_message(
        &files, "\"alder-brook\": is no built-in legend: `selvedge legend` lists them");
}

static void check_same(const struct sel_habitats *a, const struct sel_habitats *b) {
    assert_int_equal(a->count, b->count);
    assert_int_equal(a->value_count, b->value_count);
    for (int i = 0; i < a->value_count; i++) {
        const struct sel_habitat *left = sel_habitat_get(a, a->values[i].id);
        assert_int_equal(a->values[i].value, b->values[i].value);
        const struct sel_habitat *right = sel_habitat_get(b, b->values[i].id);
        assert_string_equal(left->name, right->name);
        assert_true(left->canopy_m == right->canopy_m && left->cover == right->cover);
        assert_true(left->wetness == right->wetness && left->edge == right->edge);
        assert_true(left->walk == right->walk && left->trap == right->trap);
        assert_true(left->water == right->water && left->ground == right->ground);
        assert_true(left->support == right->support);
    }
}

static void a_printed_legend_reads_back_as_itself(void **state) {
    (void)state;
    const char *names[SEL_LEGENDS_MOST];
    size_t count = sel_legend_names(names);
    char *path = plan_files_path(&files, "printed.csv");
    for (size_t i = 0; i < count; i++) {
        struct sel_text text;
        sel_text_init(&text);
        sel_legend_print_csv(sel_legend_get(names[i]), &text);
        assert_non_null(strstr(text.chars, "traits are our estimate"));
        plan_files_write(&files, "printed.csv", text.chars);
        struct sel_habitats printed, built;
        assert_int_equal(sel_habitats_read(files.context, path, &printed), SEL_OK);
        assert_int_equal(sel_habitats_from_legend(files.context, names[i], &built), SEL_OK);
        check_same(&printed, &built);
        sel_habitats_clear(&printed);
        sel_habitats_clear(&built);
        sel_text_clear(&text);
    }
    free(path);
}

static void the_list_has_a_line_per_legend(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_legend_list(&text);
    assert_non_null(strstr(text.chars, "worldcover    11 classes  ESA WorldCover"));
    assert_non_null(strstr(text.chars, "\ncorine        44 classes  CORINE"));
    sel_text_clear(&text);
}

static const char *match(const int64_t *values, size_t count) {
    const struct sel_legend *legend = sel_legend_match(values, count);
    return legend ? legend->name : "none";
}

#define MATCH(...)                                                                                 \
    match((const int64_t[]){__VA_ARGS__}, sizeof(int64_t[]){__VA_ARGS__} / sizeof(int64_t))

static void values_that_only_one_legend_lists_match_it(void **state) {
    (void)state;
    assert_string_equal(MATCH(11, 21, 22, 41, 42, 52, 71, 90), "nlcd");
    assert_string_equal(MATCH(95, 80, 60, 50, 40, 30, 20, 10), "worldcover");
    assert_string_equal(MATCH(112, 211, 231, 311, 512), "corine");
    assert_string_equal(MATCH(2, 12, 18, 20, 23, 40, 41), "corine");
    assert_string_equal(MATCH(20, 30, 40, 80, 111, 114, 124), "cgls-lc100");
}

static void values_that_say_too_little_match_nothing(void **state) {
    (void)state;
    assert_string_equal(MATCH(11, 52, 71, 90), "none");         // too few
    assert_string_equal(MATCH(11, 52, 71, 90, 90, 90), "none"); // the same few, repeated
    assert_string_equal(MATCH(11, 52, 71, 90, 96), "none");     // one that nlcd does not list
    assert_string_equal(MATCH(1, 4, 5, 8, 10, 12), "none");     // corine or modis-igbp
    assert_string_equal(MATCH(20, 30, 40, 60, 80, 90), "none"); // worldcover or cgls-lc100
    assert_string_equal(MATCH(18, 19, 20, 21, 22, 23), "none"); // anyone's running numbers
    assert_string_equal(MATCH(10, 20, 30, 40, 50, 60), "none"); // anyone's tens
    assert_null(sel_legend_match(NULL, 0));
}

// Values found with an independent tool (GDAL's Python bindings) in public rasters: the CORINE
// raster of Sao Miguel, and the NLCD raster of Zion.
static void values_of_real_rasters_match_their_legend(void **state) {
    (void)state;
    assert_string_equal(
        MATCH(1, 2, 3, 5, 6, 7, 8, 9, 10, 11, 12, 16, 18, 20, 21, 23, 24, 25, 26, 27, 29, 41, 44),
        "corine");
    assert_string_equal(MATCH(11, 21, 22, 23, 31, 41, 42, 43, 52, 71, 81, 82, 90, 95), "nlcd");
}

static void check_attribute(OGRFeatureH feature) {
    const struct sel_legend *corine = sel_legend_get("corine");
    long long grid = OGR_F_GetFieldAsInteger64(feature, OGR_F_GetFieldIndex(feature, "Value"));
    const char *code = OGR_F_GetFieldAsString(feature, OGR_F_GetFieldIndex(feature, "CODE_18"));
    const char *label = OGR_F_GetFieldAsString(feature, OGR_F_GetFieldIndex(feature, "LABEL3"));
    const struct sel_legend_class *class = sel_legend_find(corine, grid);
    if (strcmp(label, "NODATA") == 0) {
        assert_null(class);
        return;
    }
    assert_non_null(class);
    assert_ptr_equal(class, sel_legend_find(corine, strtoll(code, NULL, 10)));
    assert_string_equal(class->name, label);
}

// The raster attribute table that the publisher puts beside its 100 m raster.
static void corine_agrees_with_the_publishers_attribute_table(void **state) {
    (void)state;
    const char *data = scene_real_data();
    if (!data)
        skip();
    char path[4200];
    snprintf(path, sizeof path, "%s/saomiguel/clc2018_v2020_20u1.tif.vat.dbf", data);
    GDALAllRegister();
    GDALDatasetH table = GDALOpenEx(path, GDAL_OF_VECTOR, NULL, NULL, NULL);
    assert_non_null(table);
    OGRLayerH layer = GDALDatasetGetLayer(table, 0);
    int rows = 0;
    OGRFeatureH feature;
    while ((feature = OGR_L_GetNextFeature(layer)) != NULL) {
        check_attribute(feature);
        OGR_F_Destroy(feature);
        rows++;
    }
    assert_int_equal(rows, 45);
    GDALClose(table);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(codes_and_names_are_the_published_ones),
        cmocka_unit_test(every_class_has_a_full_set_of_sane_traits),
        cmocka_unit_test(traits_follow_the_method),
        cmocka_unit_test(a_legend_makes_a_habitat_table),
        cmocka_unit_test(corine_knows_class_codes_and_grid_codes),
        cmocka_unit_test(an_unknown_legend_is_refused),
        cmocka_unit_test(a_printed_legend_reads_back_as_itself),
        cmocka_unit_test(the_list_has_a_line_per_legend),
        cmocka_unit_test(values_that_only_one_legend_lists_match_it),
        cmocka_unit_test(values_that_say_too_little_match_nothing),
        cmocka_unit_test(values_of_real_rasters_match_their_legend),
        cmocka_unit_test(corine_agrees_with_the_publishers_attribute_table),
    };
    return cmocka_run_group_tests(tests, open_files, close_files);
}
