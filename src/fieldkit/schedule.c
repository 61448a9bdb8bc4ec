// SPDX-License-Identifier: MIT
//
// Whole intervals first, then the two cases of a remainder.
#include "fieldkit/schedule.h"

bool sel_stint_is_usual(int64_t days) {
    return days >= SEL_STINT_LEAST_DAYS && days <= SEL_STINT_MOST_DAYS;
}

// The shortest stint that is laid: the interval itself where that is shorter than usual.
static int64_t least_days(int interval_days) {
    return interval_days < SEL_STINT_LEAST_DAYS ? interval_days : SEL_STINT_LEAST_DAYS;
}

// Whether the days left over join the last whole interval without making it too long.
static bool joins_last(int64_t left, int interval_days) {
    return left < least_days(interval_days) && interval_days + left <= SEL_STINT_MOST_DAYS;
}

size_t sel_stint_count(int64_t days, int interval_days) {
    int64_t whole = days / interval_days, left = days % interval_days;
    if (whole == 0)
        return 1;
    bool one_more = left > 0 && !joins_last(left, interval_days);
    return (size_t)(whole + one_more);
}

void sel_stints_lay(
    int64_t first_day, int64_t last_day, int interval_days, struct sel_stint *stints) {
    int64_t left = (last_day - first_day) % interval_days;
    size_t count = sel_stint_count(last_day - first_day, interval_days);
    int64_t from = first_day;
    for (size_t i = 0; i < count; i++) {
        stints[i] = (struct sel_stint){from, from + interval_days};
        from += interval_days;
    }
    stints[count - 1].to_day = last_day;
    bool short_end = count > 1 && left > 0 && left < least_days(interval_days);
    if (short_end && !joins_last(left, interval_days)) {
        int64_t middle = (stints[count - 2].from_day + last_day) / 2;
        stints[count - 2].to_day = stints[count - 1].from_day = middle;
    }
}
