// SPDX-License-Identifier: MIT
//
// Internal to plan/: rows of a habitat table, from a file or a legend, put together into habitats.
#ifndef SEL_PLAN_HABITAT_ROWS_H
#define SEL_PLAN_HABITAT_ROWS_H

#include <stddef.h>

#include "plan/habitats.h"

struct sel_habitat_row {
    int line; // in the file; 0: from a legend
    bool has_value;
    int64_t value;
    struct sel_habitat habitat; // its name is owned by the row when it came from a file
};

// Rows of one habitat name must agree in its traits, and no value may come twice: the messages name
// both lines of `file`. On failure `habitats` is empty.
sel_status sel_habitats_build(sel_context *context, const char *file,
    const struct sel_habitat_row *rows, size_t count, struct sel_habitats *habitats);

// "firm", "sand", "wet", "rock".
const char *sel_ground_name(enum sel_ground ground);

#endif
