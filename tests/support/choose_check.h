// SPDX-License-Identifier: MIT
//
// A check on floating-point numbers that the packaged cmocka lacks. Include after cmocka.h. A macro
// because a failure must name its own line.
#ifndef SEL_TEST_CHOOSE_CHECK_H
#define SEL_TEST_CHOOSE_CHECK_H

#include <math.h>

static inline int check_is_near(double got, double wanted, double tolerance) {
    if (got == wanted || fabs(got - wanted) <= tolerance)
        return 1;
    print_error("%.17g is not within %g of %.17g\n", got, tolerance, wanted);
    return 0;
}

#define assert_near(got, wanted, tolerance) assert_true(check_is_near(got, wanted, tolerance))

#endif
