// SPDX-License-Identifier: MIT
//
// Gregorian calendar: leap years every 4 years, not every 100, but every 400. Years are counted
// from March, so that the leap day comes last and month lengths follow one line.
#include "plan/dates.h"

#include <ctype.h>
#include <string.h>

static bool is_leap(int year) {
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int days_in_month(int year, int month) {
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return month == 2 && is_leap(year) ? 29 : days[month - 1];
}

bool sel_date_is_real(struct sel_date date) {
    return date.year >= 1 && date.year <= 9999 && date.month >= 1 && date.month <= 12 &&
           date.day >= 1 && date.day <= days_in_month(date.year, date.month);
}

static bool read_digits(const char *text, int count, int *number) {
    *number = 0;
    for (int i = 0; i < count; i++) {
        if (!isdigit((unsigned char)text[i]))
            return false;
        *number = 10 * *number + (text[i] - '0');
    }
    return true;
}

bool sel_date_parse(const char *text, struct sel_date *date) {
    return strlen(text) == 10 && text[4] == '-' && text[7] == '-' &&
           read_digits(text, 4, &date->year) && read_digits(text + 5, 2, &date->month) &&
           read_digits(text + 8, 2, &date->day) && sel_date_is_real(*date);
}

int64_t sel_date_day_number(struct sel_date date) {
    int64_t month = (date.month + 9) % 12; // 0 is March
    int64_t year = date.year - (month >= 10);
    int64_t days_before_month = (153 * month + 2) / 5; // 31 30 31 30 31 twice, then January
    return 365 * year + year / 4 - year / 100 + year / 400 + days_before_month + date.day - 1;
}

// Years of the 400-year cycle are found by the average length, then mended by at most one.
struct sel_date sel_date_of_day(int64_t day_number) {
    const int64_t days_in_cycle = 146097;
    int64_t cycle = day_number / days_in_cycle, day = day_number % days_in_cycle;
    int64_t year = (day - day / 1460 + day / 36524 - day / 146096) / 365;
    day -= 365 * year + year / 4 - year / 100;
    int64_t month = (5 * day + 2) / 153;
    struct sel_date date = {.day = (int)(day - (153 * month + 2) / 5 + 1),
        .month = (int)(month < 10 ? month + 3 : month - 9),
        .year = (int)(400 * cycle + year + (month >= 10))};
    return date;
}

int sel_date_day_of_year(struct sel_date date) {
    struct sel_date first = {date.year, 1, 1};
    return (int)(sel_date_day_number(date) - sel_date_day_number(first)) + 1;
}
