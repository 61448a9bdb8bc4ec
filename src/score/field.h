// SPDX-License-Identifier: MIT
//
// Errors at a few places that are the more alike the nearer the places lie.
#ifndef SEL_SCORE_FIELD_H
#define SEL_SCORE_FIELD_H

#include <stdbool.h>

#include "score/random.h"

enum { SEL_FIELD_PLACES_MOST = 16 };

struct sel_field {
    int count;
    double factor[SEL_FIELD_PLACES_MOST][SEL_FIELD_PLACES_MOST]; // lower triangle
};

// A Gaussian field with standard deviation `deviation` and correlation exp(-(d / range)^2) at
// distance d, at the given places (x, y; same unit as range > 0). Two places may coincide. False
// when there are too many.
bool sel_field_init(
    struct sel_field *field, const double (*places)[2], int count, double deviation, double range);

// One draw of the field at the places.
void sel_field_draw(const struct sel_field *field, struct sel_random *random, double *errors);

#endif
