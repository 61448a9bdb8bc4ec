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
#include "output/reference.h"
#include "output/rows.h"
#include "reference_page.h"

// SELVEDGE_REGENERATE=1 writes the page anew.
static void the_page_in_docs_is_what_the_columns_say(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_output_reference(&text);
    reference_page_is("output.md", &text);
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
