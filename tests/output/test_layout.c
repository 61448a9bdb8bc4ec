// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <string.h>

#include "output/layout.h"
#include "output/utf8.h"

static void a_paragraph_is_broken_between_words(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_wrap(&text, "  - ",
        "one two  three\nfour five six seven eight nine ten eleven twelve thirteen fourteen "
        "fifteen");
    assert_string_equal(text.chars,
        "  - one two three four five six seven eight nine ten eleven twelve thirteen\n"
        "    fourteen fifteen\n");
    sel_text_clear(&text);
}

static void no_line_is_longer_than_the_page(void **state) {
    (void)state;
    struct sel_text text;
    char words[2000] = "";
    for (int i = 0; i < 200; i++)
        strncat(words, i % 3 ? "h\xC3\xA9 " : "thirteen ", sizeof words - strlen(words) - 1);
    sel_text_init(&text);
    sel_wrap(&text, "", words);
    for (char *line = text.chars; *line;) {
        char *end = strchr(line, '\n');
        assert_non_null(end);
        *end = '\0';
        assert_true(sel_utf8_width(line) <= SEL_LINE_WIDTH);
        line = end + 1;
    }
    sel_text_clear(&text);
}

static void an_empty_paragraph_is_one_line(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_wrap(&text, "", " \n ");
    assert_string_equal(text.chars, "\n");
    sel_text_clear(&text);
}

static void columns_fit_their_widest_cell(void **state) {
    (void)state;
    static const enum sel_align ALIGN[] = {SEL_LEFT, SEL_RIGHT, SEL_LEFT};
    struct sel_cells table;
    struct sel_text text;
    sel_text_init(&text);
    sel_cells_init(&table, 3, ALIGN);
    sel_cell(&table, "h\xC3\xA9");
    sel_cell_number(&table, 1.25, 1);
    sel_cell(&table, "x");
    sel_cell(&table, "meadow");
    sel_cell_number(&table, (double)NAN, 1);
    sel_cell(&table, NULL);
    sel_cell(&table, NULL);
    sel_cell(&table, NULL);
    sel_cell(&table, NULL);
    sel_cell(&table, "");
    sel_cellf(&table, "%d", 1234);
    sel_cell(&table, "y");
    sel_cells_write(&text, 1, &table);
    assert_string_equal(text.chars, " h\xC3\xA9"
                                    "       1.2  x\n meadow\n\n         1234  y\n");
    sel_cells_clear(&table);
    sel_text_clear(&text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_paragraph_is_broken_between_words),
        cmocka_unit_test(no_line_is_longer_than_the_page),
        cmocka_unit_test(an_empty_paragraph_is_one_line),
        cmocka_unit_test(columns_fit_their_widest_cell),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
