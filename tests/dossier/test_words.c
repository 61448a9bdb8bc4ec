// SPDX-License-Identifier: MIT
//
// What the dossier says: units, reasons, labels, sources. The numbers are reckoned here from the
// scene; the scene goes by time, so that minutes can be mistaken for metres.
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

#include "base/files.h"
#include "base/status.h"
#include "dossier/dossier.h"
#include "output_scene.h"

// Fontconfig keeps what it read until the process ends; the leak checker is told so.
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void) {
    return "leak:libfontconfig\n";
}

static struct output_scene *scene;
static char *page;

// The dossier of the scene's file after some SQL.
static void read_page_after(const char *sql) {
    char command[8192];
    char *html = output_scene_path(scene, "page.html"), *file = output_scene_path(scene, "n.gpkg");
    size_t length = 0;
    snprintf(command, sizeof command,
        "cd '%s' && cp sites.gpkg n.gpkg && { echo 'pragma synchronous = off; begin;'; sqlite3 "
        "n.gpkg \"select 'drop trigger [' || name || '];' from sqlite_master where type = "
        "'trigger'\"; echo \"%s; commit;\"; } | sqlite3 -bail n.gpkg >n.txt 2>&1",
        scene->folder, sql);
    assert_int_equal(output_scene_run(command, NULL), 0);
    assert_int_equal(sel_dossier_write(scene->context, file, html, true), SEL_OK);
    free(page);
    assert_int_equal(sel_read_file(scene->context, html, 16 << 20, &page, &length), SEL_OK);
    free(html);
    free(file);
}

static const char *after(const char *from, const char *mark) {
    const char *found = from ? strstr(from, mark) : NULL;
    if (!found)
        fail_msg("no %s", mark);
    return found + strlen(mark);
}

// The page from a mark to the next `end`. Static storage.
static const char *part(const char *mark, const char *end) {
    static char text[65536];
    const char *from = after(page, mark);
    size_t length = (size_t)(strstr(from, end) - from);
    assert_true(length < sizeof text);
    memcpy(text, from, length);
    text[length] = '\0';
    return text;
}

static void says(const char *text, const char *words) {
    if (!strstr(text, words))
        fail_msg("no \"%s\" in\n%.1500s", words, text);
}

static void says_not(const char *text, const char *words) {
    if (strstr(text, words))
        fail_msg("\"%s\" in\n%.1500s", words, text);
}

static const struct sel_site *primary(int rank) {
    for (size_t i = 0; i < scene->survey.site_count; i++)
        if (scene->survey.sites[i].rank == rank && scene->survey.sites[i].reserve == 0)
            return &scene->survey.sites[i];
    return NULL;
}

static void minutes_on_foot_are_printed_as_minutes(void **state) {
    (void)state;
    read_page_after("");
    const struct sel_candidate *candidate = &scene->survey.candidates[primary(2)->candidate];
    double minutes = candidate->measure[SEL_CRITERION_ACCESS];
    char wanted[64];
    snprintf(wanted, sizeof wanted, "access</th><td class=\"n\">%.1f&nbsp;min</td>", minutes);
    says(part("id=\"site-2\"", "</section>"), wanted);
    const char *list = part("id=\"list\"", "</section>");
    says(list, "on foot");
    snprintf(wanted, sizeof wanted, "<td class=\"n\">%ld min</td>", lround(minutes));
    says(list, wanted);
    const char *method = part("id=\"method\"", "</section>");
    says(method, "5&nbsp;min is worth 1, 45&nbsp;min is worth 0");
    says(method, "Beyond 60&nbsp;min a place is not eligible");
    says(method, "5\xC2\xB0 is worth 1");
    says(method, "30&nbsp;% is worth 0");
    says(method, "Tobler");
}

// The unit is the file's: the same file with metres in it is read as metres.
static void without_minutes_there_are_metres(void **state) {
    (void)state;
    read_page_after("update criteria set unit = 'm' where criterion = 'access'");
    double metres = scene->survey.candidates[primary(2)->candidate].access_m;
    char wanted[64];
    snprintf(wanted, sizeof wanted, "access</th><td class=\"n\">%.0f&nbsp;m</td>", metres);
    says(part("id=\"site-2\"", "</section>"), wanted);
    says_not(part("id=\"list\"", "</section>"), "on foot");
    says_not(part("id=\"method\"", "</section>"), "Tobler");
}

// The walk of every site in the scene: 300 m, 9 m of climb, from 300 m west of it.
static void the_way_in_is_told_whole(void **state) {
    (void)state;
    read_page_after("");
    const struct sel_site *site = primary(3);
    const char *sheet = part("id=\"site-3\"", "</section>");
    double minutes = scene->survey.candidates[site->candidate].measure[SEL_CRITERION_ACCESS];
    char wanted[160];
    snprintf(wanted, sizeof wanted,
        "; on foot %ld min over 300&nbsp;m of way with 9&nbsp;m of climb", lround(minutes));
    says(sheet, wanted);
    snprintf(wanted, sizeof wanted, "The walk begins at %.5f\xC2\xB0&nbsp;N, %.5f\xC2\xB0&nbsp;E",
        site->access_latitude, site->access_longitude);
    says(sheet, wanted);
    says_not(page, "about 1 minutes");
}

struct near {
    int chosen, rivals, too_near;
    double best;
};

static struct near near_of(int rank) {
    struct near near = {0, 0, 0, -1.0};
    const struct sel_survey *survey = &scene->survey;
    for (size_t i = 0; i < survey->site_count; i++) {
        const struct sel_site *other = &survey->sites[i];
        double apart = hypot(other->x - primary(rank)->x, other->y - primary(rank)->y);
        near.chosen += other->reserve == 0 && other->rank != rank && apart <= 1000.0;
    }
    for (size_t i = 0; i < survey->rival_count; i++) {
        if (survey->rivals[i].site_rank != rank)
            continue;
        near.rivals++;
        near.too_near += survey->rivals[i].distance_m < survey->plan->choose.apart_m;
        near.best = fmax(near.best, survey->candidates[survey->rivals[i].candidate].score);
    }
    return near;
}

static void why_here_counts_the_sites_and_the_rivals_nearby(void **state) {
    (void)state;
    int with_neighbours = 0;
    read_page_after("update rivals set reason = 'too near a chosen site' where reason like 'too "
                    "near%'");
    for (int rank = 1; rank <= 20; rank++) {
        struct near near = near_of(rank);
        char mark[32], wanted[256];
        snprintf(mark, sizeof mark, "id=\"site-%d\"", rank);
        const char *sheet = part(mark, "</section>");
        with_neighbours += near.chosen > 1;
        if (near.chosen > 1) {
            snprintf(
                wanted, sizeof wanted, "within 1&nbsp;km %d other sites were chosen.", near.chosen);
            says(sheet, wanted);
        }
        assert_true(near.rivals > 1 && near.too_near > 0 && near.rivals > near.too_near);
        snprintf(wanted, sizeof wanted,
            "%d more candidates were weighed there: %d too near a chosen site, %d of lower score.",
            near.rivals, near.too_near, near.rivals - near.too_near);
        says(sheet, wanted);
        snprintf(wanted, sizeof wanted, "m away, scores %.3f: ", near.best);
        says(sheet, wanted);
        says_not(sheet, "none was chosen");
    }
    assert_true(with_neighbours > 5);
}

static void the_facts_of_the_run_are_rounded_and_named(void **state) {
    (void)state;
    read_page_after("update run set value = '94.58243501234567' where key = 'every_m'; insert into "
                    "run (key, value) values ('later.fact', '0.123456789012')");
    const char *facts = part("Facts of the run", "</ul>");
    says(facts, "Side of the squares that give one candidate</span> <span>94.6&nbsp;m<");
    says(facts, "<bdi>later.fact</bdi></span> <span>0.123<");
    says_not(facts, "candidates.");
    says_not(facts, "grid.");
    int digits = 0;
    for (const char *at = facts; *at; at++) {
        digits = isdigit((unsigned char)*at) ? digits + 1 : *at == '.' ? digits : 0;
        assert_true(digits < 10);
    }
    says(part("id=\"rejected\"", "</section>"), "one square of 95&nbsp;m.");
}

// Older files have the candidates weighed under candidates.eligible.
static void what_was_weighed_is_not_called_eligible(void **state) {
    (void)state;
    read_page_after("update run set value = '8580' where key = 'candidates.eligible'; delete from "
                    "run where key = 'candidates.pool'");
    const char *facts = part("Facts of the run", "</ul>");
    says(facts, "Candidates weighed in the choice</span> <span><bdi>8580</bdi>");
    says_not(facts, "Eligible candidates");
    read_page_after("update run set value = '11212' where key = 'candidates.eligible'; delete from "
                    "run where key = 'candidates.pool'; insert into run (key, value) values "
                    "('candidates.pool', '8580')");
    facts = part("Facts of the run", "</ul>");
    says(facts, "Candidates weighed in the choice</span> <span><bdi>8580</bdi>");
    says(facts, "Eligible candidates</span> <span><bdi>11212</bdi>");
}

static void folders_of_a_machine_are_not_printed(void **state) {
    (void)state;
    read_page_after(
        "update inputs set file = '/rasters/of/somebody/cover.tif' where role = 'landcover'; "
        "update inputs set file = 'maps/dem.tif' where role = 'elevation'; update plan "
        "set value = 'C:/maps/cover.tif' where key = 'rasters.landcover.file'; update plan set "
        "value = '../of/somebody/zones.csv' where key = 'habitats'");
    const char *sources = part("id=\"sources\"", "</section>");
    says(sources, "<bdi>cover.tif</bdi>");
    says(sources, "<bdi>maps/dem.tif</bdi>");
    says_not(sources, "somebody");
    says_not(sources, "C:");
}

static void sources_and_ranges_are_those_of_the_run(void **state) {
    (void)state;
    read_page_after("delete from run where key like 'robustness%' or key like 'spread%'");
    const char *method = part("id=\"method\"", "</section>");
    says_not(method, "Lahdelma");
    says_not(method, "Clark");
    says_not(method, "World Magnetic Model");
    read_page_after(
        "delete from run where key like 'robustness%' or key like 'spread%'; insert into run (key, "
        "value) values ('robustness.draws', '2000'), ('robustness.local_bests', '2599'), "
        "('spread.clark_evans', '0.77'), ('spread.nearest_mean_m', '680'); update sites set "
        "declination_deg = 5.2, share_chosen = 0.84, rank_low = 6, rank_high = 84");
    method = part("id=\"method\"", "</section>");
    says(method, "Lahdelma");
    says(method, "680&nbsp;m in the mean: 0.77 times");
    says(method, "World Magnetic Model 2025");
    says(part("id=\"site-1\"", "</section>"), "among the 2599 best places of the survey (close "
                                              "neighbours of chosen sites count too) stays "
                                              "between 6 and 84 in nine of ten draws.");
}

// --- the locator ---

// The outline in the inset: 6 by 5 km of ground (the scene's grid) in the middle of a window 2.2
// times as wide; the sites lie within it.
// Sets facts of the run and least numbers of the plan; NULL: as the scene has them.
static void read_page_with_minimums(
    const char *sites_missed, const char *per_pair, const char *per_block) {
    char sql[1024];
    snprintf(sql, sizeof sql,
        "update run set value = %s where key = 'choice.sites_missed'; "
        "update plan set value = '%s' where key = 'choose.per_pair.min'; "
        "update plan set value = '%s' where key = 'choose.per_block.min'",
        sites_missed, per_pair, per_block);
    read_page_after(sql);
}

static void missed_minimums_are_told_with_their_sites(void **state) {
    (void)state;
    read_page_with_minimums("'3'", "2", "1");
    const char *method = part("id=\"method\"", "</section>");
    says(method, ", as nearly as could be found at least 2 on each pair that has candidates, as "
                 "nearly as could be found at least 1 in each block that has candidates "
                 "(<strong>not reached</strong>: 3 sites are missing)");
    says(method, " No other choice that misses no more of those least numbers has a total score "
                 "that is higher by more than 1.2&nbsp;%.");
    says(part("Facts of the run", "</ul>"), "Sites they lack together</span> <span><bdi>3<");
    read_page_with_minimums("'1'", "2", "0");
    method = part("id=\"method\"", "</section>");
    says(method, ", as nearly as could be found at least 2 on each pair that has candidates "
                 "(<strong>not reached</strong>: 1 site is missing)");
    says_not(method, "in each block");
}

static void minimums_that_are_met_are_told_as_rules(void **state) {
    (void)state;
    read_page_with_minimums("'0'", "2", "1");
    const char *method = part("id=\"method\"", "</section>");
    says(method, ", at least 2 on each pair that has candidates, at least 1 in each block that has "
                 "candidates");
    says(method, " No other choice under these rules has a total score that is higher by more than "
                 "1.2&nbsp;%.");
    says_not(method, "not reached");
    read_page_with_minimums(
        "NULL", "0", "0"); // a file that does not tell, a plan that asks for none
    method = part("id=\"method\"", "</section>");
    says_not(method, "at least 0");
    says_not(method, "that has candidates");
    says_not(method, "not reached");
}

// The scene's 5th and 95th percentile lie 0.1 under and 0.05 above the score.
static void the_range_of_the_score_is_told_where_maps_may_err(void **state) {
    (void)state;
    char wanted[160];
    double score = scene->survey.candidates[primary(2)->candidate].score;
    snprintf(wanted, sizeof wanted,
        " When the maps err as much as the plan says, its score lies between %.3f and %.3f in nine "
        "of ten draws.",
        score - 0.1, score + 0.05);
    read_page_after("");
    says(part("id=\"site-2\"", "</section>"), wanted);
    read_page_after("update sites set share_chosen = NULL, rank_low = NULL, rank_high = NULL");
    const char *sheet = part("id=\"site-2\"", "</section>");
    says(sheet, "How the rank moves when the weights vary is not in this file.");
    says(sheet, wanted);
    read_page_after("update sites set score_low = NULL, score_high = NULL");
    says_not(page, "When the maps err");
}

static void the_inset_shows_the_study_in_its_surroundings(void **state) {
    (void)state;
    read_page_after("delete from gpkg_contents where table_name = 'ground_area'");
    const char *inset = part("<svg class=\"inset\"", "</svg>");
    const char *at = after(after(inset, "class=\"outline\""), "d=\"");
    double west = 1e9, east = -1e9, north = 1e9, south = -1e9, x, y;
    for (; *at == 'M' || *at == 'L'; at = at + strcspn(at + 1, "MLZ") + 1) {
        assert_int_equal(sscanf(at + 1, "%lf %lf", &x, &y), 2);
        west = fmin(west, x), east = fmax(east, x);
        north = fmin(north, y), south = fmax(south, y);
    }
    assert_true(fabs((east - west) / (south - north) - 6.0 / 5.0) < 0.03);
    assert_true(fabs((east - west) - 40.0 / 2.2) < 0.3);
    assert_true(fabs(0.5 * (east + west) - 20.0) < 0.02);
    int places = 0;
    for (at = inset; (at = strstr(at, "<circle cx=\"")) != NULL; at++, places++) {
        assert_int_equal(sscanf(at, "<circle cx=\"%lf\" cy=\"%lf\"", &x, &y), 2);
        assert_true(x > west - 0.1 && x < east + 0.1 && y > north - 0.1 && y < south + 0.1);
    }
    assert_int_equal(places, 20);
    says(inset, "\xE2\x80\xB2N</text>");
}

static int set_up(void **state) {
    (void)state;
    scene = output_scene_on_foot((struct output_scene_size){500, 600, 20, 1, 400, false});
    char *path = output_scene_path(scene, "sites.gpkg");
    sel_status status = output_scene_write(scene, path, false, false);
    free(path);
    return status == SEL_OK ? 0 : -1;
}

static int tear_down(void **state) {
    (void)state;
    free(page);
    output_scene_free(scene);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(minutes_on_foot_are_printed_as_minutes),
        cmocka_unit_test(without_minutes_there_are_metres),
        cmocka_unit_test(the_way_in_is_told_whole),
        cmocka_unit_test(why_here_counts_the_sites_and_the_rivals_nearby),
        cmocka_unit_test(the_facts_of_the_run_are_rounded_and_named),
        cmocka_unit_test(what_was_weighed_is_not_called_eligible),
        cmocka_unit_test(folders_of_a_machine_are_not_printed),
        cmocka_unit_test(sources_and_ranges_are_those_of_the_run),
        cmocka_unit_test(missed_minimums_are_told_with_their_sites),
        cmocka_unit_test(minimums_that_are_met_are_told_as_rules),
        cmocka_unit_test(the_range_of_the_score_is_told_where_maps_may_err),
        cmocka_unit_test(the_inset_shows_the_study_in_its_surroundings),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
