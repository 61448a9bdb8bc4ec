// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "plan/yaml_tree.h"
#include "shared_context.h"

static sel_status parse(const char *text, struct sel_yaml_tree *tree) {
    sel_context_begin(context);
    return sel_yaml_parse(context, "survey.yaml", text, strlen(text), tree);
}

static void refused(const char *text, const char *message) {
    struct sel_yaml_tree tree;
    assert_int_equal(parse(text, &tree), SEL_BAD_INPUT);
    assert_string_equal(sel_context_message(context), message);
    assert_null(tree.root);
}

static void every_value_keeps_its_line_and_column(void **state) {
    (void)state;
    struct sel_yaml_tree tree;
    assert_int_equal(parse("# a comment\n"
                           "title: Alder Brook\n"
                           "lines:\n"
                           "  - { file: a.gpkg, width_m: 4 }\n"
                           "  - b.gpkg\n",
                         &tree),
        SEL_OK);
    const struct sel_yaml_node *title = sel_yaml_find(tree.root, "title");
    assert_string_equal(title->text, "Alder Brook");
    assert_int_equal(title->key_place.line, 2);
    assert_int_equal(title->key_place.column, 1);
    assert_int_equal(title->place.column, 8);
    const struct sel_yaml_node *lines = sel_yaml_find(tree.root, "lines");
    assert_int_equal(lines->kind, SEL_YAML_LIST);
    assert_int_equal(lines->count, 2);
    assert_int_equal(lines->key_place.line, 3);
    const struct sel_yaml_node *width = sel_yaml_find(lines->first, "width_m");
    assert_string_equal(width->text, "4");
    assert_int_equal(width->key_place.line, 4);
    assert_int_equal(width->key_place.column, 21);
    assert_int_equal(lines->last->place.line, 5);
    assert_int_equal(lines->last->key_place.line, 5);
    assert_null(sel_yaml_find(tree.root, "owner"));
    assert_null(sel_yaml_find(title, "owner"));
    sel_yaml_clear(&tree);
}

static void an_empty_document_has_no_root(void **state) {
    (void)state;
    struct sel_yaml_tree tree;
    assert_int_equal(parse("# only a comment\n", &tree), SEL_OK);
    assert_null(tree.root);
    sel_yaml_clear(&tree);
}

static void nothing_after_a_key_is_empty_and_a_quoted_nothing_is_not(void **state) {
    (void)state;
    struct sel_yaml_tree tree;
    assert_int_equal(parse("a:\nb: ~\nc: null\nd: \"\"\ne: 0\n", &tree), SEL_OK);
    assert_true(sel_yaml_is_empty(sel_yaml_find(tree.root, "a")));
    assert_true(sel_yaml_is_empty(sel_yaml_find(tree.root, "b")));
    assert_true(sel_yaml_is_empty(sel_yaml_find(tree.root, "c")));
    assert_false(sel_yaml_is_empty(sel_yaml_find(tree.root, "d")));
    assert_false(sel_yaml_is_empty(sel_yaml_find(tree.root, "e")));
    assert_false(sel_yaml_is_empty(tree.root));
    sel_yaml_clear(&tree);
}

static void a_key_given_twice_names_both_lines(void **state) {
    (void)state;
    refused("title: a\nseed: 1\ntitle: b\n",
        "survey.yaml:3: \"title\": is given twice, first in line 1: keep one of them");
    refused("choose:\n  sites: 2\n  sites: 2\n",
        "survey.yaml:3: \"sites\": is given twice, first in line 2: keep one of them");
}

static void the_same_key_in_two_mappings_is_fine(void **state) {
    (void)state;
    struct sel_yaml_tree tree;
    assert_int_equal(parse("area: { file: a }\noccupied: { file: b }\n", &tree), SEL_OK);
    sel_yaml_clear(&tree);
}

static void anchors_aliases_and_tags_are_refused(void **state) {
    (void)state;
    refused("a: 1\nb: &x 2\n",
        "survey.yaml:2: anchor &\"x\": anchors are not read: write the value "
        "out where it is needed");
    refused("b: &x { c: 1 }\n",
        "survey.yaml:1: anchor &\"x\": anchors are not read: write the value "
        "out where it is needed");
    refused("b: &x [1]\n", "survey.yaml:1: anchor &\"x\": anchors are not read: write the value "
                           "out where it is needed");
    refused("a: *x\n", "survey.yaml:1: alias *\"x\": aliases are not read: write the value out");
    refused("a: !!str 1\n",
        "survey.yaml:1: tag \"tag:yaml.org,2002:str\": tags are not read: take it out");
}

static void a_second_document_is_refused(void **state) {
    (void)state;
    refused("a: 1\n---\nb: 2\n",
        "survey.yaml:2: a second document begins here (---): a plan is one document");
}

static void a_list_as_a_key_is_refused(void **state) {
    (void)state;
    refused("? [a, b]\n: 1\n", "survey.yaml:1: a list or mapping stands where a key is expected: "
                               "write key: value");
    refused("? { a: b }\n: 1\n", "survey.yaml:1: a list or mapping stands where a key is "
                                 "expected: write key: value");
}

static void broken_yaml_names_the_line(void **state) {
    (void)state;
    struct sel_yaml_tree tree;
    assert_int_equal(parse("title: x\nchoose: { sites: 3\nseed: 1\n", &tree), SEL_BAD_INPUT);
    const char *message = sel_context_message(context);
    assert_ptr_equal(strstr(message, "survey.yaml:3: is not YAML: "), message);
    assert_non_null(strstr(message, "brackets"));
    assert_int_equal(parse("title: x\n\tseed: 1\n", &tree), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context), "survey.yaml:2: is not YAML: "));
}

static void bytes_that_are_no_utf8_name_the_line(void **state) {
    (void)state;
    struct sel_yaml_tree tree;
    assert_int_equal(parse("seed: 1\ntitle: Gew\xE4sser\n", &tree), SEL_BAD_INPUT);
    const char *message = sel_context_message(context);
    assert_ptr_equal(strstr(message, "survey.yaml:2: "), message);
    assert_non_null(strstr(message, "UTF-8"));
}

static void a_nul_in_a_text_is_refused(void **state) {
    (void)state;
    refused("title: \"a\\0b\"\n", "survey.yaml:1: \"a\": holds a NUL character: take the \\0 out");
    refused("\"a\\0b\": 1\n", "survey.yaml:1: \"a\": holds a NUL character: take the \\0 out");
}

static void nesting_is_bounded(void **state) {
    (void)state;
    char text[2 * (SEL_YAML_DEPTH_MOST + 1) + 1];
    struct sel_yaml_tree tree;
    memset(text, '[', SEL_YAML_DEPTH_MOST);
    memset(text + SEL_YAML_DEPTH_MOST, ']', SEL_YAML_DEPTH_MOST);
    text[2 * SEL_YAML_DEPTH_MOST] = '\0';
    assert_int_equal(parse(text, &tree), SEL_OK);
    sel_yaml_clear(&tree);
    memset(text, '[', SEL_YAML_DEPTH_MOST + 1);
    refused(text, "survey.yaml:1: is nested more than 16 deep: no key of a plan lies so deep");
}

static void values_are_bounded(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_text_add(&text, "a: [");
    for (int i = 0; i < SEL_YAML_NODES_MOST; i++)
        sel_text_add(&text, "1,\n");
    sel_text_add(&text, "]\n");
    struct sel_yaml_tree tree;
    assert_int_equal(parse(text.chars, &tree), SEL_BAD_INPUT);
    assert_string_equal(sel_context_message(context),
        "survey.yaml:99999: holds more than 100000 values: a plan is short; keep data in files of "
        "their own");
    sel_text_clear(&text);
}

static void keys_are_bounded(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    for (int i = 0; i <= SEL_YAML_KEYS_MOST; i++)
        sel_text_addf(&text, "k%d: 1\n", i);
    refused(text.chars, "survey.yaml:1001: a mapping of more than 1000 keys: no part of a plan has "
                        "so many");
    sel_text_clear(&text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_value_keeps_its_line_and_column),
        cmocka_unit_test(an_empty_document_has_no_root),
        cmocka_unit_test(nothing_after_a_key_is_empty_and_a_quoted_nothing_is_not),
        cmocka_unit_test(a_key_given_twice_names_both_lines),
        cmocka_unit_test(the_same_key_in_two_mappings_is_fine),
        cmocka_unit_test(anchors_aliases_and_tags_are_refused),
        cmocka_unit_test(a_second_document_is_refused),
        cmocka_unit_test(a_list_as_a_key_is_refused),
        cmocka_unit_test(broken_yaml_names_the_line),
        cmocka_unit_test(bytes_that_are_no_utf8_name_the_line),
        cmocka_unit_test(a_nul_in_a_text_is_refused),
        cmocka_unit_test(nesting_is_bounded),
        cmocka_unit_test(values_are_bounded),
        cmocka_unit_test(keys_are_bounded),
    };
    return cmocka_run_group_tests(tests, make_context, free_context);
}
