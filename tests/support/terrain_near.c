// SPDX-License-Identifier: MIT
#include "terrain_near.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

void terrain_assert_near(
    double ours, double expected, double tolerance, const char *file, int line) {
    if (fabs(ours - expected) <= tolerance)
        return;
    fprintf(stderr, "%.10g is not %.10g within %.3g\n", ours, expected, tolerance);
    _fail(file, line);
}
