// SPDX-License-Identifier: MIT
//
// Access on foot in whole surveys: walks summed again from their lines, every candidate's time
// against a search made here on the same ground, islands and bridges, layers and roles, limits.
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

#include "access_country.h"
#include "survey_lines.h"
#include "survey_scene.h"

static const sel_run_options PLAIN = {.threads = 2};

static sel_status try_rank(
    const struct survey_scene *scene, const char *name, const char **message) {
    return survey_scene_rank(scene, name, &PLAIN, message);
}

static void rank(const struct survey_scene *scene, const char *name) {
    const char *message;
    sel_status status = try_rank(scene, name, &message);
    if (status != SEL_OK)
        fail_msg("rank: %s: %s", sel_status_name(status), message);
}

static void expect_near(double got, double wanted, double tolerance) {
    if (!(fabs(got - wanted) <= tolerance))
        fail_msg("%.9g is not within %g of %.9g", got, tolerance, wanted);
}

static double ask(const struct survey_scene *scene, const char *name, const char *sql) {
    return survey_scene_number(scene, name, sql);
}

// Hills of 300 x 300 cells of 10 m with woods, scrub and a brook of one cell (water, which bars)
// from north to south.
static struct survey_scene hills(void) {
    struct survey_scene scene = survey_scene_new(300, 300, 10);
    for (int row = 0; row < 300; row++)
        for (int col = 0; col < 300; col++) {
            double wave = sin(col / 27.0) + cos(row / 31.0 + col / 90.0);
            int at = row * 300 + col;
            scene.classes[at] = wave > 0.6 ? 1 : wave < -0.9 ? 5 : 2;
            scene.metres[at] = (float)(200 + 40 * sin(col / 23.0) * cos(row / 29.0) + 0.1 * row);
        }
    for (int row = 0; row < 300; row++) {
        int col = 150 + (int)(8 * sin(row / 20.0));
        scene.classes[row * 300 + col] = 4;
        if (row > 0) // an unbroken chain of sides
            for (int at = 150 + (int)(8 * sin((row - 1) / 20.0)); at != col;
                 at += at < col ? 1 : -1)
                scene.classes[row * 300 + at] = 4;
    }
    return scene;
}

// In the west, 200 m from the edge of the scene.
static const char *const ROAD[] = {
    "LINESTRING (500200 5399950, 500260 5398500, 500190 5397050)", NULL};
// Over the brook and on to the east.
static const char *const PATH[] = {
    "LINESTRING (500230 5398800, 501400 5398420, 502700 5398700)", NULL};

static const char ON_FOOT[] = "access:\n  - { file: road.gpkg, role: start }\n"
                              "  - { file: path.gpkg, role: way }\n"
                              "criteria: { access: { by: time, limit: 100 } }\n"
                              "choose: { sites: 10, apart_m: 250 }\n";

// ---- walks ----

// Tobler (1993), there and back, minutes per metre.
static double pace_out(double slope) {
    return 60 / 6000.0 * exp(3.5 * fabs(slope + 0.05));
}

struct sums {
    double length, minutes, out, back, climb, climb_back;
};

// The slowness of each piece follows from the minutes it takes at its grade; on the best ground it
// is 1, in woods (walk 0.6 in the scene's table) 1 / 0.36.
static struct sums sum_line(OGRGeometryH line) {
    struct sums sums = {0};
    for (int i = 1; i < OGR_G_GetPointCount(line); i++) {
        double length = hypot(OGR_G_GetX(line, i) - OGR_G_GetX(line, i - 1),
            OGR_G_GetY(line, i) - OGR_G_GetY(line, i - 1));
        double rise = OGR_G_GetZ(line, i) - OGR_G_GetZ(line, i - 1);
        double minutes = OGR_G_GetM(line, i) - OGR_G_GetM(line, i - 1);
        double out = length * pace_out(rise / length), back = length * pace_out(-rise / length);
        double slowness = minutes / ((out + back) / 2);
        assert_true(slowness > 1 - 1e-6 && slowness < 1 / 0.36 + 1e-6);
        sums.length += length;
        sums.minutes += minutes;
        sums.out += out * slowness;
        sums.back += back * slowness;
        sums.climb += fmax(rise, 0);
        sums.climb_back += fmax(-rise, 0);
    }
    return sums;
}

static double field(OGRFeatureH feature, const char *name) {
    return OGR_F_GetFieldAsDouble(feature, OGR_F_GetFieldIndex(feature, name));
}

static OGRFeatureH site_of(GDALDatasetH file, OGRFeatureH walk) {
    OGRLayerH layer = GDALDatasetGetLayerByName(file, "sites");
    char filter[64];
    snprintf(filter, sizeof filter, "site = '%s'",
        OGR_F_GetFieldAsString(walk, OGR_F_GetFieldIndex(walk, "site")));
    OGR_L_SetAttributeFilter(layer, filter);
    OGR_L_ResetReading(layer);
    OGRFeatureH site = OGR_L_GetNextFeature(layer);
    assert_non_null(site);
    return site;
}

// Columns keep 1 cm and 0.0001 min.
static void check_walk(GDALDatasetH file, OGRFeatureH walk, OGRGeometryH road) {
    OGRGeometryH line = OGR_F_GetGeometryRef(walk);
    OGRFeatureH site = site_of(file, walk);
    OGRGeometryH point = OGR_F_GetGeometryRef(site);
    struct sums sums = sum_line(line);
    int last = OGR_G_GetPointCount(line) - 1;
    expect_near(field(walk, "walk_m"), sums.length, 0.006);
    expect_near(field(walk, "walk_min"), sums.minutes, 0.00006);
    expect_near(field(walk, "out_min"), sums.out, 0.0001);
    expect_near(field(walk, "back_min"), sums.back, 0.0001);
    expect_near((sums.out + sums.back) / 2, sums.minutes, 1e-9);
    expect_near(field(walk, "climb_m"), sums.climb, 0.006);
    expect_near(field(walk, "climb_back_m"), sums.climb_back, 0.006);
    expect_near(field(site, "walk_min"), sums.minutes, 0.00006);
    expect_near(field(site, "walk_m"), sums.length, 0.006);
    assert_true(field(site, "access_m") <= sums.length + 0.01);
    expect_near(OGR_G_GetM(line, 0), 0, 0);
    expect_near(field(site, "access_x"), OGR_G_GetX(line, 0), 0.006);
    expect_near(field(site, "access_y"), OGR_G_GetY(line, 0), 0.006);
    expect_near(OGR_G_GetX(line, last), OGR_G_GetX(point, 0), 1e-6);
    expect_near(OGR_G_GetY(line, last), OGR_G_GetY(point, 0), 1e-6);
    OGRGeometryH begin = OGR_G_CreateGeometry(wkbPoint);
    OGR_G_SetPoint_2D(begin, 0, OGR_G_GetX(line, 0), OGR_G_GetY(line, 0));
    expect_near(OGR_G_Distance(begin, road), 0, 1e-6);
    OGR_G_DestroyGeometry(begin);
    OGR_F_Destroy(site);
}

static void every_walk_adds_up_from_its_line(void **state) {
    (void)state;
    struct survey_scene scene = hills();
    survey_scene_lines(&scene, "road.gpkg", ROAD);
    survey_scene_lines(&scene, "path.gpkg", PATH);
    survey_scene_write(&scene, ON_FOOT);
    rank(&scene, "sites.gpkg");
    OGRGeometryH road = NULL;
    char *wkt = (char *)ROAD[0];
    assert_int_equal(OGR_G_CreateFromWkt(&wkt, NULL, &road), OGRERR_NONE);
    GDALDatasetH file =
        GDALOpenEx(survey_scene_path(&scene, "sites.gpkg"), GDAL_OF_VECTOR, NULL, NULL, NULL);
    OGRLayerH layer = GDALDatasetGetLayerByName(file, "walks");
    int walks = 0;
    for (OGRFeatureH walk; (walk = OGR_L_GetNextFeature(layer)); walks++) {
        check_walk(file, walk, road);
        OGR_F_Destroy(walk);
    }
    OGR_G_DestroyGeometry(road);
    GDALClose(file);
    assert_int_equal(walks, (int)ask(&scene, "sites.gpkg", "SELECT count(*) FROM sites"));
    assert_true(walks >= 15);
    // Where the first walk begins, brought to degrees by GDAL's own command.
    char command[8192], *out;
    snprintf(command, sizeof command,
        "echo %.3f %.3f | gdaltransform -s_srs EPSG:32633 -t_srs EPSG:4326 -output_xy",
        ask(&scene, "sites.gpkg", "SELECT access_x FROM sites LIMIT 1"),
        ask(&scene, "sites.gpkg", "SELECT access_y FROM sites LIMIT 1"));
    assert_int_equal(survey_scene_shell(command, &out), 0);
    char *end;
    expect_near(ask(&scene, "sites.gpkg", "SELECT access_longitude FROM sites LIMIT 1"),
        strtod(out, &end), 2e-7);
    expect_near(ask(&scene, "sites.gpkg", "SELECT access_latitude FROM sites LIMIT 1"),
        strtod(end, NULL), 2e-7);
    free(out);
    survey_scene_free(&scene);
}

// ---- every candidate ----

// The scene's ground as a country of walking cells of so many study cells a side; the classes of a
// block must agree. The road runs along the middle of one row of blocks: through the study cells
// just south of it, whose elevation counts there.
static struct country country_of(const struct survey_scene *scene, int side, int road_row) {
    static const float WALK[] = {0, 0.6f, 1, 1, 0, 0.7f}; // survey_scene_write's table
    struct country c = country_new(scene->rows / side, scene->cols / side, side * scene->cell);
    for (int64_t i = 0; i < c.rows * c.cols; i++) {
        double sum = 0;
        int64_t row = i / c.cols * side, col = i % c.cols * side;
        int64_t first = i / c.cols == road_row ? side / 2 : 0;
        int64_t last = i / c.cols == road_row ? side / 2 : side - 1;
        for (int64_t k = first * side; k < (last + 1) * side; k++)
            sum += (double)scene->metres[(row + k / side) * scene->cols + col + k % side];
        c.elevation_m[i] = (float)(sum / (double)((last + 1 - first) * side));
        c.factor[i] = WALK[scene->classes[row * scene->cols + col]];
        c.marks[i] = i / c.cols == road_row ? SEL_WALK_START : 0;
    }
    return c;
}

// From one cell's middle, or from a neighbour's along the move to it, for as long as that takes.
static double leg_minutes(const struct country *c, int64_t own, int move, double x, double y) {
    int64_t rows = 0, cols = 0;
    double share = FLAT_MIN_PER_M * (double)c->walk.cells[own].slowness; // of a metre
    int64_t cell = own;
    if (move >= 0) {
        double minutes = sel_walk_move_minutes(&c->walk, own, move);
        sel_walk_step(move, &rows, &cols);
        if (isinf(minutes))
            return HUGE_VAL;
        cell = own + rows * c->cols + cols;
        share = minutes / (c->cell_x_m * hypot((double)rows, (double)cols));
    }
    double east = x - ((double)(cell % c->cols) + 0.5) * c->cell_x_m;
    double south = y - ((double)(cell / c->cols) + 0.5) * c->cell_y_m;
    return c->walk.cells[cell].minutes + share * hypot(east, south);
}

// Least over the study cells that the place touches (hx, hy in half-cells) and the cells around
// theirs.
static double place_minutes(const struct country *c, int side, int64_t hx, int64_t hy) {
    double best = HUGE_VAL, half = c->cell_x_m / side / 2;
    for (int64_t row = (hy - 1) / 2; row <= hy / 2; row++)
        for (int64_t col = (hx - 1) / 2; col <= hx / 2; col++) {
            int64_t own = row / side * c->cols + col / side;
            for (int move = -1; move < 8 && !isinf(c->walk.cells[own].slowness); move++)
                best = fmin(best, leg_minutes(c, own, move, half * (double)hx, half * (double)hy));
        }
    return best;
}

static void compare_candidates(
    const struct survey_scene *scene, const struct country *c, int side) {
    GDALDatasetH file =
        GDALOpenEx(survey_scene_path(scene, "sites.gpkg"), GDAL_OF_VECTOR, NULL, NULL, NULL);
    OGRLayerH layer = GDALDatasetGetLayerByName(file, "candidates");
    int compared = 0;
    for (OGRFeatureH at; (at = OGR_L_GetNextFeature(layer)); compared++) {
        OGRGeometryH point = OGR_F_GetGeometryRef(at);
        int64_t hx = llround(2 * (OGR_G_GetX(point, 0) - scene->x0) / scene->cell);
        int64_t hy = llround(2 * (scene->y0 - OGR_G_GetY(point, 0)) / scene->cell);
        expect_near(field(at, "walk_min"), place_minutes(c, side, hx, hy), 0.00006);
        OGR_F_Destroy(at);
    }
    assert_true(compared > 200);
    GDALClose(file);
}

static uint32_t mix(uint32_t a, uint32_t b) {
    uint32_t h = a * 2654435761u ^ (b + 0x9e3779b9u) * 2246822519u;
    h = (h ^ (h >> 15)) * 2246822519u;
    return h ^ (h >> 13);
}

// Patches of all classes, lakes among them, on rough hills; blocks of side x side cells agree.
static struct survey_scene patches(int rows, int cols, double cell, int side) {
    struct survey_scene scene = survey_scene_new(rows, cols, cell);
    for (int row = 0; row < rows; row++)
        for (int col = 0; col < cols; col++) {
            int y = row / side, x = col / side;
            uint32_t patch = mix((uint32_t)((y + x / 5 % 3) / 6), (uint32_t)((x + y / 4 % 3) / 7));
            scene.classes[row * cols + col] = (uint8_t)(1 + patch % 5);
            scene.metres[row * cols + col] =
                (float)(100 + 0.02 * cell * (mix((uint32_t)row, (uint32_t)col) % 10) +
                        3 * cell * sin(row / 11.0) * cos(col / 13.0));
        }
    return scene;
}

static void times_are_those_of_a_plain_search(int rows, int cols, double cell, int side) {
    int road_row = rows / side / 3;
    struct survey_scene scene = patches(rows, cols, cell, side);
    for (int i = road_row * side * cols; i < (road_row + 1) * side * cols; i++)
        scene.classes[i] = scene.classes[i] == 4 ? 2 : scene.classes[i]; // no bridges here
    double y = scene.y0 - (road_row + 0.5) * side * cell;
    char road[128];
    snprintf(road, sizeof road, "LINESTRING (%.3f %.3f, %.3f %.3f)", scene.x0 + 1, y,
        scene.x0 + cols * cell - 1, y);
    survey_scene_lines(&scene, "road.gpkg", (const char *const[]){road, NULL});
    survey_scene_write(&scene, "access: road.gpkg\nedges: { min_patch_m2: 0 }\n"
                               "criteria: { access: { by: time, limit: 240 }, slope: { limit: none "
                               "} }\n"
                               "choose: { sites: 5, apart_m: 100 }\n");
    rank(&scene, "sites.gpkg");
    struct country c = country_of(&scene, side, road_row);
    country_search(&c, 240);
    compare_candidates(&scene, &c, side);
    country_free(&c);
    survey_scene_free(&scene);
}

static void on_coarse_cells_times_are_those_of_a_plain_search(void **state) {
    (void)state;
    times_are_those_of_a_plain_search(150, 170, 25, 1);
}

static void on_blocks_times_are_those_of_a_plain_search(void **state) {
    (void)state;
    times_are_those_of_a_plain_search(280, 300, 10, 2);
    times_are_those_of_a_plain_search(320, 280, 5, 4);
}

// ---- islands and bridges ----

// A meadow island with a wood on it, in a lake of 40 m all round, in a meadow with another wood.
static struct survey_scene island(void) {
    struct survey_scene scene = survey_scene_new(200, 200, 10);
    survey_scene_paint(&scene, 60, 60, 80, 80, 4);
    survey_scene_paint(&scene, 64, 64, 72, 72, 2);
    survey_scene_paint(&scene, 85, 85, 30, 30, 1);
    survey_scene_paint(&scene, 160, 30, 25, 120, 1);
    survey_scene_lines(&scene, "road.gpkg",
        (const char *const[]){"LINESTRING (500000 5399900, 502000 5399900)", NULL});
    return scene;
}

static const char IN_THE_LAKE[] = "SELECT count(*) FROM candidates WHERE ST_MinX(geom) > 500645 "
                                  "AND ST_MinX(geom) < 501355 AND ST_MinY(geom) > 5398645 AND "
                                  "ST_MinY(geom) < 5399355 AND pair LIKE '%wood%'";
static const char UNREACHED[] = "SELECT count FROM dropped WHERE reason = 'cannot be reached on "
                                "foot within the limit'";

static void an_island_cannot_be_reached_and_says_so(void **state) {
    (void)state;
    struct survey_scene scene = island();
    survey_scene_write(&scene, "access: road.gpkg\ncriteria: { access: { by: time } }\n"
                               "choose: { sites: 3, apart_m: 200 }\n");
    rank(&scene, "sites.gpkg");
    expect_near(ask(&scene, "sites.gpkg", IN_THE_LAKE), 0, 0);
    // The edges of the island's wood, 1200 m of them, have a candidate every 50 m or so.
    assert_true(ask(&scene, "sites.gpkg", UNREACHED) >= 20);
    assert_true(
        ask(&scene, "sites.gpkg", "SELECT count(*) FROM candidates WHERE pair LIKE '%wood%'") > 20);
    survey_scene_free(&scene);
}

static void a_bridge_leads_to_the_island(void **state) {
    (void)state;
    struct survey_scene scene = island();
    survey_scene_lines(&scene, "bridge.gpkg",
        (const char *const[]){"LINESTRING (501003 5399420, 501011 5399320)", NULL});
    survey_scene_write(&scene,
        "access: [ road.gpkg, { file: bridge.gpkg, role: way } ]\n"
        "criteria: { access: { by: time } }\nchoose: { sites: 3, apart_m: 200 }\n");
    rank(&scene, "sites.gpkg");
    assert_true(ask(&scene, "sites.gpkg", IN_THE_LAKE) >= 20);
    expect_near(ask(&scene, "sites.gpkg", UNREACHED), 0, 0);
    // South of the wood: 500 m to the lake, 1150 m at least from the road in all.
    assert_true(ask(&scene, "sites.gpkg",
                    "SELECT min(walk_min) FROM candidates WHERE ST_MinY(geom) < 5398860 AND "
                    "ST_MinY(geom) > 5398700") > 1000 / 83.95);
    survey_scene_free(&scene);
}

// A car park on the island: the walk begins there.
static void a_point_may_be_where_walks_begin(void **state) {
    (void)state;
    struct survey_scene scene = island();
    survey_scene_lines(
        &scene, "landing.gpkg", (const char *const[]){"POINT (500703 5399297)", NULL});
    survey_scene_write(&scene, "access: landing.gpkg\ncriteria: { access: { by: time } }\n"
                               "choose: { sites: 2, apart_m: 200 }\n");
    rank(&scene, "sites.gpkg");
    assert_true(ask(&scene, "sites.gpkg", IN_THE_LAKE) >= 20);
    expect_near(
        ask(&scene, "sites.gpkg", "SELECT count(*) FROM candidates WHERE ST_MinY(geom) < 5398500"),
        0, 0);
    expect_near(ask(&scene, "sites.gpkg", "SELECT access_x FROM sites"), 500703, 0.006);
    expect_near(ask(&scene, "sites.gpkg", "SELECT access_y FROM sites"), 5399297, 0.006);
    survey_scene_free(&scene);
}

// A mooring in the middle of the lake.
static void when_nothing_can_be_reached_nothing_qualifies(void **state) {
    (void)state;
    struct survey_scene scene = island();
    survey_scene_lines(
        &scene, "mooring.gpkg", (const char *const[]){"POINT (500623 5399003)", NULL});
    survey_scene_write(&scene, "access: mooring.gpkg\ncriteria: { access: { by: time } }\n");
    const char *message;
    assert_int_equal(try_rank(&scene, "sites.gpkg", &message), SEL_NOTHING);
    survey_scene_free(&scene);
}

// A stream of one study cell parts walking cells of two: the landing on its west bank lies 13.4 m
// from its cell's middle, the road on the east bank 10.5 m.
static void no_walk_begins_on_the_far_bank(void **state) {
    (void)state;
    struct survey_scene scene = survey_scene_new(200, 200, 10);
    survey_scene_paint(&scene, 0, 101, 200, 1, 4);
    survey_scene_paint(&scene, 90, 70, 30, 20, 1);
    survey_scene_lines(&scene, "starts.gpkg",
        (const char *const[]){
            "POINT (501000.5 5398999.5)", "LINESTRING (501020.5 5399900, 501020.5 5398100)", NULL});
    survey_scene_write(&scene, "access: starts.gpkg\ncriteria: { access: { by: time } }\n"
                               "choose: { sites: 3, apart_m: 200 }\n");
    rank(&scene, "sites.gpkg");
    assert_true(
        ask(&scene, "sites.gpkg", "SELECT count(*) FROM sites WHERE ST_MaxX(geom) < 500950") >= 3);
    expect_near(ask(&scene, "sites.gpkg",
                    "SELECT max(abs(access_x - 501000.5) + abs(access_y - 5398999.5)) FROM sites "
                    "WHERE ST_MaxX(geom) < 500950"),
        0, 0.02);
    GDALDatasetH file =
        GDALOpenEx(survey_scene_path(&scene, "sites.gpkg"), GDAL_OF_VECTOR, NULL, NULL, NULL);
    assert_non_null(file);
    OGRFeatureH walk = OGR_L_GetNextFeature(GDALDatasetGetLayerByName(file, "walks"));
    assert_non_null(walk);
    // Level, at the pace of a path.
    expect_near(OGR_G_GetM(OGR_F_GetGeometryRef(walk), 1), hypot(9.5, 9.5) * pace_out(0), 1e-4);
    OGR_F_Destroy(walk);
    GDALClose(file);
    survey_scene_free(&scene);
}

// A road in the west, a brook that can be waded in the middle, a wood's edge in the east, 500 m off
// the road. Straight on, off any way, is 500 / 0.6 m of path; by the path, which crosses the brook
// once and then follows the wood, at most 700 m.
static struct survey_scene brook(const char *wading, bool with_path) {
    char command[4200];
    struct survey_scene scene = survey_scene_new(40, 120, 10);
    survey_scene_paint(&scene, 0, 60, 40, 1, 4);
    survey_scene_paint(&scene, 0, 70, 40, 50, 1);
    survey_scene_lines(&scene, "road.gpkg",
        (const char *const[]){"LINESTRING (500205 5399900, 500205 5399500)", NULL});
    survey_scene_lines(&scene, "path.gpkg",
        (const char *const[]){"LINESTRING (500205 5399705, 500685 5399705)",
            "LINESTRING (500685 5399900, 500685 5399500)", NULL});
    survey_scene_write(&scene, with_path ? "access:\n  - { file: road.gpkg, role: start }\n"
                                           "  - { file: path.gpkg, role: way }\n"
                                           "criteria: { access: { by: time } }\n"
                                           "choose: { sites: 3, apart_m: 60 }\n"
                                         : "access: road.gpkg\ncriteria: { access: { by: time } }\n"
                                           "choose: { sites: 3, apart_m: 60 }\n");
    snprintf(command, sizeof command, "sed -i 's/^4,water,0,0,1,0.2,0,/4,water,0,0,1,0,%s,/' '%s'",
        wading, survey_scene_path(&scene, "habitats.csv"));
    assert_int_equal(survey_scene_shell(command, NULL), 0);
    return scene;
}

static void a_walk_through_water_is_told_where_no_way_crosses_it(void **state) {
    (void)state;
    static const char *const WADING[] = {"0.3", "0.3", "0"};
    for (int i = 0; i < 3; i++) {
        bool with_path = i > 0;
        struct survey_scene scene = brook(WADING[i], with_path);
        rank(&scene, "sites.gpkg");
        expect_near(ask(&scene, "sites.gpkg",
                        "SELECT count(*) FROM sites WHERE role = 'primary' AND walk_m > 300"),
            3, 0);
        expect_near(ask(&scene, "sites.gpkg",
                        "SELECT count(*) FROM sites WHERE role = 'primary' AND notes LIKE '%the "
                        "way on foot may cross water: look for a bridge or ford%'"),
            with_path ? 0 : 3, 0);
        survey_scene_free(&scene);
    }
}

// Ground of unknown habitat across the whole scene: passed on a way alone.
static void unknown_ground_is_walked_on_ways_only(void **state) {
    (void)state;
    struct survey_scene scene = survey_scene_new(200, 200, 10);
    survey_scene_paint(&scene, 100, 0, 4, 200, 0);
    survey_scene_paint(&scene, 120, 90, 20, 20, 1);
    survey_scene_lines(&scene, "road.gpkg",
        (const char *const[]){"LINESTRING (500005 5399505, 501995 5399505)", NULL});
    survey_scene_lines(&scene, "path.gpkg",
        (const char *const[]){"LINESTRING (501005 5399010, 501005 5398950)", NULL});
    survey_scene_write(&scene, "access: road.gpkg\ncriteria: { access: { by: time } }\n"
                               "choose: { sites: 3, apart_m: 100 }\n");
    const char *message;
    assert_int_equal(try_rank(&scene, "none.gpkg", &message), SEL_NOTHING);
    survey_scene_write(&scene, "access: [ road.gpkg, { file: path.gpkg, role: way } ]\n"
                               "criteria: { access: { by: time } }\n"
                               "choose: { sites: 3, apart_m: 100 }\n");
    rank(&scene, "sites.gpkg");
    assert_true(ask(&scene, "sites.gpkg", "SELECT count(*) FROM candidates") >= 8);
    survey_scene_free(&scene);
}

// ---- layers, roles, limits ----

// A wood across flat meadows: an edge from west to east 500 m south of the top.
static struct survey_scene meadows(void) {
    struct survey_scene scene = survey_scene_new(200, 400, 10);
    survey_scene_paint(&scene, 50, 0, 60, 400, 1);
    survey_scene_lines(&scene, "west.gpkg",
        (const char *const[]){"LINESTRING (500010 5399990, 500010 5398010)", NULL});
    survey_scene_lines(&scene, "east.gpkg",
        (const char *const[]){"LINESTRING (503990 5399990, 503990 5398010)", NULL});
    survey_scene_lines(&scene, "path.gpkg",
        (const char *const[]){"LINESTRING (500010 5399545, 502500 5399545)", NULL});
    return scene;
}

static void of_two_access_layers_the_nearer_in_time_counts(void **state) {
    (void)state;
    struct survey_scene scene = meadows();
    survey_scene_write(&scene, "access: [ west.gpkg, east.gpkg ]\n"
                               "criteria: { access: { by: time, limit: 90 } }\n"
                               "choose: { sites: 8, apart_m: 400 }\n");
    rank(&scene, "both.gpkg");
    survey_scene_write(&scene, "access: west.gpkg\ncriteria: { access: { by: time, limit: 90 } }\n"
                               "choose: { sites: 8, apart_m: 400 }\n");
    rank(&scene, "west.gpkg.gpkg");
    // Flat meadow off paths: 0.6 of 5.0367 km/h, 50.367 m a minute, straight along the edge, within
    // the 3 % by which sixteen directions err and a cell more or less.
    GDALDatasetH file =
        GDALOpenEx(survey_scene_path(&scene, "both.gpkg"), GDAL_OF_VECTOR, NULL, NULL, NULL);
    OGRLayerH layer = GDALDatasetGetLayerByName(file, "candidates");
    int compared = 0;
    for (OGRFeatureH at; (at = OGR_L_GetNextFeature(layer));) {
        OGRGeometryH point = OGR_F_GetGeometryRef(at);
        double away = fmin(OGR_G_GetX(point, 0) - 500010, 503990 - OGR_G_GetX(point, 0));
        if (OGR_G_GetY(point, 0) > 5399450 && away > 200) {
            double ratio = field(at, "walk_min") / (away / 50.36742);
            assert_true(ratio > 0.98 && ratio < 1.03);
            expect_near(field(at, "access_m"), away, 0.006);
            compared++;
        }
        OGR_F_Destroy(at);
    }
    GDALClose(file);
    assert_true(compared > 50);
    assert_true(ask(&scene, "both.gpkg", "SELECT max(walk_min) FROM candidates") < 50);
    assert_true(ask(&scene, "west.gpkg.gpkg", "SELECT max(walk_min) FROM candidates") > 75);
    survey_scene_free(&scene);
}

static void a_path_makes_walks_quicker_but_no_shorter(void **state) {
    (void)state;
    struct survey_scene scene = meadows();
    const char *rest = "criteria: { access: { by: time, limit: 90 } }\n"
                       "choose: { sites: 8, apart_m: 400 }\n";
    char plan[1024];
    snprintf(plan, sizeof plan, "access: west.gpkg\n%s", rest);
    survey_scene_write(&scene, plan);
    rank(&scene, "without.gpkg");
    snprintf(plan, sizeof plan, "access: [ west.gpkg, { file: path.gpkg, role: way } ]\n%s", rest);
    survey_scene_write(&scene, plan);
    rank(&scene, "with.gpkg");
    const char *near = "SELECT avg(walk_min) FROM candidates WHERE ST_MinY(geom) > 5399450 AND "
                       "ST_MinX(geom) BETWEEN 502000 AND 502400";
    // 2190 m off the path at 50.37 m/min, or on it at 83.95 and 45 m off it.
    double without = ask(&scene, "without.gpkg", near), with = ask(&scene, "with.gpkg", near);
    assert_true(without > 42 && without < 45.5);
    assert_true(with > 26 && with < 28);
    // The straight line leads to the start, not to the path.
    const char *straight = "SELECT avg(access_m) FROM candidates WHERE ST_MinY(geom) > 5399450 AND "
                           "ST_MinX(geom) BETWEEN 502000 AND 502400";
    expect_near(ask(&scene, "with.gpkg", straight), ask(&scene, "without.gpkg", straight), 1e-6);
    assert_true(ask(&scene, "with.gpkg", straight) > 1900);
    survey_scene_free(&scene);
}

static void a_smaller_limit_only_leaves_places_out(void **state) {
    (void)state;
    struct survey_scene scene = hills();
    survey_scene_lines(&scene, "road.gpkg", ROAD);
    survey_scene_lines(&scene, "path.gpkg", PATH);
    survey_scene_write(&scene, ON_FOOT);
    rank(&scene, "far.gpkg");
    char plan[1024];
    snprintf(plan, sizeof plan, "%s", ON_FOOT);
    memcpy(strstr(plan, "limit: 100"), "limit: 17 ", strlen("limit: 17 "));
    survey_scene_write(&scene, plan);
    rank(&scene, "near.gpkg");
    assert_true(ask(&scene, "near.gpkg", "SELECT max(walk_min) FROM candidates") <= 17);
    double near = ask(&scene, "near.gpkg", "SELECT count(*) FROM candidates");
    assert_true(near > 50);
    expect_near(
        ask(&scene, "far.gpkg", "SELECT count(*) FROM candidates WHERE walk_min <= 17"), near, 0);
    expect_near(ask(&scene, "near.gpkg", "SELECT sum(walk_min) FROM candidates"),
        ask(&scene, "far.gpkg", "SELECT sum(walk_min) FROM candidates WHERE walk_min <= 17"),
        1e-6 * near);
    survey_scene_free(&scene);
}

// By distance: 60 m from roads and paths alike, and the path runs 45 m from the edge.
static void places_in_sight_of_a_way_are_left_out(void **state) {
    (void)state;
    struct survey_scene scene = meadows();
    survey_scene_write(&scene, "access: [ west.gpkg, { file: path.gpkg, role: way } ]\n"
                               "criteria: { access: { min_m: 60 } }\n"
                               "choose: { sites: 4, apart_m: 300 }\n");
    rank(&scene, "sites.gpkg");
    assert_true(ask(&scene, "sites.gpkg", "SELECT min(access_m) FROM candidates") >= 60);
    // Half-open ground: the edge's northern side lies at 5399500, the path ends at x = 502500.
    const char *beside = "SELECT count(*) FROM candidates WHERE ST_MinY(geom) > 5399450 AND "
                         "ST_MinX(geom) < 502530";
    expect_near(ask(&scene, "sites.gpkg", beside), 0, 0);
    assert_true(ask(&scene, "sites.gpkg",
                    "SELECT count(*) FROM candidates WHERE ST_MinY(geom) > 5399450") > 20);
    assert_true(ask(&scene, "sites.gpkg",
                    "SELECT count FROM dropped WHERE reason = 'too near a public way'") > 40);
    survey_scene_free(&scene);
}

static void by_distance_the_nearest_start_is_told(void **state) {
    (void)state;
    struct survey_scene scene = meadows();
    survey_scene_write(&scene, "access: [ west.gpkg, { file: path.gpkg, role: way } ]\n"
                               "choose: { sites: 4, apart_m: 300 }\n");
    rank(&scene, "sites.gpkg");
    expect_near(
        ask(&scene, "sites.gpkg", "SELECT max(abs(access_x - 500010)) FROM sites"), 0, 0.01);
    expect_near(
        ask(&scene, "sites.gpkg", "SELECT max(abs(ST_MinX(geom) - 500010 - access_m)) FROM sites"),
        0, 0.01);
    assert_true(isnan(ask(&scene, "sites.gpkg", "SELECT max(walk_min) FROM sites")));
    assert_true(isnan(ask(&scene, "sites.gpkg", "SELECT max(walk_m) FROM sites")));
    expect_near(
        ask(&scene, "sites.gpkg", "SELECT count(*) FROM gpkg_contents WHERE table_name = 'walks'"),
        0, 0);
    survey_scene_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_walk_adds_up_from_its_line),
        cmocka_unit_test(on_coarse_cells_times_are_those_of_a_plain_search),
        cmocka_unit_test(on_blocks_times_are_those_of_a_plain_search),
        cmocka_unit_test(an_island_cannot_be_reached_and_says_so),
        cmocka_unit_test(a_bridge_leads_to_the_island),
        cmocka_unit_test(a_point_may_be_where_walks_begin),
        cmocka_unit_test(when_nothing_can_be_reached_nothing_qualifies),
        cmocka_unit_test(no_walk_begins_on_the_far_bank),
        cmocka_unit_test(a_walk_through_water_is_told_where_no_way_crosses_it),
        cmocka_unit_test(unknown_ground_is_walked_on_ways_only),
        cmocka_unit_test(of_two_access_layers_the_nearer_in_time_counts),
        cmocka_unit_test(a_path_makes_walks_quicker_but_no_shorter),
        cmocka_unit_test(a_smaller_limit_only_leaves_places_out),
        cmocka_unit_test(places_in_sight_of_a_way_are_left_out),
        cmocka_unit_test(by_distance_the_nearest_start_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
