// SPDX-License-Identifier: MIT
//
// Whole intervals first, then what becomes of the days left over.
#include "fieldkit/schedule.h"

bool sel_stint_is_usual(int64_t days) {
    return days >= SEL_STINT_LEAST_DAYS && days <= SEL_STINT_MOST_DAYS;
}

enum ending {
    ENDS_EVENLY, // nothing is left over, or the season is shorter than an interval
    ENDS_WITH_ONE_MORE,
    ENDS_JOINED, // to the last whole interval
    ENDS_SHARED, // with the last whole interval, half and half
    ENDS_EARLY   // days are left unused
};

// The shortest stint that is laid: the interval itself where that is shorter than usual.
static int64_t least_days(struct sel_stint_rule rule) {
    int64_t usual =
        rule.interval_days < SEL_STINT_LEAST_DAYS ? rule.interval_days : SEL_STINT_LEAST_DAYS;
    return rule.apart_days > usual ? rule.apart_days : usual;
}

static enum ending ending_of(int64_t days, struct sel_stint_rule rule) {
    int64_t whole = days / rule.interval_days, left = days % rule.interval_days;
    int64_t together = rule.interval_days + left;
    if (whole == 0 || left == 0)
        return ENDS_EVENLY;
    if (left >= least_days(rule))
        return ENDS_WITH_ONE_MORE;
    if (together <= SEL_STINT_MOST_DAYS)
        return ENDS_JOINED;
    if (together >= 2 * least_days(rule))
        return ENDS_SHARED;
    return whole > 1 ? ENDS_EARLY : ENDS_JOINED; // a single stint holds set-up and take-down
}

size_t sel_stint_count(int64_t days, struct sel_stint_rule rule) {
    int64_t whole = days / rule.interval_days;
    enum ending ending = ending_of(days, rule);
    bool one_more = whole == 0 || ending == ENDS_WITH_ONE_MORE || ending == ENDS_SHARED;
    return (size_t)(whole + one_more);
}

void sel_stints_lay(
    int64_t first_day, int64_t last_day, struct sel_stint_rule rule, struct sel_stint *stints) {
    size_t count = sel_stint_count(last_day - first_day, rule);
    enum ending ending = ending_of(last_day - first_day, rule);
    int64_t from = first_day;
    for (size_t i = 0; i < count; i++) {
        stints[i] = (struct sel_stint){from, from + rule.interval_days};
        from += rule.interval_days;
    }
    struct sel_stint *last = &stints[count - 1];
    if (ending != ENDS_EARLY)
        last->to_day = last_day;
    else if (rule.interval_days < SEL_STINT_MOST_DAYS)
        last->to_day = last->from_day + SEL_STINT_MOST_DAYS;
    if (ending == ENDS_SHARED) {
        int64_t middle = (stints[count - 2].from_day + last_day) / 2;
        stints[count - 2].to_day = last->from_day = middle;
    }
}
