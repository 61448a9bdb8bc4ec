// SPDX-License-Identifier: MIT
//
// Whole-number helpers for cell indices, which may be negative.
#ifndef SEL_BASE_WHOLE_H
#define SEL_BASE_WHOLE_H

#include <stdint.h>

// a / b rounded down; b > 0.
static inline int64_t sel_floor_div(int64_t a, int64_t b) {
    return a >= 0 ? a / b : -((b - 1 - a) / b);
}

static inline int64_t sel_smaller(int64_t a, int64_t b) {
    return a < b ? a : b;
}

static inline int64_t sel_larger(int64_t a, int64_t b) {
    return a > b ? a : b;
}

#endif
