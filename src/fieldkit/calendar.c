// SPDX-License-Identifier: MIT
//
// One all-day event per visit of a round and day: set-up, each change of heads, take-down. Days
// float: they are those of the calendar that shows them. Identifiers are the same whenever the kit
// is written anew from the same survey, so that a calendar replaces what it had.
#include "fieldkit/calendar.h"

#include <math.h>
#include <string.h>

#include "fieldkit/cautions.h"
#include "fieldkit/ics.h"
#include "fieldkit/tour_words.h"
#include "fieldkit/words.h"

// A visit of a round: number 0 is the set-up, the last one the take-down; both may take days.
struct visit {
    const struct sel_fieldkit *kit;
    size_t round, number;
    int part, parts;       // which of its days, from 0 on, and how many
    struct sel_round tour; // the sites that are visited
};

static bool is_setup(const struct visit *visit) {
    return visit->number == 0;
}

static bool is_takedown(const struct visit *visit) {
    return visit->number == visit->kit->stint_count;
}

static int64_t day_of(const struct visit *visit) {
    if (is_setup(visit))
        return visit->kit->setup_day[visit->round] + visit->part;
    if (is_takedown(visit))
        return sel_fieldkit_takedown_day(visit->kit, visit->round) + visit->part;
    return sel_fieldkit_stint(visit->kit, visit->round, visit->number - 1).to_day;
}

// --- lines ---

static void finish_line(struct sel_text *ics, struct sel_text *line) {
    ics->failed = ics->failed || line->failed;
    sel_ics_line(ics, line->chars ? line->chars : "");
    sel_text_clear(line);
}

static void add_text_line(struct sel_text *ics, const char *name, const char *value) {
    struct sel_text line;
    sel_text_init(&line);
    sel_text_addf(&line, "%s:", name);
    sel_ics_escape(&line, value);
    finish_line(ics, &line);
}

static void add_date_line(struct sel_text *ics, const char *name, int64_t day) {
    struct sel_text line;
    sel_text_init(&line);
    sel_text_addf(&line, "%s;VALUE=DATE:", name);
    sel_add_compact_date(&line, day);
    finish_line(ics, &line);
}

// "2026-01-31T12:00:00.000Z" as "20260131T120000Z".
static void add_stamp(struct sel_text *ics, const char *written) {
    struct sel_text line;
    sel_text_init(&line);
    sel_text_add(&line, "DTSTAMP:");
    for (const char *at = written; *at && *at != '.' && *at != 'Z'; at++)
        if (*at != '-' && *at != ':')
            sel_text_add_bytes(&line, at, 1);
    sel_text_add(&line, "Z");
    finish_line(ics, &line);
}

// --- what is done ---

static void add_sites(const struct visit *visit, struct sel_text *text) {
    for (size_t i = 0; i < visit->tour.count; i++)
        sel_text_addf(text, "%s%s", i == 0 ? " (" : ", ",
            sel_fieldkit_id(sel_fieldkit_at(visit->kit, visit->tour.first + i)));
    sel_text_add(text, ")");
}

static void add_summary(const struct visit *visit, struct sel_text *text) {
    const char *what = is_setup(visit)      ? "set up"
                       : is_takedown(visit) ? "take down"
                                            : "change heads";
    sel_text_addf(text, "Round %zu: %s", visit->round + 1, what);
    if (visit->parts > 1)
        sel_text_addf(text, ", day %d of %d", visit->part + 1, visit->parts);
    if (!is_setup(visit))
        sel_text_addf(text, ", bottle %zu", visit->number);
    if (!is_setup(visit) && !is_takedown(visit))
        sel_text_addf(text, " of %zu", visit->kit->stint_count);
    add_sites(visit, text);
}

static void add_walk(const struct sel_fieldkit_site *site, struct sel_text *text) {
    sel_text_add(text, ", walk ");
    sel_add_walk(site, text);
    sel_text_add(text, site->walk_source == SEL_WALK_UNKNOWN ? "" : " each way");
}

static bool any_guessed(const struct visit *visit) {
    for (size_t i = 0; i < visit->tour.count; i++)
        if (sel_fieldkit_at(visit->kit, visit->tour.first + i)->walk_source == SEL_WALK_STRAIGHT)
            return true;
    return false;
}

static void add_stop(const struct visit *visit, size_t place, struct sel_text *text) {
    const struct sel_fieldkit *kit = visit->kit;
    const struct sel_fieldkit_site *site = sel_fieldkit_at(kit, visit->tour.first + place);
    double latitude = site->row->latitude, longitude = site->row->longitude;
    sel_text_addf(text, "%zu. %s", place + 1, sel_fieldkit_id(site));
    if (site->access != SEL_NO_ACCESS) {
        const struct sel_access_point *point = &kit->access[site->access];
        sel_text_addf(text, " from %s", point->name);
        latitude = point->latitude;
        longitude = point->longitude;
    }
    sel_text_add(text, " (");
    sel_add_position(text, latitude, longitude);
    sel_text_add(text, ")");
    add_walk(site, text);
    sel_text_add(text, "\n");
}

static void add_times(const struct visit *visit, struct sel_text *text) {
    sel_text_add(text, "Walking in all: ");
    sel_add_walking(visit->kit, &visit->tour, text);
    sel_text_addf(text, ". Travel between %s ", sel_travel_ends(visit->kit));
    sel_add_duration(text, visit->tour.travel_min);
    sel_text_add(text, ", work ");
    sel_add_duration(text, visit->tour.work_min);
    sel_text_add(text, ": together ");
    sel_add_whole_tour(visit->kit, &visit->tour, text);
    sel_text_add(text, ", and the way there and home. ");
    sel_text_add(text, any_guessed(visit)
                           ? "Walks are guessed from straight lines: real ones are longer.\n"
                           : "All times are estimates.\n");
}

// Common practice: a head stays 3 days at least and 10 at most.
static void add_latest(const struct visit *visit, struct sel_text *text) {
    if (is_setup(visit))
        return;
    struct sel_stint stint = sel_fieldkit_stint(visit->kit, visit->round, visit->number - 1);
    sel_text_addf(text, "Bottle %zu has hung since ", visit->number);
    sel_add_long_date(text, stint.from_day);
    sel_text_add(text, "; at the latest it comes in on ");
    sel_add_long_date(text, stint.from_day + SEL_STINT_MOST_DAYS);
    sel_text_addf(text, " (%d days).\n", SEL_STINT_MOST_DAYS);
}

static void add_description(const struct visit *visit, struct sel_text *ics) {
    struct sel_text text;
    sel_text_init(&text);
    for (size_t i = 0; i < visit->tour.count; i++)
        add_stop(visit, i, &text);
    add_times(visit, &text);
    add_latest(visit, &text);
    sel_text_add(&text, SEL_CAUTIONS_SHORT);
    add_text_line(ics, "DESCRIPTION", text.chars ? text.chars : "");
    ics->failed = ics->failed || text.failed;
    sel_text_clear(&text);
}

// --- events ---

static void add_place(const struct visit *visit, struct sel_text *ics) {
    const struct sel_fieldkit *kit = visit->kit;
    const struct sel_fieldkit_site *first = sel_fieldkit_at(kit, visit->tour.first);
    bool known = first->access != SEL_NO_ACCESS;
    double latitude = known ? kit->access[first->access].latitude : first->row->latitude;
    double longitude = known ? kit->access[first->access].longitude : first->row->longitude;
    add_text_line(ics, "LOCATION", kit->title);
    struct sel_text line;
    sel_text_init(&line);
    sel_text_addf(&line, "GEO:%.6f;%.6f", latitude, longitude);
    finish_line(ics, &line);
}

static void add_event(const struct visit *visit, struct sel_text *ics) {
    struct sel_text text;
    sel_text_init(&text);
    sel_ics_line(ics, "BEGIN:VEVENT");
    sel_text_addf(
        &text, "UID:%s-round%zu-visit%zu", visit->kit->slug, visit->round + 1, visit->number);
    if (visit->part > 0)
        sel_text_addf(&text, "-day%d", visit->part + 1);
    sel_text_add(&text, "@selvedge.invalid");
    finish_line(ics, &text);
    add_stamp(ics, visit->kit->written);
    add_date_line(ics, "DTSTART", day_of(visit));
    add_date_line(ics, "DTEND", day_of(visit) + 1);
    add_summary(visit, &text);
    add_text_line(ics, "SUMMARY", text.chars ? text.chars : "");
    ics->failed = ics->failed || text.failed;
    sel_text_clear(&text);
    add_description(visit, ics);
    add_place(visit, ics);
    sel_ics_line(ics, "CATEGORIES:FIELDWORK");
    sel_ics_line(ics, "TRANSP:OPAQUE");
    sel_ics_line(ics, "END:VEVENT");
}

static void add_round(const struct sel_fieldkit *kit, size_t round, struct sel_text *ics) {
    int setup_days = kit->setup_days[round], takedown_days = kit->takedown_days[round];
    for (int day = 0; day < setup_days; day++) {
        struct visit visit = {kit, round, 0, day, setup_days, sel_fieldkit_setup(kit, round, day)};
        add_event(&visit, ics);
    }
    for (size_t number = 1; number < kit->stint_count; number++) {
        struct visit visit = {kit, round, number, 0, 1, kit->rounds[round]};
        add_event(&visit, ics);
    }
    for (int day = 0; day < takedown_days; day++) {
        struct visit visit = {kit, round, kit->stint_count, day, takedown_days,
            sel_fieldkit_takedown(kit, round, day)};
        add_event(&visit, ics);
    }
}

void sel_fieldkit_calendar(const struct sel_fieldkit *kit, struct sel_text *ics) {
    struct sel_text product;
    sel_text_init(&product);
    sel_ics_line(ics, "BEGIN:VCALENDAR");
    sel_ics_line(ics, "VERSION:2.0");
    sel_text_addf(&product, "PRODID:-//selvedge//fieldkit %s//EN", sel_version());
    finish_line(ics, &product);
    sel_ics_line(ics, "CALSCALE:GREGORIAN");
    for (size_t round = 0; round < kit->round_count; round++)
        add_round(kit, round, ics);
    sel_ics_line(ics, "END:VCALENDAR");
}
