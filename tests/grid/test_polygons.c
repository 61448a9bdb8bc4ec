// SPDX-License-Identifier: MIT
//
// Which polygon holds a point: against ray casting written out here, with holes, parts, overlaps,
// touching points, repaired shapes and several threads' handles at once.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "grid/vectors.h"
#include "grid_scene.h"
#include "scene.h"

static const char UTM[] = "EPSG:32633";
static const double X0 = 400000, Y0 = 5440000;

struct fixture {
    char *folder, *path;
    struct sel_grid grid;
    sel_context *context;
    struct sel_polygons *polygons;
    struct sel_polygons_query *query;
    char notes[4096];
};

static int set_up(void **state) {
    struct fixture *f = calloc(1, sizeof *f);
    f->folder = scene_folder();
    f->context = sel_context_new();
    sel_context_on_note(f->context, grid_keep_notes, f->notes);
    f->grid = grid_of(UTM, X0, Y0, 10, 100, 100);
    *state = f;
    return 0;
}

static int tear_down(void **state) {
    struct fixture *f = *state;
    sel_polygons_query_free(f->query);
    sel_polygons_free(f->polygons);
    sel_context_free(f->context);
    free(f->grid.crs);
    free(f->path);
    scene_remove(f->folder);
    free(f);
    return 0;
}

static void give(
    struct fixture *f, const char *crs, const struct grid_feature *features, size_t count) {
    f->path = grid_make_layer(f->folder, "zones.gpkg", "core", crs, features, count);
}

static sel_status read_polygons(struct fixture *f, const char *name, const char *owner) {
    struct sel_layer_ref source = {.file = f->path};
    struct sel_layer_column names = {"parcels.name", name, false},
                            owners = {"parcels.owner", owner, false};
    return sel_polygons_new(
        f->context, &source, &f->grid, name ? &names : NULL, owner ? &owners : NULL, &f->polygons);
}

static void open_polygons(struct fixture *f, const char *name, const char *owner) {
    if (read_polygons(f, name, owner) != SEL_OK ||
        sel_polygons_query_new(f->context, f->polygons, &f->query) != SEL_OK)
        fail_msg("%s", sel_context_message(f->context));
}

static void must_fail(
    struct fixture *f, const char *name, const char *owner, const char *const *parts) {
    assert_int_equal(read_polygons(f, name, owner), SEL_BAD_INPUT);
    assert_null(f->polygons);
    const char *message = sel_context_message(f->context);
    for (; *parts; parts++)
        if (!strstr(message, *parts))
            fail_msg("\"%s\" is not in: %s", *parts, message);
}

#define MUST_FAIL(f, name, owner, ...)                                                             \
    must_fail(f, name, owner, (const char *const[]){__VA_ARGS__, NULL})

// Stars with up to 40 corners around a point; each ring is closed by its first corner.
struct star {
    double x[41], y[41];
    int count;
};

static struct star make_star(uint64_t *random, double size) {
    struct star star = {.count = 5 + (int)grid_random(random, 36)};
    double cx = X0 + grid_random(random, 1000), cy = Y0 - grid_random(random, 1000);
    for (int i = 0; i < star.count; i++) {
        double turn = 6.283185307179586 * i / star.count;
        double radius = size * (0.2 + 0.001 * grid_random(random, 800));
        star.x[i] = cx + radius * cos(turn);
        star.y[i] = cy + radius * sin(turn);
    }
    star.x[star.count] = star.x[0];
    star.y[star.count] = star.y[0];
    return star;
}

// Even-odd ray casting.
static bool star_holds(const struct star *star, double x, double y) {
    bool inside = false;
    for (int i = 0; i < star->count; i++)
        if ((star->y[i] > y) != (star->y[i + 1] > y) &&
            x < star->x[i] + (y - star->y[i]) / (star->y[i + 1] - star->y[i]) *
                                 (star->x[i + 1] - star->x[i]))
            inside = !inside;
    return inside;
}

static char *star_wkt(const struct star *star) {
    char *wkt = malloc(4096);
    int length = snprintf(wkt, 4096, "POLYGON ((");
    for (int i = 0; i <= star->count; i++)
        length += snprintf(wkt + length, (size_t)(4096 - length), "%s%.17g %.17g", i ? ", " : "",
            star->x[i], star->y[i]);
    snprintf(wkt + length, (size_t)(4096 - length), "))");
    return wkt;
}

enum { STARS = 60 };

static void make_stars(struct fixture *f, struct star *stars) {
    uint64_t random = 31;
    struct grid_feature features[STARS];
    char *wkt[STARS];
    for (int i = 0; i < STARS; i++) {
        stars[i] = make_star(&random, 150);
        wkt[i] = star_wkt(&stars[i]);
        features[i] = (struct grid_feature){.wkt = wkt[i]};
    }
    give(f, UTM, features, STARS);
    for (int i = 0; i < STARS; i++)
        free(wkt[i]);
}

static int64_t first_star(const struct star *stars, double x, double y) {
    for (int i = 0; i < STARS; i++)
        if (star_holds(&stars[i], x, y))
            return i;
    return -1;
}

static void answers_are_those_of_ray_casting(void **state) {
    struct fixture *f = *state;
    static struct star stars[STARS];
    make_stars(f, stars);
    open_polygons(f, NULL, NULL);
    assert_int_equal(sel_polygons_count(f->polygons), STARS);
    uint64_t random = 8;
    int64_t none = 0, held = 0;
    for (int i = 0; i < 20000; i++) {
        double x = X0 + 0.1 * grid_random(&random, 10000) + 0.0137;
        double y = Y0 - 0.1 * grid_random(&random, 10000) - 0.0171;
        int64_t expected = first_star(stars, x, y);
        assert_int_equal(sel_polygons_at(f->query, x, y), expected);
        none += expected < 0;
        held += expected >= 0;
    }
    assert_true(none > 1000 && held > 1000);
    assert_int_equal(sel_polygons_query_status(f->context, f->query), SEL_OK);
}

struct asker {
    struct fixture *fixture;
    const struct star *stars;
    uint64_t random;
    int wrong;
};

static void *ask(void *user) {
    struct asker *asker = user;
    struct sel_polygons_query *query;
    if (sel_polygons_query_new(asker->fixture->context, asker->fixture->polygons, &query) != SEL_OK)
        return NULL;
    for (int i = 0; i < 3000; i++) {
        double x = X0 + 0.1 * grid_random(&asker->random, 10000) + 0.0137;
        double y = Y0 - 0.1 * grid_random(&asker->random, 10000) - 0.0171;
        asker->wrong += sel_polygons_at(query, x, y) != first_star(asker->stars, x, y);
    }
    sel_polygons_query_free(query);
    return NULL;
}

static void threads_ask_at_the_same_time(void **state) {
    struct fixture *f = *state;
    static struct star stars[STARS];
    make_stars(f, stars);
    open_polygons(f, NULL, NULL);
    struct asker askers[4];
    pthread_t threads[4];
    for (int i = 0; i < 4; i++) {
        askers[i] = (struct asker){f, stars, (uint64_t)i + 1, 0};
        assert_int_equal(pthread_create(&threads[i], NULL, ask, &askers[i]), 0);
    }
    for (int i = 0; i < 4; i++) {
        pthread_join(threads[i], NULL);
        assert_int_equal(askers[i].wrong, 0);
    }
}

static int64_t at(const struct fixture *f, double x, double y) {
    return sel_polygons_at(f->query, X0 + x, Y0 + y);
}

static void holes_parts_and_touching_points_count(void **state) {
    struct fixture *f = *state;
    const struct grid_feature features[] = {
        {.wkt = "POLYGON ((400100 5439900, 400300 5439900, 400300 5439700, 400100 5439700, 400100 "
                "5439900), (400150 5439850, 400250 5439850, 400250 5439750, 400150 5439750, 400150 "
                "5439850))"},
        {.wkt = "MULTIPOLYGON (((400500 5439900, 400600 5439900, 400600 5439800, 400500 5439900)), "
                "((400700 5439900, 400800 5439900, 400800 5439800, 400700 5439900)))"}};
    give(f, UTM, features, 2);
    open_polygons(f, NULL, NULL);
    assert_int_equal(at(f, 120, -120), 0);
    assert_int_equal(at(f, 200, -200), -1); // the hole
    assert_int_equal(at(f, 100, -150), 0);  // on the shell
    assert_int_equal(at(f, 150, -200), 0);  // on the hole's side
    assert_int_equal(at(f, 590, -110), 1);
    assert_int_equal(at(f, 790, -110), 1);
    assert_int_equal(at(f, 650, -110), -1);
    assert_int_equal(at(f, (double)NAN, 0), -1);
}

static void the_first_of_several_answers(void **state) {
    struct fixture *f = *state;
    const struct grid_feature features[] = {
        {.wkt = "POLYGON ((400000 5440000, 400400 5440000, 400400 5439600, 400000 5440000))"},
        {.wkt = "POLYGON ((400000 5440000, 400900 5440000, 400900 5439100, 400000 5440000))"},
        {.wkt = "POLYGON ((400000 5440000, 400900 5440000, 400900 5439100, 400000 5440000))"}};
    give(f, UTM, features, 3);
    open_polygons(f, NULL, NULL);
    assert_int_equal(at(f, 300, -100), 0);
    assert_int_equal(at(f, 500, -100), 1);
}

static void an_invalid_polygon_is_repaired_aloud(void **state) {
    struct fixture *f = *state;
    // A bow tie: two triangles that meet at 400200, 5439800.
    const struct grid_feature feature = {
        .wkt = "POLYGON ((400100 5439900, 400300 5439700, 400300 5439900, 400100 5439700, 400100 "
               "5439900))"};
    give(f, UTM, &feature, 1);
    open_polygons(f, NULL, NULL);
    assert_int_equal(at(f, 110, -200), 0);
    assert_int_equal(at(f, 290, -200), 0);
    assert_int_equal(at(f, 200, -120), -1);
    assert_non_null(strstr(f->notes, "zones.gpkg"));
    assert_non_null(strstr(f->notes, "1 invalid polygon was repaired"));
}

static void names_and_owners_come_as_utf8(void **state) {
    struct fixture *f = *state;
    const struct grid_feature features[] = {
        {.wkt = "POLYGON ((400000 5440000, 400400 5440000, 400400 5439600, 400000 5440000))",
            .name = "M\xc3\xbchlwiese",
            .owner = "17/4"},
        {.wkt = "POLYGON ((400500 5440000, 400900 5440000, 400900 5439600, 400500 5440000))",
            .name = "Br\xfchl"}}; // Latin-1, as an old file may hold it
    give(f, UTM, features, 2);
    open_polygons(f, "parcel", "owner_ref");
    assert_string_equal(sel_polygons_name(f->polygons, 0), "M\xc3\xbchlwiese");
    assert_string_equal(sel_polygons_owner(f->polygons, 0), "17/4");
    assert_string_equal(sel_polygons_name(f->polygons, 1), "Br\xc3\xbchl");
    assert_string_equal(sel_polygons_owner(f->polygons, 1), "");
}

static void names_not_asked_for_are_empty(void **state) {
    struct fixture *f = *state;
    const struct grid_feature feature = {
        .wkt = "POLYGON ((400000 5440000, 400400 5440000, 400400 5439600, 400000 5440000))",
        .name = "a"};
    give(f, UTM, &feature, 1);
    open_polygons(f, NULL, NULL);
    assert_string_equal(sel_polygons_name(f->polygons, 0), "");
}

static void polygons_in_degrees_are_brought_to_the_grid(void **state) {
    struct fixture *f = *state;
    const struct grid_feature feature = {
        .wkt = "POLYGON ((13.6 49.1, 13.635 49.1, 13.635 49.2, 13.6 49.2, 13.6 49.1))"};
    give(f, "EPSG:4326", &feature, 1);
    open_polygons(f, NULL, NULL);
    // gdaltransform: 13.635 E at 49.1 N is x 400359.9 (+-1), y 5439471.
    assert_int_equal(at(f, 355, -500), 0);
    assert_int_equal(at(f, 375, -500), -1);
}

static void polygons_off_the_grid_are_left_out(void **state) {
    struct fixture *f = *state;
    const struct grid_feature features[] = {
        {.wkt = "POLYGON ((500000 5440000, 500400 5440000, 500400 5439600, 500000 5440000))"},
        {.wkt = "POLYGON ((400500 5440000, 400900 5440000, 400900 5439600, 400500 5440000))",
            .name = "near"}};
    give(f, UTM, features, 2);
    open_polygons(f, "parcel", NULL);
    assert_int_equal(sel_polygons_count(f->polygons), 1);
    assert_string_equal(sel_polygons_name(f->polygons, 0), "near");
    double extent[4];
    sel_polygons_extent(f->polygons, extent);
    assert_true(near(extent[0], 400500, 0) && near(extent[1], 5439600, 0));
    assert_true(near(extent[2], 400900, 0) && near(extent[3], 5440000, 0));
}

static void a_layer_wholly_off_the_grid_leaves_none(void **state) {
    struct fixture *f = *state;
    const struct grid_feature feature = {
        .wkt = "POLYGON ((500000 5440000, 500400 5440000, 500400 5439600, 500000 5440000))"};
    give(f, UTM, &feature, 1);
    open_polygons(f, NULL, NULL);
    assert_int_equal(sel_polygons_count(f->polygons), 0);
    assert_int_equal(at(f, 100, -100), -1);
    assert_int_equal(sel_polygons_tally(f->polygons).features, 1);
    assert_int_equal(sel_polygons_tally(f->polygons).met, 0);
    double extent[4];
    sel_polygons_extent(f->polygons, extent);
    assert_true(extent[0] > extent[2]);
}

// Its bounding box covers the grid, 1000 m a side, from all round; its ground does not.
static void a_polygon_that_only_bends_around_the_grid_is_off_it(void **state) {
    struct fixture *f = *state;
    const struct grid_feature feature = {
        .wkt = "POLYGON ((399000 5438000, 402000 5438000, 402000 5441000, 401900 5441000, 401900 "
               "5438100, 399000 5438100, 399000 5438000))"};
    give(f, UTM, &feature, 1);
    open_polygons(f, NULL, NULL);
    assert_int_equal(sel_polygons_tally(f->polygons).features, 1);
    assert_int_equal(sel_polygons_count(f->polygons), 0);
}

static void a_name_that_must_be_there_is_asked_for_on_the_grid_alone(void **state) {
    struct fixture *f = *state;
    static const char OFF[] =
        "POLYGON ((500000 5440000, 500400 5440000, 500400 5439600, 500000 5440000))";
    static const char ON[] =
        "POLYGON ((400000 5440000, 400400 5440000, 400400 5439600, 400000 5440000))";
    const struct sel_layer_column name = {"choose.blocks.column", "parcel", true};
    for (int i = 0; i < 3; i++) {
        const struct grid_feature features[] = {{.wkt = OFF}, {.wkt = ON, .name = "north"},
            {.wkt = ON,
                .name = i == 0   ? "south"
                        : i == 1 ? NULL
                                 : " \t"}};
        char layer[8];
        snprintf(layer, sizeof layer, "l%d", i);
        free(f->path);
        f->path = grid_make_layer(f->folder, "blocks.gpkg", layer, UTM, features, 3);
        struct sel_layer_ref source = {.file = f->path, .layer = layer};
        sel_status status =
            sel_polygons_new(f->context, &source, &f->grid, &name, NULL, &f->polygons);
        assert_int_equal(status, i == 0 ? SEL_OK : SEL_BAD_INPUT);
        sel_polygons_free(f->polygons);
        f->polygons = NULL;
        if (i > 0 && !strstr(sel_context_message(f->context),
                         ": feature 3: choose.blocks.column: parcel: is empty: fill it in"))
            fail_msg("%s", sel_context_message(f->context));
        sel_context_begin(f->context);
    }
}

static void a_layer_without_polygons_is_told(void **state) {
    struct fixture *f = *state;
    const struct grid_feature feature = {.wkt = "LINESTRING (400000 5440000, 400400 5440000)"};
    give(f, UTM, &feature, 1);
    MUST_FAIL(f, NULL, NULL, "zones.gpkg", "layer core", "holds no polygons");
}

static void lines_among_polygons_are_left_out_aloud(void **state) {
    struct fixture *f = *state;
    const struct grid_feature features[] = {{.wkt = "LINESTRING (400000 5440000, 400400 5440000)"},
        {.wkt = "POLYGON ((400500 5440000, 400900 5440000, 400900 5439600, 400500 5440000))"}};
    give(f, UTM, features, 2);
    open_polygons(f, NULL, NULL);
    assert_int_equal(sel_polygons_count(f->polygons), 1);
    assert_non_null(strstr(f->notes, "1 feature is no polygon"));
}

static void an_attribute_that_is_not_there_is_told(void **state) {
    struct fixture *f = *state;
    const struct grid_feature feature = {
        .wkt = "POLYGON ((400000 5440000, 400400 5440000, 400400 5439600, 400000 5440000))"};
    give(f, UTM, &feature, 1);
    MUST_FAIL(f, "plot", NULL, "zones.gpkg", "parcels.name: plot", "parcel, owner_ref");
    sel_context_free(f->context);
    f->context = sel_context_new();
    MUST_FAIL(f, "parcel", "keeper", "zones.gpkg", "parcels.owner: keeper", "parcel, owner_ref");
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void) {
    const struct CMUnitTest tests[] = {
        TEST(answers_are_those_of_ray_casting),
        TEST(threads_ask_at_the_same_time),
        TEST(holes_parts_and_touching_points_count),
        TEST(the_first_of_several_answers),
        TEST(an_invalid_polygon_is_repaired_aloud),
        TEST(names_and_owners_come_as_utf8),
        TEST(names_not_asked_for_are_empty),
        TEST(polygons_in_degrees_are_brought_to_the_grid),
        TEST(polygons_off_the_grid_are_left_out),
        TEST(a_layer_wholly_off_the_grid_leaves_none),
        TEST(a_polygon_that_only_bends_around_the_grid_is_off_it),
        TEST(a_name_that_must_be_there_is_asked_for_on_the_grid_alone),
        TEST(a_layer_without_polygons_is_told),
        TEST(lines_among_polygons_are_left_out_aloud),
        TEST(an_attribute_that_is_not_there_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
