// SPDX-License-Identifier: MIT
//
// actual.csv: what is taken, and what is refused in which words.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fieldkit_scene.h"
#include "fieldkit/actual.h"
#include "plan/dates.h"

static struct fieldkit_scene *scene;

static int open_scene(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.size = (struct output_scene_size){
        .rows = 200, .cols = 250, .sites = 4, .reserves = 1, .apart_m = 400};
    scene = fieldkit_scene_new(wish);
    return 0;
}

static int close_scene(void **state) {
    (void)state;
    fieldkit_scene_free(scene);
    return 0;
}

static sel_status read_text(const char *text, struct sel_actual *actual) {
    struct sel_text csv;
    sel_text_init(&csv);
    sel_text_add(&csv, text);
    char *path = fieldkit_scene_file(scene, "actual.csv", &csv);
    sel_context_begin(scene->survey->context);
    sel_status status = sel_actual_read(&scene->kit, path, actual);
    free(path);
    sel_text_clear(&csv);
    return status;
}

static const char HEADS[] = "site,service,from,to,latitude,longitude,uncertainty_m,remarks\n";

// The rows under the usual header are refused with this after the file's name.
static void is_refused(const char *rows, const char *message) {
    struct sel_actual actual;
    char text[2000];
    snprintf(text, sizeof text, "%s%s", HEADS, rows);
    assert_int_equal(read_text(text, &actual), SEL_BAD_INPUT);
    const char *said = strstr(sel_context_message(scene->survey->context), "actual.csv");
    assert_non_null(said);
    assert_string_equal(said + strlen("actual.csv"), message);
    sel_actual_clear(&actual);
}

static void columns_may_come_in_any_order(void **state) {
    (void)state;
    struct sel_actual actual;
    assert_int_equal(read_text("remarks,uncertainty_m,to,from,service,longitude,latitude,site\n"
                               "ok,6.5,2027-05-22,2027-05-15,1,15.2,46.2,S01\n",
                         &actual),
        SEL_OK);
    assert_int_equal(actual.count, 1);
    const struct sel_actual_service *service = &actual.services[0];
    assert_string_equal(sel_fieldkit_id(service->site), "S01");
    assert_int_equal(service->service, 1);
    assert_int_equal(service->from_day, sel_date_day_number((struct sel_date){2027, 5, 15}));
    assert_int_equal(service->to_day - service->from_day, 7);
    assert_true(service->latitude == 46.2 && service->longitude == 15.2);
    assert_true(service->uncertainty_m == 6.5 && isnan(service->elevation_m));
    assert_string_equal(service->remarks, "ok");
    sel_actual_clear(&actual);
}

static void a_position_holds_until_the_next_one(void **state) {
    (void)state;
    struct sel_actual actual;
    char text[1000];
    snprintf(text, sizeof text, "%s%s", HEADS,
        "S01,3,2027-06-01,2027-06-08,,,,\n"
        "S01,2,2027-05-22,2027-05-29,46.3,15.3,4,\n"
        "S01,1,2027-05-15,2027-05-22,46.2,15.2,5,\n");
    assert_int_equal(read_text(text, &actual), SEL_OK);
    assert_int_equal(actual.services[0].service, 1);
    assert_true(actual.services[0].latitude == 46.2);
    assert_true(actual.services[2].latitude == 46.3 && actual.services[2].uncertainty_m == 4);
    assert_true(actual.services[1].placed && !actual.services[2].placed);
    sel_actual_clear(&actual);
}

static void columns_must_be_known_and_complete(void **state) {
    (void)state;
    static const char LIST[] = ": the columns are site, service, from, to, latitude, longitude, "
                               "uncertainty_m, and if wanted traps, elevation_m and remarks";
    static const struct {
        const char *heads, *what;
    } CASES[] = {
        {"site,service,from,to,lat,longitude,uncertainty_m\n", ":1: column \"lat\": is not known"},
        {"site,service,from,to,latitude,longitude\n", ":1: column \"uncertainty_m\": is missing"},
        {"site,site,from,to,latitude,longitude,uncertainty_m\n",
            ":1: column \"site\": stands there twice"},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        struct sel_actual actual;
        char expected[512];
        assert_int_equal(read_text(CASES[i].heads, &actual), SEL_BAD_INPUT);
        snprintf(expected, sizeof expected, "%s%s", CASES[i].what, LIST);
        const char *said = strstr(sel_context_message(scene->survey->context), "actual.csv");
        assert_string_equal(said + strlen("actual.csv"), expected);
        sel_actual_clear(&actual);
    }
}

static void cells_are_refused_with_line_column_and_value(void **state) {
    (void)state;
    is_refused("S77,1,2027-05-15,2027-05-22,46,15,5,\n",
        ":2: site: \"S77\": is no site of the GeoPackage: give an id like S01, or S01R1 for a "
        "reserve");
    is_refused("\nS01,first,2027-05-15,2027-05-22,46,15,5,\n",
        ":3: service: \"first\": is no whole number from 1 to 999: give the number on the bottle's "
        "label");
    is_refused("S01,0,2027-05-15,2027-05-22,46,15,5,\n",
        ":2: service: \"0\": is no whole number from 1 to 999: give the number on the bottle's "
        "label");
    is_refused("S01,1,15.5.2027,2027-05-22,46,15,5,\n",
        ":2: from: \"15.5.2027\": is no day of the calendar: give the day the bottle was hung up, "
        "like 2027-05-15");
    is_refused("S01,1,2027-05-15,,46,15,5,\n",
        ":2: to: is blank: give the day the bottle came in, like "
        "2027-05-22");
    is_refused("S01,1,2027-05-15,2027-05-14,46,15,5,\n",
        ":2: to: \"2027-05-14\": lies before the day in column from: mend one of the two");
    is_refused("S01,1,2027-05-15,2027-05-15,46,15,5,\n",
        ":2: to: \"2027-05-15\": is the day in column from too, so that the bottle hung for 0 "
        "days: "
        "mend one of the two");
    is_refused("S01,1,2027-05-15,2027-05-22,146,15,5,\n",
        ":2: latitude: \"146\": is not in -90..90: give degrees with a decimal point, south "
        "negative");
    is_refused("S01,1,2027-05-15,2027-05-22,46,\"15,2\",5,\n",
        ":2: longitude: \"15,2\": is not in -180..180: give degrees with a decimal point, west "
        "negative");
    is_refused("S01,1,2027-05-15,2027-05-22,46,15,0,\n",
        ":2: uncertainty_m: \"0\": is not in 0.1..100000: give what the receiver says the position "
        "is good to, in metres");
    is_refused("S01,1,2027-05-15,2027-05-22,46,,5,\n",
        ":2: longitude: is blank: give degrees with a decimal point, west "
        "negative");
}

static void rows_must_agree_with_each_other(void **state) {
    (void)state;
    is_refused("S01,1,2027-05-15,2027-05-22,46.26,15.17,5,\nS01,1,2027-05-22,2027-05-29,,,,\n",
        ":3: service: S01 has bottle 1 in line 2 already: give each bottle one row");
    is_refused("S01,1,2027-05-15,2027-05-22,46.26,15.17,5,\nS01,2,2027-05-21,2027-05-29,,,,\n",
        ":3: from: lies before bottle 1 of S01 came in (line 2): mend the days, or the bottles' "
        "numbers");
    is_refused("", ": holds no service: give one row for each bottle that came in, with "
                   "its days");
}

static void a_site_without_a_position_is_refused_with_the_planned_one(void **state) {
    (void)state;
    const struct sel_site_row *row = sel_fieldkit_find(&scene->kit, "S02")->row;
    char expected[400];
    snprintf(expected, sizeof expected,
        ":3: latitude: is blank, and no earlier bottle of S02 tells the position: give where the "
        "trap really stood (planned: %.6f, %.6f, good to 12 m)",
        row->latitude, row->longitude);
    is_refused(
        "S01,1,2027-05-15,2027-05-22,46.26,15.17,5,\nS02,1,2027-05-22,2027-05-29,,,,\n", expected);
}

// The scene's first site lies near 46.28 N, 15.16 E: 5000 km from 15 N, 46 E and more than 20 km
// from 46 N.
static void a_position_far_from_its_plan_is_refused(void **state) {
    (void)state;
    const struct sel_site_row *row = sel_fieldkit_find(&scene->kit, "S01")->row;
    char expected[400];
    double off = sel_actual_distance_m(row->latitude, row->longitude, 15.17, 46.26) / 1000;
    assert_true(off > 4000 && off < 5500);
    snprintf(expected, sizeof expected,
        ":2: latitude, longitude: 15.170000, 46.260000 lies %.0f km from the planned place of S01 "
        "(%.6f, %.6f): swap the two",
        off, row->latitude, row->longitude);
    is_refused("S01,1,2027-05-15,2027-05-22,15.17,46.26,5,\n", expected);
    off = sel_actual_distance_m(row->latitude, row->longitude, 46, 15.17) / 1000;
    assert_true(off > 20 && off < 40);
    snprintf(expected, sizeof expected,
        ":2: latitude, longitude: 46.000000, 15.170000 lies %.0f km from the planned place of S01 "
        "(%.6f, %.6f): mend the figures, or the site",
        off, row->latitude, row->longitude);
    is_refused("S01,1,2027-05-15,2027-05-22,46,15.17,5,\n", expected);
}

// The file as the kit itself writes it, with one row filled in.
static void rows_of_the_template_that_are_left_blank_are_not_done(void **state) {
    (void)state;
    struct sel_actual actual;
    struct sel_text csv;
    sel_text_init(&csv);
    sel_actual_template(&scene->kit, &csv);
    assert_int_equal(read_text(csv.chars, &actual), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(scene->survey->context),
        "actual.csv: holds no service: give one row for each bottle that came in, with its days"));
    sel_actual_clear(&actual);
    char *first = strstr(csv.chars, "S01,1,,");
    assert_non_null(first);
    struct sel_text filled;
    sel_text_init(&filled);
    sel_text_add_bytes(&filled, csv.chars, (size_t)(first - csv.chars));
    sel_text_addf(&filled, "S01,1,2027-05-15,2027-05-22,46.26,15.17,5,,,\n%s,,,,,,,,,\n",
        strchr(first, '\n') + 1);
    assert_int_equal(read_text(filled.chars, &actual), SEL_OK);
    assert_int_equal(actual.count, 1);
    assert_int_equal(actual.blank, scene->kit.primary_count * scene->kit.stint_count - 1);
    sel_actual_clear(&actual);
    sel_text_clear(&filled);
    sel_text_clear(&csv);
    is_refused("S77,1,,,,,,\n",
        ":2: site: \"S77\": is no site of the GeoPackage: give an id like S01, or S01R1 for a "
        "reserve");
}

static void the_template_has_a_row_for_every_planned_bottle(void **state) {
    (void)state;
    struct sel_text csv;
    struct sel_csv_table table;
    sel_text_init(&csv);
    sel_actual_template(&scene->kit, &csv);
    char *path = fieldkit_scene_file(scene, "template.csv", &csv);
    sel_context_begin(scene->survey->context);
    assert_int_equal(sel_csv_read(scene->survey->context, path, &table), SEL_OK);
    assert_int_equal(table.record_count, 1 + scene->kit.primary_count * scene->kit.stint_count);
    assert_string_equal(table.records[0].fields[6], "uncertainty_m");
    sel_csv_clear(&table);
    free(path);
    sel_text_clear(&csv);
}

// One degree of a great circle of 6371.0088 km radius is 111.1951 km (closed form).
static void distances_are_those_of_a_sphere(void **state) {
    (void)state;
    assert_true(fabs(sel_actual_distance_m(10, 20, 11, 20) - 111195.1) < 0.1);
    assert_true(fabs(sel_actual_distance_m(0, 179.5, 0, -179.5) - 111195.1) < 0.1);
    assert_true(fabs(sel_actual_distance_m(60, 0, 60, 1) - 111195.1 * 0.5) < 5);
    assert_true(sel_actual_distance_m(46, 15, 46, 15) == 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(columns_may_come_in_any_order),
        cmocka_unit_test(a_position_holds_until_the_next_one),
        cmocka_unit_test(columns_must_be_known_and_complete),
        cmocka_unit_test(cells_are_refused_with_line_column_and_value),
        cmocka_unit_test(rows_must_agree_with_each_other),
        cmocka_unit_test(a_site_without_a_position_is_refused_with_the_planned_one),
        cmocka_unit_test(a_position_far_from_its_plan_is_refused),
        cmocka_unit_test(rows_of_the_template_that_are_left_blank_are_not_done),
        cmocka_unit_test(the_template_has_a_row_for_every_planned_bottle),
        cmocka_unit_test(distances_are_those_of_a_sphere),
    };
    return cmocka_run_group_tests(tests, open_scene, close_scene);
}
