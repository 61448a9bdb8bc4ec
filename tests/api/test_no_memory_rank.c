// SPDX-License-Identifier: MIT
//
// Whole ranks of a tiny ground in which one allocation fails, each in its turn.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <time.h>

#include "alloc_fail.h"
#include "alloc_ground.h"

struct rank {
    const char *plan, *output;
    sel_run_options options;
};

static sel_status rank(sel_context *context, void *user) {
    const struct rank *rank = user;
    char *summary = NULL;
    sel_status status = sel_rank(context, rank->plan, rank->output, &rank->options, &summary);
    sel_text_free(summary);
    return status;
}

static void a_rank_fails_cleanly(void **state) {
    struct alloc_ground *ground = *state;
    struct rank user = {ground->plan, alloc_ground_out(ground, "sites.gpkg"), {.threads = 1}};
    struct alloc_fail_sweep sweep = {"rank", rank, &user, ground->out, 1};
    alloc_fail_everywhere(&sweep);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_rank_fails_cleanly),
    };
    return cmocka_run_group_tests(tests, alloc_ground_set_up, alloc_ground_tear_down);
}
