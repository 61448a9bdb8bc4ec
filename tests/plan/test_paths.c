// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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

static void read_plan(const char *more) {
    char text[4096];
    snprintf(text, sizeof text, "%s%s", plan_files_least, more);
    assert_int_equal(plan_files_read(&files, text), SEL_OK);
}

static void a_path_is_resolved_and_kept_as_written(void **state) {
    (void)state;
    read_plan("area: { file: ./area.gpkg }\nlines:\n"
              "  - { file: brook.gpkg, habitat: brook, width_m: 4 }\n"
              "  - { file: hedges.gpkg, habitat: brook, width_m: 6 }\n");
    const struct sel_plan *plan = &files.plan;
    char *brook = plan_files_path(&files, "brook.gpkg");
    assert_string_equal(plan->lines[0].source.file, brook);
    free(brook);
    assert_string_equal(sel_plan_written(plan, plan->lines[0].source.file), "brook.gpkg");
    assert_string_equal(sel_plan_written(plan, plan->lines[1].source.file), "hedges.gpkg");
    assert_string_equal(sel_plan_written(plan, plan->area.file), "./area.gpkg");
    assert_string_equal(sel_plan_written(plan, plan->landcover.file), "landcover.tif");
    assert_string_equal(sel_plan_written(plan, plan->habitats_source), "habitats.csv");
}

static void a_whole_path_stays_whole(void **state) {
    (void)state;
    char *area = plan_files_path(&files, "area.gpkg"), more[4096];
    snprintf(more, sizeof more, "area: { file: %s }\n", area);
    read_plan(more);
    assert_string_equal(sel_plan_written(&files.plan, files.plan.area.file), area);
    free(area);
}

static void other_texts_come_back_as_they_are(void **state) {
    (void)state;
    read_plan("");
    const char other[] = "landcover.tif";
    assert_ptr_equal(sel_plan_written(&files.plan, other), other);
    assert_null(sel_plan_written(&files.plan, NULL));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_path_is_resolved_and_kept_as_written),
        cmocka_unit_test(a_whole_path_stays_whole),
        cmocka_unit_test(other_texts_come_back_as_they_are),
    };
    return cmocka_run_group_tests(tests, open_files, close_files);
}
