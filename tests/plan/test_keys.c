// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "plan/keys.h"

static void every_name_stands_once_and_below_its_section(void **state) {
    (void)state;
    size_t count;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    for (size_t i = 0; i < count; i++) {
        assert_ptr_equal(sel_key_find(keys[i].name), &keys[i]);
        const char *dot = strrchr(keys[i].name, '.');
        if (!dot)
            continue;
        char section[64];
        snprintf(section, sizeof section, "%.*s", (int)(dot - keys[i].name), keys[i].name);
        const struct sel_plan_key *above = sel_key_find(section);
        assert_non_null(above);
        assert_int_equal(above->kind, SEL_KEY_SECTION);
        assert_true(above < &keys[i]);
        assert_string_equal(sel_key_leaf(&keys[i], section), dot + 1);
    }
}

static void every_list_has_its_entry_right_below(void **state) {
    (void)state;
    size_t count;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    for (size_t i = 0; i < count; i++) {
        if (keys[i].kind != SEL_KEY_LIST)
            continue;
        char entry[64];
        snprintf(entry, sizeof entry, "%s[]", keys[i].name);
        assert_string_equal(sel_key_entry(&keys[i])->name, entry);
        assert_non_null(keys[i].list);
    }
}

// An absent optional section is recognised by its file, and a path alone stands for the file.
static void optional_and_short_sections_point_at_their_file(void **state) {
    (void)state;
    size_t count;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    for (size_t i = 0; i < count; i++) {
        const struct sel_plan_key *key = &keys[i];
        if (key->kind != SEL_KEY_SECTION || !(key->short_form || key->presence == SEL_KEY_OPTIONAL))
            continue;
        char file[64];
        snprintf(file, sizeof file, "%s.file", key->name);
        const struct sel_plan_key *row = sel_key_find(file);
        assert_non_null(row);
        assert_int_equal(row->offset, key->offset);
        assert_int_equal(row->presence, SEL_KEY_REQUIRED);
    }
}

static bool is_leaf_kind(const struct sel_plan_key *key) {
    return key->kind != SEL_KEY_SECTION && key->kind != SEL_KEY_LIST;
}

static void every_value_has_a_default_or_says_that_it_has_none(void **state) {
    (void)state;
    size_t count;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    for (size_t i = 0; i < count; i++) {
        if (is_leaf_kind(&keys[i]))
            assert_int_equal(keys[i].fallback != NULL, keys[i].presence == SEL_KEY_DEFAULTED);
        else
            assert_null(keys[i].fallback);
    }
}

static void every_meaning_reads_on_after_give(void **state) {
    (void)state;
    size_t count;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    for (size_t i = 0; i < count; i++) {
        const char *meaning = keys[i].meaning;
        assert_non_null(meaning);
        assert_true(islower((unsigned char)meaning[0]));
        assert_true(meaning[strlen(meaning) - 1] != '.');
        assert_null(strchr(meaning, '|')); // it stands in a Markdown table
    }
}

static void numbers_have_a_range_and_choices_have_words(void **state) {
    (void)state;
    size_t count;
    const struct sel_plan_key *keys = sel_plan_keys(&count);
    for (size_t i = 0; i < count; i++) {
        const struct sel_plan_key *key = &keys[i];
        bool number = key->kind == SEL_KEY_WHOLE || key->kind == SEL_KEY_LONG ||
                      key->kind == SEL_KEY_NUMBER || key->kind == SEL_KEY_VALUE ||
                      key->kind == SEL_KEY_LIMIT;
        if (number)
            assert_true(key->least < key->most || strcmp(key->name, "plan") == 0);
        if (key->kind == SEL_KEY_WHOLE)
            assert_true(key->most <= 2147483647.0);
        assert_int_equal(key->choices != NULL, key->kind == SEL_KEY_CHOICE);
    }
}

static void the_top_of_a_plan_is_the_section_without_a_name(void **state) {
    (void)state;
    assert_string_equal(sel_key_leaf(sel_key_find("title"), ""), "title");
    assert_null(sel_key_leaf(sel_key_find("choose.sites"), ""));
    assert_null(sel_key_leaf(sel_key_find("lines[]"), ""));
    assert_null(sel_key_leaf(sel_key_find("lines[].file"), "lines"));
    assert_null(sel_key_leaf(sel_key_find("choose.per_pair.max"), "choose"));
    assert_null(sel_key_find("choose.sties"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_name_stands_once_and_below_its_section),
        cmocka_unit_test(every_list_has_its_entry_right_below),
        cmocka_unit_test(optional_and_short_sections_point_at_their_file),
        cmocka_unit_test(every_value_has_a_default_or_says_that_it_has_none),
        cmocka_unit_test(every_meaning_reads_on_after_give),
        cmocka_unit_test(numbers_have_a_range_and_choices_have_words),
        cmocka_unit_test(the_top_of_a_plan_is_the_section_without_a_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
