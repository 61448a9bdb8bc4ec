// SPDX-License-Identifier: MIT
//
// A common ground for whole surveys, and what is expected of runs; failing fails the test.
#ifndef SEL_TEST_SURVEY_EXPECT_H
#define SEL_TEST_SURVEY_EXPECT_H

#include "survey_scene.h"

// Squares of wood in a meadow of 2.4 x 3 km, x 500000 to 503000, y 5397600 to 5400000; candidates
// on all their sides.
struct survey_scene survey_squares(void);

// The run ends well.
void survey_must_rank(
    const struct survey_scene *scene, const char *name, const sel_run_options *options);

// The answer of sites.gpkg to an SQL question, to 1e-9.
void survey_must_tell(const struct survey_scene *scene, const char *sql, double wanted);

#endif
