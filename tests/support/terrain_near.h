// SPDX-License-Identifier: MIT
//
// Equality of doubles within a tolerance (the cmocka at hand compares floats only).
#ifndef SEL_TEST_TERRAIN_NEAR_H
#define SEL_TEST_TERRAIN_NEAR_H

// A macro for the sake of the place in the message.
#define assert_near(ours, expected, tolerance)                                                     \
    terrain_assert_near((double)(ours), (double)(expected), (double)(tolerance), __FILE__, __LINE__)

void terrain_assert_near(
    double ours, double expected, double tolerance, const char *file, int line);

#endif
