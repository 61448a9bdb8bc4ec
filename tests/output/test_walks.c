// SPDX-License-Identifier: MIT
//
// What the outputs tell of access on foot. The scene's walks lead 300 m due east in three steps of
// equal time, rising 6 m, 0 m and 3 m: see output_scene.c.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <gdal.h>
#include <ogr_api.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "explain/explain.h"
#include "output/summary.h"
#include "output_scene.h"

static const struct output_scene_size SIZE = {
    .rows = 60, .cols = 80, .sites = 3, .reserves = 1, .apart_m = 150};

static struct output_scene *scene;
static char *path;

static int set_up(void **state) {
    (void)state;
    scene = output_scene_on_foot(SIZE);
    path = output_scene_path(scene, "sites.gpkg");
    return output_scene_write(scene, path, false, false) == SEL_OK ? 0 : -1;
}

static int tear_down(void **state) {
    (void)state;
    free(path);
    output_scene_free(scene);
    return 0;
}

static void expect_sql(const char *query, const char *wanted) {
    char *answer = output_scene_sql(path, query);
    assert_string_equal(answer, wanted);
    free(answer);
}

static void every_site_has_its_walk(void **state) {
    (void)state;
    char count[16];
    snprintf(count, sizeof count, "%zu", scene->survey.site_count);
    expect_sql("SELECT count(*) FROM walks", count);
    expect_sql("SELECT count(*) FROM walks JOIN sites USING (rank, site, role)", count);
    expect_sql("SELECT geometry_type_name, z, m FROM gpkg_geometry_columns WHERE table_name = "
               "'walks'",
        "LINESTRING|1|1");
    expect_sql("SELECT DISTINCT walk_m, walk_min, out_min, back_min, climb_m, climb_back_m FROM "
               "walks",
        "300.0|3.75|4.0|3.5|9.0|0.0");
}

// Length, climb and time once more from the line itself, through OGR.
static void a_walk_adds_up_from_its_line(void **state) {
    (void)state;
    GDALDatasetH file = GDALOpenEx(path, GDAL_OF_VECTOR, NULL, NULL, NULL);
    OGRLayerH layer = GDALDatasetGetLayerByName(file, "walks");
    OGRFeatureH walk;
    int walks = 0;
    while ((walk = OGR_L_GetNextFeature(layer))) {
        OGRGeometryH line = OGR_F_GetGeometryRef(walk);
        double climb = 0;
        int last = OGR_G_GetPointCount(line) - 1;
        for (int i = 1; i <= last; i++)
            climb += fmax(0, OGR_G_GetZ(line, i) - OGR_G_GetZ(line, i - 1));
        assert_int_equal(last, 3);
        assert_true(fabs(OGR_G_Length(line) - 300) < 1e-9);
        assert_true(fabs(climb - 9) < 1e-9);
        assert_true(OGR_G_GetM(line, 0) == 0 && OGR_G_GetM(line, last) == 3.75);
        const struct sel_site *site = &scene->survey.sites[walks++];
        assert_true(OGR_G_GetX(line, 0) == site->access_x && OGR_G_GetY(line, 0) == site->access_y);
        assert_true(OGR_G_GetX(line, last) == site->x && OGR_G_GetY(line, last) == site->y);
        OGR_F_Destroy(walk);
    }
    assert_int_equal(walks, scene->survey.site_count);
    GDALClose(file);
}

static void sites_tell_walk_and_access_point(void **state) {
    (void)state;
    const struct sel_site *site = &scene->survey.sites[0];
    const struct sel_candidate *candidate = &scene->survey.candidates[site->candidate];
    char query[512];
    snprintf(query, sizeof query,
        "SELECT abs(access_m - %.9f) < 0.01, abs(walk_min - %.9f) < 1e-4, walk_m, climb_m, "
        "abs(access_x - %.9f) < 0.01, abs(access_latitude - %.9f) < 1e-6, "
        "abs(access_longitude - %.9f) < 1e-6 FROM sites WHERE fid = 1",
        candidate->access_m, candidate->access_m / 80, site->access_x, site->access_latitude,
        site->access_longitude);
    expect_sql(query, "1|1|300.0|9.0|1|1|1");
    expect_sql("SELECT count(*) FROM candidates WHERE abs(walk_min - access_m / 80) > 1e-3", "0");
    expect_sql("SELECT count(*) FROM rivals WHERE abs(walk_min - access_m / 80) > 1e-3", "0");
    expect_sql("SELECT unit, [limit] FROM criteria WHERE criterion = 'access'", "min|60.0");
}

static void summary_and_explanation_speak_of_minutes(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    sel_summary_write(&scene->survey, &text);
    assert_non_null(strstr(text.chars, "     min "));
    assert_non_null(strstr(text.chars, "3    cannot be reached on foot within the limit"));
    sel_text_clear(&text);
    assert_int_equal(sel_explain_write(scene->context, path, 1, &text), SEL_OK);
    assert_non_null(strstr(text.chars, "min each way: 300 m, 9 m up"));
    char from[64];
    const struct sel_site *site = &scene->survey.sites[0];
    snprintf(from, sizeof from, "%.6f, %.6f", site->access_latitude, site->access_longitude);
    assert_non_null(strstr(text.chars, from));
    sel_text_clear(&text);
}

static void by_distance_there_are_no_walks(void **state) {
    (void)state;
    struct output_scene *straight = output_scene_new(SIZE);
    char *other = output_scene_path(straight, "straight.gpkg");
    assert_int_equal(output_scene_write(straight, other, false, false), SEL_OK);
    char *answer = output_scene_sql(other,
        "SELECT count(*) FROM gpkg_contents WHERE table_name = 'walks' UNION SELECT count(*) "
        "FROM sites WHERE walk_min IS NOT NULL OR access_latitude IS NULL");
    assert_string_equal(answer, "0"); // a union keeps equal rows once
    free(answer);
    free(other);
    output_scene_free(straight);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_site_has_its_walk),
        cmocka_unit_test(a_walk_adds_up_from_its_line),
        cmocka_unit_test(sites_tell_walk_and_access_point),
        cmocka_unit_test(summary_and_explanation_speak_of_minutes),
        cmocka_unit_test(by_distance_there_are_no_walks),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
