// SPDX-License-Identifier: MIT
//
// Two-dimensional codes read back by zbarimg, a decoder that knows nothing of this program, from
// the squares of the drawing; and what the labels say with them.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fieldkit_scene.h"
#include "fieldkit/code.h"
#include "fieldkit/events.h"
#include "fieldkit/fieldkit.h"
#include "fieldkit/labels.h"

enum { NOT_RUN = 77, MODULES_MOST = 60, PIXELS = 4 };

static struct fieldkit_scene *scene; // with codes, two traps at a site
static struct sel_text labels, events;

static int open_scene(void **state) {
    (void)state;
    if (output_scene_run("command -v zbarimg >/dev/null", NULL) != 0) {
        fprintf(stderr, "!! SKIPPED: zbarimg (package zbar-tools) is not installed\n");
        exit(NOT_RUN);
    }
    struct fieldkit_scene_wish wish = fieldkit_scene_usual();
    wish.field.label_code = 1;
    wish.traps = 2;
    scene = fieldkit_scene_new(wish);
    sel_fieldkit_labels(&scene->kit, &labels);
    sel_fieldkit_events_planned(&scene->kit, &events);
    return 0;
}

static int close_scene(void **state) {
    (void)state;
    sel_text_clear(&labels);
    sel_text_clear(&events);
    fieldkit_scene_free(scene);
    return 0;
}

// --- reading a drawing ---

// Fills the squares that the path "M4 4h7v1h-7zM..." covers and returns the symbol's side.
static int squares_of(const char *svg, bool dark[MODULES_MOST][MODULES_MOST]) {
    int side = 0, other = 0, x, y, width, back;
    assert_int_equal(sscanf(strstr(svg, "viewBox=\"0 0 ") + 13, "%d %d", &side, &other), 2);
    assert_int_equal(side, other);
    assert_in_range(side, 21, MODULES_MOST);
    memset(dark, 0, MODULES_MOST * sizeof *dark);
    const char *at = strstr(svg, "fill=\"#000\" d=\"") + 15;
    for (; *at == 'M'; at = strchr(at, 'z') + 1) {
        assert_int_equal(sscanf(at, "M%d %dh%dv1h-%dz", &x, &y, &width, &back), 4);
        assert_int_equal(width, back);
        for (int i = 0; i < width; i++)
            dark[y][x + i] = true;
    }
    assert_int_equal(*at, '"');
    return side;
}

// As a portable bitmap; free the path with free.
static char *picture_of(const char *svg) {
    static bool dark[MODULES_MOST][MODULES_MOST];
    int side = squares_of(svg, dark);
    struct sel_text bitmap;
    sel_text_init(&bitmap);
    sel_text_addf(&bitmap, "P1\n%d %d\n", side * PIXELS, side * PIXELS);
    for (int y = 0; y < side * PIXELS; y++) {
        for (int x = 0; x < side * PIXELS; x++)
            sel_text_add(&bitmap, dark[y / PIXELS][x / PIXELS] ? "1 " : "0 ");
        sel_text_add(&bitmap, "\n");
    }
    char *path = fieldkit_scene_file(scene, "code.pbm", &bitmap);
    sel_text_clear(&bitmap);
    return path;
}

// What zbarimg reads; free with free.
static char *decoded(const char *svg) {
    char *path = picture_of(svg), *said = NULL, command[4096];
    snprintf(command, sizeof command, "zbarimg -q --raw -Sdisable -Sqrcode.enable '%s' 2>/dev/null",
        path);
    assert_int_equal(output_scene_run(command, &said), 0);
    said[strcspn(said, "\n")] = '\0';
    free(path);
    return said;
}

// --- codes ---

static void a_code_is_read_back_as_its_text(void **state) {
    (void)state;
    static const char LONGEST[] =
        "106-characters-in-all:abcdefghijklmnopqrstuvwxyz0123456789:ABCDEFGHIJKLMNOPQRSTUVWXYZ "
        "$%*+-./:~!\"#&'()<=>?";
    static const char *const TEXTS[] = {
        "a", "alder-brook-flyways-2027:S01:001", "2027:S12R1:0999", LONGEST};
    assert_int_equal(strlen(LONGEST), 106);
    for (size_t i = 0; i < sizeof TEXTS / sizeof *TEXTS; i++) {
        struct sel_text svg;
        sel_text_init(&svg);
        assert_true(sel_code_fits(TEXTS[i]));
        sel_code_draw(TEXTS[i], 0.5, &svg);
        char *read = decoded(svg.chars);
        assert_string_equal(read, TEXTS[i]);
        free(read);
        sel_text_clear(&svg);
    }
}

// ISO/IEC 18004 (from memory): four modules of quiet on each side, and three finders of seven.
static void a_code_has_its_quiet_zone_and_finders(void **state) {
    (void)state;
    static bool dark[MODULES_MOST][MODULES_MOST];
    struct sel_text svg;
    sel_text_init(&svg);
    sel_code_draw("alder-brook-flyways-2027:S01:001", 0.4, &svg);
    int side = squares_of(svg.chars, dark);
    for (int i = 0; i < side; i++)
        for (int j = 0; j < 4; j++)
            assert_false(
                dark[i][j] || dark[j][i] || dark[i][side - 1 - j] || dark[side - 1 - j][i]);
    for (int i = 4; i < 11; i++)
        assert_true(dark[4][i] && dark[i][4] && dark[4][side - 1 - i] && dark[side - 1 - i][4]);
    char size[80];
    snprintf(size, sizeof size, "style=\"width:%.2fmm;height:%.2fmm\"", side * 0.4, side * 0.4);
    assert_non_null(strstr(svg.chars, size));
    sel_text_clear(&svg);
}

static void what_does_not_fit_a_label_is_told_beforehand(void **state) {
    (void)state;
    char text[108];
    memset(text, 'x', sizeof text);
    text[107] = '\0';
    assert_false(sel_code_fits(text));
    text[106] = '\0';
    assert_true(sel_code_fits(text));
    assert_false(sel_code_fits(""));
    assert_false(sel_code_fits("tab\tin"));
    assert_false(sel_code_fits("Bj\u00F6rk"));
}

static void markup_in_a_text_stays_text(void **state) {
    (void)state;
    struct sel_text svg;
    sel_text_init(&svg);
    sel_code_draw("\"><script>", 0.5, &svg);
    assert_non_null(strstr(svg.chars, "aria-label=\"&quot;&gt;&lt;script&gt;\""));
    sel_text_clear(&svg);
}

// --- labels ---

// The first cell of each row that has a parent: "id,parent,".
static const char *next_service(const char *at, char id[200]) {
    while ((at = strchr(at, '\n')) != NULL && at[1]) {
        at++;
        size_t length = strcspn(at, ",");
        if (at[length + 1] == ',')
            continue;
        assert_true(length < 200);
        memcpy(id, at, length);
        id[length] = '\0';
        return at;
    }
    return NULL;
}

static void every_bottle_has_the_code_of_its_event(void **state) {
    (void)state;
    char id[200], alternative[240];
    size_t services = 0;
    for (const char *at = events.chars; (at = next_service(at, id)) != NULL; services++) {
        snprintf(alternative, sizeof alternative, "<svg role=\"img\" aria-label=\"%s\"", id);
        assert_int_equal(fieldkit_scene_count(labels.chars, alternative), 2 * 2);
        if (services % 40 != 0)
            continue;
        char *read = decoded(strstr(labels.chars, alternative));
        assert_string_equal(read, id);
        free(read);
    }
    assert_int_equal(services, scene->kit.primary_count * scene->kit.stint_count);
    assert_int_equal(fieldkit_scene_count(labels.chars, "<svg"), 2 * 2 * services);
    assert_null(strstr(labels.chars, "R1\""));
    assert_null(strstr(labels.chars, "R1:"));
}

// Common practice, no source: readers want 0.33 mm.
static void squares_are_large_enough_for_a_reader(void **state) {
    (void)state;
    size_t seen = 0;
    for (const char *at = labels.chars; (at = strstr(at, "<svg")) != NULL; at++, seen++) {
        int side = 0;
        double width_mm = 0;
        assert_int_equal(sscanf(strstr(at, "0 0 ") + 4, "%d", &side), 1);
        assert_int_equal(sscanf(strstr(at, "width:") + 6, "%lf", &width_mm), 1);
        assert_true(width_mm / side >= 0.33);
    }
    assert_true(seen > 0);
}

static void labels_with_codes_fetch_and_run_nothing(void **state) {
    (void)state;
    char *text = NULL, *path = fieldkit_scene_file(scene, "labels.html", &labels);
    int status = fieldkit_scene_python("fieldkit_page.py", path, &text);
    if (status != 0)
        fail_msg("%s", text);
    assert_non_null(strstr(labels.chars, "default-src 'none'"));
    assert_null(strstr(labels.chars, "://"));
    assert_null(strstr(labels.chars, "url("));
    assert_non_null(strstr(text, "the same for all traps of a site"));
    free(text);
    free(path);
}

static void without_the_key_there_is_no_code(void **state) {
    (void)state;
    struct fieldkit_scene *plain = fieldkit_scene_new(fieldkit_scene_usual());
    struct sel_text html;
    sel_text_init(&html);
    sel_fieldkit_labels(&plain->kit, &html);
    assert_null(strstr(html.chars, "<svg"));
    assert_null(strstr(html.chars, "class=\"sheet coded\""));
    assert_non_null(strstr(html.chars, "62 x 22 mm"));
    assert_non_null(strstr(labels.chars, "62 x 25 mm"));
    sel_text_clear(&html);
    fieldkit_scene_free(plain);
}

// --- files that were changed ---

static void refused(const char *sql, const char *message) {
    char *copy = output_scene_path(scene->survey, "changed.gpkg"), command[2048];
    char *folder = output_scene_path(scene->survey, "kit");
    struct sel_fieldkit_options options = {.only = "labels"};
    struct sel_text report;
    sel_text_init(&report);
    snprintf(command, sizeof command, "cp '%s' '%s' && ogrinfo -q '%s' -sql \"%s\" >/dev/null",
        scene->geopackage, copy, copy, sql);
    assert_int_equal(output_scene_run(command, NULL), 0);
    sel_context_begin(scene->survey->context);
    assert_int_equal(
        sel_fieldkit_write(scene->survey->context, copy, folder, &options, &report), SEL_BAD_INPUT);
    const char *said = sel_context_message(scene->survey->context);
    if (!strstr(said, message) || !strstr(said, "changed.gpkg"))
        fail_msg("'%s' does not hold '%s'", said, message);
    sel_text_clear(&report);
    free(folder);
    free(copy);
}

static void ids_that_fit_no_code_are_refused(void **state) {
    (void)state;
    refused("update sites set site = 'S01' || char(233) where site = 'S01'",
        "does not fit the code of a label: set field.label_code to false and rank again");
    refused("update sites set site = 'S' || hex(zeroblob(60)) where site = 'S01'",
        "does not fit the code of a label");
    refused("update plan set value = 'perhaps' where key = 'field.label_code'",
        "table plan: field.label_code: perhaps is out of place");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_code_is_read_back_as_its_text),
        cmocka_unit_test(a_code_has_its_quiet_zone_and_finders),
        cmocka_unit_test(what_does_not_fit_a_label_is_told_beforehand),
        cmocka_unit_test(markup_in_a_text_stays_text),
        cmocka_unit_test(every_bottle_has_the_code_of_its_event),
        cmocka_unit_test(squares_are_large_enough_for_a_reader),
        cmocka_unit_test(labels_with_codes_fetch_and_run_nothing),
        cmocka_unit_test(without_the_key_there_is_no_code),
        cmocka_unit_test(ids_that_fit_no_code_are_refused),
    };
    return cmocka_run_group_tests(tests, open_scene, close_scene);
}
