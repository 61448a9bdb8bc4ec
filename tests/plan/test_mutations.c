// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "plan/template.h"
#include "plan_files.h"

static struct plan_files files;

static int open_files(void **state) {
    (void)state;
    plan_files_open(&files);
    return 0;
}

static int close_files(void **state) {
    (void)state;
    plan_files_close(&files);
    return 0;
}

enum { MUTANTS = 1000 };

// A fixed sequence of numbers (xorshift, Marsaglia 2003), so that every run tries the same mutants.
static uint32_t sequence = 20270515;

static size_t next_below(size_t limit) {
    sequence ^= sequence << 13;
    sequence ^= sequence >> 17;
    sequence ^= sequence << 5;
    return sequence % limit;
}

static const char *const scraps[] = {"\n", ":", ": ", "- ", "{", "}", "[", "]", ", ", "#", "\"",
    "'", "&a ", "*a", "!!int ", "---\n", "? ", "| ", "> ", "%", "@", "\t", "~", "null", "\\",
    "\xFF", "\xEF\xBB\xBF", "-1", "1e308", "99999999999999999999", "nan", "auto", "none", "  ", ",",
    "yes"};

// Cuts, doubles, swaps and inserts a few times.
static void mutate(char *text, size_t room) {
    size_t changes = 1 + next_below(4);
    for (size_t i = 0; i < changes; i++) {
        size_t length = strlen(text), at = next_below(length + 1);
        const char *scrap = scraps[next_below(sizeof scraps / sizeof scraps[0])];
        size_t scrap_length = strlen(scrap), cut = next_below(12);
        switch (next_below(4)) {
        case 0:
            text[at] = '\0';
            break;
        case 1:
            if (at + cut <= length)
                memmove(text + at, text + at + cut, length - at - cut + 1);
            break;
        case 2:
            if (length + scrap_length < room) {
                memmove(text + at + scrap_length, text + at, length - at + 1);
                memcpy(text + at, scrap, scrap_length);
            }
            break;
        default:
            if (at < length)
                text[at] = (char)(1 + next_below(255));
        }
    }
}

// Whatever comes in: either a plan, or one line of message and nothing kept.
static void check_outcome(sel_status status) {
    const char *message = sel_context_message(files.context);
    if (status == SEL_OK) {
        assert_string_equal(message, "");
        assert_non_null(files.plan.landcover.file);
        return;
    }
    assert_int_equal(status, SEL_BAD_INPUT);
    assert_ptr_equal(strstr(message, files.folder), message);
    assert_null(strchr(message, '\n'));
    assert_null(files.plan.path);
}

static void a_mutated_plan_is_read_or_refused(void **state) {
    (void)state;
    struct sel_template_facts facts = {.landcover = "landcover.tif",
        .elevation = "elevation.tif",
        .access = "roads.gpkg",
        .latitude = 51.0};
    struct sel_text original;
    sel_text_init(&original);
    sel_template_plan(&facts, &original);
    char text[16384];
    int accepted = 0;
    for (int i = 0; i < MUTANTS; i++) {
        // Without the explanations, mutants hit what matters.
        const char *begin = strstr(original.chars, "plan: 1");
        snprintf(text, sizeof text, "%s", begin);
        mutate(text, sizeof text - 1);
        sel_status status = plan_files_read(&files, text);
        check_outcome(status);
        accepted += status == SEL_OK;
    }
    assert_true(accepted > 0 && accepted < MUTANTS);
    sel_text_clear(&original);
}

static void a_plan_cut_off_anywhere_is_read_or_refused(void **state) {
    (void)state;
    static const char whole[] =
        "rasters: { landcover: landcover.tif, elevation: elevation.tif }\nhabitats: habitats.csv\n"
        "contrast:\n  - { a: brook, b: hedge, contrast: 0.5 }\nlines:\n"
        "  - { file: brook.gpkg, habitat: brook, width_m: 4 }\nweights: [sun, slope]\n"
        "criteria:\n  sun:\n    value:\n      - [0.3, 0]\n      - [0.8, 1]\n    limit: none\n";
    char text[sizeof whole];
    for (size_t length = 0; length < sizeof whole; length++) {
        memcpy(text, whole, length);
        text[length] = '\0';
        check_outcome(plan_files_read(&files, text));
    }
    assert_int_equal(plan_files_read(&files, whole), SEL_OK);
}

static void a_mutated_habitat_table_is_read_or_refused(void **state) {
    (void)state;
    char *path = plan_files_path(&files, "mutant.csv");
    char text[4096];
    for (int i = 0; i < MUTANTS; i++) {
        snprintf(text, sizeof text, "%s", plan_files_table);
        mutate(text, sizeof text - 1);
        plan_files_write(&files, "mutant.csv", text);
        struct sel_habitats habitats;
        sel_context_begin(files.context);
        sel_status status = sel_habitats_read(files.context, path, &habitats);
        if (status == SEL_OK) {
            assert_true(habitats.count > 0);
        } else {
            const char *message = sel_context_message(files.context);
            assert_int_equal(status, SEL_BAD_INPUT);
            assert_ptr_equal(strstr(message, path), message);
            assert_null(strchr(message, '\n'));
            assert_null(habitats.items);
        }
        sel_habitats_clear(&habitats);
    }
    free(path);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_mutated_plan_is_read_or_refused),
        cmocka_unit_test(a_plan_cut_off_anywhere_is_read_or_refused),
        cmocka_unit_test(a_mutated_habitat_table_is_read_or_refused),
    };
    return cmocka_run_group_tests(tests, open_files, close_files);
}
