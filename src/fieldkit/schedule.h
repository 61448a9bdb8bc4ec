// SPDX-License-Identifier: MIT
//
// When heads are changed: a season cut into stints, one bottle each. Common practice, no source:
// a head stays at least 3 days, is changed after about 7 and at the latest after 10. Pure.
#ifndef SEL_FIELDKIT_SCHEDULE_H
#define SEL_FIELDKIT_SCHEDULE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { SEL_STINT_LEAST_DAYS = 3, SEL_STINT_MOST_DAYS = 10 };

// One bottle on one trap; days as sel_date_day_number counts them.
struct sel_stint {
    int64_t from_day, to_day;
};

// What a season is cut by: the days that a head stays, 1 or more, and the fewest that a team needs
// between two visits to get round, 1 to interval_days.
struct sel_stint_rule {
    int interval_days;
    int64_t apart_days;
};

// How many stints fill `days` (0 or more); at least 1.
size_t sel_stint_count(int64_t days, struct sel_stint_rule rule);

// Writes them to `stints`, which has room for sel_stint_count(last - first, rule), each beginning
// where the one before ends. All last the interval, but for the end of the season: what is left
// over is a stint of its own when it is long enough, else it is added to the last one, and where
// that grows too long the two are shared out evenly. Where their halves are too short for the team,
// the last one is as long as is usual and ends before `last_day`.
void sel_stints_lay(
    int64_t first_day, int64_t last_day, struct sel_stint_rule rule, struct sel_stint *stints);

// Whether common practice would leave a bottle standing for so many days.
bool sel_stint_is_usual(int64_t days);

#endif
