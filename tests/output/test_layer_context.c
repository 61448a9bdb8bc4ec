// SPDX-License-Identifier: MIT
//
// The layers that keep the plan's ground in the GeoPackage, asked for with OGR's own SQL
// (SpatiaLite) and compared with closed forms. The scene's ground is x 512000..518000, y
// 5121000..5126000.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/status.h"
#include "output/context_shapes.h"
#include "output_scene.h"

static struct output_scene *scene;
static char *path, *area, *zones, *roads, *running;

// Makes NAME.gpkg in the scene's folder from lines "id,wkt".
static char *layer_of(const char *name, const char *lines) {
    char command[8192], file[256];
    snprintf(file, sizeof file, "%s.csv", name);
    char *csv = output_scene_path(scene, file);
    FILE *stream = fopen(csv, "wb");
    assert_non_null(stream);
    fprintf(stream, "id;wkt\n%s", lines);
    assert_int_equal(fclose(stream), 0);
    snprintf(command, sizeof command,
        "cd '%s' && ogr2ogr -q -f GPKG %s.gpkg %s.csv -oo SEPARATOR=SEMICOLON "
        "-oo GEOM_POSSIBLE_NAMES=wkt -a_srs EPSG:32633 2>&1",
        scene->folder, name, name);
    assert_int_equal(output_scene_run(command, NULL), 0);
    free(csv);
    snprintf(file, sizeof file, "%s.gpkg", name);
    return output_scene_path(scene, file);
}

static double number(const char *sql) {
    char command[8192], *answer;
    snprintf(command, sizeof command,
        "ogrinfo -q '%s' -dialect INDIRECT_SQLITE -sql \"%s\" | sed -n 's/.* = //p'", path, sql);
    assert_int_equal(output_scene_run(command, &answer), 0);
    double value = strtod(answer, NULL);
    free(answer);
    return value;
}

static void write_scene(void) {
    sel_status status = output_scene_write(scene, path, true, false);
    if (status != SEL_OK)
        fprintf(stderr, "%s\n", sel_context_message(scene->context));
    assert_int_equal(status, SEL_OK);
}

static void without_layers_in_the_plan_the_tables_are_empty(void **state) {
    (void)state;
    write_scene();
    assert_true(number("select count(*) from ground_area") == 0);
    assert_true(number("select count(*) from ground_zones") == 0);
    assert_true(number("select count(*) from ground_access") == 0);
    assert_true(number("select count(*) from ground_occupied") == 0);
}

static void roads_are_cut_to_the_ground_under_study(void **state) {
    (void)state;
    struct sel_plan_access access[] = {
        {{roads, NULL, {0, 0}}, SEL_ACCESS_START}, {{roads, NULL, {0, 0}}, SEL_ACCESS_WAY}};
    scene->plan.access = access;
    scene->plan.access_count = 2;
    write_scene();
    scene->plan.access = NULL;
    scene->plan.access_count = 0;
    // A straight road through the whole ground, one that ends in it, one beyond it, a parking
    // place.
    assert_true(number("select count(*) from ground_access where role = 'start'") == 3);
    assert_true(number("select count(*) from ground_access where role = 'way'") == 3);
    double length = number("select sum(ST_Length(geom)) from ground_access where role = 'start'");
    assert_true(fabs(length - (6000.0 + 1000.0)) < 0.01);
    assert_true(number("select max(within_m) from ground_access") == 2.5); // a quarter of a cell
}

static void zones_keep_rule_and_reason_and_are_cut(void **state) {
    (void)state;
    char reason[] = "nesting \"colony\" <b>", other[] = "hay";
    struct sel_plan_zone zone[] = {{{zones, NULL, {0, 0}}, SEL_ZONE_EXCLUDE, reason},
        {{zones, NULL, {0, 0}}, SEL_ZONE_NO_CLEARING, other}};
    scene->plan.zones = zone;
    scene->plan.zones_count = 2;
    write_scene();
    scene->plan.zones = NULL;
    scene->plan.zones_count = 0;
    // Half of a square of 1 km lies in the ground; a bow tie of two triangles is mended.
    assert_true(fabs(number("select sum(ST_Area(geom)) from ground_zones where rule = 'exclude'") -
                     (500.0 * 1000.0 + 2 * 0.5 * 1000.0 * 500.0)) < 1.0);
    assert_true(number("select min(ST_IsValid(geom)) from ground_zones") == 1);
    char *told = output_scene_sql(path, "select distinct reason from ground_zones order by 1");
    assert_string_equal(told, "hay\nnesting \"colony\" <b>");
    free(told);
}

static void the_study_area_and_standing_traps_are_kept(void **state) {
    (void)state;
    scene->plan.area.file = area;
    scene->plan.occupied.file = running;
    write_scene();
    scene->plan.area.file = scene->plan.occupied.file = NULL;
    assert_true(fabs(number("select ST_Area(geom) from ground_area") - 4000.0 * 3000.0) < 0.01);
    assert_true(number("select count(*) from ground_occupied") == 2); // the third is far away
    assert_true(fabs(number("select min(ST_X(geom)) from ground_occupied") - 513000.25) < 1e-6);
    assert_true(fabs(number("select max(ST_Y(geom)) from ground_occupied") - 5124000.75) < 1e-6);
}

// A saw with a tooth every 20 cm: far more vertices than may be kept, all within 5 cm of its
// middle.
static void too_many_vertices_are_thinned_within_what_is_told(void **state) {
    (void)state;
    enum { TEETH = 300000 };
    struct sel_context_shapes shapes = {
        .box = {.MinX = 0, .MaxX = 60000, .MinY = -10, .MaxY = 10}, .within = 0.001};
    OGRGeometryH saw = OGR_G_CreateGeometry(wkbLineString);
    double *x = malloc((TEETH + 1) * sizeof *x), *y = malloc((TEETH + 1) * sizeof *y);
    assert_true(x && y);
    for (int i = 0; i <= TEETH; i++)
        x[i] = 0.2 * i, y[i] = i % 2 == 0 ? 0.0 : 0.05;
    OGR_G_SetPoints(saw, TEETH + 1, x, sizeof *x, y, sizeof *y, NULL, 0);
    free(x);
    free(y);
    assert_true(sel_context_shapes_take(&shapes, saw, 7));
    assert_int_equal(shapes.count, 1);
    assert_int_equal(shapes.items[0].entry, 7);
    assert_true(shapes.vertices <= SEL_CONTEXT_VERTICES_MOST);
    assert_true(shapes.within > 0.001 && shapes.within <= 0.2);
    assert_true(fabs(OGR_G_Length(shapes.items[0].geometry) - 60000.0) < 5.0);
    OGR_G_DestroyGeometry(saw);
    sel_context_shapes_clear(&shapes);
}

// Very many small things give way to the large.
static void small_things_go_first_when_there_are_too_many(void **state) {
    (void)state;
    struct sel_context_shapes shapes = {
        .box = {.MinX = 0, .MaxX = 100000, .MinY = 0, .MaxY = 100000}, .within = 1.0};
    OGRGeometryH large = OGR_G_CreateGeometry(wkbLineString);
    OGR_G_AddPoint_2D(large, 0, 0);
    OGR_G_AddPoint_2D(large, 100000, 100000);
    assert_true(sel_context_shapes_take(&shapes, large, 0));
    for (int i = 0; i < 150000; i++) {
        OGRGeometryH small = OGR_G_CreateGeometry(wkbLineString);
        OGR_G_AddPoint_2D(small, i % 300 * 300.0, i / 300 * 150.0);
        OGR_G_AddPoint_2D(small, i % 300 * 300.0 + 3.0, i / 300 * 150.0);
        assert_true(sel_context_shapes_take(&shapes, small, 1));
        OGR_G_DestroyGeometry(small);
    }
    assert_true(shapes.vertices <= SEL_CONTEXT_VERTICES_MOST);
    assert_int_equal(shapes.items[0].entry, 0);
    assert_true(fabs(OGR_G_Length(shapes.items[0].geometry) - 100000.0 * sqrt(2.0)) < 1.0);
    OGR_G_DestroyGeometry(large);
    sel_context_shapes_clear(&shapes);
}

static int set_up(void **state) {
    (void)state;
    scene = output_scene_new((struct output_scene_size){500, 600, 4, 0, 400, false});
    path = output_scene_path(scene, "sites.gpkg");
    area = layer_of("area", "1;\"POLYGON((513000 5122000,517000 5122000,517000 5125000,"
                            "513000 5125000,513000 5122000))\"\n");
    zones = layer_of("zones",
        "1;\"POLYGON((511500 5122000,512500 5122000,512500 5123000,511500 5123000,"
        "511500 5122000))\"\n"
        "2;\"POLYGON((514000 5122000,515000 5123000,515000 5122000,514000 5123000,"
        "514000 5122000))\"\n");
    roads = layer_of("roads", "1;\"LINESTRING(500000 5123000,530000 5123000)\"\n"
                              "2;\"LINESTRING(515000 5122000,515000 5110000)\"\n"
                              "3;\"LINESTRING(515000 5110000,516000 5110000)\"\n"
                              "4;\"POINT(513000 5124000)\"\n");
    running = layer_of("running", "1;\"POINT(513000.25 5124000.75)\"\n"
                                  "2;\"POINT(518300 5123000)\"\n3;\"POINT(530000 5123000)\"\n");
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    free(path);
    free(area);
    free(zones);
    free(roads);
    free(running);
    output_scene_free(scene);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_layers_in_the_plan_the_tables_are_empty),
        cmocka_unit_test(roads_are_cut_to_the_ground_under_study),
        cmocka_unit_test(zones_keep_rule_and_reason_and_are_cut),
        cmocka_unit_test(the_study_area_and_standing_traps_are_kept),
        cmocka_unit_test(too_many_vertices_are_thinned_within_what_is_told),
        cmocka_unit_test(small_things_go_first_when_there_are_too_many),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
