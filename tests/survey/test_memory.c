// SPDX-License-Identifier: MIT
//
// What `check` says of a run's memory against the largest resident memory that the kernel counted.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "survey_scene.h"

enum { SIDE = 1500 };

// Rectangles of five classes on rolling ground: about as much edge as a map of farmland has.
static struct survey_scene country(void) {
    struct survey_scene scene = survey_scene_new(SIDE, SIDE, 10);
    for (int row = 0; row < SIDE; row++)
        for (int col = 0; col < SIDE; col++) {
            int at = row * SIDE + col, y = (row + col / 7) / 23, x = (col + row / 5) / 31;
            scene.classes[at] = (uint8_t)(1 + (y * 7 + x * 5 + y * x) % 5);
            scene.metres[at] = (float)(100 + (row % 300) / 10.0 + (col % 170) / 10.0);
        }
    return scene;
}

static double number_of(const char *command) {
    char *out = NULL;
    if (survey_scene_shell(command, &out) != 0)
        fail_msg("failed: %s", command);
    double number = strtod(out, NULL);
    free(out);
    return number;
}

static double foretold_mib(const struct survey_scene *scene, const char *options) {
    char command[9000];
    snprintf(command, sizeof command,
        "'%s' check '%s' %s 2>/dev/null | sed -n 's/^  memory  *about \\([0-9]*\\) MiB.*/\\1/p'",
        SEL_TEST_COMMAND, survey_scene_path(scene, "survey.yaml"), options);
    return number_of(command);
}

static double peak_mib(const struct survey_scene *scene, const char *options) {
    char command[18000], plan[4200];
    snprintf(plan, sizeof plan, "%s", survey_scene_path(scene, "survey.yaml"));
    snprintf(command, sizeof command,
        "/usr/bin/time -f %%M '%s' rank '%s' -o '%s' --overwrite --quiet %s 2>&1 >/dev/null | tail "
        "-n 1",
        SEL_TEST_COMMAND, plan, survey_scene_path(scene, "sites.gpkg"), options);
    return number_of(command) / 1024;
}

static void compare(const struct survey_scene *scene, const char *options) {
    double told = foretold_mib(scene, options), peak = peak_mib(scene, options);
    fprintf(stderr, "%s: about %.0f MiB told, %.0f MiB taken\n", options, told, peak);
    assert_true(told > peak / 1.5 && told < peak * 1.5);
}

static void skip_without_means(void) {
#if defined(__SANITIZE_ADDRESS__)
    fprintf(stderr, "SKIPPED: the sanitizer's own memory would be counted\n");
    skip();
#endif
    if (access("/usr/bin/time", X_OK) != 0) {
        fprintf(stderr, "SKIPPED: no /usr/bin/time: install the package time\n");
        skip();
    }
}

static void check_foretells_the_memory_of_a_run(void **state) {
    (void)state;
    skip_without_means();
    struct survey_scene scene = country();
    survey_scene_write(&scene, "choose: { sites: 5 }\n");
    compare(&scene, "--threads 1");
    compare(&scene, "--threads 2");
    survey_scene_free(&scene);
}

static void check_foretells_the_memory_of_resampling(void **state) {
    (void)state;
    skip_without_means();
    struct survey_scene scene = country();
    scene.crs = "EPSG:4326";
    scene.cell = 0.0001;
    scene.x0 = 15.01;
    scene.y0 = 48.7;
    survey_scene_write(&scene, "choose: { sites: 5 }\n");
    compare(&scene, "--threads 2");
    survey_scene_free(&scene);
}

static void an_aim_makes_a_run_smaller(void **state) {
    (void)state;
    skip_without_means();
    struct survey_scene scene = country();
    survey_scene_write(&scene, "choose: { sites: 5 }\n");
    compare(&scene, "--threads 2 --memory 64");
    assert_true(foretold_mib(&scene, "--threads 2 --memory 64") <
                foretold_mib(&scene, "--threads 2 --memory 4096"));
    assert_true(
        peak_mib(&scene, "--threads 2 --memory 64") < 0.9 * peak_mib(&scene, "--threads 2"));
    survey_scene_free(&scene);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_foretells_the_memory_of_a_run),
        cmocka_unit_test(check_foretells_the_memory_of_resampling),
        cmocka_unit_test(an_aim_makes_a_run_smaller),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
