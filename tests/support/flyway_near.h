// SPDX-License-Identifier: MIT
//
// Comparing doubles in cmocka tests (cmocka 1.1.5 only compares floats).
#ifndef SEL_TEST_FLYWAY_NEAR_H
#define SEL_TEST_FLYWAY_NEAR_H

// Fails, telling both values and the caller's line, unless |got - wanted| <= tolerance. A macro
// because only a macro knows the caller's line.
#define assert_near(got, wanted, tolerance)                                                        \
    flyway_assert_near((got), (wanted), (tolerance), __FILE__, __LINE__)

void flyway_assert_near(double got, double wanted, double tolerance, const char *file, int line);

#endif
