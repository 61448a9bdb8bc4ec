// SPDX-License-Identifier: MIT
//
// Calendar dates of a season: read, checked, counted. Gregorian calendar, no time zone.
#ifndef SEL_PLAN_DATES_H
#define SEL_PLAN_DATES_H

#include "plan/plan.h"

// Reads "2027-05-15" (ISO 8601, exactly ten characters) of a day that exists.
bool sel_date_parse(const char *text, struct sel_date *date);

bool sel_date_is_real(struct sel_date date);

// Days since 0000-03-01, so that the difference of two dates is their distance in days.
int64_t sel_date_day_number(struct sel_date date);

// The date of such a number, from year 1 on.
struct sel_date sel_date_of_day(int64_t day_number);

// 1 on the first of January.
int sel_date_day_of_year(struct sel_date date);

#endif
