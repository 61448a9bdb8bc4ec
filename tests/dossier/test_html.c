// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <string.h>

#include <cmocka.h>

#include "dossier/html.h"

static struct sel_text text;

static int begin(void **state) {
    (void)state;
    sel_text_init(&text);
    return 0;
}

static int end(void **state) {
    (void)state;
    sel_text_clear(&text);
    return 0;
}

static void reads(const char *wanted) {
    assert_string_equal(text.chars ? text.chars : "", wanted);
    sel_text_clear(&text);
    sel_text_init(&text);
}

static void markup_and_quotes_become_text(void **state) {
    (void)state;
    sel_html_text(&text, "<script>alert('x')</script> & \"so\"");
    reads("&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt; &amp; &quot;so&quot;");
    sel_html_text(&text, "&amp;");
    reads("&amp;amp;");
    sel_html_text(&text, NULL);
    reads("");
}

// U+202E turns the rest of a line around; U+0007 is a bell; \xFF is no UTF-8; U+FFFE is no
// character.
static void what_cannot_be_printed_is_replaced(void **state) {
    (void)state;
    sel_html_text(&text, "a\xE2\x80\xAE"
                         "b\x07"
                         "c\xFF"
                         "d");
    reads("a\xEF\xBF\xBD"
          "b\xEF\xBF\xBD"
          "c\xEF\xBF\xBD"
          "d");
    sel_html_text(&text, "a\xEF\xBF\xBE<");
    reads("a\xEF\xBF\xBD&lt;");
}

static void names_stand_by_themselves(void **state) {
    (void)state;
    sel_html_name(&text, "\xD7\x97\xD7\x9C\xD7\xA7\xD7\x94 <3");
    reads("<bdi>\xD7\x97\xD7\x9C\xD7\xA7\xD7\x94 &lt;3</bdi>");
    sel_html_name(&text, "");
    reads("<span class=\"unknown\">not known</span>");
    sel_html_name(&text, NULL);
    reads("<span class=\"unknown\">not known</span>");
}

// The cut must not fall within an entity: it is made before escaping.
static void long_names_are_cut_before_they_are_escaped(void **state) {
    (void)state;
    sel_html_name_within(&text, "a&b&c&d", 4);
    reads("<bdi>a&amp;b\xE2\x80\xA6</bdi>");
    sel_html_text_within(&text, "abcd", 4);
    reads("abcd");
}

static void numbers_are_rounded_and_keep_their_unit(void **state) {
    (void)state;
    sel_html_number(&text, 12.345, 1, "m");
    reads("12.3&nbsp;m");
    sel_html_number(&text, -0.01, 1, "");
    reads("0.0");
    sel_html_number(&text, (double)NAN, 1, "m");
    reads("<span class=\"unknown\">not known</span>");
}

static void drawings_have_short_numbers(void **state) {
    (void)state;
    static const struct {
        double number;
        const char *wanted;
    } CASES[] = {{12.0, "12"}, {12.5, "12.5"}, {12.345, "12.35"}, {-0.001, "0"}, {100.0, "100"},
        {-3.10, "-3.1"}};
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        sel_svg_number(&text, CASES[i].number);
        reads(CASES[i].wanted);
    }
}

// RFC 4648, section 10 (memory).
static void bytes_become_base64(void **state) {
    (void)state;
    static const char *const CASES[][2] = {{"", ""}, {"f", "Zg=="}, {"fo", "Zm8="}, {"foo", "Zm9v"},
        {"foob", "Zm9vYg=="}, {"fooba", "Zm9vYmE="}, {"foobar", "Zm9vYmFy"}};
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        sel_html_data_uri(&text, "x", CASES[i][0], strlen(CASES[i][0]));
        assert_non_null(text.chars);
        assert_memory_equal(text.chars, "data:x;base64,", 14);
        assert_string_equal(text.chars + 14, CASES[i][1]);
        sel_text_clear(&text);
        sel_text_init(&text);
    }
}

static void dates_are_written_out(void **state) {
    (void)state;
    sel_html_date(&text, "2027-05-15");
    reads("15&nbsp;May&nbsp;2027");
    sel_html_date(&text, "2027-05-15T10:09:11Z");
    reads("15&nbsp;May&nbsp;2027");
    sel_html_date(&text, "2027-05-155");
    reads("<bdi>2027-05-155</bdi>");
    sel_html_date(&text, "<soon>");
    reads("<bdi>&lt;soon&gt;</bdi>");
    sel_html_day(&text, (struct sel_date){2027, 12, 1});
    reads("1&nbsp;December");
}

static void a_table_begins_with_the_heads_of_its_columns(void **state) {
    (void)state;
    sel_html_begin_table(&text, "sites", "site|#slope<br>degrees|zone");
    sel_html_end_table(&text);
    reads("<table class=\"sites\">\n<thead><tr><th scope=\"col\">site</th>"
          "<th scope=\"col\" class=\"n\">slope<br>degrees</th><th scope=\"col\">zone</th></tr>"
          "</thead>\n<tbody>\n</tbody>\n</table>\n");
    sel_html_begin_table(&text, NULL, "#rank");
    reads("<table>\n<thead><tr><th scope=\"col\" class=\"n\">rank</th></tr></thead>\n<tbody>\n");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(markup_and_quotes_become_text, begin, end),
        cmocka_unit_test_setup_teardown(what_cannot_be_printed_is_replaced, begin, end),
        cmocka_unit_test_setup_teardown(names_stand_by_themselves, begin, end),
        cmocka_unit_test_setup_teardown(long_names_are_cut_before_they_are_escaped, begin, end),
        cmocka_unit_test_setup_teardown(numbers_are_rounded_and_keep_their_unit, begin, end),
        cmocka_unit_test_setup_teardown(drawings_have_short_numbers, begin, end),
        cmocka_unit_test_setup_teardown(a_table_begins_with_the_heads_of_its_columns, begin, end),
        cmocka_unit_test_setup_teardown(bytes_become_base64, begin, end),
        cmocka_unit_test_setup_teardown(dates_are_written_out, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
