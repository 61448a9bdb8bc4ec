// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "plan/words.h"

// "kitten" to "sitting" is 3 and "ca" to "abc" is 3 when no place is touched twice: textbook cases
// of the edit distance and of its restricted form with swaps (from memory).
static void distances_are_those_of_the_textbook(void **state) {
    (void)state;
    assert_int_equal(sel_word_distance("kitten", "sitting"), 3);
    assert_int_equal(sel_word_distance("ca", "abc"), 3);
    assert_int_equal(sel_word_distance("", "abc"), 3);
    assert_int_equal(sel_word_distance("abc", ""), 3);
    assert_int_equal(sel_word_distance("same", "same"), 0);
}

static void a_swap_of_neighbours_is_one_step(void **state) {
    (void)state;
    assert_int_equal(sel_word_distance("sties", "sites"), 1);
    assert_int_equal(sel_word_distance("flyawys", "flyways"), 1);
}

static void distance_is_symmetric(void **state) {
    (void)state;
    static const char *const words[] = {"wetness", "witness", "edge", "egde", "canopy", "canopy_m"};
    for (size_t i = 0; i < 6; i++)
        for (size_t j = 0; j < 6; j++)
            assert_int_equal(
                sel_word_distance(words[i], words[j]), sel_word_distance(words[j], words[i]));
}

static void a_word_beyond_the_longest_is_infinitely_far(void **state) {
    (void)state;
    char word[60];
    memset(word, 'a', sizeof word);
    word[59] = '\0';
    assert_true(sel_word_distance(word, "a") == SIZE_MAX);
    assert_true(sel_word_distance("a", word) == SIZE_MAX);
    word[48] = '\0';
    assert_int_equal(sel_word_distance(word, "a"), 47);
}

static void the_nearest_name_is_suggested_only_when_similar(void **state) {
    (void)state;
    static const char *const names[] = {"sites", "apart_m", "reserves", "per_pair"};
    assert_string_equal(sel_nearest_word("site", names, 4), "sites");
    assert_string_equal(sel_nearest_word("apart_km", names, 4), "apart_m");
    assert_null(sel_nearest_word("colour", names, 4));
    assert_null(sel_nearest_word("", names, 4));
    assert_null(sel_nearest_word("sites", names, 0));
}

static void quoting_keeps_a_message_on_one_line(void **state) {
    (void)state;
    assert_string_equal(sel_quote("meadow").chars, "\"meadow\"");
    assert_string_equal(sel_quote("a\nb\x7F").chars, "\"a?b?\"");
    assert_string_equal(sel_quote("").chars, "\"\"");
}

static void a_long_text_is_cut_at_a_whole_character(void **state) {
    (void)state;
    char text[80];
    memset(text, 'x', sizeof text);
    text[60] = '\0';
    assert_int_equal(strlen(sel_quote(text).chars), 62);
    text[60] = 'x';
    text[61] = '\0';
    const struct sel_quoted cut = sel_quote(text);
    assert_string_equal(cut.chars + 61, "...\"");
    memcpy(text + 59, "\xC3\xA9", 3); // a two-byte letter across the border
    const struct sel_quoted whole = sel_quote(text);
    assert_string_equal(whole.chars + 60, "...\"");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(distances_are_those_of_the_textbook),
        cmocka_unit_test(a_swap_of_neighbours_is_one_step),
        cmocka_unit_test(distance_is_symmetric),
        cmocka_unit_test(a_word_beyond_the_longest_is_infinitely_far),
        cmocka_unit_test(the_nearest_name_is_suggested_only_when_similar),
        cmocka_unit_test(quoting_keeps_a_message_on_one_line),
        cmocka_unit_test(a_long_text_is_cut_at_a_whole_character),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
