// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/files.h"
#include "output/reference.h"
#include "output/rows.h"

static const char page_path[] = SEL_TEST_SOURCE "/docs/output.md";

// SELVEDGE_REGENERATE=1 writes the page anew.
static void the_page_in_docs_is_what_the_columns_say(void **state) {
    (void)state;
    sel_context *context = sel_context_new();
    struct sel_text text;
    sel_text_init(&text);
    sel_output_reference(&text);
    const char *regenerate = getenv("SELVEDGE_REGENERATE");
    if (regenerate && strcmp(regenerate, "1") == 0)
        assert_int_equal(sel_write_file(context, page_path, text.chars, text.length, true), SEL_OK);
    char *page = NULL;
    size_t length = 0;
    assert_int_equal(sel_read_file(context, page_path, 1 << 20, &page, &length), SEL_OK);
    if (strcmp(page, text.chars) != 0)
        fail_msg("docs/output.md is not what the lists of columns say: run this test with "
                 "SELVEDGE_REGENERATE=1 and look at the change");
    free(page);
    sel_text_clear(&text);
    sel_context_free(context);
}

static void expect_meanings(const struct sel_table_kind *const *tables, int count) {
    for (int i = 0; i < count; i++) {
        for (int c = 0; c < tables[i]->column_count; c++) {
            const struct sel_column *column = &tables[i]->columns[c];
            if (!column->meaning || strlen(column->meaning) < 5 || !column->unit)
                fail_msg("%s.%s has no meaning", tables[i]->name, column->name);
            size_t length = strlen(column->name);
            bool metres = length > 2 && strcmp(column->name + length - 2, "_m") == 0;
            if (metres && strcmp(column->unit, "m") != 0)
                fail_msg("%s.%s is in metres by its name", tables[i]->name, column->name);
            if (strstr(column->name, "_deg") && strcmp(column->unit, "deg") != 0)
                fail_msg("%s.%s is in degrees by its name", tables[i]->name, column->name);
        }
    }
}

static void every_column_has_a_meaning_and_the_unit_of_its_name(void **state) {
    (void)state;
    int count;
    const struct sel_table_kind *const *tables = sel_output_tables(&count);
    expect_meanings(tables, count);
    tables = sel_output_part_tables(&count);
    expect_meanings(tables, count);
}

// Text between the heading of a table and the next heading; the caller frees it.
static char *chapter(const char *page, const char *table) {
    char heading[80];
    snprintf(heading, sizeof heading, "\n## `%s`\n", table);
    const char *begin = strstr(page, heading);
    assert_non_null(begin);
    const char *end = strstr(begin + 1, "\n#");
    return end ? strndup(begin, (size_t)(end - begin)) : strdup(begin);
}

static void a_column_is_told_in_the_chapter_of_its_table(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_output_reference(&text);
    char *sites = chapter(text.chars, "sites");
    assert_non_null(strstr(sites, "\n| `slope_deg` | number | deg | "));
    assert_non_null(strstr(sites, "\n| `rank` | whole number |  | "));
    assert_null(strstr(sites, "\n| `x` |"));
    free(sites);
    char *walks = chapter(text.chars, "walks");
    assert_non_null(strstr(walks, "\n| `climb_back_m` | number | m | "));
    free(walks);
    sel_text_clear(&text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_page_in_docs_is_what_the_columns_say),
        cmocka_unit_test(every_column_has_a_meaning_and_the_unit_of_its_name),
        cmocka_unit_test(a_column_is_told_in_the_chapter_of_its_table),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
