// SPDX-License-Identifier: MIT
//
// A comparison of doubles that fails the running test with both values.
#include <stdarg.h>
#include <setjmp.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>

#include "flyway_near.h"

void flyway_assert_near(double got, double wanted, double tolerance, const char *file, int line) {
    if (fabs(got - wanted) <= tolerance)
        return;
    print_error("%.17g is not within %g of %.17g\n", got, tolerance, wanted);
    _fail(file, line);
}
