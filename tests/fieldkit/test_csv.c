// SPDX-License-Identifier: MIT
//
// Comma-separated values as RFC 4180 has them, written and read.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fieldkit/csv.h"
#include "base/files.h"
#include "scene.h"

static sel_context *context;
static char *folder;
static char path[512];

static int open_folder(void **state) {
    (void)state;
    context = sel_context_new();
    folder = scene_folder();
    snprintf(path, sizeof path, "%s/a.csv", folder);
    return 0;
}

static int close_folder(void **state) {
    (void)state;
    scene_remove(folder);
    sel_context_free(context);
    return 0;
}

static sel_status read_bytes(const char *bytes, size_t length, struct sel_csv_table *table) {
    sel_context_begin(context);
    assert_int_equal(sel_write_file(context, path, bytes, length, true), SEL_OK);
    return sel_csv_read(context, path, table);
}

static void is_refused(const char *bytes, size_t length, const char *message) {
    struct sel_csv_table table;
    char expected[1024];
    assert_int_equal(read_bytes(bytes, length, &table), SEL_BAD_INPUT);
    snprintf(expected, sizeof expected, "%s%s", path, message);
    assert_string_equal(sel_context_message(context), expected);
    sel_csv_clear(&table);
}

// --- writing ---

static void cells_are_quoted_where_it_is_needed(void **state) {
    (void)state;
    struct sel_text csv;
    sel_text_init(&csv);
    sel_csv_cell(&csv, "plain");
    sel_csv_cell(&csv, "a,b");
    sel_csv_cell(&csv, "say \"a\"");
    sel_csv_cell(&csv, NULL);
    sel_csv_number(&csv, 1.25, 1);
    sel_csv_number(&csv, (double)NAN, 1);
    sel_csv_cell(&csv, " edge");
    sel_csv_cellf(&csv, "%d", 7);
    sel_csv_end(&csv);
    assert_string_equal(csv.chars, "plain,\"a,b\",\"say \"\"a\"\"\",,1.2,,\" edge\",7\n");
    sel_text_clear(&csv);
}

static void line_breaks_do_not_break_a_row(void **state) {
    (void)state;
    struct sel_text csv;
    sel_text_init(&csv);
    sel_csv_cell(&csv, "");
    sel_csv_cell(&csv, "one\ntwo\r\x1B[0m");
    sel_csv_end(&csv);
    assert_string_equal(csv.chars, "\"\",one\uFFFDtwo\uFFFD\uFFFD[0m\n");
    sel_text_clear(&csv);
}

// --- reading ---

static void fields_and_lines_are_found(void **state) {
    (void)state;
    static const char TEXT[] = "\xEF\xBB\xBFsite, note ,x\r\n"
                               "S01,\"two\nlines, and \"\"quotes\"\"\",\r\n"
                               "\r\n,,\r\n"
                               "S02, \"b\" ,3";
    struct sel_csv_table table;
    assert_int_equal(read_bytes(TEXT, strlen(TEXT), &table), SEL_OK);
    assert_int_equal(table.columns, 3);
    assert_int_equal(table.record_count, 3);
    assert_string_equal(table.records[0].fields[1], "note");
    assert_int_equal(table.records[1].line, 2);
    assert_string_equal(table.records[1].fields[1], "two\nlines, and \"quotes\"");
    assert_string_equal(table.records[1].fields[2], "");
    assert_int_equal(table.records[2].line, 6);
    assert_string_equal(table.records[2].fields[1], "b");
    assert_string_equal(table.records[2].fields[2], "3");
    sel_csv_clear(&table);
}

static void old_and_missing_line_ends_are_line_ends(void **state) {
    (void)state;
    static const char *const TEXTS[] = {"a,b\r1,2\r", "a,b\n1,2", "a,b\r\n1,2\r\n\r\n"};
    for (size_t i = 0; i < 3; i++) {
        struct sel_csv_table table;
        assert_int_equal(read_bytes(TEXTS[i], strlen(TEXTS[i]), &table), SEL_OK);
        assert_int_equal(table.record_count, 2);
        assert_int_equal(table.records[1].line, 2);
        assert_string_equal(table.records[1].fields[1], "2");
        sel_csv_clear(&table);
    }
}

static void what_is_written_is_read_back(void **state) {
    (void)state;
    static const char *const CELLS[] = {"", "a", "\"", "\"\"", ",", "a,\"b\",c", " x ", "\u00E9;"};
    enum { COUNT = sizeof CELLS / sizeof *CELLS };
    struct sel_text csv;
    sel_text_init(&csv);
    sel_csv_cell(&csv, "head");
    for (size_t i = 1; i < COUNT; i++)
        sel_csv_cell(&csv, "h");
    sel_csv_end(&csv);
    for (size_t i = 0; i < COUNT; i++)
        sel_csv_cell(&csv, CELLS[i]);
    sel_csv_end(&csv);
    struct sel_csv_table table;
    assert_int_equal(read_bytes(csv.chars, csv.length, &table), SEL_OK);
    for (size_t i = 0; i < COUNT; i++)
        assert_string_equal(
            table.records[1].fields[i], strcmp(CELLS[i], " x ") == 0 ? "x" : CELLS[i]);
    sel_csv_clear(&table);
    sel_text_clear(&csv);
}

static void a_broken_file_is_refused_with_its_line(void **state) {
    (void)state;
    is_refused("", 0, ": is empty: its first line names the columns");
    is_refused("\n\n", 2, ": is empty: its first line names the columns");
    is_refused("a,b\n1\n", 6, ":2: has 1 fields where the header has 2: add or take out commas");
    is_refused(
        "a,b\n\n1,2,3\n", 11, ":3: has 3 fields where the header has 2: add or take out commas");
    is_refused(
        "a,b\n1,\"open\n\n", 13, ":2: a quote opens here and does not close: add the closing one");
    is_refused("a,b\n1,\"x\"y\n", 11,
        ":2: text follows a closing quote: put the whole field into quotes, and double those in "
        "it");
    is_refused("a;b\n1;2\n", 8, ":1: columns are separated by semicolons: save it with commas");
    is_refused("a,b\n1,\0\n", 8, ": holds a NUL byte: save it as comma-separated text in UTF-8");
    is_refused(
        "a,b\n1,\xE9\n", 8, ": is not written in UTF-8: save it as comma-separated text in UTF-8");
}

static void a_missing_file_is_named(void **state) {
    (void)state;
    struct sel_csv_table table;
    char missing[600];
    snprintf(missing, sizeof missing, "%s/none.csv", folder);
    sel_context_begin(context);
    assert_int_equal(sel_csv_read(context, missing, &table), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context), missing));
    sel_csv_clear(&table);
}

static void too_many_fields_are_refused(void **state) {
    (void)state;
    char commas[100];
    memset(commas, ',', sizeof commas);
    is_refused(commas, sizeof commas, ":1: has more than 64 fields: is it the right file?");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cells_are_quoted_where_it_is_needed),
        cmocka_unit_test(line_breaks_do_not_break_a_row),
        cmocka_unit_test(fields_and_lines_are_found),
        cmocka_unit_test(old_and_missing_line_ends_are_line_ends),
        cmocka_unit_test(what_is_written_is_read_back),
        cmocka_unit_test(a_broken_file_is_refused_with_its_line),
        cmocka_unit_test(a_missing_file_is_named),
        cmocka_unit_test(too_many_fields_are_refused),
    };
    return cmocka_run_group_tests(tests, open_folder, close_folder);
}
