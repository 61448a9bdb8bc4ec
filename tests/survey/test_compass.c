// SPDX-License-Identifier: MIT
//
// Where a compass does not serve, the run says so and gives no bearing by it. The zones are those
// of the World Magnetic Model's report: caution below a horizontal field of 6000 nT, blackout below
// 2000 nT; its 2025 coefficients hold from 2025 to 2030.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "survey_scene.h"

static const char SITES[] = "sites.gpkg";

// An edge that runs north and south on a UTM zone's central meridian.
static struct survey_scene rank_at(const char *crs, double north, const char *season) {
    const sel_run_options plain = {.threads = 1};
    const char *message;
    char more[200];
    struct survey_scene scene = survey_scene_new(120, 120, 10);
    scene.crs = crs;
    scene.y0 = north;
    survey_scene_paint(&scene, 0, 0, 120, 60, 1);
    snprintf(more, sizeof more, "season: { %s }\nchoose: { sites: 2, apart_m: 300 }\n", season);
    survey_scene_write(&scene, more);
    sel_status status = survey_scene_rank(&scene, SITES, &plain, &message);
    if (status != SEL_OK)
        fail_msg("%s", message);
    return scene;
}

static void expect_number(const struct survey_scene *scene, const char *sql, int wanted) {
    double got = survey_scene_number(scene, SITES, sql);
    if (got != wanted) // counts
        fail_msg("%s: %g, not %d", sql, got, wanted);
}

static void expect_no_bearings(const struct survey_scene *scene, const char *reason) {
    char sql[300];
    snprintf(sql, sizeof sql, "SELECT count(*) FROM sites WHERE notes LIKE '%%%s%%'", reason);
    double sites = survey_scene_number(scene, SITES, "SELECT count(*) FROM sites");
    assert_true(sites >= 2);
    expect_number(scene, sql, (int)sites);
    expect_number(scene,
        "SELECT count(*) FROM sites WHERE panel_magnetic_deg IS NOT NULL OR head_magnetic_deg IS "
        "NOT NULL OR declination_deg IS NOT NULL",
        0);
    // Those by the map stand.
    expect_number(scene, "SELECT count(*) FROM sites WHERE panel_true_deg IS NULL", 0);
}

static void a_season_after_the_models_years_has_no_magnetic_bearings(void **state) {
    (void)state;
    struct survey_scene scene = rank_at("EPSG:32633", 5400000, "from: 2031-05-01, to: 2031-08-01");
    expect_no_bearings(&scene, "no magnetic bearings: the season lies outside the model''s years");
    survey_scene_free(&scene);
}

// 83.9 degrees north, 141 degrees east: 210 km from where the field stands upright in 2025 (85.8
// degrees north, 139 degrees east; from memory).
static void near_the_magnetic_pole_there_are_none(void **state) {
    (void)state;
    struct survey_scene scene = rank_at("EPSG:32654", 9318000, "from: 2027-06-01, to: 2027-08-01");
    expect_no_bearings(&scene, "a compass is useless this near a pole");
    survey_scene_free(&scene);
}

// 72 degrees north, 93 degrees west: between 2000 and 6000 nT (from memory).
static void farther_from_it_they_come_with_a_warning(void **state) {
    (void)state;
    struct survey_scene scene = rank_at("EPSG:32615", 7990000, "from: 2027-06-01, to: 2027-08-01");
    expect_number(&scene, "SELECT count(*) FROM sites WHERE declination_deg IS NULL", 0);
    expect_number(&scene,
        "SELECT count(*) FROM sites WHERE notes NOT LIKE '%compass is unreliable here%'", 0);
    survey_scene_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_season_after_the_models_years_has_no_magnetic_bearings),
        cmocka_unit_test(near_the_magnetic_pole_there_are_none),
        cmocka_unit_test(farther_from_it_they_come_with_a_warning),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
