// SPDX-License-Identifier: MIT
//
// Lines against RFC 5545: section 3.1 (folding at 75 octets, CR LF) and 3.3.11 (TEXT).
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdbool.h>
#include <string.h>

#include "fieldkit/ics.h"
#include "output/utf8.h"

// Takes "CR LF blank" out again, checking each piece on the way.
static void unfold(const char *folded, char *line) {
    size_t length = 0, piece = 0;
    for (const char *at = folded; *at; at++) {
        if (strncmp(at, "\r\n ", 3) == 0) {
            assert_in_range(piece, 1, 75);
            piece = 1; // the blank counts
            at += 2;
            continue;
        }
        if (strcmp(at, "\r\n") == 0)
            break;
        assert_true(*at != '\r' && *at != '\n');
        line[length++] = *at;
        piece++;
    }
    assert_true(piece <= 75);
    line[length] = '\0';
}

static void comes_back(const char *line) {
    struct sel_text ics;
    char back[4096];
    sel_text_init(&ics);
    sel_ics_line(&ics, line);
    assert_true(strlen(ics.chars) >= 2);
    assert_string_equal(ics.chars + ics.length - 2, "\r\n");
    unfold(ics.chars, back);
    assert_string_equal(back, line);
    sel_text_clear(&ics);
}

static void short_lines_end_with_cr_lf(void **state) {
    (void)state;
    struct sel_text ics;
    sel_text_init(&ics);
    sel_ics_line(&ics, "BEGIN:VCALENDAR");
    assert_string_equal(ics.chars, "BEGIN:VCALENDAR\r\n");
    sel_text_clear(&ics);
}

static void lines_of_any_length_come_back_unfolded(void **state) {
    (void)state;
    char line[400];
    for (size_t length = 1; length < sizeof line; length++) {
        memset(line, 'x', length);
        line[length] = '\0';
        comes_back(line);
    }
}

static void a_line_of_75_octets_is_not_folded_and_one_of_76_is(void **state) {
    (void)state;
    char line[77];
    struct sel_text ics;
    sel_text_init(&ics);
    memset(line, 'x', 76);
    line[75] = '\0';
    sel_ics_line(&ics, line);
    assert_int_equal(ics.length, 77);
    sel_text_clear(&ics);
    line[75] = 'x';
    line[76] = '\0';
    sel_ics_line(&ics, line);
    assert_int_equal(ics.length, 76 + 3 + 2);
    sel_text_clear(&ics);
}

// A character of several octets is never cut: every piece is well-formed UTF-8.
static void characters_are_not_cut(void **state) {
    (void)state;
    static const char *const MARKS[] = {"\u00E9", "\u20AC", "\U0001F33F"};
    for (size_t mark = 0; mark < 3; mark++) {
        for (size_t shift = 0; shift < 5; shift++) {
            struct sel_text line, ics;
            sel_text_init(&line);
            sel_text_init(&ics);
            for (size_t i = 0; i < shift; i++)
                sel_text_add(&line, "x");
            for (size_t i = 0; i < 90; i++)
                sel_text_add(&line, MARKS[mark]);
            comes_back(line.chars);
            sel_ics_line(&ics, line.chars);
            for (char *piece = ics.chars, *end; (end = strchr(piece, '\r')); piece = end + 2) {
                *end = '\0';
                assert_true(sel_utf8_valid(piece));
            }
            sel_text_clear(&line);
            sel_text_clear(&ics);
        }
    }
}

static void text_is_escaped(void **state) {
    (void)state;
    struct sel_text line;
    sel_text_init(&line);
    sel_ics_escape(&line, "a,b;c\\d\ne:\"f\"\x01");
    assert_string_equal(line.chars, "a\\,b\\;c\\\\d\\ne:\"f\"\uFFFD");
    sel_text_clear(&line);
    sel_ics_escape(&line, NULL);
    sel_ics_escape(&line, "");
    assert_true(line.length == 0);
    sel_text_clear(&line);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(short_lines_end_with_cr_lf),
        cmocka_unit_test(lines_of_any_length_come_back_unfolded),
        cmocka_unit_test(a_line_of_75_octets_is_not_folded_and_one_of_76_is),
        cmocka_unit_test(characters_are_not_cut),
        cmocka_unit_test(text_is_escaped),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
