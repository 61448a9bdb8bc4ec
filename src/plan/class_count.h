// SPDX-License-Identifier: MIT
//
// A value of a land-cover raster and how often it occurs.
#ifndef SEL_PLAN_CLASS_COUNT_H
#define SEL_PLAN_CLASS_COUNT_H

#include <stdint.h>

struct sel_class_count {
    int64_t value;
    int64_t cells; // of those looked at
};

#endif
