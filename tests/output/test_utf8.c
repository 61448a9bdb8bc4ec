// SPDX-License-Identifier: MIT
//
// UTF-8 against the rules of RFC 3629, and the cells of tables.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "output/utf8.h"

static void well_formed_text_is_left_alone(void **state) {
    (void)state;
    assert_true(sel_utf8_valid("meadow"));
    assert_true(sel_utf8_valid("h\xC3\xA9"
                               "ath \xE2\x80\xA6 \xF0\x9F\x8C\xBF"));
    assert_true(sel_utf8_valid("\xF4\x8F\xBF\xBF")); // U+10FFFF, the last one
}

// RFC 3629, section 3: octets C0, C1, F5..FF never appear; no surrogates; the shortest form only.
static void what_rfc_3629_forbids_is_malformed(void **state) {
    (void)state;
    assert_false(sel_utf8_valid("\xC0\xAF"));         // overlong "/"
    assert_false(sel_utf8_valid("\xE0\x80\xAF"));     // overlong, three octets
    assert_false(sel_utf8_valid("\xED\xA0\x80"));     // surrogate D800
    assert_false(sel_utf8_valid("\xF4\x90\x80\x80")); // beyond 10FFFF
    assert_false(sel_utf8_valid("\xF5\x80\x80\x80"));
    assert_false(sel_utf8_valid("caf\xE9"));  // ISO 8859-1
    assert_false(sel_utf8_valid("\xE2\x80")); // cut short
}

static void malformed_bytes_become_replacement_characters(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_utf8_add(&text, "caf\xE9!");
    assert_string_equal(text.chars, "caf\xEF\xBF\xBD!");
    sel_text_clear(&text);
}

static void a_name_cannot_steer_the_terminal(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_utf8_add_printable(&text, "a\x1B[31mb\nc\xE2\x80\xAE"
                                  "d\xC2\x9B"
                                  "e\x7F");
    assert_string_equal(text.chars, "a\xEF\xBF\xBD[31mb\xEF\xBF\xBD"
                                    "c\xEF\xBF\xBD"
                                    "d\xEF\xBF\xBD"
                                    "e\xEF\xBF\xBD");
    sel_text_clear(&text);
}

static void width_counts_columns_not_bytes(void **state) {
    (void)state;
    assert_int_equal(sel_utf8_width("abc"), 3);
    assert_int_equal(sel_utf8_width("h\xC3\xA9"
                                    "ath"),
        5);
    assert_int_equal(sel_utf8_width("e\xCC\x81"), 1);        // e and a combining acute
    assert_int_equal(sel_utf8_width("\xE6\xB2\xB3"), 2);     // a wide ideograph
    assert_int_equal(sel_utf8_width("\xF0\x9F\x8C\xBF"), 2); // an emoji
    assert_int_equal(sel_utf8_width("\xD7\xA1\xD7\x95\xD7\xA3"), 3);
}

static void a_cell_is_padded_and_cut_by_columns(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_utf8_add_cell(&text, "h\xC3\xA9", 4, 10);
    sel_text_add(&text, "|");
    sel_utf8_add_cell(&text, "riparian wood", 0, 6);
    sel_text_add(&text, "|");
    sel_utf8_add_cell(&text, "\xE6\xB2\xB3\xE6\xB2\xB3\xE6\xB2\xB3", 5, 4);
    assert_string_equal(text.chars, "h\xC3\xA9  |ripar\xE2\x80\xA6|\xE6\xB2\xB3\xE2\x80\xA6  ");
    sel_text_clear(&text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(well_formed_text_is_left_alone),
        cmocka_unit_test(what_rfc_3629_forbids_is_malformed),
        cmocka_unit_test(malformed_bytes_become_replacement_characters),
        cmocka_unit_test(a_name_cannot_steer_the_terminal),
        cmocka_unit_test(width_counts_columns_not_bytes),
        cmocka_unit_test(a_cell_is_padded_and_cut_by_columns),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
