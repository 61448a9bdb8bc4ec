// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "fieldkit/markup.h"

static void comes_out_as(const char *chars, const char *expected) {
    struct sel_text text;
    sel_text_init(&text);
    sel_text_add(&text, "[");
    sel_markup_add(&text, chars);
    sel_text_add(&text, "]");
    assert_string_equal(text.chars, expected);
    sel_text_clear(&text);
}

// The five predefined entities of XML 1.0, section 4.6; HTML knows &#39; for the apostrophe too.
static void markup_is_escaped(void **state) {
    (void)state;
    comes_out_as(
        "<script>alert('1')</script>", "[&lt;script&gt;alert(&#39;1&#39;)&lt;/script&gt;]");
    comes_out_as("a & \"b\"", "[a &amp; &quot;b&quot;]");
    comes_out_as("]]>", "[]]&gt;]");
    comes_out_as("&amp;", "[&amp;amp;]");
}

static void plain_writing_stays_as_it_is(void **state) {
    (void)state;
    comes_out_as("Erlenbr\u00FCcke \u05E1\u05D5\u05E3 \U0001F33F",
        "[Erlenbr\u00FCcke \u05E1\u05D5\u05E3 \U0001F33F]");
    comes_out_as("", "[]");
    comes_out_as(NULL, "[]");
}

// XML 1.0, section 2.2: U+FFFE, U+FFFF and most control characters are no characters.
static void what_xml_cannot_hold_is_replaced(void **state) {
    (void)state;
    comes_out_as("a\x01z", "[a\uFFFDz]");
    comes_out_as("a\x1B[31mz", "[a\uFFFD[31mz]");
    comes_out_as("a\xEF\xBF\xBEz\xEF\xBF\xBF", "[a\uFFFDz\uFFFD]");
    comes_out_as("a\xFFz", "[a\uFFFDz]");
    comes_out_as("a\u202Ez", "[a\uFFFDz]");
}

static void a_name_is_kept_apart_from_the_words_around_it(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_markup_name(&text, "<b>");
    sel_markup_wrap(&text, " <i>", "x & y", "</i>");
    assert_string_equal(text.chars, "<bdi>&lt;b&gt;</bdi> <i>x &amp; y</i>");
    sel_text_clear(&text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(markup_is_escaped),
        cmocka_unit_test(plain_writing_stays_as_it_is),
        cmocka_unit_test(what_xml_cannot_hold_is_replaced),
        cmocka_unit_test(a_name_is_kept_apart_from_the_words_around_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
