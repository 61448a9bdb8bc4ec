// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "output/checksum.h"
#include "output_scene.h"
#include "scene.h"

static char path[4096];

static void write_file(const char *folder, size_t length) {
    snprintf(path, sizeof path, "%s/data", folder);
    FILE *stream = fopen(path, "wb");
    assert_non_null(stream);
    for (size_t i = 0; i < length; i++)
        assert_int_not_equal(fputc((int)(i * 31 % 251), stream), EOF);
    assert_int_equal(fclose(stream), 0);
}

// FIPS 180-4 example: the digest of "abc", as printed in many places.
static void the_published_example_comes_out(void **state) {
    char *folder = scene_folder(), digest[SEL_SHA256_SIZE];
    snprintf(path, sizeof path, "%s/abc", folder);
    FILE *stream = fopen(path, "wb");
    assert_non_null(stream);
    assert_true(fputs("abc", stream) >= 0 && fclose(stream) == 0);
    assert_int_equal(sel_sha256_file(*state, path, digest), SEL_OK);
    assert_string_equal(digest, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    scene_remove(folder);
}

// Lengths around the size of a block, against the sha256sum of the system.
static void sha256sum_agrees(void **state) {
    static const size_t LENGTHS[] = {0, 1, (1 << 20) - 1, 1 << 20, (1 << 20) + 1, 3000000};
    char *folder = scene_folder();
    for (size_t i = 0; i < sizeof LENGTHS / sizeof *LENGTHS; i++) {
        char digest[SEL_SHA256_SIZE], command[5000], *other;
        write_file(folder, LENGTHS[i]);
        assert_int_equal(sel_sha256_file(*state, path, digest), SEL_OK);
        snprintf(command, sizeof command, "sha256sum '%s'", path);
        assert_int_equal(output_scene_run(command, &other), 0);
        assert_memory_equal(digest, other, SEL_SHA256_SIZE - 1);
        free(other);
    }
    scene_remove(folder);
}

static void a_missing_file_is_named(void **state) {
    char digest[SEL_SHA256_SIZE];
    sel_context *context = sel_context_new();
    (void)state;
    assert_int_equal(sel_sha256_file(context, "/nowhere/x.tif", digest), SEL_IO);
    assert_non_null(strstr(sel_context_message(context), "/nowhere/x.tif"));
    sel_context_free(context);
}

static void a_cancel_is_heard(void **state) {
    char *folder = scene_folder(), digest[SEL_SHA256_SIZE];
    sel_context *context = sel_context_new();
    (void)state;
    write_file(folder, 10);
    sel_cancel(context);
    assert_int_equal(sel_sha256_file(context, path, digest), SEL_INTERRUPTED);
    sel_context_free(context);
    scene_remove(folder);
}

static int set_up(void **state) {
    *state = sel_context_new();
    return *state ? 0 : -1;
}

static int tear_down(void **state) {
    sel_context_free(*state);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_published_example_comes_out),
        cmocka_unit_test(sha256sum_agrees),
        cmocka_unit_test(a_missing_file_is_named),
        cmocka_unit_test(a_cancel_is_heard),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
