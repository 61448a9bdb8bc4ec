// SPDX-License-Identifier: MIT
//
// The convex ground that candidates span.
#ifndef SEL_CHOOSE_HULL_H
#define SEL_CHOOSE_HULL_H

#include <stdbool.h>
#include <stddef.h>

#include "choose/choose.h"

struct sel_hull {
    struct sel_choice_point *points; // owned; corners in turn, none twice
    size_t count;                    // 1 or 2 when all candidates lie on one spot or line
    double area_m2;
    double length_m; // the longer side of the box around it
};

// False when memory is out; then there is nothing to clear. No candidates: no corners.
bool sel_hull_init(struct sel_hull *hull, const struct sel_choice_item *items, size_t count);
void sel_hull_clear(struct sel_hull *hull);

#endif
