// SPDX-License-Identifier: MIT
//
// Contrast of two habitats: Gower (1971) distance over canopy, cover and wetness, times the
// smaller edge worth of the two. 0: alike or worthless; 1: as different as can be.
#ifndef SEL_FLYWAY_CONTRAST_H
#define SEL_FLYWAY_CONTRAST_H

#include "base/status.h"
#include "plan/habitats.h"
#include "plan/plan.h"

struct sel_contrast {
    int count;     // habitats
    float *values; // owned; (count + 1)^2, row-major by id; row and column 0 are 0
};

// The computed contrast of two habitats, 0..1.
double sel_gower_contrast(const struct sel_habitat *a, const struct sel_habitat *b);

// The whole table, with the plan's own pairs put in their places.
sel_status sel_contrast_build(
    sel_context *context, const struct sel_plan *plan, struct sel_contrast *contrast);
void sel_contrast_clear(struct sel_contrast *contrast);

static inline float sel_contrast_of(
    const struct sel_contrast *contrast, sel_habitat_id a, sel_habitat_id b) {
    return contrast->values[(size_t)a * (size_t)(contrast->count + 1) + b];
}

#endif
