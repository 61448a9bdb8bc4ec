// SPDX-License-Identifier: MIT
//
// Land-cover values to habitat ids, fast: a table over the span of the listed values where that is
// small, else a binary search.
#ifndef SEL_GRID_VALUES_H
#define SEL_GRID_VALUES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "plan/habitats.h"

// Stands for a value that is not whole or not in the table until a message names it.
enum { SEL_HABITAT_AMISS = 255 };

struct sel_values {
    struct sel_habitat_value *sorted; // owned copy
    size_t count;
    int64_t first;
    sel_habitat_id *direct; // owned; id of first + i; NULL: search instead
    size_t span;
};

// Copies the sorted table. False: out of memory.
bool sel_values_init(struct sel_values *values, const struct sel_habitats *habitats);
void sel_values_clear(struct sel_values *values);

// SEL_HABITAT_AMISS when the value is not whole or not listed. NAN is unknown.
sel_habitat_id sel_values_id(const struct sel_values *values, double value);

#endif
