// SPDX-License-Identifier: MIT
//
// Walks over the ground and access points, from a file that tells them: columns and layer are added
// to the hand-made survey by ogrinfo and ogr2ogr.
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
#include "fieldkit/calendar.h"
#include "fieldkit/gpx.h"
#include "fieldkit/list.h"
#include "fieldkit/remarks.h"

static struct fieldkit_scene *scene;
static char *walked; // the file with walks
static struct sel_package package;
static struct sel_fieldkit kit;

static void sql(const char *statement) {
    char command[2048];
    snprintf(command, sizeof command, "ogrinfo -q '%s' -sql \"%s\" >/dev/null", walked, statement);
    assert_int_equal(output_scene_run(command, NULL), 0);
}

static void need_column(const char *name) {
    char query[200], statement[200];
    snprintf(query, sizeof query,
        "select count(*) from pragma_table_info('sites') where name = '%s'", name);
    char *count = output_scene_sql(walked, query);
    snprintf(statement, sizeof statement, "alter table sites add column %s real", name);
    if (strcmp(count, "0") == 0)
        sql(statement);
    free(count);
}

// Sites 1 and 2 share a car park at 512100, 5125900 (UTM 33 north); the third has one of its own;
// the others tell nothing.
static void add_ways(void) {
    static const char *const COLUMNS[] = {
        "walk_m", "climb_m", "access_x", "access_y", "access_latitude", "access_longitude"};
    for (size_t i = 0; i < sizeof COLUMNS / sizeof *COLUMNS; i++)
        need_column(COLUMNS[i]);
    sql("update sites set walk_m = null, climb_m = null, access_x = null, access_y = null, "
        "access_latitude = null, access_longitude = null");
    sql("update sites set walk_min = 12.5, walk_m = 700, climb_m = 31, access_x = 512100, access_y "
        "= 5125900, access_latitude = 46.28, access_longitude = 15.157 where site in "
        "('S01','S02')");
    sql("update sites set walk_min = 40, walk_m = 1900, climb_m = 5, access_x = 514000, access_y = "
        "5124000, access_latitude = 46.27, access_longitude = 15.182 where site = 'S03'");
}

static void add_layer(void) {
    static const char LINES[] =
        "site;wkt\n"
        "S01;LINESTRING Z (512100 5125900 300,512150 5125800 310,512200 5125700 331)\n"
        "S03;LINESTRING Z (514000 5124000 320,514100 5124100 325)\n"
        "S99;LINESTRING Z (514000 5124000 320,514100 5124100 325)\n";
    struct sel_text csv;
    char command[2048];
    sel_text_init(&csv);
    sel_text_add(&csv, LINES);
    char *path = fieldkit_scene_file(scene, "walks.csv", &csv);
    snprintf(command, sizeof command,
        "ogr2ogr -f GPKG -update -overwrite -nln walks -a_srs EPSG:32633 -oo "
        "GEOM_POSSIBLE_NAMES=wkt -oo SEPARATOR=SEMICOLON '%s' '%s' >/dev/null 2>&1",
        walked, path);
    assert_int_equal(output_scene_run(command, NULL), 0);
    free(path);
    sel_text_clear(&csv);
}

static int open_scene(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.size = (struct output_scene_size){
        .rows = 200, .cols = 250, .sites = 5, .reserves = 1, .apart_m = 400};
    scene = fieldkit_scene_new(wish);
    walked = output_scene_path(scene->survey, "walked.gpkg");
    char command[1200];
    snprintf(command, sizeof command, "cp '%s' '%s'", scene->geopackage, walked);
    output_scene_run(command, NULL);
    add_ways();
    add_layer();
    sel_context_begin(scene->survey->context);
    if (sel_package_open(scene->survey->context, walked, &package) != SEL_OK)
        return 1;
    return sel_fieldkit_read(&package, &kit) != SEL_OK;
}

static int close_scene(void **state) {
    (void)state;
    sel_fieldkit_clear(&kit);
    sel_package_close(&package);
    free(walked);
    fieldkit_scene_free(scene);
    return 0;
}

static const struct sel_fieldkit_site *site(const char *id) {
    const struct sel_fieldkit_site *found = sel_fieldkit_find(&kit, id);
    assert_non_null(found);
    return found;
}

static void times_over_the_ground_stand_where_they_are_told(void **state) {
    (void)state;
    assert_int_equal(site("S01")->walk_source, SEL_WALK_GROUND);
    assert_true(site("S01")->walk_min == 12.5);
    assert_true(site("S01")->walk_m == 700 && site("S01")->climb_m == 31);
    assert_int_equal(site("S04")->walk_source, SEL_WALK_STRAIGHT);
    assert_true(isnan(site("S04")->climb_m));
}

static void sites_share_an_access_point(void **state) {
    (void)state;
    assert_int_equal(kit.access_count, 2);
    assert_int_equal(site("S01")->access, site("S02")->access);
    assert_int_not_equal(site("S01")->access, site("S03")->access);
    assert_int_equal(site("S04")->access, SEL_NO_ACCESS);
    assert_string_equal(kit.access[site("S01")->access].name, "P01");
    assert_string_equal(kit.access[site("S03")->access].name, "P02");
}

static void walks_are_brought_to_degrees(void **state) {
    (void)state;
    const struct sel_walk_line *walk = &site("S01")->walk;
    assert_int_equal(walk->count, 3);
    assert_int_equal(site("S02")->walk.count, 0);
    // The corner of the scene's ground: its first site's own transformation is the survey's.
    char command[] = "echo 512100 5125900 | gdaltransform -s_srs EPSG:32633 -t_srs EPSG:4326";
    char *answer;
    assert_int_equal(output_scene_run(command, &answer), 0);
    double longitude = 0, latitude = 0;
    assert_int_equal(sscanf(answer, "%lf %lf", &longitude, &latitude), 2);
    assert_true(fabs(walk->longitude[0] - longitude) < 1e-8);
    assert_true(fabs(walk->latitude[0] - latitude) < 1e-8);
    assert_true(walk->elevation_m[2] == 331);
    free(answer);
}

// The two sites of one car park are next to each other in the order: no travel lies between them.
static void travel_is_counted_between_access_points(void **state) {
    (void)state;
    assert_int_equal(kit.round_count, 1);
    for (size_t i = 0; i + 1 < kit.primary_count; i++) {
        const struct sel_fieldkit_site *here = sel_fieldkit_at(&kit, i);
        const struct sel_fieldkit_site *next = sel_fieldkit_at(&kit, i + 1);
        if (here->access == 0 && next->access == 0) {
            struct sel_round tour = sel_fieldkit_tour(&kit, i, 2, SEL_VISIT_CHANGE);
            assert_true(tour.travel_min == 0 && tour.walk_min == 50);
            return;
        }
    }
    fail_msg("S01 and S02 are not next to each other");
}

static void tracks_and_access_points_are_in_the_gpx(void **state) {
    (void)state;
    struct sel_text gpx;
    char command[2048], *said;
    sel_text_init(&gpx);
    sel_fieldkit_gpx(&kit, &gpx);
    char *path = fieldkit_scene_file(scene, "walks.gpx", &gpx);
    snprintf(command, sizeof command, "xmllint --noout --schema '%s/gpx-1.1.xsd' '%s' 2>&1",
        SEL_TEST_REFERENCE, path);
    if (output_scene_run(command, &said) != 0)
        fail_msg("%s", said);
    free(said);
    snprintf(command, sizeof command,
        "ogrinfo -ro -so '%s' track_points | grep 'Feature Count'; ogrinfo -ro -so '%s' tracks | "
        "grep 'Feature Count'; ogrinfo -ro -so '%s' waypoints | grep 'Feature Count'",
        path, path, path);
    assert_int_equal(output_scene_run(command, &said), 0);
    assert_string_equal(said, "Feature Count: 5\nFeature Count: 2\nFeature Count: 12\n");
    assert_non_null(strstr(gpx.chars, "<ele>300.0</ele>\n    <name>P01</name>"));
    assert_non_null(strstr(gpx.chars, "<ele>320.0</ele>\n    <name>P02</name>"));
    assert_non_null(strstr(gpx.chars, "The walk begins here to S01, S02."));
    assert_non_null(strstr(gpx.chars, "<name>WS01</name>"));
    assert_non_null(strstr(gpx.chars, "<ele>331.0</ele></trkpt>"));
    free(said);
    free(path);
    sel_text_clear(&gpx);
}

static void calendar_and_list_name_the_access_point(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_fieldkit_list_html(&kit, &text);
    assert_non_null(strstr(text.chars, "<td>P01</td><td class=\"mono\">46.280000"));
    sel_text_clear(&text);
    sel_fieldkit_calendar(&kit, &text);
    assert_non_null(strstr(text.chars, " from P01 "));
    sel_text_clear(&text);
}

static void only_what_is_still_guessed_is_remarked_on(void **state) {
    (void)state;
    struct sel_kit_remarks remarks;
    sel_fieldkit_remarks(&kit, &remarks);
    for (size_t i = 0; i < remarks.count; i++) {
        assert_null(strstr(remarks.lines[i], "holds no walks"));
        if (strstr(remarks.lines[i], "is guessed"))
            assert_non_null(strstr(remarks.lines[i], "The walk to 7 of 10 places"));
    }
}

static void a_layer_without_the_site_is_refused(void **state) {
    (void)state;
    struct sel_package broken;
    struct sel_fieldkit data = {0};
    sql("alter table walks rename column site to place");
    sel_context_begin(scene->survey->context);
    assert_int_equal(sel_package_open(scene->survey->context, walked, &broken), SEL_OK);
    assert_int_equal(sel_fieldkit_read(&broken, &data), SEL_BAD_INPUT);
    assert_non_null(
        strstr(sel_context_message(scene->survey->context), "layer walks: column site is missing"));
    sel_fieldkit_clear(&data);
    sel_package_close(&broken);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(times_over_the_ground_stand_where_they_are_told),
        cmocka_unit_test(sites_share_an_access_point),
        cmocka_unit_test(walks_are_brought_to_degrees),
        cmocka_unit_test(travel_is_counted_between_access_points),
        cmocka_unit_test(tracks_and_access_points_are_in_the_gpx),
        cmocka_unit_test(calendar_and_list_name_the_access_point),
        cmocka_unit_test(only_what_is_still_guessed_is_remarked_on),
        cmocka_unit_test(a_layer_without_the_site_is_refused),
    };
    return cmocka_run_group_tests(tests, open_scene, close_scene);
}
