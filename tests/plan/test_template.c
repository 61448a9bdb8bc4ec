// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "plan/template.h"
#include "plan_files.h"

static struct plan_files files;

static int open_files(void **state) {
    (void)state;
    plan_files_open(&files);
    return 0;
}

static int close_files(void **state) {
    (void)state;
    plan_files_close(&files);
    return 0;
}

static struct sel_template_facts facts_at(double latitude) {
    return (struct sel_template_facts){.landcover = "landcover.tif",
        .elevation = "elevation.tif",
        .access = "roads.gpkg",
        .latitude = latitude};
}

static char *write_template(const struct sel_template_facts *facts) {
    struct sel_text text;
    sel_text_init(&text);
    sel_template_plan(facts, &text);
    char *chars = sel_text_take(&text);
    assert_non_null(chars);
    return chars;
}

static void read_template(const struct sel_template_facts *facts) {
    char *text = write_template(facts);
    if (plan_files_read(&files, text) != SEL_OK)
        fail_msg("%s", sel_context_message(files.context));
    free(text);
}

static void the_template_is_a_plan(void **state) {
    (void)state;
    struct sel_template_facts facts = facts_at(51.0);
    read_template(&facts);
    assert_string_equal(files.plan.title, "Flyway survey");
    assert_non_null(strstr(files.plan.landcover.file, "/landcover.tif"));
    assert_int_equal(files.plan.access_count, 1);
    assert_int_equal(files.plan.access[0].role, SEL_ACCESS_START);
    assert_int_equal(files.plan.habitats.count, 4);
}

static sel_status collect(void *user, const char *key, const char *value, bool is_default) {
    (void)is_default;
    struct sel_text *text = user;
    // What the template is told, it need not have in common with the defaults.
    if (strncmp(key, "access[", 7) != 0 && strcmp(key, "access") != 0)
        sel_text_addf(text, "%s = %s\n", key, value);
    return SEL_OK;
}

static char *list_plan(void) {
    struct sel_text text;
    sel_text_init(&text);
    assert_int_equal(sel_plan_each(files.context, &files.plan, collect, &text), SEL_OK);
    return sel_text_take(&text);
}

static void the_template_says_what_the_defaults_would_do(void **state) {
    (void)state;
    struct sel_template_facts facts = facts_at(51.0);
    read_template(&facts);
    char *written = list_plan();
    assert_int_equal(plan_files_read(&files, plan_files_least), SEL_OK);
    char *defaults = list_plan();
    assert_string_equal(written, defaults);
    free(written);
    free(defaults);
}

// "#key" or "#  - entry" is an example; "# Words" is explanation.
static char *put_examples_to_use(const char *text) {
    struct sel_text used;
    sel_text_init(&used);
    for (const char *line = text; *line;) {
        size_t length = strcspn(line, "\n");
        bool example =
            line[0] == '#' && (islower((unsigned char)line[1]) || strncmp(line, "#  ", 3) == 0);
        bool command = strncmp(line, "#    ", 5) == 0;
        size_t skip = example && !command ? 1 : 0;
        sel_text_add_bytes(&used, line + skip, length - skip);
        sel_text_add(&used, "\n");
        line += length + (line[length] == '\n');
    }
    return sel_text_take(&used);
}

static void every_example_of_the_template_can_be_put_to_use(void **state) {
    (void)state;
    static const char *const access[] = {"roads.gpkg", NULL};
    for (size_t i = 0; i < 2; i++) {
        struct sel_template_facts facts = facts_at(51.0);
        facts.access = access[i];
        char *text = write_template(&facts);
        char *used = put_examples_to_use(text);
        if (plan_files_read(&files, used) != SEL_OK)
            fail_msg("%s", sel_context_message(files.context));
        assert_non_null(files.plan.canopy.file);
        assert_int_equal(files.plan.contrast_count, 1);
        assert_int_equal(files.plan.lines_count, 1);
        assert_non_null(files.plan.area.file);
        assert_int_equal(files.plan.access_count, 2);
        assert_non_null(files.plan.parcels.file);
        assert_string_equal(files.plan.field.place, "Alder Brook valley");
        assert_string_equal(files.plan.field.country_code, "XX");
        assert_int_equal(files.plan.zones_count, 1);
        assert_non_null(files.plan.occupied.file);
        free(used);
        free(text);
    }
}

static void without_a_road_the_template_has_no_access(void **state) {
    (void)state;
    struct sel_template_facts facts = facts_at(51.0);
    facts.access = NULL;
    read_template(&facts);
    assert_int_equal(files.plan.access_count, 0);
}

static void season_is(double latitude, int year, const char *from_to, const char *word) {
    struct sel_template_facts facts = facts_at(latitude);
    facts.year = year;
    char *text = write_template(&facts);
    assert_non_null(strstr(text, from_to));
    assert_non_null(strstr(text, word));
    assert_int_equal(plan_files_read(&files, text), SEL_OK);
    free(text);
}

static void the_season_suits_the_hemisphere(void **state) {
    (void)state;
    season_is(51.0, 0, "{ from: 2027-05-15, to: 2027-08-31 }", "northern summer");
    season_is((double)NAN, 0, "{ from: 2027-05-15, to: 2027-08-31 }", "temperate north");
    season_is(-41.0, 2028, "{ from: 2028-11-15, to: 2029-02-28 }", "southern summer");
    season_is(-3.0, 2028, "{ from: 2028-01-01, to: 2028-12-31 }", "tropics");
}

static void paths_and_titles_with_odd_characters_come_back(void **state) {
    (void)state;
    static const char *const names[] = {"my maps/land: cover #1.tif", "\"quoted\" \\ back.tif",
        "- dash.tif", "na\xC3\xAFve.tif", "null", "2027", "*star.tif", "a\tb.tif"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        char path[128];
        snprintf(path, sizeof path, "/vsimem/%s", names[i]);
        struct sel_template_facts facts = facts_at(51.0);
        facts.landcover = path;
        facts.title = names[i];
        char *text = write_template(&facts);
        bool control = strchr(names[i], '\t') != NULL; // which a plan refuses, but rightly written
        assert_int_equal(plan_files_read(&files, text), control ? SEL_BAD_INPUT : SEL_OK);
        if (!control) {
            assert_string_equal(files.plan.landcover.file, path);
            assert_string_equal(files.plan.title, names[i]);
        }
        free(text);
    }
}

static void the_template_names_the_legend_that_filled_the_table(void **state) {
    (void)state;
    struct sel_template_facts facts = facts_at(51.0);
    facts.legend = sel_legend_get("nlcd");
    facts.habitats = "tables/nlcd.csv";
    char *text = write_template(&facts);
    assert_non_null(strstr(text, "built-in legend nlcd."));
    assert_non_null(strstr(text, "\nhabitats: tables/nlcd.csv\n"));
    free(text);
    facts.legend = NULL;
    text = write_template(&facts);
    assert_non_null(strstr(text, "fill in their traits first"));
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_template_is_a_plan),
        cmocka_unit_test(the_template_says_what_the_defaults_would_do),
        cmocka_unit_test(every_example_of_the_template_can_be_put_to_use),
        cmocka_unit_test(without_a_road_the_template_has_no_access),
        cmocka_unit_test(the_season_suits_the_hemisphere),
        cmocka_unit_test(paths_and_titles_with_odd_characters_come_back),
        cmocka_unit_test(the_template_names_the_legend_that_filled_the_table),
    };
    return cmocka_run_group_tests(tests, open_files, close_files);
}
