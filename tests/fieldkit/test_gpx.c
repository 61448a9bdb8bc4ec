// SPDX-License-Identifier: MIT
//
// sites.gpx against its schema (xmllint), and read back by OGR's GPX driver.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <gdal.h>
#include <math.h>
#include <ogr_api.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fieldkit_scene.h"
#include "fieldkit/gpx.h"

static struct fieldkit_scene *scene;
static struct sel_text gpx;
static char *path;

// Declinations on both sides of north, one unknown.
static void turn_norths(struct output_scene *survey) {
    for (size_t i = 0; i < survey->survey.site_count; i++)
        survey->survey.sites[i].declination_deg = i == 2 ? (double)NAN : i % 2 == 0 ? 3.25 : -4.5;
}

static int open_scene(void **state) {
    (void)state;
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.adjust = turn_norths;
    scene = fieldkit_scene_new(wish);
    sel_fieldkit_gpx(&scene->kit, &gpx);
    path = fieldkit_scene_file(scene, "sites.gpx", &gpx);
    return 0;
}

static int close_scene(void **state) {
    (void)state;
    free(path);
    sel_text_clear(&gpx);
    fieldkit_scene_free(scene);
    return 0;
}

static void is_valid(const char *file) {
    char command[2048], *said;
    snprintf(command, sizeof command, "xmllint --noout --schema '%s/gpx-1.1.xsd' '%s' 2>&1",
        SEL_TEST_REFERENCE, file);
    int status = output_scene_run(command, &said);
    if (status != 0)
        fail_msg("%s", said);
    free(said);
}

static void the_file_is_valid_by_the_schema(void **state) {
    (void)state;
    is_valid(path);
}

// The schema itself is looked at: elements in another order are not valid.
static void the_schema_tells_a_wrong_order(void **state) {
    (void)state;
    struct sel_text wrong;
    char command[2048];
    sel_text_init(&wrong);
    sel_text_add(&wrong, "<gpx xmlns=\"http://www.topografix.com/GPX/1/1\" version=\"1.1\" "
                         "creator=\"x\"><wpt lat=\"1\" lon=\"2\"><name>a</name><ele>3</ele></wpt>"
                         "</gpx>");
    char *bad = fieldkit_scene_file(scene, "bad.gpx", &wrong);
    snprintf(command, sizeof command, "xmllint --noout --schema '%s/gpx-1.1.xsd' '%s' 2>&1",
        SEL_TEST_REFERENCE, bad);
    char *said;
    assert_int_not_equal(output_scene_run(command, &said), 0);
    free(said);
    free(bad);
    sel_text_clear(&wrong);
}

static OGRFeatureH feature_of(OGRLayerH layer, const char *name) {
    OGRFeatureH feature;
    OGR_L_ResetReading(layer);
    while ((feature = OGR_L_GetNextFeature(layer)) != NULL) {
        int field = OGR_F_GetFieldIndex(feature, "name");
        if (strcmp(OGR_F_GetFieldAsString(feature, field), name) == 0)
            return feature;
        OGR_F_Destroy(feature);
    }
    return NULL;
}

static const char *text_of(OGRFeatureH feature, const char *field) {
    return OGR_F_GetFieldAsString(feature, OGR_F_GetFieldIndex(feature, field));
}

static void ogr_reads_every_site_back(void **state) {
    (void)state;
    GDALDatasetH dataset = GDALOpenEx(path, GDAL_OF_VECTOR, NULL, NULL, NULL);
    assert_non_null(dataset);
    OGRLayerH points = GDALDatasetGetLayerByName(dataset, "waypoints");
    assert_int_equal(
        OGR_L_GetFeatureCount(points, TRUE), scene->kit.site_count + scene->kit.access_count);
    for (size_t i = 0; i < scene->kit.site_count; i++) {
        const struct sel_site *site = &scene->survey->survey.sites[i];
        OGRFeatureH feature = feature_of(points, sel_fieldkit_id(&scene->kit.sites[i]));
        assert_non_null(feature);
        OGRGeometryH point = OGR_F_GetGeometryRef(feature);
        assert_true(fabs(OGR_G_GetX(point, 0) - site->longitude) < 1e-7);
        assert_true(fabs(OGR_G_GetY(point, 0) - site->latitude) < 1e-7);
        assert_string_equal(text_of(feature, "type"), site->reserve > 0 ? "reserve" : "site");
        double elevation = OGR_F_GetFieldAsDouble(feature, OGR_F_GetFieldIndex(feature, "ele"));
        double wanted = (double)scene->survey->survey.candidates[site->candidate].elevation_m;
        assert_true(fabs(elevation - wanted) < 0.06);
        OGR_F_Destroy(feature);
    }
    GDALClose(dataset);
}

static void names_fit_a_handset(void **state) {
    (void)state;
    for (const char *at = gpx.chars; (at = strstr(at, "\n    <name>")) != NULL; at++) {
        const char *name = at + strlen("\n    <name>"), *end = strchr(name, '<');
        if (strncmp(name, "Alder", 5) == 0)
            continue; // the file's own
        assert_in_range(end - name, 2, 10);
        for (; name < end; name++)
            assert_true((unsigned char)*name < 0x80);
    }
}

// Names in the survey hold markup, quotes, SQL and terminal escapes: all of it comes out as text.
static void hostile_names_are_text(void **state) {
    (void)state;
    assert_null(strstr(gpx.chars, "<script"));
    assert_null(strchr(gpx.chars, '\x1B'));
    assert_non_null(strstr(gpx.chars, "&lt;script&gt;"));
    GDALDatasetH dataset = GDALOpenEx(path, GDAL_OF_VECTOR, NULL, NULL, NULL);
    OGRLayerH points = GDALDatasetGetLayerByName(dataset, "waypoints");
    const struct sel_fieldkit_site *second = &scene->kit.sites[1];
    OGRFeatureH feature = feature_of(points, sel_fieldkit_id(second));
    assert_non_null(strstr(text_of(feature, "desc"), "<script>alert('x')</script>"));
    assert_non_null(strstr(text_of(feature, "desc"), second->row->habitat_a));
    OGR_F_Destroy(feature);
    GDALClose(dataset);
}

// GPX counts the variation from 0 up to a full turn: 4.5 degrees west are 355.5.
static void the_declination_is_folded_into_a_turn(void **state) {
    (void)state;
    size_t east = fieldkit_scene_count(gpx.chars, "<magvar>3.25</magvar>");
    size_t west = fieldkit_scene_count(gpx.chars, "<magvar>355.50</magvar>");
    assert_int_equal(east + west, scene->kit.site_count - 1);
    assert_int_equal(fieldkit_scene_count(gpx.chars, "<magvar>"), scene->kit.site_count - 1);
}

static void a_survey_on_the_date_line_stays_valid(void **state) {
    (void)state;
    struct sel_text text;
    sel_text_init(&text);
    struct sel_site_row *rows = scene->package.sites;
    double kept = rows[0].longitude;
    rows[0].longitude = 180.0;
    sel_fieldkit_gpx(&scene->kit, &text);
    rows[0].longitude = kept;
    char *file = fieldkit_scene_file(scene, "line.gpx", &text);
    is_valid(file);
    assert_non_null(strstr(text.chars, "lon=\"-180.0000000\""));
    free(file);
    sel_text_clear(&text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_file_is_valid_by_the_schema),
        cmocka_unit_test(the_schema_tells_a_wrong_order),
        cmocka_unit_test(ogr_reads_every_site_back),
        cmocka_unit_test(names_fit_a_handset),
        cmocka_unit_test(hostile_names_are_text),
        cmocka_unit_test(the_declination_is_folded_into_a_turn),
        cmocka_unit_test(a_survey_on_the_date_line_stays_valid),
    };
    return cmocka_run_group_tests(tests, open_scene, close_scene);
}
