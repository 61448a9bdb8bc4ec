// SPDX-License-Identifier: MIT
//
// Horizons on real ground against exhaustive ray casting over full-resolution cells (terrain_cast).
// Bar: 95 % of directions within 0.3 degrees, none off by more than 2. On real ground the woods are
// made up.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

#include "scene.h"
#include "survey_scene.h"
#include "terrain/horizon.h"
#include "terrain_cast.h"
#include "terrain_eyes.h"
#include "terrain_relief.h"

struct errors {
    float *degrees;
    size_t count;
};

static void note(struct errors *errors, double ours, double theirs) {
    errors->degrees[errors->count++] = (float)(fabs(atan(ours) - atan(theirs)) * 57.29577951308232);
}

static int by_size(const void *a, const void *b) {
    float one = *(const float *)a, other = *(const float *)b;
    return (one > other) - (one < other);
}

static void check(const char *what, struct errors *errors) {
    qsort(errors->degrees, errors->count, sizeof(float), by_size);
    double usual = (double)errors->degrees[errors->count * 95 / 100];
    double worst = (double)errors->degrees[errors->count - 1];
    printf("%s: %zu directions, 95 %% within %.3f, worst %.2f degrees\n", what, errors->count,
        usual, worst);
    assert_true(usual <= 0.3);
    assert_true(worst <= 2.0);
}

enum { CORES = 12, PLACES = 6 };

// Some places around a core's middle, on cracks and elsewhere.
static void cast_core(
    const struct terrain_eyes *eyes, struct errors *ground, struct errors *canopy) {
    struct sel_window core = eyes->setting.core;
    for (int64_t k = 0; k < PLACES; k++) {
        int64_t hx = 2 * core.col + (k * 13 + 1) % 32, hy = 2 * core.row + (k * 9 + 2) % 32;
        struct sel_horizon horizon = terrain_look(eyes, hx, hy);
        for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
            struct terrain_ray ray = terrain_cast(eyes, hx, hy, 5.0 * i);
            note(ground, (double)horizon.ground_tan[i], ray.ground_tan);
            note(canopy, (double)horizon.canopy_tan[i], ray.canopy_tan);
        }
    }
}

// Prints what a horizon costs, and an exhaustive one. Nothing is asserted: machines differ.
static void print_speed(const struct terrain_eyes *eyes) {
    enum { LOOKS = 400, CASTS = 4 };
    struct sel_window core = eyes->setting.core;
    double sum = 0.0;
    clock_t began = clock();
    for (int64_t k = 0; k < LOOKS; k++)
        sum += (double)terrain_look(eyes, 2 * core.col + k % 32, 2 * core.row + k * 7 % 32)
                   .ground_tan[k % SEL_HORIZON_DIRECTIONS];
    double look_us = (double)(clock() - began) / CLOCKS_PER_SEC / LOOKS * 1e6;
    began = clock();
    for (int64_t k = 0; k < CASTS; k++)
        for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++)
            sum += terrain_cast(eyes, 2 * core.col + k, 2 * core.row + 1, 5.0 * i).ground_tan;
    double cast_us = (double)(clock() - began) / CLOCKS_PER_SEC / CASTS * 1e6;
    printf("horizon %.1f us, exhaustive %.0f us, ratio %.0f (%.0f)\n", look_us, cast_us,
        cast_us / look_us, sum * 0.0);
}

// Clears the relief.
static void cast_relief(struct terrain_relief *relief, double reach_m) {
    size_t most = (size_t)CORES * PLACES * SEL_HORIZON_DIRECTIONS;
    struct errors ground = {malloc(most * sizeof(float)), 0};
    struct errors canopy = {malloc(most * sizeof(float)), 0};
    struct terrain_setting setting = terrain_setting_usual();
    setting.rule.reach_m = reach_m;
    setting.core = (struct sel_window){0, 0, relief->rows, relief->cols};
    struct terrain_eyes eyes;
    terrain_eyes_open(&eyes, &setting, terrain_on_relief, relief);
    for (int64_t k = 0; k < CORES; k++) {
        eyes.setting.core = (struct sel_window){
            (k * 397 + 31) % (relief->rows - 16), (k * 271 + 17) % (relief->cols - 16), 16, 16};
        assert_true(sel_horizon_view_aim(eyes.view, &eyes.surface, eyes.setting.core));
        cast_core(&eyes, &ground, &canopy);
    }
    print_speed(&eyes);
    terrain_eyes_close(&eyes);
    check("ground", &ground);
    check("canopy", &canopy);
    free(ground.degrees);
    free(canopy.degrees);
    terrain_relief_clear(relief);
}

// The invented valley is in the tree, so this bar is held everywhere. Heights and closures are
// those of its habitat table.
static void the_sample_valley_meets_the_bar(void **state) {
    (void)state;
    static const struct terrain_cell OF_CLASS[256] = {[2] = {0, 14.0f, 191},
        [3] = {0, 1.2f, 26},
        [7] = {0, 2.5f, 115},
        [8] = {0, 20.0f, 217},
        [9] = {0, 22.0f, 242},
        [11] = {0, 6.0f, 26}};
    struct terrain_relief relief;
    assert_true(terrain_relief_read(&relief, SEL_TEST_SOURCE "/sample-rasters/elevation.tif"));
    assert_true(terrain_relief_read_classes(
        &relief, SEL_TEST_SOURCE "/sample-rasters/landcover.tif", 40, 40, OF_CLASS));
    cast_relief(&relief, 10000.0);
}

static void coastal_hills_at_ten_metres_meet_the_bar(void **state) {
    (void)state;
    const char *data = scene_real_data();
    if (!data)
        skip();
    char path[4096];
    snprintf(path, sizeof path, "%s/sanpedro/dem.tif", data);
    struct terrain_relief relief;
    assert_true(terrain_relief_read(&relief, path));
    cast_relief(&relief, 10000.0);
}

static void a_canyon_meets_the_bar(void **state) {
    (void)state;
    const char *data = scene_real_data();
    if (!data)
        skip();
    char *folder = scene_folder(), path[4096], command[9000];
    snprintf(path, sizeof path, "%s/ground.tif", folder);
    snprintf(command, sizeof command,
        "gdalwarp -q -t_srs EPSG:26912 -tr 10 10 -te 316000 4123000 327000 4133000 -r cubic "
        "-ot Float32 '%s/zion/srtm.tif' '%s'",
        data, path);
    assert_int_equal(survey_scene_shell(command, NULL), 0);
    struct terrain_relief relief;
    assert_true(terrain_relief_read(&relief, path));
    cast_relief(&relief, 10000.0);
    scene_remove(folder);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_sample_valley_meets_the_bar),
        cmocka_unit_test(coastal_hills_at_ten_metres_meet_the_bar),
        cmocka_unit_test(a_canyon_meets_the_bar),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
