// SPDX-License-Identifier: MIT
//
// Larger and smaller of two cell numbers.
#ifndef SEL_GRID_LIMITS_H
#define SEL_GRID_LIMITS_H

#include <stdint.h>

static inline int64_t sel_larger(int64_t a, int64_t b) {
    return a > b ? a : b;
}

static inline int64_t sel_smaller(int64_t a, int64_t b) {
    return a < b ? a : b;
}

#endif
