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
#include "plan/reference.h"
#include "reference_page.h"

// SELVEDGE_REGENERATE=1 writes the page anew.
static void the_page_in_docs_is_the_table_of_keys(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_plan_reference(&text);
    reference_page_is("plan.md", &text);
}

static void the_page_has_a_row_for_every_key(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_plan_reference(&text);
    size_t count;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    for (size_t i = 0; i < count; i++) {
        char cell[80];
        snprintf(cell, sizeof cell, "\n| `%s` | ", keys[i].name);
        assert_non_null(strstr(text.chars, cell));
    }
    sel_text_clear(&text);
}

static void a_row_tells_type_unit_range_and_default(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_plan_reference(&text);
    static const char *const rows[] = {
        "\n| `choose.sites` | whole number |  | 1 to 1000 | `12` | how many sites to choose |\n",
        "\n| `flyways.belt_m` | number or `auto` | m | 0.5 to 1000 | `auto` | ",
        "\n| `zones[].rule` | one of `exclude`, `no_clearing`, `note` |  |  | required | ",
        "\n| `area` | section *or a path* |  |  | none | ",
        "\n| `criteria.slope.limit` | number or `none` | deg | 0 to 90 | `25` | "};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        assert_non_null(strstr(text.chars, rows[i]));
    sel_text_clear(&text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_page_in_docs_is_the_table_of_keys),
        cmocka_unit_test(the_page_has_a_row_for_every_key),
        cmocka_unit_test(a_row_tells_type_unit_range_and_default),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
