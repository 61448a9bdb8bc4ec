// SPDX-License-Identifier: MIT
//
// The field kit as a whole, through the public interface: parts, folder, what was really done.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/files.h"
#include "fieldkit_scene.h"

static struct fieldkit_scene *scene;
static char *folder;

static int open_scene(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.size = (struct output_scene_size){
        .rows = 200, .cols = 250, .sites = 4, .reserves = 1, .apart_m = 400};
    scene = fieldkit_scene_new(wish);
    folder = output_scene_path(scene->survey, "kit");
    return 0;
}

static int close_scene(void **state) {
    (void)state;
    free(folder);
    fieldkit_scene_free(scene);
    return 0;
}

static int clear_folder(void **state) {
    (void)state;
    char command[600];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return output_scene_run(command, NULL);
}

// The names in the folder, sorted, each with a blank after it.
static const char *listed(void) {
    static char names[1000];
    struct dirent **entries;
    int count = scandir(folder, &entries, NULL, alphasort);
    names[0] = '\0';
    for (int i = 0; i < count; i++) {
        if (entries[i]->d_name[0] != '.' || strlen(entries[i]->d_name) > 2) {
            strncat(names, entries[i]->d_name, sizeof names - strlen(names) - 1);
            strncat(names, " ", sizeof names - strlen(names) - 1);
        }
        free(entries[i]);
    }
    if (count >= 0)
        free(entries);
    return names;
}

static sel_status write_kit(const char *only, const char *actual, bool overwrite, char **report) {
    char *mine = NULL;
    sel_status status = sel_fieldkit(scene->survey->context, scene->geopackage, folder, only,
        actual, overwrite, report ? report : &mine);
    sel_text_free(mine);
    return status;
}

static char *bytes_of(const char *name) {
    char path[600], *bytes;
    size_t length;
    snprintf(path, sizeof path, "%s/%s", folder, name);
    assert_int_equal(
        sel_read_file(scene->survey->context, path, 10 << 20, &bytes, &length), SEL_OK);
    return bytes;
}

static void all_parts_are_written(void **state) {
    (void)state;
    char *report;
    assert_int_equal(write_kit(NULL, NULL, false, &report), SEL_OK);
    assert_string_equal(listed(), "actual-template.csv calendar.ics events.csv kit.csv kit.html "
                                  "labels.html meta.xml setup.html sites.gpx ");
    assert_non_null(strstr(report, "Round 1, 2027-05-15 to "));
    assert_non_null(strstr(report, "walking "));
    assert_non_null(strstr(report, "Ethanol is flammable"));
    sel_text_free(report);
}

static void parts_can_be_picked(void **state) {
    (void)state;
    assert_int_equal(write_kit("gpx", NULL, false, NULL), SEL_OK);
    assert_string_equal(listed(), "sites.gpx ");
    assert_int_equal(write_kit("kit,labels", NULL, false, NULL), SEL_OK);
    assert_string_equal(listed(), "kit.csv kit.html labels.html sites.gpx ");
}

static void a_part_that_does_not_exist_is_refused(void **state) {
    (void)state;
    static const char *const LISTS[] = {"gpx,map", "", "gpx,", "GPX", "gpx labels"};
    for (size_t i = 0; i < sizeof LISTS / sizeof *LISTS; i++) {
        assert_int_equal(write_kit(LISTS[i], NULL, false, NULL), SEL_USAGE);
        assert_non_null(strstr(sel_context_message(scene->survey->context),
            "the parts are gpx, labels, calendar, events, kit and setup"));
    }
    write_kit("gpx,map", NULL, false, NULL);
    assert_string_equal(sel_context_message(scene->survey->context),
        "--only: \"map\" is no part of the field kit: the parts are gpx, labels, calendar, events, "
        "kit and setup, separated by commas");
    assert_string_equal(listed(), "");
}

static void one_file_in_the_way_leaves_all_as_it_was(void **state) {
    (void)state;
    assert_int_equal(write_kit("kit", NULL, false, NULL), SEL_OK);
    assert_int_equal(write_kit(NULL, NULL, false, NULL), SEL_BAD_INPUT);
    assert_non_null(
        strstr(sel_context_message(scene->survey->context), "kit.html: exists already"));
    assert_string_equal(listed(), "kit.csv kit.html ");
    assert_int_equal(write_kit(NULL, NULL, true, NULL), SEL_OK);
}

static void the_same_file_gives_the_same_bytes(void **state) {
    (void)state;
    static const char *const NAMES[] = {"sites.gpx", "labels.html", "calendar.ics", "events.csv",
        "kit.html", "setup.html", "meta.xml"};
    enum { COUNT = sizeof NAMES / sizeof *NAMES };
    char *before[COUNT];
    assert_int_equal(write_kit(NULL, NULL, false, NULL), SEL_OK);
    for (size_t i = 0; i < COUNT; i++)
        before[i] = bytes_of(NAMES[i]);
    assert_int_equal(write_kit(NULL, NULL, true, NULL), SEL_OK);
    for (size_t i = 0; i < COUNT; i++) {
        char *after = bytes_of(NAMES[i]);
        assert_string_equal(before[i], after);
        free(before[i]);
        free(after);
    }
}

static char *actual_file(const char *rows) {
    struct sel_text csv;
    sel_text_init(&csv);
    sel_text_addf(&csv, "site,service,from,to,latitude,longitude,uncertainty_m\n%s", rows);
    char *path = fieldkit_scene_file(scene, "actual.csv", &csv);
    sel_text_clear(&csv);
    return path;
}

static void what_was_done_rewrites_the_events_and_keeps_the_plan_apart(void **state) {
    (void)state;
    char *report;
    char *actual = actual_file("S01,1,2027-05-15,2027-05-22,46.26,15.17,5\n");
    assert_int_equal(write_kit(NULL, NULL, false, NULL), SEL_OK);
    char *planned = bytes_of("events.csv");
    assert_int_equal(write_kit(NULL, actual, false, NULL), SEL_BAD_INPUT);
    assert_int_equal(write_kit(NULL, actual, true, &report), SEL_OK);
    char *events = bytes_of("events.csv"), *kept = bytes_of("events-planned.csv");
    assert_string_equal(planned, kept);
    assert_int_equal(fieldkit_scene_count(events, "\n"), 3);
    assert_non_null(strstr(report, "1 bottle really came in"));
    assert_non_null(strstr(report, "planned and not done: S02, "));
    assert_non_null(strstr(report, "Warning: line 2 puts S01 "));
    free(planned);
    free(kept);
    free(events);
    free(actual);
    sel_text_free(report);
}

// A year's slip of the pen, and a row that nobody filled in.
static void days_far_outside_the_season_are_warned_of(void **state) {
    (void)state;
    char *report;
    char *actual = actual_file("S01,1,2027-05-15,2027-05-22,46.26,15.17,5\n"
                               "S01,2,2028-05-22,2028-05-29,,,\nS01,3,,,,,\n");
    assert_int_equal(write_kit(NULL, actual, false, &report), SEL_OK);
    assert_non_null(strstr(report, "Warning: line 3: bottle 2 of S01 hung from 2028-05-22"));
    assert_null(strstr(report, "line 2: bottle 1 of S01 hung"));
    assert_non_null(strstr(report, "1 row of the file tells nothing and counts as not done"));
    free(actual);
    sel_text_free(report);
}

static void a_bad_row_leaves_the_events_as_they_were(void **state) {
    (void)state;
    char *actual = actual_file("S01,1,2027-05-15,2027-05-12,46.26,15.17,5\n");
    assert_int_equal(write_kit("events", NULL, false, NULL), SEL_OK);
    char *before = bytes_of("events.csv");
    assert_int_equal(write_kit(NULL, actual, true, NULL), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(scene->survey->context), "actual.csv:2: to: "));
    char *after = bytes_of("events.csv");
    assert_string_equal(before, after);
    free(before);
    free(after);
    free(actual);
}

static void actual_needs_the_events(void **state) {
    (void)state;
    char *actual = actual_file("");
    assert_int_equal(write_kit("gpx", actual, false, NULL), SEL_USAGE);
    assert_string_equal(sel_context_message(scene->survey->context),
        "--actual: changes the part events only, and --only leaves it out: add events to it");
    free(actual);
}

static void another_file_is_refused(void **state) {
    (void)state;
    char *report;
    assert_int_equal(sel_fieldkit(scene->survey->context, scene->survey->plan.path, folder, NULL,
                         NULL, false, &report),
        SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(scene->survey->context), "is no GeoPackage"));
    assert_null(report);
    assert_string_equal(listed(), "");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(all_parts_are_written, clear_folder),
        cmocka_unit_test_setup(parts_can_be_picked, clear_folder),
        cmocka_unit_test_setup(a_part_that_does_not_exist_is_refused, clear_folder),
        cmocka_unit_test_setup(one_file_in_the_way_leaves_all_as_it_was, clear_folder),
        cmocka_unit_test_setup(the_same_file_gives_the_same_bytes, clear_folder),
        cmocka_unit_test_setup(
            what_was_done_rewrites_the_events_and_keeps_the_plan_apart, clear_folder),
        cmocka_unit_test_setup(days_far_outside_the_season_are_warned_of, clear_folder),
        cmocka_unit_test_setup(a_bad_row_leaves_the_events_as_they_were, clear_folder),
        cmocka_unit_test_setup(actual_needs_the_events, clear_folder),
        cmocka_unit_test_setup(another_file_is_refused, clear_folder),
    };
    return cmocka_run_group_tests(tests, open_scene, close_scene);
}
