// SPDX-License-Identifier: MIT
//
// Small formats, each in one place so that all parts of the kit say things alike.
#include "fieldkit/words.h"

#include <math.h>

#include "output/columns.h"
#include "output/names.h"
#include "plan/dates.h"

void sel_add_iso_date(struct sel_text *text, int64_t day) {
    struct sel_date date = sel_date_of_day(day);
    sel_text_addf(text, "%04d-%02d-%02d", date.year, date.month, date.day);
}

void sel_add_compact_date(struct sel_text *text, int64_t day) {
    struct sel_date date = sel_date_of_day(day);
    sel_text_addf(text, "%04d%02d%02d", date.year, date.month, date.day);
}

// Day number 0 is 1 March of year 0, a Wednesday in the Gregorian calendar.
void sel_add_long_date(struct sel_text *text, int64_t day) {
    static const char *const WEEKDAYS[] = {"Wed", "Thu", "Fri", "Sat", "Sun", "Mon", "Tue"};
    static const char *const MONTHS[] = {"January", "February", "March", "April", "May", "June",
        "July", "August", "September", "October", "November", "December"};
    struct sel_date date = sel_date_of_day(day);
    sel_text_addf(
        text, "%s %d %s %04d", WEEKDAYS[day % 7], date.day, MONTHS[date.month - 1], date.year);
}

void sel_add_interval(struct sel_text *text, int64_t from_day, int64_t to_day) {
    sel_add_iso_date(text, from_day);
    if (to_day != from_day) {
        sel_text_add(text, "/");
        sel_add_iso_date(text, to_day);
    }
}

void sel_add_position(struct sel_text *text, double latitude, double longitude) {
    sel_text_addf(text, "%.6f\u00B0 %s, %.6f\u00B0 %s", fabs(latitude), latitude < 0.0 ? "S" : "N",
        fabs(longitude), longitude < 0.0 ? "W" : "E");
}

void sel_add_volume(struct sel_text *text, double millilitres) {
    if (millilitres < 1000.0)
        sel_text_addf(text, "%.0f ml", millilitres);
    else
        sel_text_addf(text, "%.4g l", millilitres / 1000.0);
}

void sel_add_turn(struct sel_text *text, double degrees) {
    double tenths = sel_round_to(fabs(degrees), 1);
    if (tenths == 0.0)
        sel_text_add(text, "0\u00B0");
    else
        sel_text_addf(text, "%.1f\u00B0 %s", tenths, degrees < 0.0 ? "west" : "east");
}

void sel_add_bearing(struct sel_text *text, double degrees) {
    sel_text_addf(text, "%03d\u00B0", sel_whole_bearing(degrees));
}
