// SPDX-License-Identifier: MIT
//
// Explanations told from a written file; figures are checked against the survey that was written.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "output/explain.h"
#include "output_scene.h"

static struct output_scene *scene;
static char *path;

// Every run of blanks and line breaks becomes one blank, so that wrapping does not matter.
static void squeeze(char *chars) {
    char *to = chars;
    for (const char *from = chars; *from; from++) {
        bool blank = *from == ' ' || *from == '\n';
        if (!blank || to == chars || to[-1] != ' ')
            *to++ = blank ? ' ' : *from;
    }
    *to = '\0';
}

static char *explain(int rank) {
    struct sel_text text;
    sel_text_init(&text);
    sel_status status = sel_explain_write(scene->context, path, rank, &text);
    if (status != SEL_OK)
        fprintf(stderr, "%s\n", sel_context_message(scene->context));
    assert_int_equal(status, SEL_OK);
    squeeze(text.chars);
    return sel_text_take(&text);
}

static void expect(const char *told, const char *part) {
    if (!strstr(told, part))
        fprintf(stderr, "\"%s\" is not in:\n%s\n", part, told);
    assert_non_null(strstr(told, part));
}

static void expect_number(const char *told, const char *format, double number) {
    char part[64];
    snprintf(part, sizeof part, format, number);
    expect(told, part);
}

static const struct sel_site *primary(int rank) {
    for (size_t i = 0; i < scene->survey.site_count; i++)
        if (scene->survey.sites[i].rank == rank && scene->survey.sites[i].reserve == 0)
            return &scene->survey.sites[i];
    return NULL;
}

static void one_site_is_told_with_its_numbers(void **state) {
    (void)state;
    const struct sel_site *site = primary(3);
    const struct sel_candidate *candidate = &scene->survey.candidates[site->candidate];
    char *told = explain(3);
    expect(told, "Site S03, rank 3 of 4");
    expect_number(told, "%.4f", candidate->score);
    expect_number(told, "%.6f", site->latitude);
    expect_number(told, "%.6f", site->longitude);
    expect_number(told, "%.1f", site->x);
    expect(told, "WGS 84 / UTM zone 33N");
    expect(told, scene->plan.habitats.items[candidate->a - 1].name);
    for (int i = 0; i < SEL_CRITERIA; i++) {
        expect_number(told, "%.4f", site->values[i]);
        expect_number(told, "%.4f", scene->survey.weights[i]);
        expect_number(told, "%.4f", site->values[i] * scene->survey.weights[i]);
    }
    free(told);
}

static void value_functions_and_limits_are_put_in_words(void **state) {
    (void)state;
    char *told = explain(1);
    expect(told, "edge contrast: 0.1 is worth 0, 0.7 is worth 1, straight lines between");
    expect(told, "slope: 5 is worth 1, 20 is worth 0");
    expect(told, "not eligible beyond 25");
    free(told);
}

// Bearings of the scene: edge 24.137, flyway 114.137, head 204.137 degrees.
static void bearings_are_put_in_words(void **state) {
    (void)state;
    char *told = explain(1);
    expect(told, "24/204 degrees");
    expect(told, "north-north-east to south-south-west");
    expect(told, "114/294 degrees");
    expect(told, "204 degrees (south-south-west)");
    expect(told, "All bearings");
    free(told);
}

// The scene's horizon: ground 2.9 degrees in the north-east half, 5.7 in the south-west half;
// canopy 38.7 degrees from west to north, letting 25 % through.
static void the_horizon_is_told(void **state) {
    (void)state;
    char *told = explain(2);
    expect(told, "5.7 degrees");
    expect(told, "38.7 degrees");
    expect(told, "25 %");
    expect(told, "free above 2.9");
    expect(told, "from 2027-05-15 to 2027-08-31");
    free(told);
}

static void reserves_and_rivals_are_listed(void **state) {
    (void)state;
    char *told = explain(1);
    int64_t near = 0;
    for (size_t i = 0; i < scene->survey.rival_count; i++)
        near += scene->survey.rivals[i].site_rank == 1 &&
                strcmp(scene->survey.rivals[i].reason, "too near site") == 0;
    char *reasons = strstr(told, "Rivals within 1 km");
    assert_non_null(reasons);
    expect(told, "S01R1");
    expect(reasons, "too near site");
    expect_number(reasons, "%.0f too near site", (double)near);
    free(told);
}

static void rank_zero_lists_all_sites(void **state) {
    (void)state;
    char *told = explain(0), id[16];
    for (int rank = 1; rank <= 4; rank++) {
        snprintf(id, sizeof id, "S%02d ", rank);
        expect(told, id);
        const struct sel_site *site = primary(rank);
        expect_number(told, "%.4f", scene->survey.candidates[site->candidate].score);
    }
    expect(told, "S01R1");
    free(told);
}

static void hostile_notes_cannot_steer_the_terminal(void **state) {
    (void)state;
    char *told = explain(0);
    assert_null(strchr(told, '\x1B'));
    free(told);
}

static void geometric_means_are_explained_as_products(void **state) {
    (void)state;
    char *other = output_scene_path(scene, "geometric.gpkg");
    struct sel_candidate *candidate = &scene->survey.candidates[primary(2)->candidate];
    double arithmetic = candidate->score, product = 1;
    for (int i = 0; i < SEL_CRITERIA; i++)
        product *= pow(primary(2)->values[i], scene->survey.weights[i]);
    candidate->score = product;
    scene->plan.aggregate = SEL_MEAN_GEOMETRIC;
    assert_int_equal(output_scene_write(scene, other, false, false), SEL_OK);
    struct sel_text text;
    sel_text_init(&text);
    assert_int_equal(sel_explain_write(scene->context, other, 2, &text), SEL_OK);
    expect(text.chars, "multiplies");
    char *sum = strstr(text.chars, "How the score comes about");
    assert_non_null(sum);
    expect_number(sum, "%.4f\n", product);
    candidate->score = arithmetic;
    scene->plan.aggregate = SEL_MEAN_ARITHMETIC;
    sel_text_clear(&text);
    free(other);
}

// --- refusals ---

static void refuse(const char *file, int rank, const char *message) {
    struct sel_text text;
    sel_text_init(&text);
    assert_int_equal(sel_explain_write(scene->context, file, rank, &text), SEL_BAD_INPUT);
    if (!strstr(sel_context_message(scene->context), message))
        fprintf(stderr, "%s\n", sel_context_message(scene->context));
    assert_non_null(strstr(sel_context_message(scene->context), message));
    sel_context_begin(scene->context);
    sel_text_clear(&text);
}

static void a_rank_that_is_not_there_is_refused_with_those_that_are(void **state) {
    (void)state;
    refuse(path, 99, "rank 99: is not there: the file has ranks 1 to 4");
    refuse(path, -1, "rank -1: is not there");
}

static void what_is_no_result_is_refused(void **state) {
    (void)state;
    char command[8192];
    char *none = output_scene_path(scene, "none.gpkg");
    char *text = output_scene_path(scene, "text.gpkg");
    char *other = output_scene_path(scene, "other.gpkg");
    char *changed = output_scene_path(scene, "changed.gpkg");
    snprintf(command, sizeof command,
        "cd '%s' && echo hello > text.gpkg && printf 'id,name\\n1,a\\n' > o.csv && ogr2ogr -f GPKG "
        "other.gpkg o.csv && cp sites.gpkg changed.gpkg && sqlite3 changed.gpkg 'ALTER TABLE "
        "sites RENAME COLUMN score TO points'",
        scene->folder);
    assert_int_equal(output_scene_run(command, NULL), 0);
    refuse(none, 1, "none.gpkg: cannot be read: No such file");
    refuse(text, 1, "text.gpkg: is no GeoPackage");
    refuse(other, 1, "other.gpkg: is a GeoPackage, but no result of selvedge");
    refuse(changed, 1, "changed.gpkg: table sites: column score is missing");
    free(none);
    free(text);
    free(other);
    free(changed);
}

static void reading_leaves_the_file_as_it_was(void **state) {
    (void)state;
    char command[8192], *before, *after;
    snprintf(
        command, sizeof command, "cd '%s' && sha256sum sites.gpkg && ls -A | sort", scene->folder);
    assert_int_equal(output_scene_run(command, &before), 0);
    free(explain(1));
    assert_int_equal(output_scene_run(command, &after), 0);
    assert_string_equal(before, after);
    free(before);
    free(after);
}

static int set_up(void **state) {
    (void)state;
    scene = output_scene_new((struct output_scene_size){120, 160, 4, 1, 200, false});
    path = output_scene_path(scene, "sites.gpkg");
    return output_scene_write(scene, path, false, false) == SEL_OK ? 0 : -1;
}

static int tear_down(void **state) {
    (void)state;
    free(path);
    output_scene_free(scene);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_site_is_told_with_its_numbers),
        cmocka_unit_test(value_functions_and_limits_are_put_in_words),
        cmocka_unit_test(bearings_are_put_in_words),
        cmocka_unit_test(the_horizon_is_told),
        cmocka_unit_test(reserves_and_rivals_are_listed),
        cmocka_unit_test(rank_zero_lists_all_sites),
        cmocka_unit_test(hostile_notes_cannot_steer_the_terminal),
        cmocka_unit_test(geometric_means_are_explained_as_products),
        cmocka_unit_test(a_rank_that_is_not_there_is_refused_with_those_that_are),
        cmocka_unit_test(what_is_no_result_is_refused),
        cmocka_unit_test(reading_leaves_the_file_as_it_was),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
