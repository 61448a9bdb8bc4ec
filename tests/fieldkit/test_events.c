// SPDX-License-Identifier: MIT
//
// The event table against the list of Darwin Core terms, Python's csv and datetime, and the schema
// of the text guide.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/files.h"
#include "fieldkit_scene.h"
#include "fieldkit/event_row.h"
#include "fieldkit/events.h"

static struct fieldkit_scene *scene;

static int open_scene(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.field.preservative = "ethanol, 80 %";
    wish.field.trap_type = "=tent \"grey\", tall";
    scene = fieldkit_scene_new(wish);
    return 0;
}

static int close_scene(void **state) {
    (void)state;
    fieldkit_scene_free(scene);
    return 0;
}

// Every line of a table in tests/reference that is no comment, with line breaks around it.
static char *reference(const char *name) {
    char path[1024], *bytes;
    size_t length;
    snprintf(path, sizeof path, "%s/%s", SEL_TEST_REFERENCE, name);
    assert_int_equal(sel_read_file(scene->survey->context, path, 1 << 16, &bytes, &length), SEL_OK);
    return bytes;
}

static void every_column_is_a_term_of_darwin_core(void **state) {
    (void)state;
    char *terms = reference("dwc_event_terms.csv");
    for (size_t i = 0; SEL_EVENT_TERMS[i]; i++) {
        char line[80];
        snprintf(line, sizeof line, "\n%s\n", SEL_EVENT_TERMS[i]);
        if (!strstr(terms, line))
            fail_msg("%s is no term of the list", SEL_EVENT_TERMS[i]);
    }
    free(terms);
}

static char *checked(const struct sel_text *csv) {
    char *path = fieldkit_scene_file(scene, "events.csv", csv), *rows;
    int status = fieldkit_scene_python("fieldkit_events.py", path, &rows);
    if (status != 0)
        fail_msg("%s", rows);
    free(path);
    return rows;
}

static void planned_events_are_sound(void **state) {
    (void)state;
    struct sel_text csv;
    sel_text_init(&csv);
    sel_fieldkit_events_planned(&scene->kit, &csv);
    char *rows = checked(&csv);
    size_t per_site = 1 + scene->kit.stint_count;
    assert_int_equal(fieldkit_scene_count(rows, "\n"), scene->kit.primary_count * per_site);
    assert_int_equal(
        fieldkit_scene_count(rows, "|planned, not yet done|"), scene->kit.primary_count * per_site);
    free(rows);
    sel_text_clear(&csv);
}

static void a_parent_spans_its_children(void **state) {
    (void)state;
    struct sel_text csv;
    sel_text_init(&csv);
    sel_fieldkit_events_planned(&scene->kit, &csv);
    char *rows = checked(&csv), line[200];
    const struct sel_fieldkit_site *site = sel_fieldkit_at(&scene->kit, 0);
    snprintf(line, sizeof line, "alder-brook-flyways-2027:%s||2027-05-15/", sel_fieldkit_id(site));
    assert_non_null(strstr(rows, line));
    snprintf(line, sizeof line,
        "alder-brook-flyways-2027:%s:001|alder-brook-flyways-2027:%s|2027-05-15/2027-05-22|",
        sel_fieldkit_id(site), sel_fieldkit_id(site));
    assert_non_null(strstr(rows, line));
    assert_non_null(strstr(rows, "|7|day|1 trap x 7 days|"));
    free(rows);
    sel_text_clear(&csv);
}

// The file keeps the survey's coordinates to a ten-millionth of a degree, the table to the sixth
// place.
static void coordinates_are_those_of_the_survey(void **state) {
    (void)state;
    struct sel_text csv;
    sel_text_init(&csv);
    sel_fieldkit_events_planned(&scene->kit, &csv);
    for (size_t i = 0; i < scene->kit.site_count; i++) {
        const struct sel_site *site = &scene->survey->survey.sites[i];
        const struct sel_site_row *row = scene->kit.sites[i].row;
        char place[80];
        if (site->reserve > 0)
            continue;
        assert_true(fabs(row->latitude - site->latitude) < 1e-7);
        assert_true(fabs(row->longitude - site->longitude) < 1e-7);
        snprintf(place, sizeof place, ",%.6f,%.6f,EPSG:4326,12,0.000001,", row->latitude,
            row->longitude);
        assert_int_equal(fieldkit_scene_count(csv.chars, place), 1 + scene->kit.stint_count);
    }
    sel_text_clear(&csv);
}

static void the_archive_describes_every_column(void **state) {
    (void)state;
    struct sel_text xml;
    char command[2048], *said;
    sel_text_init(&xml);
    sel_fieldkit_meta("events.csv", &xml);
    char *path = fieldkit_scene_file(scene, "meta.xml", &xml);
    snprintf(command, sizeof command, "xmllint --noout --schema '%s/dwc-text.xsd' '%s' 2>&1",
        SEL_TEST_REFERENCE, path);
    if (output_scene_run(command, &said) != 0)
        fail_msg("%s", said);
    free(said);
    for (size_t i = 0; SEL_EVENT_TERMS[i]; i++) {
        char field[160];
        snprintf(field, sizeof field,
            "<field index=\"%zu\" term=\"http://rs.tdwg.org/dwc/terms/%s\"/>", i,
            SEL_EVENT_TERMS[i]);
        assert_non_null(strstr(xml.chars, field));
    }
    assert_non_null(strstr(xml.chars, "rowType=\"http://rs.tdwg.org/dwc/terms/Event\""));
    assert_non_null(strstr(xml.chars, "<location>events.csv</location>"));
    assert_non_null(strstr(xml.chars, "linesTerminatedBy=\"\\n\""));
    free(path);
    sel_text_clear(&xml);
}

// --- what was really done ---

static void read_actual(const char *text, struct sel_actual *actual) {
    struct sel_text csv;
    sel_text_init(&csv);
    sel_text_add(&csv, text);
    char *path = fieldkit_scene_file(scene, "actual.csv", &csv);
    sel_context_begin(scene->survey->context);
    sel_status status = sel_actual_read(&scene->kit, path, actual);
    if (status != SEL_OK)
        fail_msg("%s", sel_context_message(scene->survey->context));
    free(path);
    sel_text_clear(&csv);
}

static const char DONE[] =
    "site,service,from,to,latitude,longitude,uncertainty_m,elevation_m,remarks\n"
    "S02R1,1,2027-05-16,2027-05-23,46.2000000,15.2000000,4,,\"=rain, \"\"much\"\"\"\n"
    "S01,2,2027-05-25,2027-06-01,,,,,\n"
    "S01,1,2027-05-17,2027-05-24,46.26,15.17,8,333,\n";

static void only_what_was_done_is_an_event(void **state) {
    (void)state;
    struct sel_actual actual;
    struct sel_text csv;
    sel_text_init(&csv);
    read_actual(DONE, &actual);
    sel_fieldkit_events_actual(&scene->kit, &actual, &csv);
    char *rows = checked(&csv);
    assert_int_equal(fieldkit_scene_count(rows, "\n"), 5);
    assert_null(strstr(rows, "planned, not yet done"));
    assert_non_null(strstr(rows, "alder-brook-flyways-2027:S01||2027-05-17/2027-06-01|46.260000|"
                                 "15.170000|8|14|day|1 trap x 14 days in 2 bottles|done|"));
    assert_non_null(
        strstr(rows, ":S01:002|alder-brook-flyways-2027:S01|2027-05-25/2027-06-01|"
                     "46.260000|15.170000|8|7|day|1 trap x 7 days|done; planned 2027-"));
    assert_non_null(strstr(rows, "a reserve that stands for S02"));
    assert_non_null(strstr(rows, "; =rain, \"much\"|"));
    free(rows);
    sel_actual_clear(&actual);
    sel_text_clear(&csv);
}

// Two positions of one trap, 111.2 m apart (0.001 degrees of a meridian of 6371 km): the parent's
// uncertainty takes in the second with its own.
static void a_parent_takes_in_all_positions(void **state) {
    (void)state;
    struct sel_actual actual;
    struct sel_text csv;
    sel_text_init(&csv);
    read_actual("site,service,from,to,latitude,longitude,uncertainty_m\n"
                "S01,1,2027-05-17,2027-05-24,46.260,15.17,8\n"
                "S01,2,2027-05-24,2027-05-31,46.261,15.17,5\n",
        &actual);
    sel_fieldkit_events_actual(&scene->kit, &actual, &csv);
    char *rows = checked(&csv);
    assert_non_null(strstr(rows, ":S01||2027-05-17/2027-05-31|46.260000|15.170000|117|"));
    assert_non_null(strstr(rows, "|2027-05-24/2027-05-31|46.261000|15.170000|5|"));
    free(rows);
    sel_actual_clear(&actual);
    sel_text_clear(&csv);
}

static void the_planned_position_is_told_apart_from_the_actual(void **state) {
    (void)state;
    struct sel_actual actual;
    struct sel_text csv;
    char planned[120];
    sel_text_init(&csv);
    read_actual(DONE, &actual);
    sel_fieldkit_events_actual(&scene->kit, &actual, &csv);
    const struct sel_site_row *row = sel_fieldkit_find(&scene->kit, "S01")->row;
    snprintf(planned, sizeof planned, " m from the planned one at %.6f, %.6f", row->latitude,
        row->longitude);
    assert_int_equal(fieldkit_scene_count(csv.chars, planned), 3);
    sel_actual_clear(&actual);
    sel_text_clear(&csv);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_column_is_a_term_of_darwin_core),
        cmocka_unit_test(planned_events_are_sound),
        cmocka_unit_test(a_parent_spans_its_children),
        cmocka_unit_test(coordinates_are_those_of_the_survey),
        cmocka_unit_test(the_archive_describes_every_column),
        cmocka_unit_test(only_what_was_done_is_an_event),
        cmocka_unit_test(a_parent_takes_in_all_positions),
        cmocka_unit_test(the_planned_position_is_told_apart_from_the_actual),
    };
    return cmocka_run_group_tests(tests, open_scene, close_scene);
}
