// SPDX-License-Identifier: MIT
//
// Vector layers that lie off the study grid, or cannot be told apart there: what is refused, what
// is told of and left alone, and what `check` counts. Distances are by hand.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "survey_expect.h"
#include "survey_lines.h"
#include "survey_scene.h"

static const sel_run_options PLAIN = {.threads = 2};

static void must_refuse(const struct survey_scene *scene, const char *const *parts) {
    const char *message;
    assert_int_equal(survey_scene_rank(scene, "none.gpkg", &PLAIN, &message), SEL_BAD_INPUT);
    for (; *parts; parts++)
        if (!strstr(message, *parts))
            fail_msg("\"%s\" is not in \"%s\"", *parts, message);
}

#define MUST_REFUSE(scene, ...) must_refuse(scene, (const char *const[]){__VA_ARGS__, NULL})

static void road(const struct survey_scene *scene, const char *name, double x) {
    char wkt[128];
    snprintf(wkt, sizeof wkt, "LINESTRING (%.1f 5399000, %.1f 5398000)", x, x);
    survey_scene_lines(scene, name, (const char *const[]){wkt, NULL});
}

#define WEST                                                                                       \
    "\"POLYGON((500000 5400000,501000 5400000,501000 5397600,500000 5397600,500000 5400000))\"\\n"
#define EAST                                                                                       \
    "\"POLYGON((501000 5400000,503000 5400000,503000 5397600,501000 5397600,501000 5400000))\"\\n"
#define MEADOW                                                                                     \
    "\"POLYGON((500000 5399990,500050 5399990,500050 5399950,500000 5399950,500000 5399990))\"\\n"
#define FAR                                                                                        \
    "\"POLYGON((700000 5400000,701000 5400000,701000 5397600,700000 5397600,700000 5400000))\"\\n"

// ---- access ----

static void a_start_far_away_is_refused(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    road(&scene, "far.gpkg", 656403);
    survey_scene_write(&scene, "access: far.gpkg\nchoose: { sites: 3, apart_m: 200 }\n");
    MUST_REFUSE(&scene, "survey.yaml:", "access: ", "far.gpkg",
        "the nearest of its 1 features lies 153403 m off the study grid", "criteria.access.value",
        "check its place and its CRS");
    survey_scene_free(&scene);
}

static void by_distance_a_start_counts_as_far_as_it_tells_places_apart(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    static const struct {
        double x; // the grid ends at 503000
        const char *access, *refusal;
    } CASES[] = {
        {503490, "value: [[0, 1], [500, 0]]", NULL},
        {503510, "value: [[0, 1], [500, 0]]", "criteria.access.value ends at 500 m"},
        {503510, "value: [[0, 1], [500, 0]], limit: 600", NULL},
        {503490, "value: [[0, 1], [500, 0]], limit: 400", "criteria.access.limit is 400 m"},
        {503490, "value: [[0, 0], [500, 1]], limit: 400", NULL},
        {503510, "value: [[0, 1], [500, 0]], min_m: 550", NULL},
    };
    for (size_t i = 0; i < sizeof CASES / sizeof *CASES; i++) {
        char plan[512];
        road(&scene, "road.gpkg", CASES[i].x);
        snprintf(plan, sizeof plan,
            "access: road.gpkg\ncriteria: { access: { weight: 1, %s } }\n"
            "choose: { sites: 3, apart_m: 200 }\n",
            CASES[i].access);
        survey_scene_write(&scene, plan);
        if (CASES[i].refusal) {
            MUST_REFUSE(&scene, CASES[i].refusal);
            continue;
        }
        const char *message;
        sel_status status = survey_scene_rank(&scene, "near.gpkg", &PLAIN, &message);
        if (status == SEL_BAD_INPUT)
            fail_msg("case %zu: %s", i, message);
        remove(survey_scene_path(&scene, "near.gpkg"));
    }
    survey_scene_free(&scene);
}

// Walks stay on the grid, so a road just beyond it is of no use.
static void on_foot_every_layer_must_meet_the_grid(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    road(&scene, "road.gpkg", 502000);
    road(&scene, "off.gpkg", 503020);
    survey_scene_write(&scene, "access: [ road.gpkg, off.gpkg ]\n"
                               "criteria: { access: { by: time } }\nchoose: { sites: 3 }\n");
    MUST_REFUSE(&scene, "off.gpkg", "lies 20 m off the study grid", "walks stay on the study grid");
    survey_scene_write(&scene, "access: [ road.gpkg, { file: off.gpkg, role: way } ]\n"
                               "criteria: { access: { by: time } }\nchoose: { sites: 3 }\n");
    MUST_REFUSE(&scene, "off.gpkg", "lies 20 m off the study grid");
    survey_scene_free(&scene);
}

// ---- blocks ----

static void blocks_off_the_grid_are_refused(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    survey_scene_polygons(&scene, "blocks.gpkg", "1,a," FAR "2,b," FAR);
    survey_scene_write(&scene, "choose: { sites: 3, per_block: { max: 1 },\n"
                               "  blocks: { file: blocks.gpkg, column: sort } }\n");
    MUST_REFUSE(&scene, "survey.yaml:", "choose.blocks: ", "blocks.gpkg",
        "none of its 2 polygons meets the study grid", "check its place and its CRS");
    survey_scene_free(&scene);
}

static void a_block_without_a_name_is_refused(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    survey_scene_polygons(&scene, "blocks.gpkg", "1,west," WEST "2,\"\"," EAST);
    survey_scene_write(&scene, "choose: { sites: 3, per_block: { max: 1 },\n"
                               "  blocks: { file: blocks.gpkg, column: sort } }\n");
    MUST_REFUSE(
        &scene, "blocks.gpkg", "feature 2", "choose.blocks.column: sort: is empty", "fill it in");
    survey_scene_free(&scene);
}

static void a_column_that_is_not_there_names_its_key(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    survey_scene_polygons(&scene, "blocks.gpkg", "1,west," WEST);
    survey_scene_write(
        &scene, "choose: { sites: 3, per_block: { max: 1 }, blocks: { file: blocks.gpkg } }\n");
    MUST_REFUSE(&scene, "blocks.gpkg",
        "choose.blocks.column: block: there is no such column: name one of those it has: id, sort");
    survey_scene_write(&scene, "parcels: { file: blocks.gpkg, name: plot }\n");
    MUST_REFUSE(&scene, "parcels.name: plot: there is no such column", "id, sort");
    survey_scene_write(&scene, "parcels: { file: blocks.gpkg, name: id, owner: keeper }\n");
    MUST_REFUSE(&scene, "parcels.owner: keeper: there is no such column", "id, sort");
    survey_scene_free(&scene);
}

// The block `corner` is meadow throughout.
static void a_block_without_candidates_is_listed_and_told_of(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    survey_scene_polygons(
        &scene, "blocks.gpkg", "1,corner," MEADOW "2,west," WEST "3,east," EAST "4,far," FAR);
    survey_scene_write(&scene, "choose: { sites: 6, apart_m: 150, per_block: { min: 2 },\n"
                               "  blocks: { file: blocks.gpkg, column: sort } }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    survey_must_tell(&scene, "SELECT count(*) FROM blocks", 3);
    survey_must_tell(&scene,
        "SELECT count(*) FROM blocks WHERE block = 'corner' AND candidates = 0 AND sites = 0", 1);
    survey_must_tell(&scene, "SELECT min(sites) FROM blocks WHERE block <> 'corner'", 2);
    survey_must_tell(&scene,
        "SELECT count(*) FROM run WHERE value = 'choose.per_block.min does not count for 1 block "
        "without a candidate: corner.'",
        1);
    survey_scene_free(&scene);
}

// ---- layers that may be empty here ----

// Another program's count of the places of the sites, in order.
static double places(const struct survey_scene *scene) {
    return survey_scene_number(scene, "sites.gpkg",
        "SELECT sum(fid * ST_MinX(geom) + 7 * fid * ST_MinY(geom)) FROM sites");
}

static void layers_that_may_be_empty_here_are_told_of(void **state) {
    (void)state;

    static const char *const KEYS[] = {"lines", "parcels", "zones", "occupied"};
    struct survey_scene scene = survey_squares();
    survey_scene_write(&scene, "choose: { sites: 3, apart_m: 200 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    double without = places(&scene);
    remove(survey_scene_path(&scene, "sites.gpkg"));
    survey_scene_polygons(&scene, "far.gpkg", "1,a," FAR);
    road(&scene, "line.gpkg", 503020);
    survey_scene_write(&scene,
        "parcels: { file: far.gpkg, name: id }\n"
        "zones: [ { file: far.gpkg, rule: exclude, reason: nests } ]\n"
        "lines: [ { file: line.gpkg, habitat: scrub, width_m: 4 } ]\noccupied: far.gpkg\n"
        "choose: { sites: 3, apart_m: 200 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    assert_true(places(&scene) == without);
    for (int i = 0; i < 4; i++) {
        char sql[256];
        snprintf(sql, sizeof sql,
            "SELECT count(*) FROM run WHERE value LIKE '%s: %%%s.gpkg: none of its 1 %s meets the "
            "study grid: it changes nothing here.'",
            KEYS[i], i == 0 ? "line" : "far", i == 1 || i == 2 ? "polygons" : "features");
        survey_must_tell(&scene, sql, 1);
    }
    survey_scene_free(&scene);
}

// Traps beyond the grid still keep sites away from its border.
static void a_trap_just_off_the_grid_is_not_idle(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    road(&scene, "occupied.gpkg", 503150);
    survey_scene_write(&scene, "occupied: occupied.gpkg\nchoose: { sites: 3, apart_m: 200 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    survey_must_tell(&scene, "SELECT count(*) FROM run WHERE value LIKE '%changes nothing%'", 0);
    survey_scene_free(&scene);
}

static void check_counts_what_meets_the_grid(void **state) {
    (void)state;
    static const char *const WANTED[] = {"road.gpkg (start); 1 of 1 features meets the study grid",
        "far.gpkg: 0 of 2 polygons meet the study grid",
        "exclude: nests; 0 of 2 polygons meet the study grid",
        "blocks.gpkg: 2 of 3 polygons meet the study grid", "The plan can be used."};
    struct survey_scene scene = survey_squares();
    survey_scene_polygons(&scene, "far.gpkg", "1,a," FAR "2,b," FAR);
    survey_scene_polygons(&scene, "blocks.gpkg", "1,a," FAR "2,b," EAST "3,c," WEST);
    road(&scene, "road.gpkg", 502000);
    survey_scene_write(&scene,
        "access: road.gpkg\nparcels: { file: far.gpkg, name: id }\n"
        "zones: [ { file: far.gpkg, rule: exclude, reason: nests } ]\n"
        "choose: { per_block: { max: 1 }, blocks: { file: blocks.gpkg, column: sort } }\n");
    sel_context *context = sel_context_new();
    char *report = NULL;
    sel_status status =
        sel_check(context, survey_scene_path(&scene, "survey.yaml"), false, &PLAIN, &report);
    if (status != SEL_OK)
        fail_msg("%s", sel_context_message(context));
    for (size_t i = 0; i < sizeof WANTED / sizeof *WANTED; i++)
        if (!strstr(report, WANTED[i]))
            fail_msg("\"%s\" is not in\n%s", WANTED[i], report);
    sel_text_free(report);
    sel_context_free(context);
    survey_scene_free(&scene);
}

// ---- odd geometries ----

// Two triangles that meet in (501500, 5398800): no site in either, sites elsewhere.
static void a_zone_that_crosses_itself_shuts_both_its_lobes(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    survey_scene_polygons(&scene, "zones.gpkg",
        "1,a,\"POLYGON((500000 5400000,503000 5397600,503000 5400000,500000 5397600,500000 "
        "5400000))\"\\n");
    survey_scene_write(&scene, "zones: [ { file: zones.gpkg, rule: exclude, reason: nests } ]\n"
                               "choose: { sites: 12, apart_m: 100 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    survey_must_tell(&scene, "SELECT count(*) FROM sites WHERE role = 'primary'", 12);
    // |dy| / 1200 < |dx| / 1500 within the lobes, west and east of the crossing.
    survey_must_tell(&scene,
        "SELECT count(*) FROM candidates WHERE abs(ST_MinY(geom) - 5398800) * 1500 < "
        "abs(ST_MinX(geom) - 501500) * 1200 - 1",
        0);
    survey_scene_free(&scene);
}

// Mixed kinds, heights, an arc and an empty geometry in one layer of starts, in degrees: the same
// sites as from the plain line. The arc is beyond the grid's far corner.
static void starts_of_all_kinds_in_another_crs_are_taken(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    char command[8192];
    road(&scene, "plain.gpkg", 501000);
    snprintf(command, sizeof command,
        "cd '%s' && printf 'id,WKT\\n1,\"LINESTRING Z (501000 5399000 3,501000 5398000 4)\"\\n"
        "2,LINESTRING EMPTY\\n3,\\n4,\"CIRCULARSTRING (509000 5399000,509100 5399100,509200 "
        "5399000)\"\\n5,\"GEOMETRYCOLLECTION (POINT M (501000 5398500 1),LINESTRING ZM (501000 "
        "5398600 1 1,501000 5398700 2 2))\"\\n' > mixed.csv && ogr2ogr -q -f GPKG -nlt GEOMETRY "
        "-s_srs EPSG:32633 -t_srs EPSG:4326 mixed.gpkg mixed.csv -oo GEOM_POSSIBLE_NAMES=WKT",
        scene.folder);
    if (survey_scene_shell(command, NULL) != 0)
        fail_msg("ogr2ogr failed");
    survey_scene_write(&scene, "access: plain.gpkg\nchoose: { sites: 4, apart_m: 200 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    double plain = survey_scene_number(&scene, "sites.gpkg", "SELECT sum(access_m) FROM sites");
    double there = places(&scene);
    remove(survey_scene_path(&scene, "sites.gpkg"));
    survey_scene_write(&scene, "access: mixed.gpkg\nchoose: { sites: 4, apart_m: 200 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    assert_true(fabs(survey_scene_number(&scene, "sites.gpkg", "SELECT sum(access_m) FROM sites") -
                     plain) < 0.1);
    assert_true(places(&scene) == there);
    survey_scene_free(&scene);
}

static void a_layer_without_a_crs_is_refused(void **state) {
    (void)state;
    struct survey_scene scene = survey_squares();
    char command[4096];
    snprintf(command, sizeof command,
        "cd '%s' && printf 'id,WKT\\n1,\"LINESTRING (501000 5399000,501000 5398000)\"\\n' > "
        "bare.csv && ogr2ogr -q -f GPKG bare.gpkg bare.csv -oo GEOM_POSSIBLE_NAMES=WKT",
        scene.folder);
    if (survey_scene_shell(command, NULL) != 0)
        fail_msg("ogr2ogr failed");
    survey_scene_write(&scene, "access: bare.gpkg\nchoose: { sites: 4, apart_m: 200 }\n");
    MUST_REFUSE(&scene, "bare.gpkg", "has no coordinate reference system", "ogr2ogr -a_srs");
    survey_scene_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_start_far_away_is_refused),
        cmocka_unit_test(by_distance_a_start_counts_as_far_as_it_tells_places_apart),
        cmocka_unit_test(on_foot_every_layer_must_meet_the_grid),
        cmocka_unit_test(blocks_off_the_grid_are_refused),
        cmocka_unit_test(a_block_without_a_name_is_refused),
        cmocka_unit_test(a_column_that_is_not_there_names_its_key),
        cmocka_unit_test(a_block_without_candidates_is_listed_and_told_of),
        cmocka_unit_test(layers_that_may_be_empty_here_are_told_of),
        cmocka_unit_test(a_trap_just_off_the_grid_is_not_idle),
        cmocka_unit_test(check_counts_what_meets_the_grid),
        cmocka_unit_test(a_zone_that_crosses_itself_shuts_both_its_lobes),
        cmocka_unit_test(starts_of_all_kinds_in_another_crs_are_taken),
        cmocka_unit_test(a_layer_without_a_crs_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
