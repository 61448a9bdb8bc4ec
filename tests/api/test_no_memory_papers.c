// SPDX-License-Identifier: MIT
//
// What is made of a written GeoPackage while one allocation fails, each in its turn.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "alloc_ground.h"

static sel_status explain(sel_context *context, void *user) {
    const struct alloc_ground *ground = user;
    char *report = NULL;
    sel_status status = sel_explain(context, ground->ranked, 0, &report);
    sel_text_free(report);
    return status;
}

static sel_status explain_site(sel_context *context, void *user) {
    const struct alloc_ground *ground = user;
    char *report = NULL;
    sel_status status = sel_explain(context, ground->ranked, 2, &report);
    sel_text_free(report);
    return status;
}

static sel_status explain_pair(sel_context *context, void *user) {
    const struct alloc_ground *ground = user;
    char *report = NULL;
    sel_status status = sel_explain_pair(context, ground->ranked, "wood | meadow", &report);
    sel_text_free(report);
    return status;
}

static sel_status map(sel_context *context, void *user) {
    const struct alloc_ground *ground = user;
    return sel_map(context, ground->ranked, alloc_ground_out(ground, "map.png"), 400, false);
}

static sel_status dossier(sel_context *context, void *user) {
    const struct alloc_ground *ground = user;
    return sel_dossier(context, ground->ranked, alloc_ground_out(ground, "dossier.html"), false);
}

static sel_status fieldkit(sel_context *context, void *user) {
    const struct alloc_ground *ground = user;
    char *report = NULL;
    sel_status status = sel_fieldkit(
        context, ground->ranked, alloc_ground_out(ground, "kit"), NULL, NULL, false, &report);
    sel_text_free(report);
    return status;
}

static sel_status events(sel_context *context, void *user) {
    const struct alloc_ground *ground = user;
    char *report = NULL;
    sel_status status = sel_fieldkit(context, ground->ranked, alloc_ground_out(ground, "kit"), NULL,
        ground->actual, false, &report);
    sel_text_free(report);
    return status;
}

static void an_explanation_fails_cleanly(void **state) {
    alloc_ground_sweep("explain", explain, state);
    alloc_ground_sweep("explain --site", explain_site, state);
    alloc_ground_sweep("explain --pair", explain_pair, state);
}

static void a_map_fails_cleanly(void **state) {
    alloc_ground_sweep("map", map, state);
}

static void a_dossier_fails_cleanly(void **state) {
    alloc_ground_sweep("dossier", dossier, state);
}

static void a_field_kit_fails_cleanly(void **state) {
    alloc_ground_sweep("fieldkit", fieldkit, state);
    alloc_ground_sweep("fieldkit --actual", events, state);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_explanation_fails_cleanly),
        cmocka_unit_test(a_map_fails_cleanly),
        cmocka_unit_test(a_dossier_fails_cleanly),
        cmocka_unit_test(a_field_kit_fails_cleanly),
    };
    return cmocka_run_group_tests(tests, alloc_ground_set_up, alloc_ground_tear_down);
}
