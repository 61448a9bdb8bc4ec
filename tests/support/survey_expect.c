// SPDX-License-Identifier: MIT
#include "survey_expect.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>

struct survey_scene survey_squares(void) {
    struct survey_scene scene = survey_scene_new(240, 300, 10);
    for (int row = 10; row < 230; row += 40)
        for (int col = 10; col < 290; col += 40)
            survey_scene_paint(&scene, row, col, 20, 20, 1);
    return scene;
}

void survey_must_rank(
    const struct survey_scene *scene, const char *name, const sel_run_options *options) {
    const char *message;
    sel_status status = survey_scene_rank(scene, name, options, &message);
    if (status != SEL_OK)
        fail_msg("rank: %s: %s", sel_status_name(status), message);
}

void survey_must_tell(const struct survey_scene *scene, const char *sql, double wanted) {
    double got = survey_scene_number(scene, "sites.gpkg", sql);
    if (!(fabs(got - wanted) <= 1e-9))
        fail_msg("%.12g instead of %.12g: %s", got, wanted, sql);
}
