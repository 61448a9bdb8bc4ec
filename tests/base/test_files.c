// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <dirent.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmocka.h>

#include "base/files.h"
#include "scene.h"

static sel_context *context;
static char *folder;

static int make_folder(void **state) {
    (void)state;
    context = sel_context_new();
    folder = scene_folder();
    return context ? 0 : -1;
}

static int remove_folder(void **state) {
    (void)state;
    chmod(folder, 0700);
    scene_remove(folder);
    sel_context_free(context);
    return 0;
}

static const char *path_of(const char *name) {
    static char path[4096];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

static int entries_in_folder(void) {
    DIR *open = opendir(folder);
    assert_non_null(open);
    int count = 0;
    for (const struct dirent *entry = readdir(open); entry; entry = readdir(open))
        count += strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0;
    closedir(open);
    return count;
}

static void assert_holds(const char *path, const char *wanted) {
    char *bytes;
    size_t length;
    assert_int_equal(sel_read_file(context, path, 1000, &bytes, &length), SEL_OK);
    assert_string_equal(bytes, wanted);
    assert_int_equal(length, strlen(wanted));
    free(bytes);
}

static void assert_message_has(const char *file, const char *mend) {
    assert_non_null(strstr(sel_context_message(context), file));
    assert_non_null(strstr(sel_context_message(context), mend));
}

static void what_is_written_is_read_back(void **state) {
    (void)state;
    const char *path = path_of("sites.txt");
    assert_int_equal(sel_write_file(context, path, "alder", 5, false), SEL_OK);
    assert_holds(path, "alder");
    assert_int_equal(sel_write_file(context, path, "", 0, true), SEL_OK);
    assert_holds(path, "");
    assert_int_equal(entries_in_folder(), 1);
}

static void bytes_that_are_no_text_survive(void **state) {
    (void)state;
    const char bytes[] = {0, 1, (char)0xff, 0, '\n'};
    char *got;
    size_t length;
    assert_int_equal(sel_write_file(context, path_of("b"), bytes, sizeof bytes, false), SEL_OK);
    assert_int_equal(sel_read_file(context, path_of("b"), sizeof bytes, &got, &length), SEL_OK);
    assert_int_equal(length, sizeof bytes);
    assert_memory_equal(got, bytes, sizeof bytes);
    assert_int_equal(got[length], 0);
    free(got);
}

static void an_existing_file_is_kept_unless_asked(void **state) {
    (void)state;
    const char *path = path_of("sites.txt");
    assert_int_equal(sel_write_file(context, path, "old", 3, false), SEL_OK);
    assert_int_equal(sel_write_file(context, path, "new", 3, false), SEL_BAD_INPUT);
    assert_message_has("sites.txt", "--overwrite");
    assert_holds(path, "old");
    assert_int_equal(sel_write_file(context, path, "new", 3, true), SEL_OK);
    assert_holds(path, "new");
}

static void an_output_must_be_a_plain_file_in_a_folder_that_exists(void **state) {
    (void)state;
    assert_int_equal(sel_check_output(context, path_of("no/such/x"), true), SEL_BAD_INPUT);
    assert_message_has("no/such does not exist", "make it first");
    sel_context_begin(context);
    assert_int_equal(sel_check_output(context, folder, true), SEL_BAD_INPUT);
    assert_message_has(folder, "give a file name");
    sel_context_begin(context);
    assert_int_equal(sel_check_output(context, "/dev/null", true), SEL_BAD_INPUT);
    assert_message_has("/dev/null", "give a file name");
    sel_context_begin(context);
    assert_int_equal(sel_check_output(context, "", true), SEL_BAD_INPUT);
    assert_message_has("empty", "give a file name");
    assert_int_equal(sel_check_output(context, path_of("new.gpkg"), false), SEL_OK);
    assert_int_equal(sel_check_output(context, "relative.gpkg", false), SEL_OK);
}

// In a child that is not the superuser, to whom no folder is closed.
static void a_folder_without_permission_is_refused(void **state) {
    (void)state;
    enum { NOBODY = 65534 };
    assert_int_equal(chmod(folder, 0500), 0);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        bool able = geteuid() != 0 || setuid(NOBODY) == 0;
        sel_status status = sel_write_file(context, path_of("x"), "x", 1, false);
        const char *message = sel_context_message(context);
        _exit(able && status == SEL_IO && strstr(message, folder) &&
                      strstr(message, "choose another folder")
                  ? 0
                  : 1);
    }
    int result = -1;
    assert_int_equal(waitpid(child, &result, 0), child);
    assert_int_equal(result, 0);
    assert_int_equal(entries_in_folder(), 0);
}

// A limit on file size stands for a full disk: the write fails half-way.
static void a_write_that_breaks_off_leaves_the_earlier_file_and_no_litter(void **state) {
    (void)state;
    const char *path = path_of("sites.gpkg");
    assert_int_equal(sel_write_file(context, path, "earlier", 7, false), SEL_OK);
    size_t length = 1 << 20;
    char *bytes = calloc(1, length);
    struct rlimit before, small;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    small = before;
    small.rlim_cur = 65536;
    signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    sel_status status = sel_write_file(context, path, bytes, length, true);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
    assert_int_equal(status, SEL_IO);
    assert_message_has("sites.gpkg: writing failed", "make room");
    assert_holds(path, "earlier");
    assert_int_equal(entries_in_folder(), 1);
    free(bytes);
}

static void a_replacement_that_fails_leaves_no_litter(void **state) {
    (void)state;
    assert_int_equal(mkdir(path_of("taken"), 0700), 0);
    char *temporary = sel_temporary_name(path_of("taken"));
    FILE *file = fopen(temporary, "wb");
    assert_non_null(file);
    fclose(file);
    // A folder stands in the way.
    assert_int_equal(sel_replace_file(context, temporary, path_of("taken")), SEL_IO);
    assert_message_has("taken: cannot be moved into place", "choose a folder");
    assert_int_equal(access(temporary, F_OK), -1);
    assert_int_equal(entries_in_folder(), 1);
    sel_context_begin(context);
    assert_int_equal(sel_replace_file(context, temporary, path_of("x")), SEL_IO); // none there
    assert_message_has("x: cannot be flushed", "No such file");
    free(temporary);
}

static void a_file_that_cannot_be_read_says_why(void **state) {
    (void)state;
    char *bytes = (char *)path_of("");
    size_t length = 1;
    assert_int_equal(
        sel_read_file(context, path_of("missing.csv"), 10, &bytes, &length), SEL_BAD_INPUT);
    assert_message_has("missing.csv", "check its name");
    assert_null(bytes);
    sel_context_begin(context);
    assert_int_equal(sel_read_file(context, folder, 10, &bytes, &length), SEL_BAD_INPUT);
    assert_message_has(folder, "give a readable file");
    assert_null(bytes);
}

static void a_file_larger_than_allowed_is_refused(void **state) {
    (void)state;
    char *bytes;
    size_t length;
    assert_int_equal(sel_write_file(context, path_of("big"), "0123456789", 10, false), SEL_OK);
    assert_int_equal(sel_read_file(context, path_of("big"), 9, &bytes, &length), SEL_BAD_INPUT);
    assert_message_has("big: is larger than 9 bytes", "right file");
    assert_int_equal(sel_read_file(context, path_of("big"), 10, &bytes, &length), SEL_OK);
    free(bytes);
}

static void a_temporary_name_keeps_folder_and_ending(void **state) {
    (void)state;
    const char *const cases[][3] = {{"out/sites.gpkg", "out/.sites.", ".part.gpkg"},
        {"sites", ".sites.", ".part"}, {"/a.b/x", "/a.b/.x.", ".part"},
        {"a.b.gpkg", ".a.b.", ".part.gpkg"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char *name = sel_temporary_name(cases[i][0]);
        size_t end = strlen(name) - strlen(cases[i][2]);
        assert_memory_equal(name, cases[i][1], strlen(cases[i][1]));
        assert_string_equal(name + end, cases[i][2]);
        free(name);
    }
}

static void paths_are_joined_and_taken_apart(void **state) {
    (void)state;
    const char *const joined[][3] = {{"plans", "lc.tif", "plans/lc.tif"}, {".", "lc.tif", "lc.tif"},
        {"/", "lc.tif", "/lc.tif"}, {"plans", "/data/lc.tif", "/data/lc.tif"},
        {"plans", "/vsizip/a.zip/lc.tif", "/vsizip/a.zip/lc.tif"}};
    for (size_t i = 0; i < sizeof joined / sizeof *joined; i++) {
        char *path = sel_join_path(joined[i][0], joined[i][1]);
        assert_string_equal(path, joined[i][2]);
        free(path);
    }
    const char *const folders[][2] = {
        {"a/b/c", "a/b"}, {"c", "."}, {"/c", "/"}, {"a/", "a"}, {"", "."}};
    for (size_t i = 0; i < sizeof folders / sizeof *folders; i++) {
        char *got = sel_folder_of(folders[i][0]);
        assert_string_equal(got, folders[i][1]);
        free(got);
    }
}

static void a_folder_is_made_unless_it_is_there(void **state) {
    (void)state;
    bool made = false;
    assert_int_equal(sel_make_folder(context, path_of("kit"), &made), SEL_OK);
    assert_true(made);
    assert_int_equal(sel_make_folder(context, path_of("kit"), &made), SEL_OK);
    assert_false(made);
    assert_int_equal(sel_make_folder(context, path_of("kit"), NULL), SEL_OK);
    assert_int_equal(sel_make_folder(context, path_of("a/b"), &made), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context),
        "/a/b: this folder cannot be made: No such file or directory: make its parent first"));
    sel_context_begin(context);
    assert_int_equal(sel_write_file(context, path_of("file"), "x", 1, false), SEL_OK);
    assert_int_equal(sel_make_folder(context, path_of("file"), &made), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(context), "/file: is a file: give a folder"));
}

static void an_output_must_end_as_its_kind_does(void **state) {
    (void)state;
    assert_int_equal(sel_check_ending(context, "a/b.png", ".png", "a picture"), SEL_OK);
    assert_int_equal(sel_check_ending(context, "B.PNG", ".png", "a picture"), SEL_OK);
    assert_int_equal(sel_check_ending(context, "a.png/b", ".png", "a picture"), SEL_BAD_INPUT);
    assert_string_equal(
        sel_context_message(context), "a.png/b: a picture: give a name that ends in .png");
    const char *const others[] = {"", "png", ".png", "a/.png", "a.png.txt", "a.pn"};
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        assert_int_equal(sel_check_ending(context, others[i], ".png", "a picture"), SEL_BAD_INPUT);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(what_is_written_is_read_back, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(bytes_that_are_no_text_survive, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(
            an_existing_file_is_kept_unless_asked, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(
            an_output_must_be_a_plain_file_in_a_folder_that_exists, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(
            a_folder_without_permission_is_refused, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(
            a_write_that_breaks_off_leaves_the_earlier_file_and_no_litter, make_folder,
            remove_folder),
        cmocka_unit_test_setup_teardown(
            a_replacement_that_fails_leaves_no_litter, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(
            a_file_that_cannot_be_read_says_why, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(
            a_file_larger_than_allowed_is_refused, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(
            a_folder_is_made_unless_it_is_there, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(
            an_output_must_end_as_its_kind_does, make_folder, remove_folder),
        cmocka_unit_test(a_temporary_name_keeps_folder_and_ending),
        cmocka_unit_test(paths_are_joined_and_taken_apart),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
