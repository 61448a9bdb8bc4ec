// SPDX-License-Identifier: MIT
//
// Vector layers as straight pieces in metres from the grid's corner, and every way in which a layer
// cannot be used.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "grid/vectors.h"
#include "grid_scene.h"
#include "scene.h"

static const char UTM[] = "EPSG:32633";

struct fixture {
    char *folder;
    struct sel_grid grid;
    sel_context *context;
    struct sel_segments segments;
    struct sel_layer_tally tally;
    char *path;
};

static int set_up(void **state) {
    struct fixture *f = calloc(1, sizeof *f);
    f->folder = scene_folder();
    f->context = sel_context_new();
    f->grid = grid_of(UTM, 400000, 5440000, 10, 100, 100);
    *state = f;
    return 0;
}

static int tear_down(void **state) {
    struct fixture *f = *state;
    sel_segments_clear(&f->segments);
    sel_context_free(f->context);
    free(f->grid.crs);
    free(f->path);
    scene_remove(f->folder);
    free(f);
    return 0;
}

static void give(struct fixture *f, const char *crs, const char *wkt) {
    const struct grid_feature feature = {.wkt = wkt};
    free(f->path);
    f->path = grid_make_layer(f->folder, "lines.gpkg", "brook", crs, &feature, 1);
}

static void read_layer(struct fixture *f, const char *layer) {
    struct sel_layer_ref source = {.file = f->path, .layer = (char *)layer};
    if (sel_read_segments(f->context, &source, &f->grid, &f->segments, &f->tally) != SEL_OK)
        fail_msg("%s", sel_context_message(f->context));
}

static void must_fail(struct fixture *f, const char *layer, const char *const *parts) {
    struct sel_layer_ref source = {.file = f->path, .layer = (char *)layer};
    assert_int_equal(
        sel_read_segments(f->context, &source, &f->grid, &f->segments, NULL), SEL_BAD_INPUT);
    const char *message = sel_context_message(f->context);
    for (; *parts; parts++)
        if (!strstr(message, *parts))
            fail_msg("\"%s\" is not in: %s", *parts, message);
}

#define MUST_FAIL(f, layer, ...) must_fail(f, layer, (const char *const[]){__VA_ARGS__, NULL})

static void check_segment(
    const struct fixture *f, size_t i, double x0, double y0, double x1, double y1) {
    assert_true(i < f->segments.count);
    const struct sel_segment *segment = &f->segments.items[i];
    assert_true(near(segment->x0, x0, 1e-6) && near(segment->y0, y0, 1e-6));
    assert_true(near(segment->x1, x1, 1e-6) && near(segment->y1, y1, 1e-6));
}

static void a_line_becomes_its_pieces(void **state) {
    struct fixture *f = *state;
    give(f, UTM, "LINESTRING (400010 5439990, 400110 5439990, 400110 5439740)");
    read_layer(f, NULL);
    assert_int_equal(f->segments.count, 2);
    check_segment(f, 0, 10, 10, 110, 10);
    check_segment(f, 1, 110, 10, 110, 260);
}

static void heights_are_ignored(void **state) {
    struct fixture *f = *state;
    give(f, UTM, "LINESTRING ZM (400010 5439990 5 1, 400110 5439990 7 2)");
    read_layer(f, NULL);
    check_segment(f, 0, 10, 10, 110, 10);
}

static void rings_points_and_collections_are_taken_apart(void **state) {
    struct fixture *f = *state;
    give(f, UTM,
        "GEOMETRYCOLLECTION (POLYGON ((400000 5440000, 400030 5440000, 400000 5439960, 400000 "
        "5440000), (400005 5439995, 400010 5439995, 400005 5439990, 400005 5439995)), MULTIPOINT "
        "((400100 5439900), (400200 5439800)), MULTILINESTRING ((400000 5440000, 400001 "
        "5440001)))");
    read_layer(f, NULL);
    assert_int_equal(f->segments.count, 3 + 3 + 2 + 1);
    check_segment(f, 1, 30, 0, 0, 40);
    check_segment(f, 6, 100, 100, 100, 100);
    check_segment(f, 7, 200, 200, 200, 200);
    check_segment(f, 8, 0, 0, 1, -1);
}

// The grid is a square of 1000 m; distances by hand.
static void how_far_off_the_grid_a_piece_lies_is_exact(void **state) {
    struct fixture *f = *state;
    const struct {
        struct sel_segment piece;
        double metres;
    } cases[] = {
        {{100, 100, 100, 100}, 0},             // a point on it
        {{1000, 1000, 1000, 1000}, 0},         // its corner
        {{-300, 500, -40, 500}, 40},           // an end is nearest
        {{-30, 1040, -30, 1040}, 50},          // a point off a corner: 3-4-5
        {{-500, 400, 2000, 700}, 0},           // right across
        {{-100, 0, 0, -100}, 100 / sqrt(2.0)}, // past a corner
        {{-100, 100, 100, -100}, 0},           // through a corner
        {{-7, -9000, -7, 9000}, 7},            // along a side
        {{500, 1000.5, 500, 4000}, 0.5},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct sel_segment turned = {
            cases[i].piece.x1, cases[i].piece.y1, cases[i].piece.x0, cases[i].piece.y0};
        assert_true(near(sel_off_grid_m(&f->grid, &cases[i].piece), cases[i].metres, 1e-9));
        assert_true(near(sel_off_grid_m(&f->grid, &turned), cases[i].metres, 1e-9));
    }
}

static void features_on_the_grid_are_counted(void **state) {
    struct fixture *f = *state;
    const struct grid_feature features[] = {
        {.wkt = "LINESTRING (400010 5439990, 410000 5439990, 410000 5400000)"}, {.wkt = NULL},
        {.wkt = "LINESTRING EMPTY"}, {.wkt = "MULTIPOINT ((410000 5439990), (400020 5439980))"},
        {.wkt = "POINT (401030 5438960)"}};
    f->path = grid_make_layer(f->folder, "lines.gpkg", "brook", UTM, features, 5);
    read_layer(f, NULL);
    assert_int_equal(f->tally.features, 3);
    assert_int_equal(f->tally.met, 2);
    assert_true(near(f->tally.off_m, 0, 0));
    sel_segments_clear(&f->segments);
    free(f->path);
    const struct grid_feature off = {.wkt = "POINT (401030 5438960)"};
    f->path = grid_make_layer(f->folder, "off.gpkg", "brook", UTM, &off, 1);
    read_layer(f, NULL);
    assert_int_equal(f->tally.met, 0);
    assert_true(near(f->tally.off_m, 50, 1e-6));
}

static void curves_are_made_of_chords(void **state) {
    struct fixture *f = *state;
    give(f, UTM, "CIRCULARSTRING (400100 5439900, 400200 5440000, 400300 5439900)");
    read_layer(f, NULL);
    assert_true(f->segments.count >= 40);
    for (size_t i = 0; i < f->segments.count; i++)
        assert_true(
            near(hypot(f->segments.items[i].x0 - 200, f->segments.items[i].y0 - 100), 100, 1e-3));
}

static void a_layer_in_degrees_is_brought_to_the_grid(void **state) {
    struct fixture *f = *state;
    // gdaltransform -s_srs EPSG:32633 -t_srs EPSG:4326 of 400500 5439500 and 400900 5439100.
    char *text = grid_run("printf '400500 5439500\\n400900 5439100\\n' | gdaltransform -s_srs "
                          "EPSG:32633 -t_srs EPSG:4326 -output_xy");
    double a[2], b[2];
    char *rest = text;
    a[0] = strtod(rest, &rest);
    a[1] = strtod(rest, &rest);
    b[0] = strtod(rest, &rest);
    b[1] = strtod(rest, &rest);
    free(text);
    char wkt[256];
    snprintf(wkt, sizeof wkt, "LINESTRING (%.12f %.12f, %.12f %.12f)", a[0], a[1], b[0], b[1]);
    give(f, "EPSG:4326", wkt);
    read_layer(f, NULL);
    const struct sel_segment *segment = &f->segments.items[0];
    assert_true(near(segment->x0, 500, 1e-4) && near(segment->y0, 500, 1e-4));
    assert_true(near(segment->x1, 900, 1e-4) && near(segment->y1, 900, 1e-4));
}

static void pieces_on_a_foot_grid_are_metres(void **state) {
    struct fixture *f = *state;
    free(f->grid.crs);
    f->grid = grid_of("EPSG:2264", 2000000, 600000, 30, 100, 100);
    give(f, "EPSG:2264", "LINESTRING (2003937 600000, 2003937 596063)");
    read_layer(f, NULL);
    check_segment(f, 0, 1200, 0, 1200, 1200); // 3937 US survey feet are 1200 m
}

static void layers_add_up(void **state) {
    struct fixture *f = *state;
    give(f, UTM, "LINESTRING (400000 5440000, 400001 5440000)");
    read_layer(f, NULL);
    read_layer(f, "brook");
    assert_int_equal(f->segments.count, 2);
}

static void features_without_geometry_are_passed_over(void **state) {
    struct fixture *f = *state;
    const struct grid_feature features[] = {
        {.wkt = NULL}, {.wkt = "LINESTRING EMPTY"}, {.wkt = "POINT (400000 5440000)"}};
    f->path = grid_make_layer(f->folder, "lines.gpkg", "brook", UTM, features, 3);
    read_layer(f, NULL);
    assert_int_equal(f->segments.count, 1);
}

static void several_layers_want_a_choice(void **state) {
    struct fixture *f = *state;
    give(f, UTM, "POINT (400000 5440000)");
    const struct grid_feature feature = {.wkt = "POINT (400000 5440000)"};
    free(grid_make_layer(f->folder, "lines.gpkg", "hedges", UTM, &feature, 1));
    MUST_FAIL(f, NULL, "lines.gpkg", "2 layers", "brook", "hedges", "layer: ...");
}

static void a_table_beside_the_only_layer_is_no_choice(void **state) {
    struct fixture *f = *state;
    give(f, UTM, "POINT (400000 5440000)");
    char *csv = grid_make_file(f->folder, "styles.csv", "name,colour\nbrook,blue\n");
    free(grid_run("ogr2ogr -update -nln styles %s %s", f->path, csv));
    free(csv);
    read_layer(f, NULL);
    assert_int_equal(f->segments.count, 1);
    MUST_FAIL(f, "styles", "lines.gpkg", "layer styles", "without geometries");
}

static void a_layer_that_is_not_there_is_told(void **state) {
    struct fixture *f = *state;
    give(f, UTM, "POINT (400000 5440000)");
    MUST_FAIL(f, "ditch", "lines.gpkg", "ditch", "no such layer", "brook");
}

static void a_layer_without_crs_is_told(void **state) {
    struct fixture *f = *state;
    char *csv = grid_make_file(f->folder, "points.csv", "id,WKT\n1,\"POINT (400000 5440000)\"\n");
    free(f->path);
    f->path = csv;
    MUST_FAIL(f, NULL, "points.csv", "no coordinate reference system", "ogr2ogr -a_srs");
}

// Made by another program; srs_id 0 and -1 mean undefined (OGC 12-128, requirement 11). In degrees
// the coordinates would make sense, on a grid in the Gulf of Guinea.
static void a_geopackage_layer_of_undefined_crs_is_told(void **state) {
    struct fixture *f = *state;
    for (int id = 0; id >= -1; id--) {
        free(f->path);
        f->path = NULL;
        free(
            grid_run("cd '%s' && printf 'id,WKT\\n1,POINT (4 5)\\n' > bare.csv && ogr2ogr -q -f "
                     "GPKG bare%d.gpkg bare.csv -oo GEOM_POSSIBLE_NAMES=WKT && sqlite3 bare%d.gpkg "
                     "'update gpkg_geometry_columns set srs_id = %d'",
                f->folder, id, id, id));
        f->path = grid_run("printf '%s/bare%d.gpkg'", f->folder, id);
        MUST_FAIL(f, NULL, "layer bare", "no coordinate reference system", "ogr2ogr -a_srs");
        sel_context_begin(f->context);
    }
}

static void an_empty_layer_is_told(void **state) {
    struct fixture *f = *state;
    f->path = grid_make_layer(f->folder, "lines.gpkg", "brook", UTM, NULL, 0);
    MUST_FAIL(f, NULL, "lines.gpkg", "layer brook", "holds no geometries");
}

static void a_file_that_is_not_there_is_told(void **state) {
    struct fixture *f = *state;
    f->path = strdup("/nowhere/at/all.gpkg");
    MUST_FAIL(f, NULL, "/nowhere/at/all.gpkg", "cannot be opened", "check the path");
}

static void a_file_that_is_no_vector_file_is_told(void **state) {
    struct fixture *f = *state;
    f->path = grid_make_file(f->folder, "notes.txt", "pencil\n");
    MUST_FAIL(f, NULL, "notes.txt", "cannot be opened");
}

static void a_place_that_has_none_on_the_grid_is_told(void **state) {
    struct fixture *f = *state;
    give(f, "EPSG:4326", "LINESTRING (14 49, 14 120)");
    MUST_FAIL(f, NULL, "lines.gpkg", "layer brook", "feature 1", "-clipsrc");
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void) {
    const struct CMUnitTest tests[] = {
        TEST(a_line_becomes_its_pieces),
        TEST(heights_are_ignored),
        TEST(rings_points_and_collections_are_taken_apart),
        TEST(how_far_off_the_grid_a_piece_lies_is_exact),
        TEST(features_on_the_grid_are_counted),
        TEST(curves_are_made_of_chords),
        TEST(a_layer_in_degrees_is_brought_to_the_grid),
        TEST(pieces_on_a_foot_grid_are_metres),
        TEST(layers_add_up),
        TEST(features_without_geometry_are_passed_over),
        TEST(several_layers_want_a_choice),
        TEST(a_table_beside_the_only_layer_is_no_choice),
        TEST(a_layer_that_is_not_there_is_told),
        TEST(a_layer_without_crs_is_told),
        TEST(a_geopackage_layer_of_undefined_crs_is_told),
        TEST(an_empty_layer_is_told),
        TEST(a_file_that_is_not_there_is_told),
        TEST(a_file_that_is_no_vector_file_is_told),
        TEST(a_place_that_has_none_on_the_grid_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
