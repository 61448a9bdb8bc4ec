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
#include "explain/explain.h"
#include "output/names.h"
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

// The scene's: sun from 4:30 to 19:45; at some sites never with half of its light.
static void the_hours_of_direct_sun_are_told(void **state) {
    (void)state;
    bool seen[2] = {false, false};
    for (size_t i = 0; i < scene->survey.site_count; i++) {
        if (scene->survey.sites[i].reserve != 0)
            continue;
        bool bright = !isnan(scene->survey.sites[i].exposure.first_bright_h);
        char *told = explain(scene->survey.sites[i].rank);
        expect(told, "That is 4.2 hours before and 5.2 after noon");
        expect(told, "In mid-season direct sun comes first at 4:30 and last at 19:45, ");
        expect(told, bright ? "with more than half of its light first at 8:06 and last at 17:12 "
                              "(local mean solar time)."
                            : "never with more than half of its light (local mean solar time).");
        seen[bright] = true;
        free(told);
    }
    assert_true(seen[0] && seen[1]);
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

// ---- how firmly it stands: figures of output_choice.c ----

// Third of the primaries: its number in the file decides its figures.
static int index_of(const struct sel_site *site) {
    return (int)(site - scene->survey.sites);
}

static void the_standing_is_told_with_its_figures(void **state) {
    (void)state;
    const struct sel_site *site = primary(3);
    char *told = explain(3), part[160];
    snprintf(part, sizeof part,
        "(2000 draws), this place, or one within 100 m of it, is chosen in "
        "%.0f %%; among 321 local bests its rank lies between %d and %d",
        100 * (1.0 - 0.125 * (index_of(site) % 4)), index_of(site) + 1, 10 * (index_of(site) + 1));
    expect(told, part);
    double score = scene->survey.candidates[site->candidate].score;
    snprintf(part, sizeof part, "its score lies between %.3f and %.3f", score - 0.1, score + 0.05);
    expect(told, part);
    for (int c = 0; c < SEL_CRITERIA; c++) {
        double weight = scene->survey.weights[c];
        char below[16] = "none", above[16] = "none", words[SEL_CRITERION_WORDS];
        if (c == 0)
            snprintf(below, sizeof below, "%.2f", weight - 0.04);
        if (c != 3)
            snprintf(above, sizeof above, "%.2f", weight + 0.03 * (c + 1));
        sel_criterion_words(sel_criterion_name((enum sel_criterion)c), words);
        snprintf(part, sizeof part, "%s %.2f %s %s ", words, weight, below, above);
        expect(told, part);
    }
    free(told);
}

// What a measure must become for the score to change by so much: value functions of the scene are
// straight lines from `from` to `to`.
static void expect_target(const char *told, const struct sel_site *site, int c, double change) {
    const struct sel_plan_criterion *criterion = &scene->plan.criteria[c];
    double worth = site->values[c] + change / scene->survey.weights[c];
    double from = criterion->value[0].at, to = criterion->value[1].at;
    double share = (worth - criterion->value[0].worth) /
                   (criterion->value[1].worth - criterion->value[0].worth);
    char part[64];
    if (worth < 0 || worth > 1)
        snprintf(part, sizeof part, "not by this alone");
    else
        snprintf(part, sizeof part, " %.3g", from + share * (to - from));
    expect(told, part);
}

static void what_would_have_to_change_is_told_by_measure(void **state) {
    (void)state;
    const struct sel_site *site = primary(2), *above = primary(1);
    char *told = explain(2);
    double gap = scene->survey.candidates[above->candidate].score -
                 scene->survey.candidates[site->candidate].score;
    char *table = strstr(told, "reaches rank 1 at drops out at");
    assert_non_null(table);
    expect_number(told, "To rise it lacks %.4f of score", gap);
    expect(told, "it has 0.0200 to spare");
    for (int c = 0; c < SEL_CRITERIA; c++) {
        expect_target(table, site, c, gap);
        expect_target(table, site, c, -0.02);
    }
    free(told);
    told = explain(1);
    expect(told, "It is the first.");
    free(told);
}

// The scene's fourth site is one that choosing simply would leave. Its weights are told all the
// same.
static void what_the_greedy_choice_would_leave_is_said(void **state) {
    (void)state;
    int left = 0;
    for (int rank = 1; rank <= 4; rank++) {
        const struct sel_site *site = primary(rank);
        char *told = explain(rank);
        bool said = strstr(told, "would not take it even at the plan's weights") != NULL;
        assert_int_equal(said, !site->standing.taken);
        expect(told, "One weight at a time");
        left += said;
        free(told);
    }
    assert_int_equal(left, 1);
}

static void the_choice_as_a_whole_is_told(void **state) {
    (void)state;
    char *told = explain(0);
    expect(told, "by more than 1.2 %");
    expect(told, "1.25 times as far from one another");
    free(told);
}

// ---- a pair ----

static char *explain_pair(const char *pair) {
    struct sel_text text;
    sel_text_init(&text);
    assert_int_equal(sel_explain_pair_write(scene->context, path, pair, &text), SEL_OK);
    squeeze(text.chars);
    return sel_text_take(&text);
}

static int64_t count_of(const struct sel_candidate *like, uint8_t fate) {
    int64_t count = 0;
    for (size_t i = 0; i < scene->survey.candidate_count; i++)
        count += scene->survey.candidates[i].a == like->a &&
                 scene->survey.candidates[i].b == like->b && scene->survey.fates[i] == fate;
    return count;
}

static void a_pair_is_told_in_either_order(void **state) {
    (void)state;
    const struct sel_candidate *site = &scene->survey.candidates[primary(1)->candidate];
    const char *a = scene->plan.habitats.items[site->a - 1].name;
    const char *b = scene->plan.habitats.items[site->b - 1].name;
    char asked[256], turned[256], part[64];
    snprintf(asked, sizeof asked, "%s | %s", a, b);
    snprintf(turned, sizeof turned, " %s|%s ", b, a);
    char *told = explain_pair(asked), *again = explain_pair(turned);
    assert_string_equal(told, again);
    expect(told, asked);
    snprintf(part, sizeof part, "%d too near a chosen site",
        (int)count_of(site, SEL_CHOICE_NEAR_CHOSEN));
    expect(told, part);
    int lower = (int)count_of(site, SEL_CHOICE_LOWER_SCORE);
    snprintf(part, sizeof part, "%d scored lower than the sites", lower);
    assert_int_equal(strstr(told, part) != NULL, lower > 0);
    expect(told, "The plan allows 4 at most.");
    expect(told, "Its sites");
    expect(told, "S01");
    expect_number(told, "%.4f", site->score);
    expect(told, "The best of its other candidates");
    free(told);
    free(again);
}

static void a_pair_that_is_not_there_is_refused_with_those_that_are(void **state) {
    (void)state;
    static const char *const asked[] = {"riparian wood", "moon | sun", "", "|"};
    for (size_t i = 0; i < sizeof asked / sizeof *asked; i++) {
        struct sel_text text;
        sel_text_init(&text);
        assert_int_equal(
            sel_explain_pair_write(scene->context, path, asked[i], &text), SEL_BAD_INPUT);
        assert_non_null(strstr(sel_context_message(scene->context),
            "is not there: write two habitats with a bar between them; the file has \""));
        sel_context_begin(scene->context);
        sel_text_clear(&text);
    }
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

// Someone has struck out ranks 2 and 3 with other means.
static void ranks_with_a_gap_are_listed_one_by_one(void **state) {
    (void)state;
    char command[8192];
    char *gap = output_scene_path(scene, "gap.gpkg"), *one = output_scene_path(scene, "one.gpkg");
    snprintf(command, sizeof command,
        "cd '%s' && cp sites.gpkg gap.gpkg && ogrinfo -q gap.gpkg -sql 'DELETE FROM sites WHERE "
        "rank IN (2, 3)' && cp gap.gpkg one.gpkg && ogrinfo -q one.gpkg -sql 'DELETE FROM sites "
        "WHERE rank > 1'",
        scene->folder);
    assert_int_equal(output_scene_run(command, NULL), 0);
    refuse(gap, 2, "rank 2: is not there: the file has ranks 1, 4;");
    refuse(one, 2, "rank 2: is not there: the file has rank 1;");
    free(gap);
    free(one);
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
        cmocka_unit_test(the_hours_of_direct_sun_are_told),
        cmocka_unit_test(reserves_and_rivals_are_listed),
        cmocka_unit_test(rank_zero_lists_all_sites),
        cmocka_unit_test(the_standing_is_told_with_its_figures),
        cmocka_unit_test(what_would_have_to_change_is_told_by_measure),
        cmocka_unit_test(what_the_greedy_choice_would_leave_is_said),
        cmocka_unit_test(the_choice_as_a_whole_is_told),
        cmocka_unit_test(a_pair_is_told_in_either_order),
        cmocka_unit_test(a_pair_that_is_not_there_is_refused_with_those_that_are),
        cmocka_unit_test(hostile_notes_cannot_steer_the_terminal),
        cmocka_unit_test(geometric_means_are_explained_as_products),
        cmocka_unit_test(a_rank_that_is_not_there_is_refused_with_those_that_are),
        cmocka_unit_test(ranks_with_a_gap_are_listed_one_by_one),
        cmocka_unit_test(what_is_no_result_is_refused),
        cmocka_unit_test(reading_leaves_the_file_as_it_was),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
