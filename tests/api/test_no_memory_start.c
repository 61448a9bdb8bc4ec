// SPDX-License-Identifier: MIT
//
// The calls before a rank while one allocation fails, each in its turn.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "alloc_ground.h"

static sel_status start(sel_context *context, void *user) {
    const struct alloc_ground *ground = user;
    char *report = NULL;
    sel_status status = sel_start(context, ground->landcover, ground->elevation, ground->road, NULL,
        alloc_ground_out(ground, "survey"), false, &report);
    sel_text_free(report);
    return status;
}

static sel_status check(sel_context *context, void *user) {
    const struct alloc_ground *ground = user;
    const sel_run_options options = {.threads = 1};
    char *report = NULL;
    sel_status status = sel_check(context, ground->plan, false, &options, &report);
    sel_text_free(report);
    return status;
}

static sel_status legend(sel_context *context, void *user) {
    (void)user;
    char *report = NULL;
    sel_status status = sel_legend(context, "worldcover", &report);
    sel_text_free(report);
    return status;
}

static void a_start_fails_cleanly(void **state) {
    alloc_ground_sweep("start", start, state);
}

static void a_check_fails_cleanly(void **state) {
    alloc_ground_sweep("check", check, state);
}

static void a_legend_fails_cleanly(void **state) {
    alloc_ground_sweep("legend", legend, state);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_start_fails_cleanly),
        cmocka_unit_test(a_check_fails_cleanly),
        cmocka_unit_test(a_legend_fails_cleanly),
    };
    return cmocka_run_group_tests(tests, alloc_ground_set_up, alloc_ground_tear_down);
}
