// SPDX-License-Identifier: MIT
//
// Several files stand together or not at all, and nothing is left lying about.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/files.h"
#include "base/folder.h"
#include "scene.h"

static sel_context *context;
static char *base;
static char place[512];

static int open_base(void **state) {
    (void)state;
    context = sel_context_new();
    base = scene_folder();
    snprintf(place, sizeof place, "%s/kit", base);
    return 0;
}

static int close_base(void **state) {
    (void)state;
    scene_remove(base);
    sel_context_free(context);
    return 0;
}

static size_t entries(const char *folder) {
    size_t count = 0;
    DIR *stream = opendir(folder);
    if (!stream)
        return SIZE_MAX;
    for (struct dirent *entry; (entry = readdir(stream)) != NULL;)
        count += strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0;
    closedir(stream);
    return count;
}

static void holds(const char *name, const char *expected) {
    char path[900];
    char *bytes;
    size_t length;
    snprintf(path, sizeof path, "%s/%s", place, name);
    assert_int_equal(sel_read_file(context, path, 1000, &bytes, &length), SEL_OK);
    assert_string_equal(bytes, expected);
    free(bytes);
}

static sel_status write_two(
    const char *first, const char *second, const char *text, bool overwrite) {
    struct sel_folder folder = {.path = place};
    sel_text_add(sel_folder_add(&folder, first), text);
    sel_text_add(sel_folder_add(&folder, second), text);
    sel_context_begin(context);
    sel_status status = sel_folder_write(context, &folder, overwrite);
    sel_folder_clear(&folder);
    return status;
}

static void files_are_written_into_a_new_folder(void **state) {
    (void)state;
    assert_int_equal(write_two("a.csv", "b.csv", "one", false), SEL_OK);
    holds("a.csv", "one");
    holds("b.csv", "one");
    assert_int_equal(entries(place), 2);
}

static void existing_files_need_overwrite(void **state) {
    (void)state;
    assert_int_equal(write_two("c.csv", "b.csv", "two", false), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context), "/kit/b.csv: exists already"));
    assert_non_null(strstr(sel_context_message(context), "--overwrite"));
    holds("b.csv", "one");
    assert_int_equal(entries(place), 2);
    assert_int_equal(write_two("a.csv", "b.csv", "two", true), SEL_OK);
    holds("a.csv", "two");
    holds("b.csv", "two");
    assert_int_equal(entries(place), 2);
}

static void files_of_other_names_are_left_alone(void **state) {
    (void)state;
    assert_int_equal(write_two("c.csv", "d.csv", "three", false), SEL_OK);
    holds("a.csv", "two");
    assert_int_equal(entries(place), 4);
}

// A name so long that what is written first just fits into 255 bytes (Linux), and the longer name
// under which the earlier file waits does not: the last step fails, after the first file was moved.
static void long_name(char name[256]) {
    char probe[1024];
    memset(name, 'x', 255);
    for (size_t length = 255; length > 100; length--) {
        name[length] = '\0';
        snprintf(probe, sizeof probe, "%s/%s", place, name);
        char *temporary = sel_temporary_name(probe), *twice = sel_temporary_name(temporary);
        size_t base_length = strlen(strrchr(twice, '/') + 1);
        free(temporary);
        free(twice);
        if (base_length <= 255)
            return;
    }
}

static void a_failed_move_puts_everything_back(void **state) {
    (void)state;
    char name[256], path[1024];
    long_name(name);
    snprintf(path, sizeof path, "%s/%s", place, name);
    assert_int_equal(sel_write_file(context, path, "old", 3, false), SEL_OK);
    size_t before = entries(place);
    assert_int_equal(write_two("a.csv", name, "four", true), SEL_IO);
    assert_non_null(strstr(sel_context_message(context), "cannot be moved into place"));
    holds("a.csv", "two");
    holds(name, "old");
    assert_int_equal(entries(place), before);
    assert_int_equal(write_two("new.csv", name, "four", true), SEL_IO);
    assert_int_equal(entries(place), before);
    unlink(path);
}

static void a_folder_made_for_nothing_is_taken_away(void **state) {
    (void)state;
    char kept[512], name[300];
    snprintf(kept, sizeof kept, "%s", place);
    snprintf(place, sizeof place, "%s/other", base);
    memset(name, 'y', 290);
    name[290] = '\0';
    assert_int_equal(write_two("a.csv", name, "five", false), SEL_IO);
    assert_int_equal(entries(place), SIZE_MAX);
    snprintf(place, sizeof place, "%s", kept);
}

static void a_cancel_leaves_nothing(void **state) {
    (void)state;
    struct sel_folder folder = {.path = place};
    sel_text_add(sel_folder_add(&folder, "a.csv"), "six");
    sel_context_begin(context);
    sel_cancel(context);
    assert_int_equal(sel_folder_write(context, &folder, true), SEL_INTERRUPTED);
    sel_folder_clear(&folder);
    holds("a.csv", "two");
}

static void impossible_places_are_named(void **state) {
    (void)state;
    char kept[512];
    snprintf(kept, sizeof kept, "%s", place);
    snprintf(place, sizeof place, "%s/kit/a.csv", base);
    assert_int_equal(write_two("a.csv", "b.csv", "x", true), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context), "a.csv: is a file: give a folder"));
    snprintf(place, sizeof place, "%s/none/kit", base);
    assert_int_equal(write_two("a.csv", "b.csv", "x", true), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context), "none/kit: this folder cannot be made"));
    assert_non_null(strstr(sel_context_message(context), "make its parent first"));
    place[0] = '\0';
    assert_int_equal(write_two("a.csv", "b.csv", "x", true), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context), "give one with -o"));
    snprintf(place, sizeof place, "%s", kept);
}

static void a_folder_in_the_way_of_a_file_is_named(void **state) {
    (void)state;
    char path[600];
    snprintf(path, sizeof path, "%s/e.csv", place);
    assert_int_equal(mkdir(path, 0777), 0);
    assert_int_equal(write_two("e.csv", "a.csv", "x", true), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context), "e.csv: is a folder"));
    rmdir(path);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(files_are_written_into_a_new_folder),
        cmocka_unit_test(existing_files_need_overwrite),
        cmocka_unit_test(files_of_other_names_are_left_alone),
        cmocka_unit_test(a_failed_move_puts_everything_back),
        cmocka_unit_test(a_folder_made_for_nothing_is_taken_away),
        cmocka_unit_test(a_cancel_leaves_nothing),
        cmocka_unit_test(impossible_places_are_named),
        cmocka_unit_test(a_folder_in_the_way_of_a_file_is_named),
    };
    return cmocka_run_group_tests(tests, open_base, close_base);
}
