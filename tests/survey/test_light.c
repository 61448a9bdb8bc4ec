// SPDX-License-Identifier: MIT
//
// Light in whole surveys: where the head stands, whose season it gets, which season that is.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <gdal.h>
#include <math.h>
#include <ogr_api.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "survey_scene.h"
#include "terrain/exposure.h"

static void rank(const struct survey_scene *scene) {
    const char *message;
    if (survey_scene_rank(scene, "sites.gpkg", &(sel_run_options){.threads = 1}, &message) !=
        SEL_OK)
        fail_msg("rank: %s", message);
}

static double ask(const struct survey_scene *scene, const char *sql) {
    return survey_scene_number(scene, "sites.gpkg", sql);
}

static void expect_near(double got, double wanted, double tolerance) {
    if (!(fabs(got - wanted) <= tolerance))
        fail_msg("%.9g is not within %g of %.9g", got, tolerance, wanted);
}

// --- the head at the wood's margin

// Scrub in the west; in the east water in the north and meadow in the south, both flat and bare, so
// heads in the middle of either stretch have the same light. In the scrub alone the trap may stand
// by the water: its place is 15 m inside, and its head at the margin.
static void one_side_that_may_hold_the_trap_costs_no_light(void **state) {
    (void)state;
    struct survey_scene scene = survey_scene_new(200, 200, 30);
    survey_scene_paint(&scene, 0, 0, 200, 100, 5);
    survey_scene_paint(&scene, 0, 100, 100, 100, 4);
    survey_scene_write(&scene, "choose: { sites: 3, apart_m: 600 }\n");
    rank(&scene);
    double by_water =
        ask(&scene, "SELECT avg(sun_share) FROM candidates WHERE pair LIKE '%water%' AND pair LIKE "
                    "'%scrub%' AND ST_MinY(geom) > 5400000 - 2000");
    double by_meadow =
        ask(&scene, "SELECT avg(sun_share) FROM candidates WHERE pair LIKE '%meadow%' AND pair "
                    "LIKE '%scrub%' AND ST_MinY(geom) < 5400000 - 4000");
    assert_true(by_meadow > 0.5);
    expect_near(by_water, by_meadow, 0.005);
    // The place itself stays in the scrub.
    expect_near(ask(&scene, "SELECT max(ST_MaxX(geom)) FROM candidates WHERE pair LIKE '%water%' "
                            "AND pair LIKE '%scrub%'"),
        500000 + 99.5 * 30, 1e-6);
    survey_scene_free(&scene);
}

// --- whose season

static double field(OGRFeatureH row, const char *name) {
    int index = OGR_F_GetFieldIndex(row, name);
    assert_true(index >= 0);
    return OGR_F_GetFieldAsDouble(row, index);
}

// A site's horizon as the table tells it.
static struct sel_horizon horizon_of(GDALDatasetH file, int rank) {
    struct sel_horizon horizon = {.complete = true};
    char sql[200];
    snprintf(sql, sizeof sql, "SELECT * FROM horizon WHERE rank = %d AND role = 'primary'", rank);
    OGRLayerH rows = GDALDatasetExecuteSQL(file, sql, NULL, NULL);
    int count = 0;
    for (OGRFeatureH row; (row = OGR_L_GetNextFeature(rows)); count++) {
        int i = (int)lround(field(row, "azimuth_deg") / 5.0);
        assert_in_range(i, 0, SEL_HORIZON_DIRECTIONS - 1);
        horizon.ground_tan[i] = (float)tan(field(row, "ground_deg") * 0.017453292519943295);
        horizon.canopy_tan[i] = (float)tan(field(row, "canopy_deg") * 0.017453292519943295);
        horizon.cover[i] = (float)field(row, "cover");
        OGR_F_Destroy(row);
    }
    GDALDatasetReleaseResultSet(file, rows);
    assert_int_equal(count, SEL_HORIZON_DIRECTIONS);
    return horizon;
}

// The clear-sky energy of a site by the season at its own place and altitude.
static double energy_at(GDALDatasetH file, OGRFeatureH site, double altitude_m) {
    struct sel_season *season;
    struct sel_horizon horizon = horizon_of(file, (int)field(site, "rank"));
    assert_int_equal(sel_season_new((struct sel_date){2027, 5, 15}, (struct sel_date){2027, 8, 31},
                         field(site, "latitude"), field(site, "longitude"), altitude_m, &season),
        SEL_OK);
    double energy = sel_season_exposure(season, &horizon, 0.0).kwh_m2_day;
    sel_season_free(season);
    return energy;
}

// Two plateaus, 150 and 2650 m high, in one block of 512 cells; each has an edge.
static void energy_is_that_of_the_site_s_own_altitude(void **state) {
    (void)state;
    struct survey_scene scene = survey_scene_new(200, 400, 10);
    for (int i = 0; i < 200 * 400; i++)
        scene.metres[i] = i % 400 < 200 ? 150.0f : 2650.0f;
    survey_scene_paint(&scene, 0, 0, 200, 60, 1);
    survey_scene_paint(&scene, 0, 340, 200, 60, 1);
    survey_scene_write(&scene, "season: { from: 2027-05-15, to: 2027-08-31 }\n"
                               "choose: { sites: 6, apart_m: 600, reserves: 0 }\n");
    rank(&scene);
    GDALDatasetH file =
        GDALOpenEx(survey_scene_path(&scene, "sites.gpkg"), GDAL_OF_VECTOR, NULL, NULL, NULL);
    assert_non_null(file);
    OGRLayerH sites = GDALDatasetGetLayerByName(file, "sites");
    int low = 0, high = 0;
    for (OGRFeatureH site; (site = OGR_L_GetNextFeature(sites)); OGR_F_Destroy(site)) {
        double altitude = field(site, "elevation_m"), told = field(site, "light_kwh_m2_day");
        expect_near(told / energy_at(file, site, altitude), 1.0, 0.002);
        // The block's mean, 1400 m, is off by more: the test can tell.
        assert_true(fabs(told / energy_at(file, site, 1400.0) - 1.0) > 0.01);
        low += altitude < 200;
        high += altitude > 2600;
    }
    assert_true(low > 0 && high > 0);
    GDALClose(file);
    survey_scene_free(&scene);
}

// Strips of wood and meadow across 350 km of meridian, in cells of 500 m: the sun on the woods'
// southern edges changes from each to the next, and by no more than twice the usual step.
static void on_coarse_grids_light_changes_with_latitude_without_jumps(void **state) {
    (void)state;
    enum { ROWS = 700, COLS = 24, STRIP = 20, EDGES = 16 };
    struct survey_scene scene = survey_scene_new(ROWS, COLS, 500);
    for (int row = 0; row < ROWS; row += 2 * STRIP)
        survey_scene_paint(&scene, row, 0, STRIP, COLS, 1);
    survey_scene_write(&scene, "season: { from: 2027-03-25, to: 2027-04-20 }\n"
                               "choose: { sites: 2, apart_m: 5000, reserves: 0 }\n");
    rank(&scene);
    double share[EDGES], usual;
    for (int i = 0; i < EDGES; i++) {
        double south = scene.y0 - 500.0 * (STRIP + 2 * STRIP * (i + 0.5) - STRIP);
        char sql[300];
        snprintf(sql, sizeof sql,
            "SELECT max(sun_share) FROM candidates WHERE ST_MinY(geom) > %.1f AND ST_MinY(geom) < "
            "%.1f AND ST_MinX(geom) > %.1f AND ST_MinX(geom) < %.1f",
            south - 1200, south + 1200, scene.x0 + 5000, scene.x0 + 7000);
        share[i] = ask(&scene, sql);
        assert_true(share[i] > 0.5);
    }
    usual = (share[0] - share[EDGES - 1]) / (EDGES - 1);
    for (int i = 1; i < EDGES; i++) {
        double step = share[i - 1] - share[i];
        if (!(step / usual > 0.0 && step / usual <= 2.1))
            fail_msg("step %d: %.6f, usual %.6f", i, step, usual);
    }
    survey_scene_free(&scene);
}

// --- which season

static bool told(const struct survey_scene *scene) {
    return ask(scene, "SELECT count(*) FROM run WHERE value LIKE '%names no season%'") > 0;
}

static char *check_of(const struct survey_scene *scene) {
    sel_context *context = sel_context_new();
    char *report = NULL;
    assert_int_equal(sel_check(context, survey_scene_path(scene, "survey.yaml"), false,
                         &(sel_run_options){.threads = 1}, &report),
        SEL_OK);
    sel_context_free(context);
    return report;
}

static void a_season_that_the_plan_does_not_name_is_called_a_guess(void **state) {
    (void)state;
    struct survey_scene scene = survey_scene_new(120, 120, 10);
    survey_scene_paint(&scene, 0, 0, 120, 60, 1);
    survey_scene_write(&scene, "choose: { sites: 2, apart_m: 200 }\n");
    rank(&scene);
    assert_true(told(&scene));
    char *report = check_of(&scene);
    assert_non_null(strstr(report, "2027-05-15 to 2027-08-31 (default, a guess)"));
    sel_text_free(report);
    remove(survey_scene_path(&scene, "sites.gpkg"));
    survey_scene_write(&scene, "season: { from: 2027-05-15, to: 2027-08-31 }\n"
                               "choose: { sites: 2, apart_m: 200 }\n");
    rank(&scene);
    assert_false(told(&scene));
    report = check_of(&scene);
    assert_null(strstr(report, "guess"));
    sel_text_free(report);
    survey_scene_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_side_that_may_hold_the_trap_costs_no_light),
        cmocka_unit_test(energy_is_that_of_the_site_s_own_altitude),
        cmocka_unit_test(on_coarse_grids_light_changes_with_latitude_without_jumps),
        cmocka_unit_test(a_season_that_the_plan_does_not_name_is_called_a_guess),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
