// SPDX-License-Identifier: MIT
//
// Whole ranks of a tiny ground, and ranks cut into parts and joined, in which one allocation fails,
// each in its turn.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <cpl_conv.h>

#include "alloc_fail.h"
#include "alloc_ground.h"

struct rank {
    const struct alloc_ground *ground;
    sel_run_options options;
};

static sel_status rank(sel_context *context, void *user) {
    const struct rank *rank = user;
    char *summary = NULL;
    sel_status status = sel_rank(context, rank->ground->plan,
        alloc_ground_out(rank->ground, "sites.gpkg"), &rank->options, &summary);
    assert_true((status == SEL_OK) == (summary != NULL));
    sel_text_free(summary);
    return status;
}

static sel_status gather(sel_context *context, void *user) {
    const struct rank *rank = user;
    const char *part = rank->ground->part;
    char *summary = NULL;
    sel_status status = sel_gather(context, rank->ground->plan, &part, 1,
        alloc_ground_out(rank->ground, "sites.gpkg"), &rank->options, &summary);
    assert_true((status == SEL_OK) == (summary != NULL));
    sel_text_free(summary);
    return status;
}

static void a_rank_fails_cleanly(void **state) {
    const struct alloc_ground *ground = *state;
    struct rank user = {ground, {.threads = 1}};
    struct alloc_fail_sweep sweep = {"rank", rank, &user, ground->out, 8};
    CPLSetThreadLocalConfigOption("OGR_SQLITE_SYNCHRONOUS", "NORMAL");
    alloc_fail_everywhere(&sweep);
    assert_string_equal(CPLGetThreadLocalConfigOption("OGR_SQLITE_SYNCHRONOUS", ""), "NORMAL");
    CPLSetThreadLocalConfigOption("OGR_SQLITE_SYNCHRONOUS", NULL);
}

static void a_rank_in_two_threads_fails_cleanly(void **state) {
    const struct alloc_ground *ground = *state;
    struct rank user = {ground, {.threads = 2}};
    struct alloc_fail_sweep sweep = {"rank in two threads", rank, &user, ground->out, 901};
    alloc_fail_in_threads(&sweep);
}

static void a_part_fails_cleanly(void **state) {
    const struct alloc_ground *ground = *state;
    struct rank user = {ground, {.threads = 1, .part = 1, .parts = 1}};
    struct alloc_fail_sweep sweep = {"rank --part", rank, &user, ground->out, 8};
    alloc_fail_everywhere(&sweep);
}

static void parts_are_joined_or_fail_cleanly(void **state) {
    const struct alloc_ground *ground = *state;
    struct rank user = {ground, {.threads = 1}};
    struct alloc_fail_sweep sweep = {"gather", gather, &user, ground->out, 8};
    alloc_fail_everywhere(&sweep);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_rank_fails_cleanly),
        cmocka_unit_test(a_part_fails_cleanly),
        cmocka_unit_test(parts_are_joined_or_fail_cleanly),
        cmocka_unit_test(a_rank_in_two_threads_fails_cleanly),
    };
    return cmocka_run_group_tests(tests, alloc_ground_set_up, alloc_ground_tear_down);
}
