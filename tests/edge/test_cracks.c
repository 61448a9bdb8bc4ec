// SPDX-License-Identifier: MIT
#include <stdarg.h>
#include <setjmp.h>
#include <stdint.h>
#include <stddef.h>
#include <math.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include <cmocka.h>
#include <ogr_api.h>

#include "edge/cracks.h"
#include "edge_scene.h"
#include "scene.h"

extern char **environ;

static const double PI = 3.14159265358979323846;

static struct sel_cracks find_all(const struct edge_scene *scene) {
    struct sel_habitat_view view = edge_scene_view(scene);
    struct sel_cracks cracks = {0};
    assert_int_equal(sel_find_cracks(&view, scene->window, &cracks), SEL_OK);
    return cracks;
}

static void assert_crack(const struct sel_crack *crack, int32_t hx, int32_t hy, sel_habitat_id a,
    sel_habitat_id b, bool a_first) {
    assert_int_equal(crack->hx, hx);
    assert_int_equal(crack->hy, hy);
    assert_int_equal(crack->a, a);
    assert_int_equal(crack->b, b);
    assert_int_equal(crack->a_first, a_first);
}

static bool same_crack(const struct sel_crack *p, const struct sel_crack *q) {
    return p->hx == q->hx && p->hy == q->hy && p->a == q->a && p->b == q->b &&
           p->a_first == q->a_first;
}

static void cracks_lie_between_known_cells_that_differ(void **state) {
    (void)state;
    // Worked on paper; cells are 2 half-cells wide.
    struct edge_scene scene = edge_scene_text("ab/.c");
    struct sel_cracks cracks = find_all(&scene);
    assert_int_equal(cracks.count, 2);
    assert_crack(&cracks.items[0], 2, 1, 1, 2, true); // a | b
    assert_crack(&cracks.items[1], 3, 2, 2, 3, true); // b over c
    sel_cracks_clear(&cracks);
    edge_scene_free(&scene);
}

static void the_pair_is_unordered_and_a_first_keeps_the_sides(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_text("ba");
    struct sel_cracks cracks = find_all(&scene);
    assert_int_equal(cracks.count, 1);
    assert_crack(&cracks.items[0], 2, 1, 1, 2, false);
    int64_t row, col;
    sel_crack_cell(&cracks.items[0], true, &row, &col);
    assert_int_equal(row, 0);
    assert_int_equal(col, 1);
    sel_crack_cell(&cracks.items[0], false, &row, &col);
    assert_int_equal(col, 0);
    sel_cracks_clear(&cracks);
    edge_scene_free(&scene);
}

static void each_side_of_a_crack_is_a_cell_of_its_habitat(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_new(60, 70);
    edge_scene_patches(&scene, 5, 4, 6, 0.1, 0.05);
    scene.window.row = 300;
    scene.window.col = 4000;
    struct sel_habitat_view view = edge_scene_view(&scene);
    struct sel_cracks cracks = find_all(&scene);
    assert_true(cracks.count > 500);
    for (size_t i = 0; i < cracks.count; i++) {
        int64_t row_a, col_a, row_b, col_b;
        sel_crack_cell(&cracks.items[i], true, &row_a, &col_a);
        sel_crack_cell(&cracks.items[i], false, &row_b, &col_b);
        assert_int_equal(sel_view_at(&view, row_a, col_a), cracks.items[i].a);
        assert_int_equal(sel_view_at(&view, row_b, col_b), cracks.items[i].b);
        // The middle lies halfway between the two centres (odd half-cells).
        assert_int_equal(row_a + row_b + 1, cracks.items[i].hy);
        assert_int_equal(col_a + col_b + 1, cracks.items[i].hx);
        assert_int_equal(llabs(row_a - row_b) + llabs(col_a - col_b), 1);
    }
    sel_cracks_clear(&cracks);
    edge_scene_free(&scene);
}

static void the_order_is_by_row_of_half_cells_then_column(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_new(40, 40);
    edge_scene_patches(&scene, 9, 3, 4, 0.2, 0.1);
    struct sel_cracks cracks = find_all(&scene);
    for (size_t i = 1; i < cracks.count; i++) {
        const struct sel_crack *p = &cracks.items[i - 1], *q = &cracks.items[i];
        assert_true(p->hy < q->hy || (p->hy == q->hy && p->hx < q->hx));
    }
    sel_cracks_clear(&cracks);
    edge_scene_free(&scene);
}

static void cores_that_tile_the_scene_find_every_crack_once(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_new(50, 45);
    edge_scene_patches(&scene, 77, 4, 5, 0.1, 0.1);
    struct sel_cracks whole = find_all(&scene), parts = {0};
    for (int64_t row = 0; row < 50; row += 13) {
        for (int64_t col = 0; col < 45; col += 16) {
            struct sel_window core = {
                row, col, row + 13 > 50 ? 50 - row : 13, col + 16 > 45 ? 45 - col : 16};
            // One cell beyond the core on the north and west side, as the contract asks.
            struct sel_window reach = {core.row - 1, core.col - 1, core.rows + 1, core.cols + 1};
            struct edge_scene cut = edge_scene_cut(&scene, reach);
            struct sel_habitat_view view = edge_scene_view(&cut);
            assert_int_equal(sel_find_cracks(&view, core, &parts), SEL_OK);
            edge_scene_free(&cut);
        }
    }
    assert_int_equal(parts.count, whole.count);
    size_t matched = 0;
    for (size_t i = 0; i < whole.count; i++) {
        for (size_t j = 0; j < parts.count; j++)
            matched += same_crack(&whole.items[i], &parts.items[j]);
    }
    assert_int_equal(matched, whole.count);
    sel_cracks_clear(&whole);
    sel_cracks_clear(&parts);
    edge_scene_free(&scene);
}

static void a_core_beyond_the_view_has_no_cracks(void **state) {
    (void)state;
    struct edge_scene scene = edge_scene_text("ab/ba");
    struct sel_habitat_view view = edge_scene_view(&scene);
    struct sel_cracks cracks = {0};
    struct sel_window away = {10, 10, 5, 5};
    assert_int_equal(sel_find_cracks(&view, away, &cracks), SEL_OK);
    assert_int_equal(cracks.count, 0);
    struct sel_window around = {-3, -3, 9, 9};
    assert_int_equal(sel_find_cracks(&view, around, &cracks), SEL_OK);
    assert_int_equal(cracks.count, 4);
    sel_cracks_clear(&cracks);
    edge_scene_free(&scene);
}

// A digital disc is convex along rows and columns, so its cracks are those of its bounding box: the
// count over the circumference tends to 4/pi = 1.27324 (closed form).
static void a_disc_has_four_over_pi_cracks_per_unit_of_circumference(void **state) {
    (void)state;
    const double radii[] = {20, 50, 100};
    for (size_t i = 0; i < sizeof radii / sizeof *radii; i++) {
        struct edge_scene scene = edge_scene_new(220, 220);
        edge_scene_disc(&scene, 110.3, 109.6, radii[i], 1, 2);
        struct sel_cracks cracks = find_all(&scene);
        double ratio = (double)cracks.count / (2 * PI * radii[i]);
        // The bounding box is within one cell of the diameter on either axis.
        assert_true(fabs(ratio - 1.2732395) <= 4 / (2 * PI * radii[i]));
        sel_cracks_clear(&cracks);
        edge_scene_free(&scene);
    }
}

// cos + sin of the angle cracks per cell of length (closed form).
static void a_straight_edge_has_cos_plus_sin_cracks_per_cell(void **state) {
    (void)state;
    const double degrees[] = {0, 10, 22.5, 26.565, 45, 70, 90, 120, 165};
    for (size_t i = 0; i < sizeof degrees / sizeof *degrees; i++) {
        struct edge_scene scene = edge_scene_new(400, 400);
        edge_scene_half_plane(&scene, degrees[i], 0.2, 1, 1);
        struct sel_cracks cracks = find_all(&scene);
        double c = fabs(cos(degrees[i] * PI / 180));
        double s = fabs(sin(degrees[i] * PI / 180));
        double length = 400 / fmax(c, s);
        assert_true(fabs((double)cracks.count / length - (c + s)) < 0.01);
        sel_cracks_clear(&cracks);
        edge_scene_free(&scene);
    }
}

static bool run(char *const words[]) {
    pid_t child;
    int end;
    if (posix_spawnp(&child, words[0], NULL, NULL, words, environ) != 0)
        return false;
    return waitpid(child, &end, 0) == child && WIFEXITED(end) && WEXITSTATUS(end) == 0;
}

// The lengths of all rings of all polygons of a file.
static double total_ring_length(const char *path) {
    OGRRegisterAll();
    OGRDataSourceH file = OGROpen(path, 0, NULL);
    assert_non_null(file);
    OGRLayerH layer = OGR_DS_GetLayer(file, 0);
    double length = 0;
    OGRFeatureH feature;
    while ((feature = OGR_L_GetNextFeature(layer)) != NULL) {
        OGRGeometryH polygon = OGR_F_GetGeometryRef(feature);
        for (int i = 0; i < OGR_G_GetGeometryCount(polygon); i++)
            length += OGR_G_Length(OGR_G_GetGeometryRef(polygon, i));
        OGR_F_Destroy(feature);
    }
    OGR_DS_Destroy(file);
    return length;
}

// Sides that part a known cell from an unknown one or from the outside.
static int64_t outer_sides(const struct edge_scene *scene) {
    struct sel_habitat_view view = edge_scene_view(scene);
    const int64_t step[4][2] = {{0, 1}, {1, 0}, {0, -1}, {-1, 0}};
    int64_t count = 0;
    for (int64_t i = 0; i < scene->window.rows; i++) {
        for (int64_t j = 0; j < scene->window.cols; j++) {
            for (int k = 0; k < 4 && sel_view_at(&view, i, j); k++)
                count += sel_view_at(&view, i + step[k][0], j + step[k][1]) == 0;
        }
    }
    return count;
}

// Independent tool: the rings of gdal_polygonize.py (GDAL) run along every crack twice, and once
// along every side that borders on the unknown.
static void the_rings_of_gdal_polygonize_run_along_every_crack_twice(void **state) {
    (void)state;
    char *folder = scene_folder();
    for (uint32_t round = 1; round <= 3; round++) {
        char raster[4096], rings[4096];
        snprintf(raster, sizeof raster, "%s/habitats%u.tif", folder, round);
        snprintf(rings, sizeof rings, "%s/rings%u.geojson", folder, round);
        struct edge_scene scene = edge_scene_new(90, 120);
        edge_scene_patches(&scene, 40 + round, 5, 7, 0.15, round == 1 ? 0 : 0.1);
        edge_scene_write(&scene, raster, true);
        char *words[] = {"gdal_polygonize.py", "-q", "-f", "GeoJSON", raster, rings, NULL};
        if (!run(words)) {
            fprintf(stderr, "SKIPPED: gdal_polygonize.py does not run here\n");
            edge_scene_free(&scene);
            scene_remove(folder);
            skip();
            return;
        }
        struct sel_cracks cracks = find_all(&scene);
        double expected = total_ring_length(rings);
        double found = 2 * (double)cracks.count + (double)outer_sides(&scene);
        assert_true(fabs(found - expected) < 1e-6 * expected);
        sel_cracks_clear(&cracks);
        edge_scene_free(&scene);
    }
    scene_remove(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cracks_lie_between_known_cells_that_differ),
        cmocka_unit_test(the_pair_is_unordered_and_a_first_keeps_the_sides),
        cmocka_unit_test(each_side_of_a_crack_is_a_cell_of_its_habitat),
        cmocka_unit_test(the_order_is_by_row_of_half_cells_then_column),
        cmocka_unit_test(cores_that_tile_the_scene_find_every_crack_once),
        cmocka_unit_test(a_core_beyond_the_view_has_no_cracks),
        cmocka_unit_test(a_disc_has_four_over_pi_cracks_per_unit_of_circumference),
        cmocka_unit_test(a_straight_edge_has_cos_plus_sin_cracks_per_cell),
        cmocka_unit_test(the_rings_of_gdal_polygonize_run_along_every_crack_twice),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
