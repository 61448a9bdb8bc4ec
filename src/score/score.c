// SPDX-License-Identifier: MIT
//
// From measures to one score: piecewise linear value functions, weights, and the weighted mean of
// the values (additive or multiplicative form of multi-attribute value theory, Keeney & Raiffa
// 1976). Scores are rounded to 1e-9 so that sorting them is the same everywhere.
#include "score/score.h"

#include <math.h>

static const double SCORE_STEPS = 1e9;

double sel_value(const struct sel_plan_criterion *criterion, double at) {
    const struct sel_breakpoint *points = criterion->value;
    int last = criterion->value_count - 1;
    if (isnan(at))
        return at;
    if (at <= points[0].at)
        return points[0].worth;
    if (at >= points[last].at)
        return points[last].worth;
    int right = 1;
    while (points[right].at < at)
        right++;
    const struct sel_breakpoint *from = &points[right - 1], *to = &points[right];
    double share = (at - from->at) / (to->at - from->at);
    return from->worth + share * (to->worth - from->worth);
}

static bool falls_somewhere(const struct sel_plan_criterion *criterion) {
    for (int i = 1; i < criterion->value_count; i++)
        if (criterion->value[i].worth < criterion->value[i - 1].worth)
            return true;
    return false;
}

bool sel_beyond_limit(const struct sel_plan_criterion *criterion, double at) {
    if (!criterion->has_limit)
        return false;
    bool above = criterion->by == SEL_ACCESS_BY_TIME || falls_somewhere(criterion);
    return above ? at > criterion->limit : at < criterion->limit;
}

void sel_scale_weights(
    const struct sel_plan *plan, const bool in_use[SEL_CRITERIA], double weights[SEL_CRITERIA]) {
    double sum = 0;
    for (int i = 0; i < SEL_CRITERIA; i++) {
        weights[i] = in_use[i] ? plan->criteria[i].weight : 0;
        sum += weights[i];
    }
    for (int i = 0; i < SEL_CRITERIA && sum > 0; i++)
        weights[i] /= sum;
}

static double quantise(double score) {
    return round(score * SCORE_STEPS) / SCORE_STEPS;
}

double sel_aggregate_values(enum sel_aggregate aggregate, const double weights[SEL_CRITERIA],
    const double values[SEL_CRITERIA]) {
    double total = 0, sum = 0;
    for (int i = 0; i < SEL_CRITERIA; i++) {
        if (weights[i] <= 0)
            continue;
        total += weights[i];
        sum += weights[i] * (aggregate == SEL_MEAN_GEOMETRIC ? log(values[i]) : values[i]);
    }
    if (total == 0)
        return 0;
    double mean = sum / total;
    return quantise(aggregate == SEL_MEAN_GEOMETRIC ? exp(mean) : mean);
}
