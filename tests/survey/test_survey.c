// SPDX-License-Identifier: MIT
//
// Whole surveys of small scenes whose answer is known without running them.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "survey_expect.h"
#include "survey_scene.h"

static const sel_run_options PLAIN = {.threads = 1};

static void expect_near(double got, double wanted, double tolerance) {
    if (!(fabs(got - wanted) <= tolerance))
        fail_msg("%.9g is not within %g of %.9g", got, tolerance, wanted);
}

// Wood in the west, meadow in the east, parted at column 100 of 200; traps may stand in the meadow
// only, so every site is the middle of a cell of column 100: x = x0 + 100.5 cells.
static void a_straight_edge_gives_sites_along_it(void **state) {
    (void)state;
    struct survey_scene scene = survey_scene_new(160, 200, 10);
    survey_scene_paint(&scene, 0, 0, 160, 100, 1);
    survey_scene_write(&scene, "choose: { sites: 3, apart_m: 300 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    const char *file = "sites.gpkg";
    expect_near(
        survey_scene_number(&scene, file, "SELECT count(*) FROM sites WHERE role = 'primary'"), 3,
        0);
    expect_near(
        survey_scene_number(&scene, file, "SELECT max(abs(ST_MinX(geom) - 501005)) FROM sites"), 0,
        1e-6);
    // The contrast by hand: Gower distance with canopy min(1, sqrt(16)/5) = 0.8 against 0 (weight
    // 2), cover 0.9 against 0, wetness equal: (2 * 0.8 + 0.9 + 0) / 4 = 0.625, edge worth 1.
    expect_near(
        survey_scene_number(&scene, file, "SELECT min(edge_contrast) FROM sites"), 0.625, 1e-5);
    expect_near(survey_scene_number(&scene, file, "SELECT max(slope_deg) FROM sites"), 0, 1e-9);
    // EPSG:32633 has its central meridian at 15 degrees east, x = 500 000: no convergence here.
    expect_near(survey_scene_number(
                    &scene, file, "SELECT max(min(edge_true_deg, 180 - edge_true_deg)) FROM sites"),
        0, 0.05);
    expect_near(
        survey_scene_number(&scene, file, "SELECT max(abs(flyway_true_deg - 90)) FROM sites"), 0,
        0.05);
    // With flight across, the panel runs along the edge.
    expect_near(survey_scene_number(&scene, file,
                    "SELECT max(min(panel_true_deg, 180 - panel_true_deg)) FROM sites"),
        0, 0.05);
    survey_scene_free(&scene);
}

static void without_access_the_other_weights_are_rescaled(void **state) {
    (void)state;
    struct survey_scene scene = survey_scene_new(160, 200, 10);
    survey_scene_paint(&scene, 0, 0, 160, 100, 1);
    survey_scene_write(&scene, "choose: { sites: 2, apart_m: 300 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    // Weights 4, 2, 2 as written: 4/8, 2/8, 2/8.
    expect_near(
        survey_scene_number(&scene, "sites.gpkg", "SELECT w_edge_contrast FROM sites"), 0.5, 1e-12);
    expect_near(survey_scene_number(&scene, "sites.gpkg", "SELECT w_sun FROM sites"), 0.25, 1e-12);
    assert_true(isnan(survey_scene_number(&scene, "sites.gpkg", "SELECT access_m FROM sites")));
    assert_true(isnan(survey_scene_number(&scene, "sites.gpkg", "SELECT w_access FROM sites")));
    survey_scene_free(&scene);
}

// A wood across the middle: its southern edge lies in the sun at 48 degrees north, its northern
// edge in the shade; on flat ground nothing else differs.
static void in_the_north_the_southern_edge_of_a_wood_wins(void **state) {
    (void)state;
    struct survey_scene scene = survey_scene_new(200, 200, 10);
    survey_scene_paint(&scene, 80, 0, 40, 200, 1);
    survey_scene_write(&scene, "choose: { sites: 3, apart_m: 400, reserves: 0 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    // The southern edge is the border below row 119; trap cells there are row 120.
    expect_near(survey_scene_number(&scene, "sites.gpkg",
                    "SELECT max(abs(ST_MinY(geom) - (5400000 - 1205))) FROM sites"),
        0, 1e-6);
    double south = survey_scene_number(&scene, "sites.gpkg",
        "SELECT avg(sun_share) FROM candidates WHERE ST_MinY(geom) < 5400000 - 1000");
    double north = survey_scene_number(&scene, "sites.gpkg",
        "SELECT avg(sun_share) FROM candidates WHERE ST_MinY(geom) > 5400000 - 1000");
    assert_true(south > north + 0.15);
    survey_scene_free(&scene);
}

static void a_slope_beyond_its_limit_leaves_nothing(void **state) {
    (void)state;
    struct survey_scene scene = survey_scene_new(120, 120, 10);
    survey_scene_paint(&scene, 0, 0, 120, 60, 1);
    for (int i = 0; i < 120 * 120; i++) // 45 degrees everywhere
        scene.metres[i] = 10.0f * (float)(i / 120);
    survey_scene_write(&scene, "choose: { sites: 3 }\n");
    const char *message;
    assert_int_equal(survey_scene_rank(&scene, "sites.gpkg", &PLAIN, &message), SEL_NOTHING);
    assert_non_null(strstr(message, "no place qualifies"));
    assert_int_equal(access(survey_scene_path(&scene, "sites.gpkg"), F_OK), -1);
    survey_scene_free(&scene);
}

static void an_output_that_exists_is_kept(void **state) {
    (void)state;
    struct survey_scene scene = survey_scene_new(120, 120, 10);
    survey_scene_paint(&scene, 0, 0, 120, 60, 1);
    survey_scene_write(&scene, "choose: { sites: 2, apart_m: 200 }\n");
    FILE *file = fopen(survey_scene_path(&scene, "sites.gpkg"), "w");
    assert_non_null(file);
    fputs("mine", file);
    fclose(file);
    const char *message;
    assert_int_equal(survey_scene_rank(&scene, "sites.gpkg", &PLAIN, &message), SEL_BAD_INPUT);
    assert_non_null(strstr(message, "--overwrite"));
    char *kept;
    char command[4200];
    snprintf(command, sizeof command, "cat '%s'", survey_scene_path(&scene, "sites.gpkg"));
    survey_scene_shell(command, &kept);
    assert_string_equal(kept, "mine");
    free(kept);
    survey_scene_free(&scene);
}

// A wood and a meadow parted by water: neither side of the wood-water edge may hold a trap.
static void an_edge_where_no_trap_may_stand_gives_no_candidate(void **state) {
    (void)state;
    struct survey_scene scene = survey_scene_new(160, 200, 10);
    survey_scene_paint(&scene, 0, 0, 160, 60, 1);
    survey_scene_paint(&scene, 0, 60, 160, 60, 4);
    survey_scene_write(&scene, "choose: { sites: 2, apart_m: 300 }\n");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    expect_near(survey_scene_number(&scene, "sites.gpkg",
                    "SELECT count(*) FROM candidates WHERE pair LIKE '%wood%'"),
        0, 0);
    survey_scene_free(&scene);
}

// Beyond the polar circle: 72 degrees north, where the sun stays down from the end of November to
// the middle of January and up from May to July.
static struct survey_scene far_north(const char *season) {
    char more[200];
    struct survey_scene scene = survey_scene_new(120, 120, 10);
    scene.y0 = 8000000;
    survey_scene_paint(&scene, 0, 0, 120, 60, 1);
    snprintf(more, sizeof more, "season: { %s }\nchoose: { sites: 2, apart_m: 300 }\n", season);
    survey_scene_write(&scene, more);
    return scene;
}

static void a_season_without_daylight_is_refused(void **state) {
    (void)state;
    struct survey_scene scene = far_north("from: 2027-12-01, to: 2028-01-10");
    const char *message;
    assert_int_equal(survey_scene_rank(&scene, "sites.gpkg", &PLAIN, &message), SEL_BAD_INPUT);
    assert_non_null(strstr(message, "survey.yaml: season: 2027-12-01 to 2028-01-10: the sun does "
                                    "not rise at latitude 72.0"));
    assert_non_null(strstr(message, "give a season with daylight"));
    assert_int_equal(access(survey_scene_path(&scene, "sites.gpkg"), F_OK), -1);
    survey_scene_free(&scene);
}

static void a_season_without_night_has_the_whole_day(void **state) {
    (void)state;
    struct survey_scene scene = far_north("from: 2027-06-01, to: 2027-07-10");
    survey_must_rank(&scene, "sites.gpkg", &PLAIN);
    // Half of the sky is a wood's: the sun stands before it for half of the 24 hours or less.
    assert_true(survey_scene_number(&scene, "sites.gpkg", "SELECT min(sun_hours) FROM sites") > 12);
    assert_true(survey_scene_number(&scene, "sites.gpkg", "SELECT max(sun_share) FROM sites") <= 1);
    survey_scene_free(&scene);
}

// Degrees in which the middle of the ground is the antimeridian: as good as any other ground.
static void ground_may_lie_across_the_antimeridian(void **state) {
    (void)state;
    const double WEST[] = {179.985, -180.015};
    double candidates[2];
    for (int i = 0; i < 2; i++) {
        struct survey_scene scene = survey_scene_new(300, 300, 0.0001);
        scene.crs = "EPSG:4326";
        scene.x0 = WEST[i], scene.y0 = 50;
        survey_scene_paint(&scene, 0, 0, 300, 140, 1);
        survey_scene_write(&scene, "choose: { sites: 2, apart_m: 200 }\n");
        survey_must_rank(&scene, "sites.gpkg", &PLAIN);
        candidates[i] =
            survey_scene_number(&scene, "sites.gpkg", "SELECT count(*) FROM candidates");
        // The edge lies along column 140: at 179.999 degrees east, 0.001 of which are 72 m.
        expect_near(
            survey_scene_number(&scene, "sites.gpkg", "SELECT avg(abs(longitude)) FROM sites"),
            179.999, 0.0003);
        survey_scene_free(&scene);
    }
    assert_true(candidates[0] > 20);
    expect_near(candidates[0], candidates[1], 2);
}

static void what_a_run_reads_is_not_written_over(void **state) {
    (void)state;
    struct survey_scene scene = survey_scene_new(120, 120, 10);
    survey_scene_paint(&scene, 0, 0, 120, 60, 1);
    char command[8192];
    snprintf(command, sizeof command,
        "cd '%s' && printf 'id,WKT\\n1,\"POLYGON((500000 5398800,501200 5398800,501200 "
        "5400000,500000 5400000,500000 5398800))\"\\n' > a.csv && ogr2ogr -q -f GPKG -a_srs "
        "EPSG:32633 area.gpkg a.csv && ln -s area.gpkg link.gpkg",
        scene.folder);
    assert_int_equal(survey_scene_shell(command, NULL), 0);
    survey_scene_write(&scene, "area: { file: area.gpkg }\nchoose: { sites: 2, apart_m: 300 }\n");
    const sel_run_options over = {.threads = 1, .overwrite = true};
    const char *message;
    static const char *const NAMES[] = {"area.gpkg", "link.gpkg"};
    for (int i = 0; i < 2; i++) {
        assert_int_equal(survey_scene_rank(&scene, NAMES[i], &over, &message), SEL_BAD_INPUT);
        assert_non_null(
            strstr(message, ": is read by this run (area): give the output another name"));
    }
    survey_must_rank(&scene, "sites.gpkg", &PLAIN); // the area is still there
    survey_scene_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_straight_edge_gives_sites_along_it),
        cmocka_unit_test(without_access_the_other_weights_are_rescaled),
        cmocka_unit_test(in_the_north_the_southern_edge_of_a_wood_wins),
        cmocka_unit_test(a_slope_beyond_its_limit_leaves_nothing),
        cmocka_unit_test(an_output_that_exists_is_kept),
        cmocka_unit_test(an_edge_where_no_trap_may_stand_gives_no_candidate),
        cmocka_unit_test(ground_may_lie_across_the_antimeridian),
        cmocka_unit_test(what_a_run_reads_is_not_written_over),
        cmocka_unit_test(a_season_without_daylight_is_refused),
        cmocka_unit_test(a_season_without_night_has_the_whole_day),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
