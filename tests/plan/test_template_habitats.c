// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "plan/template.h"
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

static sel_status read_back(const char *text, struct sel_habitats *habitats) {
    char *path = plan_files_path(&files, "started.csv");
    plan_files_write(&files, "started.csv", text);
    sel_context_begin(files.context);
    sel_status status = sel_habitats_read(files.context, path, habitats);
    free(path);
    return status;
}

static char *table_of(
    const char *legend, const struct sel_class_count *classes, size_t count, double cell_area_m2) {
    struct sel_text text;
    sel_text_init(&text);
    sel_template_habitats(
        legend ? sel_legend_get(legend) : NULL, classes, count, cell_area_m2, &text);
    return sel_text_take(&text);
}

// Areas by hand: 250 cells of 900 m2 are 22.5 ha, 750 are 67.5 ha.
static void a_known_class_is_filled_in_and_measured(void **state) {
    (void)state;
    static const struct sel_class_count classes[] = {{90, 250}, {21, 750}};
    char *text = table_of("nlcd", classes, 2, 900.0);
    assert_string_equal(text,
        "value,habitat,canopy_m,cover,wetness,edge,walk,trap,water,ground,support,cells,area_ha,"
        "share,legend_name,note\n"
        "90,woody wetland,12,0.7,0.9,1,0.4,yes,no,wet,yes,250,22.50,0.2500,Woody wetlands,traits "
        "are our estimate\n"
        "21,lawns and verges,2,0.15,0.25,0.15,1,no,no,firm,no,750,67.50,0.7500,\"Developed, open "
        "space\",traits are our estimate\n");
    struct sel_habitats habitats;
    assert_int_equal(read_back(text, &habitats), SEL_OK);
    assert_int_equal(habitats.count, 2);
    sel_habitats_clear(&habitats);
    free(text);
}

static void an_unknown_class_is_left_blank_and_refused_until_filled(void **state) {
    (void)state;
    static const struct sel_class_count classes[] = {{7, 10}, {-3, 30}};
    char *text = table_of(NULL, classes, 2, (double)NAN);
    assert_string_equal(text,
        "value,habitat,canopy_m,cover,wetness,edge,walk,trap,water,ground,support,cells,area_ha,"
        "share,legend_name,note\n"
        "7,class 7,,,,,,,,,,10,,0.2500,,name it and fill in its traits\n"
        "-3,class -3,,,,,,,,,,30,,0.7500,,name it and fill in its traits\n");
    struct sel_habitats habitats;
    assert_int_equal(read_back(text, &habitats), SEL_BAD_INPUT);
    plan_files_message(&files,
        "@/started.csv:2: canopy_m: is blank for habitat \"class 7\": fill in every trait "
        "(docs/habitats.md tells how): give the height of the vegetation in metres, 0..120");
    free(text);
}

static void a_class_that_the_legend_lacks_is_left_blank(void **state) {
    (void)state;
    static const struct sel_class_count classes[] = {{11, 1}, {77, 1}};
    char *text = table_of("nlcd", classes, 2, 1.0);
    assert_non_null(strstr(text, "\n11,open water,0,0,1,0.3,0,no,yes,wet,no,1,"));
    assert_non_null(strstr(text, "\n77,class 77,,,,,,,,,,1,"));
    free(text);
}

static void no_class_is_a_header_alone(void **state) {
    (void)state;
    char *text = table_of(NULL, NULL, 0, 1.0);
    assert_int_equal(strcspn(text, "\n"), strlen(text) - 1);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_known_class_is_filled_in_and_measured),
        cmocka_unit_test(an_unknown_class_is_left_blank_and_refused_until_filled),
        cmocka_unit_test(a_class_that_the_legend_lacks_is_left_blank),
        cmocka_unit_test(no_class_is_a_header_alone),
    };
    return cmocka_run_group_tests(tests, open_files, close_files);
}
