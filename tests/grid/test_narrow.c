// SPDX-License-Identifier: MIT
//
// Burning narrow habitats: against distances from every cell centre to every piece, worked out
// plainly here; against points walked along the lines; unbroken chains; any window the same.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "grid/stroke.h"
#include "grid/vectors.h"
#include "grid_scene.h"
#include "scene.h"

static const char UTM[] = "EPSG:32633";
static const double X0 = 400000, Y0 = 5440000;

struct fixture {
    char *folder;
    struct sel_plan plan;
    struct sel_plan_lines lines[4];
    struct sel_grid grid;
    sel_context *context;
    struct sel_narrow *narrow;
};

static int set_up(void **state) {
    struct fixture *f = calloc(1, sizeof *f);
    f->folder = scene_folder();
    f->context = sel_context_new();
    f->grid = grid_of(UTM, X0, Y0, 10, 150, 170);
    f->grid.dy = f->grid.cell_y_m = 8; // not quite square
    grid_plan_init(&f->plan, "", "");
    f->plan.lines = f->lines;
    *state = f;
    return 0;
}

static int tear_down(void **state) {
    struct fixture *f = *state;
    sel_narrow_free(f->narrow);
    grid_plan_clear(&f->plan);
    sel_context_free(f->context);
    for (size_t i = 0; i < f->plan.lines_count; i++)
        free(f->lines[i].source.file);
    free(f->grid.crs);
    scene_remove(f->folder);
    free(f);
    return 0;
}

// Adds a line through `count` points, metres from the grid's corner, x east, y south.
static void add_line(
    struct fixture *f, const double (*points)[2], int count, const char *habitat, double width_m) {
    char *wkt = malloc((size_t)count * 48 + 32);
    int length = snprintf(wkt, 32, "LINESTRING (");
    for (int i = 0; i < count; i++)
        length += snprintf(
            wkt + length, 48, "%s%.9f %.9f", i ? ", " : "", X0 + points[i][0], Y0 - points[i][1]);
    snprintf(wkt + length, 2, ")");
    const struct grid_feature feature = {.wkt = wkt};
    char name[32];
    size_t i = f->plan.lines_count++;
    snprintf(name, sizeof name, "lines%zu.gpkg", i);
    f->lines[i] = (struct sel_plan_lines){
        .source = {.file = grid_make_layer(f->folder, name, "line", UTM, &feature, 1)},
        .habitat = (char *)habitat,
        .width_m = width_m};
    free(wkt);
}

static void build(struct fixture *f) {
    if (sel_narrow_new(f->context, &f->plan, &f->grid, &f->narrow) != SEL_OK)
        fail_msg("%s", sel_context_message(f->context));
}

static sel_habitat_id *burn(const struct fixture *f, struct sel_window window) {
    sel_habitat_id *ids = calloc(sel_window_cells(window), 1);
    sel_narrow_burn(f->narrow, window, ids);
    return ids;
}

static struct sel_window whole(const struct fixture *f) {
    return (struct sel_window){0, 0, f->grid.rows, f->grid.cols};
}

static double distance(double px, double py, const double a[2], const double b[2]) {
    double vx = b[0] - a[0], vy = b[1] - a[1], squared = vx * vx + vy * vy;
    double t = squared > 0 ? ((px - a[0]) * vx + (py - a[1]) * vy) / squared : 0;
    t = t < 0 ? 0 : t > 1 ? 1 : t;
    return hypot(px - a[0] - t * vx, py - a[1] - t * vy);
}

static double line_distance(double px, double py, const double (*points)[2], int count) {
    double least = distance(px, py, points[0], points[0]);
    for (int i = 1; i < count; i++)
        least = fmin(least, distance(px, py, points[i - 1], points[i]));
    return least;
}

// Marks the cells that a walk along the line in steps of a thousandth of a cell steps on.
static void walk(const struct fixture *f, const double (*points)[2], int count, uint8_t *stepped) {
    for (int i = 1; i < count; i++) {
        const double *a = points[i - 1], *b = points[i];
        int steps = (int)(hypot(b[0] - a[0], b[1] - a[1]) * 100) + 1;
        for (int step = 0; step <= steps; step++) {
            double t = (double)step / steps;
            int64_t col = (int64_t)floor((a[0] + t * (b[0] - a[0])) / f->grid.cell_x_m);
            int64_t row = (int64_t)floor((a[1] + t * (b[1] - a[1])) / f->grid.cell_y_m);
            if (row >= 0 && row < f->grid.rows && col >= 0 && col < f->grid.cols)
                stepped[row * f->grid.cols + col] = 1;
        }
    }
}

// Every burned cell is within half the width, or is crossed by the line; and all such are burned.
static void check_against_plain_distances(
    const struct fixture *f, const double (*points)[2], int count, double width_m) {
    sel_habitat_id *ids = burn(f, whole(f));
    uint8_t *stepped = calloc(sel_window_cells(whole(f)), 1);
    walk(f, points, count, stepped);
    // A crossed cell that the walk missed: the line touches it for less than a step.
    double corner = 0.5 * hypot(f->grid.cell_x_m, f->grid.cell_y_m);
    for (int64_t row = 0; row < f->grid.rows; row++) {
        for (int64_t col = 0; col < f->grid.cols; col++) {
            double x = ((double)col + 0.5) * f->grid.cell_x_m;
            double y = ((double)row + 0.5) * f->grid.cell_y_m;
            double away = line_distance(x, y, points, count);
            int64_t at = row * f->grid.cols + col;
            bool burned = ids[at] != 0;
            if (away <= 0.5 * width_m || stepped[at])
                assert_true(burned);
            else if (burned)
                assert_true(away <= corner + 1e-9);
        }
    }
    free(ids);
    free(stepped);
}

static const double BEND[][2] = {{-50, 300}, {120.3, 411.7}, {333.3, 100.1}, {700, 100},
    {980.5, 900.25}, {980.5, 400}, {1800, 950}};
enum { BEND_POINTS = 7 };

static void a_brook_of_any_width_covers_what_plain_distances_say(void **state) {
    struct fixture *f = *state;
    static const double widths[] = {0.5, 4, 10, 17, 35, 120};
    for (size_t i = 0; i < sizeof widths / sizeof widths[0]; i++) {
        add_line(f, BEND, BEND_POINTS, "habitat 5", widths[i]);
        build(f);
        check_against_plain_distances(f, BEND, BEND_POINTS, widths[i]);
        sel_narrow_free(f->narrow);
        f->narrow = NULL;
        f->plan.lines_count = 0;
        remove(f->lines[0].source.file);
        free(f->lines[0].source.file);
    }
}

// Number of cells reached from the first burned one by steps to the four neighbours.
static int64_t reached(const struct fixture *f, sel_habitat_id *ids) {
    int64_t *queue = malloc(sel_window_cells(whole(f)) * sizeof *queue);
    int64_t head = 0, tail = 0, cols = f->grid.cols, rows = f->grid.rows;
    for (int64_t i = 0; i < rows * cols && tail == 0; i++) {
        if (ids[i]) {
            ids[i] = 0;
            queue[tail++] = i;
        }
    }
    while (head < tail) {
        int64_t at = queue[head++], row = at / cols, col = at % cols;
        const int64_t next[4][2] = {{row - 1, col}, {row + 1, col}, {row, col - 1}, {row, col + 1}};
        for (int i = 0; i < 4; i++) {
            if (next[i][0] < 0 || next[i][0] >= rows || next[i][1] < 0 || next[i][1] >= cols)
                continue;
            int64_t there = next[i][0] * cols + next[i][1];
            if (ids[there]) {
                ids[there] = 0;
                queue[tail++] = there;
            }
        }
    }
    free(queue);
    return tail;
}

static int64_t burned_cells(const struct fixture *f, const sel_habitat_id *ids) {
    int64_t count = 0;
    for (int64_t i = 0; i < f->grid.rows * f->grid.cols; i++)
        count += ids[i] != 0;
    return count;
}

static void a_thin_line_is_an_unbroken_chain(void **state) {
    struct fixture *f = *state;
    uint64_t random = 5;
    for (int i = 0; i < 60; i++) {
        // Wandering lines, half of whose vertices lie on cell corners and sides.
        double points[30][2];
        for (int j = 0; j < 30; j++) {
            points[j][0] = 0.1 * grid_random(&random, 17000);
            points[j][1] = 0.1 * grid_random(&random, 12000);
            if (grid_random(&random, 2))
                points[j][0] = 10 * floor(points[j][0] / 10);
            if (grid_random(&random, 2))
                points[j][1] = 8 * floor(points[j][1] / 8);
        }
        f->narrow = NULL;
        add_line(f, (const double(*)[2])points, 30, "habitat 2", 0.01);
        build(f);
        sel_habitat_id *ids = burn(f, whole(f));
        int64_t burned = burned_cells(f, ids);
        assert_true(burned > 100);
        assert_int_equal(reached(f, ids), burned);
        free(ids);
        sel_narrow_free(f->narrow);
        f->narrow = NULL;
        f->plan.lines_count = 0;
        remove(f->lines[0].source.file);
        free(f->lines[0].source.file);
    }
}

static void a_line_along_a_cell_side_burns_one_row(void **state) {
    struct fixture *f = *state;
    static const double along[][2] = {{100, 160}, {300, 160}};
    add_line(f, along, 2, "habitat 2", 1);
    build(f);
    sel_habitat_id *ids = burn(f, whole(f));
    for (int64_t row = 0; row < f->grid.rows; row++)
        for (int64_t col = 0; col < f->grid.cols; col++)
            assert_int_equal(
                ids[row * f->grid.cols + col], row == 20 && col >= 10 && col <= 30 ? 2 : 0);
    free(ids);
}

static void any_window_is_burned_the_same(void **state) {
    struct fixture *f = *state;
    static const double hedge[][2] = {{0, 1200}, {1700, 0}};
    add_line(f, BEND, BEND_POINTS, "habitat 5", 4);
    add_line(f, hedge, 2, "habitat 6", 25);
    build(f);
    struct sel_window big = sel_window_grow(whole(f), 30);
    sel_habitat_id *all = burn(f, big);
    uint64_t random = 99;
    for (int i = 0; i < 200; i++) {
        struct sel_window window = {big.row + grid_random(&random, (uint32_t)big.rows - 1),
            big.col + grid_random(&random, (uint32_t)big.cols - 1), 1, 1};
        window.rows += grid_random(&random, (uint32_t)(big.row + big.rows - window.row));
        window.cols += grid_random(&random, (uint32_t)(big.col + big.cols - window.col));
        sel_habitat_id *ids = burn(f, window);
        for (int64_t row = 0; row < window.rows; row++)
            assert_memory_equal(ids + row * window.cols,
                all + (window.row - big.row + row) * big.cols + (window.col - big.col),
                (size_t)window.cols);
        free(ids);
    }
    free(all);
}

static void nothing_is_burned_outside_the_grid(void **state) {
    struct fixture *f = *state;
    add_line(f, BEND, BEND_POINTS, "habitat 5", 40);
    build(f);
    struct sel_window big = sel_window_grow(whole(f), 30);
    sel_habitat_id *all = burn(f, big);
    for (int64_t row = big.row; row < big.row + big.rows; row++)
        for (int64_t col = big.col; col < big.col + big.cols; col++)
            if (!sel_window_has(whole(f), row, col))
                assert_int_equal(all[(row - big.row) * big.cols + (col - big.col)], 0);
    free(all);
}

static void later_lines_win(void **state) {
    struct fixture *f = *state;
    static const double east[][2] = {{0, 404}, {1700, 404}}, south[][2] = {{505, 0}, {505, 1200}};
    add_line(f, east, 2, "habitat 3", 30);
    add_line(f, south, 2, "habitat 4", 30);
    add_line(f, east, 2, "habitat 7", 1);
    build(f);
    sel_habitat_id *ids = burn(f, whole(f));
    int64_t cols = f->grid.cols;
    assert_int_equal(ids[49 * cols + 20], 3); // beside the thin line, away from the crossing
    assert_int_equal(ids[49 * cols + 50], 4); // the crossing, beside the thin line
    assert_int_equal(ids[50 * cols + 50], 7); // the thin line through it
    assert_int_equal(ids[50 * cols + 20], 7);
    free(ids);
}

static void what_is_not_covered_stays(void **state) {
    struct fixture *f = *state;
    add_line(f, BEND, BEND_POINTS, "habitat 5", 4);
    build(f);
    sel_habitat_id *clean = burn(f, whole(f));
    sel_habitat_id *ids = malloc(sel_window_cells(whole(f)));
    memset(ids, 9, sel_window_cells(whole(f)));
    sel_narrow_burn(f->narrow, whole(f), ids);
    for (size_t i = 0; i < sel_window_cells(whole(f)); i++)
        assert_int_equal(ids[i], clean[i] ? 5 : 9);
    free(clean);
    free(ids);
}

static void no_lines_burn_nothing(void **state) {
    struct fixture *f = *state;
    build(f);
    sel_habitat_id *ids = burn(f, whole(f));
    assert_int_equal(burned_cells(f, ids), 0);
    free(ids);
}

static void collect(void *user, int64_t row, int64_t col, int64_t col_end) {
    uint8_t(*cells)[170] = user;
    for (; col < col_end; col++)
        cells[row][col] = 1;
}

static void a_shift_by_whole_cells_shifts_the_cells(void **state) {
    // In whole metres and cells of whole metres all positions are exact, so nothing may change.
    (void)state;
    const struct sel_stroke here = {{103, 250, 871, 399}, 11, 1};
    const struct sel_stroke there = {{103 + 70, 250 + 80, 871 + 70, 399 + 80}, 11, 1};
    const struct sel_cell_range within = {0, 0, 150, 170};
    static uint8_t a[150][170], b[150][170];
    memset(a, 0, sizeof a);
    memset(b, 0, sizeof b);
    sel_stroke_cover(&here, 10, 8, within, collect, a);
    sel_stroke_cover(&there, 10, 8, within, collect, b);
    for (int row = 0; row < 140; row++)
        for (int col = 0; col < 163; col++)
            assert_int_equal(a[row][col], b[row + 10][col + 7]);
}

static void a_point_burns_its_cell_and_its_disc(void **state) {
    (void)state;
    static uint8_t cells[150][170];
    memset(cells, 0, sizeof cells);
    const struct sel_stroke point = {{305, 404, 305, 404}, 21, 1};
    sel_stroke_cover(&point, 10, 8, (struct sel_cell_range){0, 0, 150, 170}, collect, cells);
    for (int row = 0; row < 150; row++)
        for (int col = 0; col < 170; col++)
            assert_int_equal(cells[row][col], hypot(10 * col + 5 - 305, 8 * row + 4 - 404) <= 21);
}

static void a_habitat_the_table_lacks_is_told(void **state) {
    struct fixture *f = *state;
    add_line(f, BEND, BEND_POINTS, "hollow way", 4);
    f->lines[0].source.place.line = 21;
    assert_int_equal(sel_narrow_new(f->context, &f->plan, &f->grid, &f->narrow), SEL_BAD_INPUT);
    assert_null(f->narrow);
    const char *message = sel_context_message(f->context);
    assert_non_null(strstr(message, "survey.yaml:21: lines: habitat hollow way"));
    assert_non_null(strstr(message, "add a row for it to habitats.csv"));
}

static void a_file_of_lines_that_is_not_there_is_told(void **state) {
    struct fixture *f = *state;
    f->lines[0] = (struct sel_plan_lines){.source = {.file = strdup("/nowhere/brook.gpkg")},
        .habitat = (char *)"habitat 5",
        .width_m = 4};
    f->plan.lines_count = 1;
    assert_int_equal(sel_narrow_new(f->context, &f->plan, &f->grid, &f->narrow), SEL_BAD_INPUT);
    assert_non_null(strstr(sel_context_message(f->context), "/nowhere/brook.gpkg"));
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void) {
    const struct CMUnitTest tests[] = {
        TEST(a_brook_of_any_width_covers_what_plain_distances_say),
        TEST(a_thin_line_is_an_unbroken_chain),
        TEST(a_line_along_a_cell_side_burns_one_row),
        TEST(any_window_is_burned_the_same),
        TEST(nothing_is_burned_outside_the_grid),
        TEST(later_lines_win),
        TEST(what_is_not_covered_stays),
        TEST(no_lines_burn_nothing),
        cmocka_unit_test(a_shift_by_whole_cells_shifts_the_cells),
        cmocka_unit_test(a_point_burns_its_cell_and_its_disc),
        TEST(a_habitat_the_table_lacks_is_told),
        TEST(a_file_of_lines_that_is_not_there_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
