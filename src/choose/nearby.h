// SPDX-License-Identifier: MIT
//
// Which candidates lie within a radius of a place: a fixed index over many candidates.
#ifndef SEL_CHOOSE_NEARBY_H
#define SEL_CHOOSE_NEARBY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "choose/choose.h"

struct sel_nearby {
    const struct sel_choice_item *items; // borrowed; as given to sel_nearby_init
    size_t count;
    double west, north, bin_m;
    int64_t rows, cols;
    size_t *starts;  // owned
    size_t *entries; // owned; positions in items, bin by bin, rising within a bin
};

// The radius that most queries will use sets the bins' size. False when memory is out; then there
// is nothing to clear.
bool sel_nearby_init(
    struct sel_nearby *nearby, const struct sel_choice_item *items, size_t count, double radius_m);
void sel_nearby_clear(struct sel_nearby *nearby);

// One query; begin with sel_nearby_begin, then call sel_nearby_next until it returns false. Thread-
// safe: the query belongs to its caller.
struct sel_nearby_query {
    const struct sel_nearby *nearby;
    double x_m, y_m, radius_m;
    int64_t row, last_row, first_col, last_col;
    size_t at, end;
};

struct sel_nearby_query sel_nearby_begin(
    const struct sel_nearby *nearby, double x_m, double y_m, double radius_m);

// The position of the next candidate at a distance <= radius_m, in no order that means anything.
bool sel_nearby_next(struct sel_nearby_query *query, size_t *position);

#endif
