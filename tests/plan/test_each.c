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
#include "plan/keys.h"
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

// Rows as "key = value" lines, "*" before those that stand by default.
static struct sel_text rows;

static sel_status keep_row(void *user, const char *key, const char *value, bool is_default) {
    (void)user;
    sel_text_addf(&rows, "%s%s = %s\n", is_default ? "*" : "", key, value);
    return SEL_OK;
}

static void list_plan(const char *more) {
    sel_text_clear(&rows);
    assert_int_equal(plan_files_read(&files, plan_files_with(more)), SEL_OK);
    assert_int_equal(sel_plan_each(files.context, &files.plan, keep_row, NULL), SEL_OK);
}

static void has_row(const char *row) {
    char line[256];
    snprintf(line, sizeof line, "\n%s\n", row);
    if (!strstr(rows.chars, line))
        fail_msg("no row %s in\n%s", row, rows.chars);
}

static void defaults_are_listed_as_the_table_writes_them(void **state) {
    (void)state;
    list_plan("");
    assert_ptr_equal(strstr(rows.chars, "*plan = 1\n"), rows.chars);
    size_t count;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    for (size_t i = 0; i < count; i++) {
        bool in_optional = strstr(keys[i].name, "[]") || strstr(keys[i].name, "canopy") ||
                           strstr(keys[i].name, "choose.blocks.");
        if (!keys[i].fallback || in_optional || strcmp(keys[i].name, "plan") == 0)
            continue;
        char row[256];
        snprintf(row, sizeof row, "*%s = %s", keys[i].name, keys[i].fallback);
        has_row(row);
    }
    sel_text_clear(&rows);
}

static void what_is_absent_reads_none(void **state) {
    (void)state;
    list_plan("");
    static const char *const absent[] = {"rasters.canopy", "contrast", "area", "lines", "access",
        "parcels", "zones", "occupied", "weights", "choose.blocks"};
    for (size_t i = 0; i < sizeof absent / sizeof absent[0]; i++) {
        char row[64];
        snprintf(row, sizeof row, "*%s = none", absent[i]);
        has_row(row);
    }
    assert_null(strstr(rows.chars, "area.file"));
    sel_text_clear(&rows);
}

static void what_the_plan_says_is_no_default(void **state) {
    (void)state;
    list_plan("title: \"Weir: \\\"north\\\"\"\n"
              "area: { file: area.gpkg, layer: valley }\n"
              "season: { from: 2027-05-15, to: 2027-09-01 }\n"
              "flyways: { every_m: 62.5, flight: along }\n"
              "criteria: { slope: { value: [[0, 1], [7.5, 0.25], [30, 0]], limit: none } }\n"
              "output: { candidates: 0 }\n");
    has_row("title = Weir: \"north\"");
    has_row("area.layer = valley");
    has_row("season.from = 2027-05-15");
    has_row("season.to = 2027-09-01");
    has_row("flyways.every_m = 62.5");
    has_row("*flyways.reach_m = auto");
    has_row("flyways.flight = along");
    has_row("criteria.slope.value = [[0, 1], [7.5, 0.25], [30, 0]]");
    has_row("criteria.slope.limit = none");
    has_row("*criteria.slope.weight = 2");
    has_row("output.candidates = 0");
    sel_text_clear(&rows);
}

static void entries_of_lists_are_numbered_from_one(void **state) {
    (void)state;
    list_plan("lines:\n  - { file: brook.gpkg, habitat: brook, width_m: 4 }\n"
              "  - { file: hedges.gpkg, layer: old, habitat: hedge, width_m: 6 }\n"
              "zones: { file: zones.gpkg, rule: note }\naccess: roads.gpkg\n");
    has_row("lines[2].file = hedges.gpkg");
    has_row("*lines[1].layer = none");
    has_row("lines[2].layer = old");
    has_row("lines[2].width_m = 6");
    has_row("zones[1].rule = note");
    has_row("*zones[1].reason = not stated");
    has_row("*access[1].role = start");
    sel_text_clear(&rows);
}

static void an_order_of_importance_is_listed_with_its_weights(void **state) {
    (void)state;
    list_plan("weights: [slope, edge_contrast]\n");
    has_row("weights = [slope, edge_contrast]");
    has_row("criteria.slope.weight = 0.75");
    has_row("criteria.edge_contrast.weight = 0.25");
    has_row("criteria.sun.weight = 0");
    sel_text_clear(&rows);
}

static sel_status stop_at_sites(void *user, const char *key, const char *value, bool is_default) {
    (void)value, (void)is_default;
    (*(int *)user)++;
    return strcmp(key, "choose.sites") == 0 ? SEL_IO : SEL_OK;
}

static void a_row_that_fails_ends_the_list(void **state) {
    (void)state;
    int seen = 0;
    assert_int_equal(plan_files_read(&files, plan_files_least), SEL_OK);
    assert_int_equal(sel_plan_each(files.context, &files.plan, stop_at_sites, &seen), SEL_IO);
    assert_true(seen > 20 && seen < 60);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(defaults_are_listed_as_the_table_writes_them),
        cmocka_unit_test(what_is_absent_reads_none),
        cmocka_unit_test(what_the_plan_says_is_no_default),
        cmocka_unit_test(entries_of_lists_are_numbered_from_one),
        cmocka_unit_test(an_order_of_importance_is_listed_with_its_weights),
        cmocka_unit_test(a_row_that_fails_ends_the_list),
    };
    return cmocka_run_group_tests(tests, open_files, close_files);
}
