// SPDX-License-Identifier: MIT
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/files.h"
#include "base/unfinished.h"
#include "scene.h"

static char *folder;

static int make_folder(void **state) {
    (void)state;
    folder = scene_folder();
    return 0;
}

static int remove_folder(void **state) {
    (void)state;
    scene_remove(folder);
    return 0;
}

static const char *path_of(const char *name) {
    static char path[4096];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

static void make(const char *name) {
    FILE *file = fopen(path_of(name), "wb");
    assert_non_null(file);
    fclose(file);
}

static bool is_there(const char *name) {
    return access(path_of(name), F_OK) == 0;
}

static void what_is_named_is_removed_and_nothing_else(void **state) {
    (void)state;
    struct sel_unfinished names = {NULL};
    make("part");
    make("part-journal");
    make("other");
    for (int i = 0; i < 3; i++) { // a name may be given again
        assert_true(sel_unfinished_add(&names, path_of("part")));
        assert_true(sel_unfinished_add(&names, path_of("never made")));
        assert_true(sel_unfinished_add(&names, path_of("part-journal")));
    }
    sel_unfinished_remove(&names);
    assert_false(is_there("part"));
    assert_false(is_there("part-journal"));
    assert_true(is_there("other"));
    sel_unfinished_clear(&names);
    make("part");
    sel_unfinished_remove(&names);
    assert_true(is_there("part"));
}

static void a_file_that_is_finished_is_not_discarded(void **state) {
    (void)state;
    sel_context *context = sel_context_new();
    assert_non_null(context);
    assert_int_equal(sel_write_file(context, path_of("map.png"), "alder", 5, false), SEL_OK);
    sel_discard(context);
    assert_true(is_there("map.png"));
    sel_context_free(context);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(
            what_is_named_is_removed_and_nothing_else, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(
            a_file_that_is_finished_is_not_discarded, make_folder, remove_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
