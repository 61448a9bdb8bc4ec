// SPDX-License-Identifier: MIT
//
// The summary, read line by line as a person would.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "output/account.h"
#include "output/summary.h"
#include "output_scene.h"

static const struct output_scene_size SIZE = {120, 160, 4, 1, 200, false};

static char *summary_of(const struct output_scene *scene) {
    struct sel_text text;
    sel_text_init(&text);
    sel_summary_write(&scene->survey, &text);
    char *chars = sel_text_take(&text);
    assert_non_null(chars);
    return chars;
}

static void expect(const char *summary, const char *part) {
    if (!strstr(summary, part))
        fprintf(stderr, "\"%s\" is not in:\n%s\n", part, summary);
    assert_non_null(strstr(summary, part));
}

// The line that begins (after blanks) with `start`. Free with free.
static char *line_of(const char *summary, const char *start) {
    for (const char *line = summary; *line; line++) {
        const char *first = line + strspn(line, " ");
        size_t length = strcspn(line, "\n");
        if (strncmp(first, start, strlen(start)) == 0)
            return strndup(line, length);
        line += length;
        if (!*line)
            break;
    }
    return NULL;
}

static void every_site_has_a_line_with_its_figures(void **state) {
    const struct output_scene *scene = *state;
    char *summary = summary_of(scene);
    expect(summary, "Alder Brook flyways");
    for (size_t i = 0; i < scene->survey.site_count; i++) {
        const struct sel_site *site = &scene->survey.sites[i];
        const struct sel_candidate *candidate = &scene->survey.candidates[site->candidate];
        char start[32], part[128];
        if (site->reserve)
            snprintf(start, sizeof start, "S%02dR%d ", site->rank, site->reserve);
        else
            snprintf(start, sizeof start, "%d  S%02d ", site->rank, site->rank);
        char *line = line_of(summary, start);
        assert_non_null(line);
        snprintf(part, sizeof part, "%.3f", candidate->score);
        expect(line, part);
        snprintf(part, sizeof part, "%.1f", candidate->measure[SEL_CRITERION_SLOPE]);
        expect(line, part);
        snprintf(part, sizeof part, "%.0f", candidate->measure[SEL_CRITERION_ACCESS]);
        expect(line, part);
        snprintf(part, sizeof part, "%.5f", site->latitude);
        expect(line, part);
        snprintf(part, sizeof part, "%.5f", site->longitude);
        expect(line, part);
        expect(line, scene->plan.habitats.items[candidate->a - 1].name);
        free(line);
    }
    free(summary);
}

// Every step's own count is the sum of the lines under it, in the text as printed.
static void the_printed_counts_add_up(void **state) {
    char *summary = summary_of(*state);
    char *account = strstr(summary, "What was dropped and why");
    assert_non_null(account);
    int64_t wanted = 0, sum = 0, steps = 0;
    for (char *line = account; line; line = strchr(line, '\n')) {
        line += *line == '\n';
        int64_t count;
        char rest[8] = "";
        if (strncmp(line, "Remarks", 7) == 0)
            break;
        if (*line == '\n' || sscanf(line, "%" SCNd64 "%4[^\n]", &count, rest) != 2)
            continue;
        bool total = strncmp(rest, "    ", 4) != 0;
        if (total) {
            assert_int_equal(sum, wanted);
            wanted = count;
            sum = 0;
            steps++;
        } else {
            sum += count;
        }
    }
    assert_int_equal(sum, wanted);
    assert_int_equal(steps, 3);
    free(summary);
}

static void the_account_follows_the_tally(void **state) {
    const struct output_scene *scene = *state;
    struct sel_account_line lines[SEL_ACCOUNT_LINES];
    int count = sel_account(&scene->survey, lines);
    assert_int_equal(count, SEL_ACCOUNT_LINES);
    int64_t sum = 0, total = 0;
    for (int i = 0; i < count; i++) {
        if (lines[i].is_total) {
            assert_int_equal(sum, total);
            total = lines[i].count;
            sum = 0;
        } else {
            sum += lines[i].count;
        }
    }
    assert_int_equal(sum, total);
}

static void reasons_that_struck_nobody_are_left_out(void **state) {
    char *summary = summary_of(*state);
    expect(summary, "11    beyond the limit of slope");
    assert_null(strstr(summary, "beyond the limit of sun"));
    free(summary);
}

// Figures of output_choice.c.
static void the_choice_as_a_whole_is_told(void **state) {
    const struct output_scene *scene = *state;
    char *summary = summary_of(*state), part[128];
    char *told = strdup(summary);
    for (char *at = told; *at; at++)
        *at = *at == '\n' ? ' ' : *at;
    snprintf(part, sizeof part, "Total score %.4f; no choice under the plan's rules can reach more",
        scene->survey.merit.total);
    expect(told, part);
    expect(told, "so at most 1.2 % is missed");
    expect(told, "251 to 444 m away, 300 m on the mean: 1.25 times as far");
    expect(told, "4 % of 499 such sets");
    expect(told, "Voronoi balance 0.31 over the ground, 0.28 over the candidates");
    expect(told, "of 2 blocks with candidates have a site");
    free(told);
    free(summary);
}

// The range of the first site is that of output_choice.c; where no uncertainty is asked for there
// is no such column.
static void how_far_the_data_may_be_off_is_a_column(void **state) {
    struct output_scene *scene = *state;
    char *summary = summary_of(scene), range[32];
    snprintf(range, sizeof range, "  %.3f-%.3f  ", scene->survey.sites[0].score_low,
        scene->survey.sites[0].score_high);
    expect(summary, "  score       5-95 %  kept  ");
    expect(summary, range);
    free(summary);
    double *low = malloc(scene->survey.site_count * sizeof *low);
    for (size_t i = 0; i < scene->survey.site_count; i++) {
        low[i] = scene->survey.sites[i].score_low;
        scene->survey.sites[i].score_low = (double)NAN;
    }
    summary = summary_of(scene);
    assert_null(strstr(summary, "5-95 %"));
    for (size_t i = 0; i < scene->survey.site_count; i++)
        scene->survey.sites[i].score_low = low[i];
    free(low);
    free(summary);
}

static void remarks_and_cautions_are_told(void **state) {
    char *summary = summary_of(*state);
    expect(summary, "  - elevation: the unit is not told; metres are assumed\n");
    expect(summary, "ask the landowner and the authority first");
    free(summary);
}

static void a_criterion_not_in_use_is_blank_and_said(void **state) {
    (void)state;
    struct output_scene_size size = SIZE;
    size.no_access = true;
    struct output_scene *scene = output_scene_new(size);
    char *summary = summary_of(scene);
    expect(summary, "Not in use: access;");
    assert_null(strstr(summary, "nan"));
    free(summary);
    output_scene_free(scene);
}

static void nothing_found_is_said_with_the_reasons(void **state) {
    (void)state;
    struct output_scene *scene = output_scene_new(SIZE);
    size_t sites = scene->survey.site_count;
    int64_t taken = scene->survey.tally.sites + scene->survey.tally.reserves;
    scene->survey.site_count = 0;
    scene->survey.tally.sites = scene->survey.tally.reserves = 0;
    scene->survey.tally.lower_score += taken;
    char *summary = summary_of(scene);
    expect(summary, "No place qualifies");
    expect(summary, "What was dropped and why");
    assert_null(strstr(summary, "latitude"));
    scene->survey.site_count = sites;
    free(summary);
    output_scene_free(scene);
}

static void names_cannot_steer_the_terminal(void **state) {
    (void)state;
    struct output_scene *scene = output_scene_new(SIZE);
    for (int i = 0; i < SCENE_HABITATS; i++) {
        free(scene->plan.habitats.items[i].name);
        scene->plan.habitats.items[i].name = strdup("\x1B[2Jmeadow\xE2\x80\xAE\nnext");
    }
    char *summary = summary_of(scene);
    assert_null(strchr(summary, '\x1B'));
    assert_null(strstr(summary, "\xE2\x80\xAE"));
    assert_null(strstr(summary, "\nnext"));
    free(summary);
    output_scene_free(scene);
}

static int set_up(void **state) {
    *state = output_scene_new(SIZE);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_site_has_a_line_with_its_figures),
        cmocka_unit_test(the_printed_counts_add_up),
        cmocka_unit_test(the_account_follows_the_tally),
        cmocka_unit_test(reasons_that_struck_nobody_are_left_out),
        cmocka_unit_test(the_choice_as_a_whole_is_told),
        cmocka_unit_test(how_far_the_data_may_be_off_is_a_column),
        cmocka_unit_test(remarks_and_cautions_are_told),
        cmocka_unit_test(a_criterion_not_in_use_is_blank_and_said),
        cmocka_unit_test(nothing_found_is_said_with_the_reasons),
        cmocka_unit_test(names_cannot_steer_the_terminal),
    };
    return cmocka_run_group_tests(tests, set_up, output_scene_tear_down);
}
