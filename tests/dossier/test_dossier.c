// SPDX-License-Identifier: MIT
//
// The dossier's drawings measured against the survey's numbers, which the test reckons with on its
// own; what is refused; size and time. How a browser shows the page is tested in tests/browser.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/files.h"
#include "base/status.h"
#include "dossier/dossier.h"
#include "fieldkit/fieldkit.h"
#include "output_scene.h"

// Fontconfig keeps what it read until the process ends; the leak checker is told so.
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void) {
    return "leak:libfontconfig\n";
}

static const double DEGREES = 57.29577951308232;
static struct output_scene *scene;
static char *path, *page_path, *page;

static void write_dossier(void) {
    sel_status status = sel_dossier_write(scene->context, path, page_path, true);
    if (status != SEL_OK)
        fprintf(stderr, "%s\n", sel_context_message(scene->context));
    assert_int_equal(status, SEL_OK);
}

static void read_page(void) {
    size_t length = 0;
    free(page);
    assert_int_equal(sel_read_file(scene->context, page_path, 16 << 20, &page, &length), SEL_OK);
    assert_int_equal(strlen(page), length);
}

// What stands after `marks` in turn, each looked for after the one before.
static const char *after(const char *from, const char *mark) {
    const char *found = from ? strstr(from, mark) : NULL;
    if (!found)
        fail_msg("no %s", mark);
    return found + strlen(mark);
}

static double attribute(const char *element, const char *name) {
    char mark[32];
    snprintf(mark, sizeof mark, " %s=\"", name);
    return strtod(after(element, mark), NULL);
}

// The beginning of the element of a class within a site's sheet.
static const char *in_sheet(int rank, const char *drawing, const char *class_name) {
    char mark[96];
    snprintf(mark, sizeof mark, "id=\"site-%d\"", rank);
    const char *from = after(page, mark);
    snprintf(mark, sizeof mark, "<svg class=\"%s\"", drawing);
    from = after(from, mark);
    snprintf(mark, sizeof mark, "class=\"%s\"", class_name);
    const char *found = after(from, mark);
    while (*found != '<')
        found--;
    return found;
}

static const struct sel_site *primary(int rank) {
    for (size_t i = 0; i < scene->survey.site_count; i++)
        if (scene->survey.sites[i].rank == rank && scene->survey.sites[i].reserve == 0)
            return &scene->survey.sites[i];
    return NULL;
}

// The scene's ground, 6 by 5 km, fills the overview's frame.
static void markers_of_the_overview_lie_where_the_coordinates_say(void **state) {
    (void)state;
    const char *ground = after(page, "<svg id=\"ground\"");
    double width = attribute(ground, "width"), height = attribute(ground, "height");
    assert_true(fabs(width / height - 6.0 / 5.0) < 0.001);
    for (int rank = 1; rank <= 20; rank++) {
        char mark[96];
        snprintf(mark, sizeof mark, "class=\"mark primary\" href=\"#site-%d\"", rank);
        const char *marker = after(page, mark);
        double x = attribute(marker, "data-x"), y = attribute(marker, "data-y");
        assert_true(fabs(x - (primary(rank)->x - 512000.0) / 6000.0 * width) < 0.02);
        assert_true(fabs(y - (5126000.0 - primary(rank)->y) / 5000.0 * height) < 0.02);
    }
}

// The close-up shows two reaches (of 60 m) to each side of the site.
static void the_transect_of_a_close_up_lies_where_the_survey_has_it(void **state) {
    (void)state;
    for (int rank = 1; rank <= 20; rank++) {
        const struct sel_site *site = primary(rank);
        const struct sel_candidate *candidate = &scene->survey.candidates[site->candidate];
        const double side = 76.0, per_metre = side / 240.0; // mm
        const char *line = in_sheet(rank, "close-up", "transect");
        double crack_x = 512000.0 + 5.0 * candidate->crack_hx - site->x;
        double crack_y = 5126000.0 - 5.0 * candidate->crack_hy - site->y;
        double to_a_x = crack_x + 60.0 * (double)candidate->toward_a_x;
        double to_a_y = crack_y - 60.0 * (double)candidate->toward_a_y;
        assert_true(fabs(attribute(line, "x1") - (side / 2 + to_a_x * per_metre)) < 0.02);
        assert_true(fabs(attribute(line, "y1") - (side / 2 - to_a_y * per_metre)) < 0.02);
        double length = hypot(attribute(line, "x2") - attribute(line, "x1"),
            attribute(line, "y2") - attribute(line, "y1"));
        assert_true(fabs(length - 120.0 * per_metre) < 0.03);
    }
}

static double bearing_of(const char *line) {
    double x = attribute(line, "x1") - attribute(line, "x2");
    double y = attribute(line, "y2") - attribute(line, "y1");
    return fmod(atan2(x, y) * DEGREES + 360.0, 180.0);
}

// The plan of the trap has true north up, the close-up grid north: the scene's convergence is
// 0.137.
static void the_panel_is_drawn_at_its_bearing(void **state) {
    (void)state;
    const char *panel = in_sheet(1, "stand", "panel");
    assert_true(fabs(bearing_of(panel) - 24.137) < 0.1);
    double room = 50.0 / 10.0; // mm per metre: 5 m to each side of the site
    double length = hypot(attribute(panel, "x1") - attribute(panel, "x2"),
        attribute(panel, "y1") - attribute(panel, "y2"));
    assert_true(fabs(length - 1.8 * room) < 0.05);
    assert_true(fabs(bearing_of(in_sheet(1, "close-up", "panel")) - 24.0) < 0.3);
    const char *head = in_sheet(1, "stand", "head"); // 204.137: south-south-west
    assert_true(attribute(head, "cx") < 25.0 && attribute(head, "cy") > 25.0);
}

// The opening has a radius of 4 m; the clearing asked for is 2 by 4 m.
static void opening_and_clearing_are_drawn_to_scale(void **state) {
    (void)state;
    const double per_metre = 5.0;
    assert_true(fabs(attribute(in_sheet(1, "stand", "opening"), "r") - 4.0 * per_metre) < 0.01);
    double x[4], y[4];
    const char *shape = in_sheet(1, "stand", "clearing");
    assert_int_equal(sscanf(after(shape, "d=\""), "M%lf %lfL%lf %lfL%lf %lfL%lf %lfZ", &x[0], &y[0],
                         &x[1], &y[1], &x[2], &y[2], &x[3], &y[3]),
        8);
    assert_true(fabs(hypot(x[1] - x[0], y[1] - y[0]) - 2.0 * per_metre) < 0.03);
    assert_true(fabs(hypot(x[2] - x[1], y[2] - y[1]) - 4.0 * per_metre) < 0.03);
    // Site 3 of the scene (its third row) lies in a zone without clearing; none is drawn there.
    const char *sheet = after(page, "id=\"land\"");
    assert_non_null(strstr(sheet, "none: a zone forbids it"));
}

// The scene's ground rises by 12 m over 120 m: 310 + 0.1 along.
static void the_profile_follows_the_ground(void **state) {
    (void)state;
    const char *ground = after(in_sheet(1, "profile", "ground"), "d=\"M");
    double x[4], y[4];
    assert_int_equal(
        sscanf(ground, "%lf %lfL%lf %lfL%lf %lf", &x[0], &y[0], &x[1], &y[1], &x[2], &y[2]), 6);
    const char *trap = in_sheet(1, "profile", "trap");
    double per_height = (attribute(trap, "y1") - attribute(trap, "y2")) / 1.8;
    double per_along = (x[2] - x[1]) / 5.0; // a point every 5 m
    assert_true(per_height > 0.1 && per_height <= per_along + 0.01);
    assert_true(fabs((y[1] - y[2]) - 0.5 * per_height) < 0.02);
    assert_true(fabs((x[1] - x[0])) < 0.01); // the first point stands over the corner
}

// The scene's canopy stands at atan(0.8) over the west (azimuths 270 on), letting 25 % through.
static void the_sky_shows_the_canopy_of_the_west(void **state) {
    (void)state;
    const char *canopy = after(in_sheet(1, "sky", "canopy"), "Z");
    double x = 0, y = 0, wanted = 21.6 * (90.0 - atan(0.8) * DEGREES) / 90.0;
    const char *point = canopy;
    for (int i = 0; i <= 120; i++) // azimuth 300 of 144 points around
        point = strpbrk(point + 1, "ML");
    assert_int_equal(sscanf(point + 1, "%lf %lf", &x, &y), 2);
    assert_true(fabs(hypot(x - 25.0, y - 25.0) - wanted) < 0.05);
    assert_true(x < 25.0 && y < 25.0);
}

static void hostile_names_are_text(void **state) {
    (void)state;
    int scripts = 0;
    for (const char *at = page; (at = strstr(at, "<script")) != NULL; at++)
        scripts++;
    assert_int_equal(scripts, 4); // the data and three scripts
    assert_null(strstr(page, "<b>lower"));
    assert_non_null(strstr(page, "&lt;b&gt;lower&lt;/b&gt;"));
    assert_non_null(strstr(page, "O&#39;Malley &amp; &quot;Sons&quot; \xF0\x9F\x90\x9D &lt;o&gt;"));
    assert_null(strstr(page, "\x1B"));
}

static void it_is_small_and_the_same_every_time(void **state) {
    (void)state;
    write_dossier();
    char *first = strdup(page);
    read_page();
    assert_string_equal(page, first);
    free(first);
    assert_true(strlen(page) < 8u << 20);
}

// Of the bottles in the field kit's events.csv, that is what sampleSizeValue of its children sums
// up to.
static long trap_days_of_events(void) {
    struct sel_fieldkit_options options = {.only = "events", .overwrite = true};
    struct sel_text report;
    char *kit = output_scene_path(scene, "kit"), *said = NULL, command[4096];
    sel_text_init(&report);
    assert_int_equal(sel_fieldkit_write(scene->context, path, kit, &options, &report), SEL_OK);
    snprintf(command, sizeof command,
        "/usr/bin/python3 -c \"import csv; print(sum(int(row['sampleSizeValue']) for row in "
        "csv.DictReader(open('%s/events.csv')) if row['parentEventID']))\"",
        kit);
    assert_int_equal(output_scene_run(command, &said), 0);
    long days = strtol(said, NULL, 10);
    sel_text_clear(&report);
    free(said);
    free(kit);
    return days;
}

// Traps and area per parcel add up to the total: 20 sites, one trap each.
static void traps_days_and_areas_are_reckoned(void **state) {
    (void)state;
    int64_t clearable = 0;
    long trap_days = trap_days_of_events();
    assert_in_range(trap_days, 1, 20 * 108); // the season has 108 nights
    for (int rank = 1; rank <= 20; rank++)
        clearable += primary(rank)->clearing;
    char row[256];
    snprintf(row, sizeof row,
        "in total</th><td></td><td class=\"n\">20</td><td class=\"n\">%lld</td><td "
        "class=\"n\">20</td><td class=\"n\">%ld</td><td class=\"n\">%g</td>",
        (long long)scene->survey.tally.reserves, trap_days, 8.0 * (double)clearable);
    if (!strstr(page, row))
        fail_msg("no %s in\n%.300s", row, after(page, "in total</th>"));
    snprintf(row, sizeof row, "<li><strong>%ld</strong> trap-days</li>", trap_days);
    assert_non_null(strstr(page, row));
}

// --- what is missing, what is refused ---

static void change(const char *name, const char *sql) {
    char command[8192];
    snprintf(command, sizeof command,
        "cd '%s' && cp sites.gpkg %s && { echo 'pragma synchronous = off; begin;'; sqlite3 %s "
        "\"select 'drop trigger [' || name || '];' from sqlite_master where type = 'trigger'\"; "
        "echo \"%s; commit;\"; } | sqlite3 -bail %s >n.txt 2>&1",
        scene->folder, name, name, sql, name);
    output_scene_run(command, NULL);
}

static void refuse(const char *name, const char *message) {
    char *changed = output_scene_path(scene, name), *html = output_scene_path(scene, "no.html");
    assert_int_equal(sel_dossier_write(scene->context, changed, html, false), SEL_BAD_INPUT);
    if (!strstr(sel_context_message(scene->context), message))
        fail_msg("%s\nis not %s", sel_context_message(scene->context), message);
    assert_int_equal(output_scene_files(scene, "no.html"), 0);
    sel_context_begin(scene->context);
    free(changed);
    free(html);
}

static void cancel_at_once(void *user, const char *what, double share) {
    (void)what;
    (void)share;
    sel_cancel(user);
}

static void an_interrupted_dossier_is_not_written(void **state) {
    (void)state;
    char *from = output_scene_path(scene, "sites.gpkg"),
         *html = output_scene_path(scene, "interrupted.html");
    sel_context_on_progress(scene->context, cancel_at_once, scene->context);
    assert_int_equal(sel_dossier_write(scene->context, from, html, false), SEL_INTERRUPTED);
    sel_context_on_progress(scene->context, NULL, NULL);
    sel_context_begin(scene->context);
    assert_int_equal(output_scene_files(scene, "interrupted"), 0);
    free(from);
    free(html);
}

static void a_page_of_another_kind_is_refused(void **state) {
    (void)state;
    assert_int_equal(
        sel_dossier_write(scene->context, "sites.gpkg", "page.txt", false), SEL_BAD_INPUT);
    assert_string_equal(sel_context_message(scene->context),
        "page.txt: the dossier is an HTML page: give a name that ends in .html");
    sel_context_begin(scene->context);
}

static void what_cannot_be_told_of_is_refused(void **state) {
    (void)state;
    refuse("none.gpkg", "none.gpkg: cannot be read");
    change("empty.gpkg", "delete from sites");
    refuse("empty.gpkg", "holds no site");
    change("bare.gpkg", "delete from close_up where site = 'S02'");
    refuse("bare.gpkg", "bare.gpkg: table close_up: the picture of site S02 is missing");
    change("cut.gpkg", "update close_up set png = substr(png, 1, 200) where site = 'S02'");
    refuse("cut.gpkg", "cut.gpkg: table close_up: the picture of site S02 is no PNG image");
    change("still.gpkg", "update close_up set east = west where site = 'S02'");
    refuse("still.gpkg", "still.gpkg: table close_up: the picture of site S02 has no place");
    change("season.gpkg", "update run set value = 'soon' where key = 'season.to'");
    refuse("season.gpkg", "season.from or season.to");
    change("unit.gpkg", "delete from run where key = 'grid.metres_per_unit'");
    refuse("unit.gpkg", "grid.metres_per_unit is missing");
    assert_int_equal(sel_dossier_write(scene->context, path, page_path, false), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(scene->context), "exists already"));
    sel_context_begin(scene->context);
}

static void what_an_older_file_lacks_is_said_and_not_made_up(void **state) {
    (void)state;
    char *older = output_scene_path(scene, "older.gpkg");
    char *html = output_scene_path(scene, "older.html"), *text;
    size_t length;
    change("older.gpkg",
        "delete from gpkg_contents where table_name like 'ground_%' or table_name = "
        "'candidates'; delete from plan where key like 'permit%'; update sites set "
        "panel_magnetic_deg = null, head_magnetic_deg = null, share_chosen = null, rank_low = "
        "null, rank_high = null");
    assert_int_equal(sel_dossier_write(scene->context, older, html, true), SEL_OK);
    assert_int_equal(sel_read_file(scene->context, html, 16 << 20, &text, &length), SEL_OK);
    assert_null(strstr(text, "id=\"candidates\""));
    assert_non_null(strstr(text, "<dt>Applicant</dt><dd><span class=\"blank\""));
    assert_non_null(strstr(text, "The plan names no clearing"));
    assert_non_null(strstr(text, "<td class=\"n\">not in this file</td>"));
    assert_null(strstr(text, "</strong> trap-days"));
    assert_non_null(strstr(text, "its time is not in this file"));
    assert_non_null(strstr(text, "How the rank moves when the weights vary is not in this file"));
    assert_non_null(strstr(text, "<td>not known</td>"));
    free(text);
    free(older);
    free(html);
}

static int set_up(void **state) {
    (void)state;
    scene = output_scene_new((struct output_scene_size){500, 600, 20, 1, 400, false});
    scene->plan.permit = (struct sel_plan_permit){.traps_per_site = 1, .clearing_m = {2.0, 4.0}};
    path = output_scene_path(scene, "sites.gpkg");
    page_path = output_scene_path(scene, "dossier.html");
    if (output_scene_write(scene, path, false, false) != SEL_OK)
        return -1;
    write_dossier();
    read_page();
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    free(path);
    free(page_path);
    free(page);
    output_scene_free(scene);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(markers_of_the_overview_lie_where_the_coordinates_say),
        cmocka_unit_test(the_transect_of_a_close_up_lies_where_the_survey_has_it),
        cmocka_unit_test(the_panel_is_drawn_at_its_bearing),
        cmocka_unit_test(opening_and_clearing_are_drawn_to_scale),
        cmocka_unit_test(the_profile_follows_the_ground),
        cmocka_unit_test(the_sky_shows_the_canopy_of_the_west),
        cmocka_unit_test(hostile_names_are_text),
        cmocka_unit_test(it_is_small_and_the_same_every_time),
        cmocka_unit_test(traps_days_and_areas_are_reckoned),
        cmocka_unit_test(what_cannot_be_told_of_is_refused),
        cmocka_unit_test(an_interrupted_dossier_is_not_written),
        cmocka_unit_test(a_page_of_another_kind_is_refused),
        cmocka_unit_test(what_an_older_file_lacks_is_said_and_not_made_up),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
