// SPDX-License-Identifier: MIT
//
// The map as pixels: read back with Cairo's PNG reader and measured against the survey's
// coordinates, not against the code that drew it.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <cairo.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/status.h"
#include "map/map.h"
#include "output_scene.h"

// Fontconfig keeps what it read until the process ends; the leak checker is told so.
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void) {
    return "leak:libfontconfig\n";
}

static struct output_scene *scene;
static char *path, *picture_path;

struct pixels {
    cairo_surface_t *surface;
    int width, height;
};

static struct pixels read_png(const char *png) {
    struct pixels pixels = {.surface = cairo_image_surface_create_from_png(png)};
    assert_int_equal(cairo_surface_status(pixels.surface), CAIRO_STATUS_SUCCESS);
    pixels.width = cairo_image_surface_get_width(pixels.surface);
    pixels.height = cairo_image_surface_get_height(pixels.surface);
    return pixels;
}

static uint32_t pixel_at(const struct pixels *pixels, int x, int y) {
    uint32_t value;
    const unsigned char *bytes = cairo_image_surface_get_data(pixels->surface);
    memcpy(&value, bytes + y * cairo_image_surface_get_stride(pixels->surface) + 4 * x, 4);
    return value & 0xFFFFFF;
}

static void draw(int width) {
    sel_status status = sel_map_write(scene->context, path, picture_path, width, true);
    if (status != SEL_OK)
        fprintf(stderr, "%s\n", sel_context_message(scene->context));
    assert_int_equal(status, SEL_OK);
}

// A dark pixel of the frame's ink.
static bool is_ink(uint32_t pixel) {
    return (pixel >> 16) < 0x50 && (pixel >> 8 & 0xFF) < 0x50 && (pixel & 0xFF) < 0x58;
}

struct frame {
    double left, top, right, bottom; // edges of the map's ground
};

// The frame is the longest dark line along columns and rows: found by scanning.
static struct frame find_frame(const struct pixels *pixels) {
    int first_row = -1, last_row = -1, first_col = -1, last_col = -1;
    for (int y = 0; y < pixels->height; y++) {
        int dark = 0;
        for (int x = 0; x < pixels->width; x++)
            dark += is_ink(pixel_at(pixels, x, y));
        if (dark > pixels->width / 2) {
            first_row = first_row < 0 ? y : first_row;
            last_row = y;
        }
    }
    for (int x = 0; x < pixels->width; x++) {
        int dark = 0;
        for (int y = first_row; y <= last_row; y++)
            dark += is_ink(pixel_at(pixels, x, y));
        if (dark > (last_row - first_row) * 9 / 10) {
            first_col = first_col < 0 ? x : first_col;
            last_col = x;
        }
    }
    return (struct frame){first_col + 1, first_row + 1, last_col, last_row};
}

static bool is_marker(uint32_t pixel) {
    int red = (int)(pixel >> 16), green = (int)(pixel >> 8 & 0xFF), blue = (int)(pixel & 0xFF);
    return red > green + 80 && blue > green + 50 && red < 170;
}

static void the_picture_has_the_width_that_was_asked(void **state) {
    (void)state;
    static const int WIDTHS[] = {400, 1000, 4000};
    for (int i = 0; i < 3; i++) {
        draw(WIDTHS[i]);
        struct pixels pixels = read_png(picture_path);
        assert_int_equal(pixels.width, WIDTHS[i]);
        assert_in_range(pixels.height, pixels.width / 4, 2 * pixels.width);
        cairo_surface_destroy(pixels.surface);
    }
}

static bool stands_alone(size_t site) {
    for (size_t i = 0; i < scene->survey.site_count; i++)
        if (i != site && hypot(scene->survey.sites[i].x - scene->survey.sites[site].x,
                             scene->survey.sites[i].y - scene->survey.sites[site].y) < 250)
            return false;
    return true;
}

// The scene's ground fills the frame, so a place's pixel follows from the frame's corners alone.
static void markers_lie_where_the_coordinates_say(void **state) {
    (void)state;
    int checked = 0;
    draw(1200);
    struct pixels pixels = read_png(picture_path);
    struct frame frame = find_frame(&pixels);
    for (size_t i = 0; i < scene->survey.site_count; i++) {
        const struct sel_site *site = &scene->survey.sites[i];
        if (site->reserve > 0 || !stands_alone(i))
            continue;
        double x = frame.left + (site->x - 512000.0) / 6000.0 * (frame.right - frame.left);
        double y = frame.top + (5126000.0 - site->y) / 5000.0 * (frame.bottom - frame.top);
        double sum_x = 0, sum_y = 0, found = 0;
        for (int dy = -13; dy <= 13; dy++) {
            for (int dx = -13; dx <= 13; dx++) {
                int px = (int)floor(x) + dx, py = (int)floor(y) + dy;
                if (px >= 0 && py >= 0 && px < pixels.width && py < pixels.height &&
                    is_marker(pixel_at(&pixels, px, py))) {
                    sum_x += px + 0.5, sum_y += py + 0.5, found++;
                }
            }
        }
        assert_true(found > 150); // a disc of radius 11 less its number
        assert_true(fabs(sum_x / found - x) < 1.5);
        assert_true(fabs(sum_y / found - y) < 1.5);
        checked++;
    }
    assert_true(checked >= 3);
    cairo_surface_destroy(pixels.surface);
}

// The plantation is dark green and the brook blue where the scene has them.
static void the_ground_shows_the_habitats(void **state) {
    (void)state;
    draw(1200);
    struct pixels pixels = read_png(picture_path);
    struct frame frame = find_frame(&pixels);
    assert_int_equal(output_scene_habitat(scene, 125, 420), SCENE_PLANTATION);
    uint32_t wood = pixel_at(&pixels, (int)(frame.left + 0.7 * (frame.right - frame.left)),
        (int)(frame.top + 0.25 * (frame.bottom - frame.top)));
    uint32_t pond = pixel_at(&pixels, (int)(frame.left + 0.23 * (frame.right - frame.left)),
        (int)(frame.top + 0.79 * (frame.bottom - frame.top)));
    assert_true((wood >> 8 & 0xFF) > (wood & 0xFF) && (wood >> 8 & 0xFF) > (wood >> 16));
    assert_true((pond & 0xFF) > (pond >> 8 & 0xFF) && (pond >> 8 & 0xFF) > (pond >> 16));
    cairo_surface_destroy(pixels.surface);
}

// Share of dark pixels between two columns, along the darkest row within a pixel of y.
static double dark_share(const struct pixels *pixels, double y, double x0, double x1) {
    double most = 0;
    for (int row = (int)y - 1; row <= (int)y + 1; row++) {
        int dark = 0;
        for (int x = (int)x0; x < (int)x1; x++)
            dark += is_ink(pixel_at(pixels, x, row));
        most = fmax(most, dark / floor(x1 - x0));
    }
    return most;
}

// A study area from 513 to 517 km east, 5122 to 5125 km north is drawn where it lies, as dashes.
static void the_study_area_is_outlined(void **state) {
    (void)state;
    char command[16384];
    char *with_area = output_scene_path(scene, "area.gpkg");
    snprintf(command, sizeof command,
        "cp '%s' '%s' && cd '%s' && printf 'id,WKT\\n1,\"POLYGON((513000 5122000,517000 "
        "5122000,517000 5125000,513000 5125000,513000 5122000))\"\\n' > area.csv && ogr2ogr -q "
        "-update -overwrite -nln ground_area -nlt MULTIPOLYGON -a_srs EPSG:32633 '%s' "
        "area.csv",
        path, with_area, scene->folder, with_area);
    assert_int_equal(output_scene_run(command, NULL), 0);
    assert_int_equal(sel_map_write(scene->context, with_area, picture_path, 1200, true), SEL_OK);
    struct pixels pixels = read_png(picture_path);
    struct frame frame = find_frame(&pixels);
    double across = (frame.right - frame.left) / 6000.0, down = (frame.bottom - frame.top) / 5000.0;
    double x0 = frame.left + 1000 * across, x1 = frame.left + 5000 * across;
    double top = frame.top + 1000 * down, bottom = frame.top + 4000 * down;
    assert_true(dark_share(&pixels, top, x0, x1) > 0.45);
    assert_true(dark_share(&pixels, bottom, x0, x1) > 0.45);
    assert_true(dark_share(&pixels, top - 6, x0, x1) < 0.3);
    assert_true(dark_share(&pixels, top, frame.left, x0 - 4) < 0.3);
    cairo_surface_destroy(pixels.surface);
    free(with_area);
}

// Magenta under the veil that the map lays on all habitats: green is much weaker than red and blue.
static bool is_magenta(uint32_t pixel) {
    int red = pixel >> 16 & 0xFF, green = pixel >> 8 & 0xFF, blue = pixel & 0xFF;
    return red > green + 40 && blue > green + 40 && abs(red - blue) < 8;
}

// The rows where a column of pixels goes over into magenta, and the last magenta row.
static int count_swatches(const struct pixels *pixels, int x, int *last) {
    int runs = 0;
    for (int y = 1; y < pixels->height; y++) {
        bool here = is_magenta(pixel_at(pixels, x, y));
        runs += here && !is_magenta(pixel_at(pixels, x, y - 1));
        *last = here ? y : *last;
    }
    return runs;
}

// Thirty habitats more, all rarer than the scene's own: sixteen are shown, the rest is counted.
static void a_long_legend_ends_with_how_many_it_leaves_out(void **state) {
    (void)state;
    char command[8192], *usual = path;
    char *many = output_scene_path(scene, "many.gpkg");
    snprintf(command, sizeof command,
        "cd '%s' && cp sites.gpkg many.gpkg && sqlite3 many.gpkg \"WITH RECURSIVE n(i) AS (SELECT "
        "1 "
        "UNION ALL SELECT i + 1 FROM n WHERE i < 30) INSERT INTO habitats (habitat, "
        "backdrop_share, "
        "colour) SELECT 'rare ' || i, 1e-9 * i, '#ff00ff' FROM n\"",
        scene->folder);
    assert_int_equal(output_scene_run(command, NULL), 0);
    char *own = output_scene_sql(path, "SELECT count(*) FROM habitats WHERE backdrop_share > 0");
    path = many;
    draw(1200);
    path = usual;
    struct pixels pixels = read_png(picture_path);
    struct frame frame = find_frame(&pixels);
    int most = 0, last = 0, left = pixels.width;
    for (int x = (int)frame.right + 3; x < pixels.width; x++) {
        int foot = 0, runs = count_swatches(&pixels, x, &foot);
        if (runs > most)
            most = runs, last = foot, left = x;
    }
    assert_int_equal(most, 16 - strtol(own, NULL, 10));
    int dark = 0; // letters under the last swatch, beside the column of swatches
    for (int y = last + 4; y < last + 24; y++)
        for (int x = left; x < pixels.width; x++)
            dark += (pixel_at(&pixels, x, y) & 0xFF) < 0xB0;
    assert_true(dark > 20);
    cairo_surface_destroy(pixels.surface);
    free(own);
    free(many);
}

static void the_same_file_gives_the_same_picture(void **state) {
    (void)state;
    char command[8192], *first, *second;
    snprintf(command, sizeof command, "sha256sum '%s'", picture_path);
    draw(700);
    assert_int_equal(output_scene_run(command, &first), 0);
    draw(700);
    assert_int_equal(output_scene_run(command, &second), 0);
    assert_string_equal(first, second);
    free(first);
    free(second);
}

// --- refusals ---

static void refuse(const char *file, const char *png, int width, bool overwrite, sel_status wanted,
    const char *message) {
    assert_int_equal(sel_map_write(scene->context, file, png, width, overwrite), wanted);
    if (!strstr(sel_context_message(scene->context), message))
        fprintf(stderr, "%s\n", sel_context_message(scene->context));
    assert_non_null(strstr(sel_context_message(scene->context), message));
    sel_context_begin(scene->context);
}

static void bad_widths_and_files_are_refused(void **state) {
    (void)state;
    char command[8192];
    char *bare = output_scene_path(scene, "bare.gpkg"), *none = output_scene_path(scene, "no.gpkg");
    snprintf(command, sizeof command,
        "cd '%s' && cp sites.gpkg bare.gpkg && sqlite3 bare.gpkg \"DELETE FROM gpkg_contents WHERE "
        "table_name = 'backdrop'\" 2>&1",
        scene->folder);
    output_scene_run(command, NULL);
    draw(500);
    refuse(path, picture_path, 399, true, SEL_USAGE, "399 is not in 400..4000");
    refuse(path, picture_path, 4001, true, SEL_USAGE, "4001 is not in 400..4000");
    refuse(path, picture_path, 500, false, SEL_BAD_INPUT, "exists already");
    refuse(none, picture_path, 500, true, SEL_BAD_INPUT, "no.gpkg: cannot be read");
    refuse(bare, picture_path, 500, true, SEL_BAD_INPUT, "picture backdrop");
    assert_int_equal(output_scene_files(scene, ".part"), 0);
    free(bare);
    free(none);
}

// Cancels the job at its step of that number, counted down.
static void cancel_in_time(void *user, const char *what, double share) {
    (void)share;
    int *steps_left = user;
    assert_string_equal(what, "drawing");
    if ((*steps_left)-- == 0)
        sel_cancel(scene->context);
}

static void an_interrupted_map_leaves_what_stood_there(void **state) {
    (void)state;
    char *earlier, *later, command[4400];
    snprintf(command, sizeof command, "sha256sum '%s'", picture_path);
    draw(600);
    output_scene_run(command, &earlier);
    for (int step = 0; step < 5; step++) {
        int steps_left = step;
        sel_context_on_progress(scene->context, cancel_in_time, &steps_left);
        assert_int_equal(
            sel_map_write(scene->context, path, picture_path, 500, true), SEL_INTERRUPTED);
        assert_int_equal(steps_left, -1);
        sel_context_on_progress(scene->context, NULL, NULL);
        sel_context_begin(scene->context);
    }
    output_scene_run(command, &later);
    assert_string_equal(earlier, later);
    assert_int_equal(output_scene_files(scene, ".part"), 0);
    free(earlier);
    free(later);
}

static void a_picture_of_another_kind_is_refused(void **state) {
    (void)state;
    refuse(path, "map.jpg", 500, true, SEL_BAD_INPUT,
        "map.jpg: the map is a PNG picture: give a name that ends in .png");
    refuse(path, "png", 500, true, SEL_BAD_INPUT, "ends in .png");
    refuse(path, ".png", 500, true, SEL_BAD_INPUT, "ends in .png");
}

static int set_up(void **state) {
    (void)state;
    scene = output_scene_new((struct output_scene_size){500, 600, 12, 1, 400, false});
    path = output_scene_path(scene, "sites.gpkg");
    picture_path = output_scene_path(scene, "map.png");
    return output_scene_write(scene, path, false, false) == SEL_OK ? 0 : -1;
}

static int tear_down(void **state) {
    (void)state;
    free(path);
    free(picture_path);
    output_scene_free(scene);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_picture_has_the_width_that_was_asked),
        cmocka_unit_test(markers_lie_where_the_coordinates_say),
        cmocka_unit_test(the_ground_shows_the_habitats),
        cmocka_unit_test(the_study_area_is_outlined),
        cmocka_unit_test(a_long_legend_ends_with_how_many_it_leaves_out),
        cmocka_unit_test(the_same_file_gives_the_same_picture),
        cmocka_unit_test(bad_widths_and_files_are_refused),
        cmocka_unit_test(a_picture_of_another_kind_is_refused),
        cmocka_unit_test(an_interrupted_map_leaves_what_stood_there),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
