// SPDX-License-Identifier: MIT
//
// Value functions, weights and their aggregate.
#ifndef SEL_SCORE_SCORE_H
#define SEL_SCORE_SCORE_H

#include "plan/plan.h"

// Piecewise linear through the breakpoints, clamped at both ends. NAN in, NAN out.
double sel_value(const struct sel_plan_criterion *criterion, double at);

// Whether `at` lies beyond the criterion's limit (see sel_plan_criterion).
bool sel_beyond_limit(const struct sel_plan_criterion *criterion, double at);

// Weights scaled to sum 1 over the criteria in use; 0 for the others. All-zero input gives zeros.
void sel_scale_weights(
    const struct sel_plan *plan, const bool in_use[SEL_CRITERIA], double weights[SEL_CRITERIA]);

// The weighted mean of values 0..1, quantised to 1e-9. A criterion of weight 0 does not count.
// Geometric: a value of 0 with weight above 0 gives 0.
double sel_aggregate_values(enum sel_aggregate aggregate, const double weights[SEL_CRITERIA],
    const double values[SEL_CRITERIA]);

#endif
