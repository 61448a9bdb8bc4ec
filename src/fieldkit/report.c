// SPDX-License-Identifier: MIT
//
// Plain text for a terminal.
#include "fieldkit/report.h"

#include <math.h>

#include "fieldkit/cautions.h"
#include "fieldkit/remarks.h"
#include "fieldkit/tour_words.h"
#include "fieldkit/words.h"
#include "output/layout.h"

// Farther than this from its plan, a position is more likely a slip of the pen.
static const double FAR_M = 500.0;

// Farther than this from the planned season, so is a day.
enum { OFF_SEASON_DAYS = 30 };

// --- rounds ---

static void add_round(const struct sel_fieldkit *kit, size_t round, struct sel_text *report) {
    const struct sel_round *row = &kit->rounds[round];
    struct sel_text line;
    sel_text_init(&line);
    sel_text_addf(&line, "Round %zu, ", round + 1);
    sel_add_iso_date(&line, sel_fieldkit_stint(kit, round, 0).from_day);
    sel_text_add(&line, " to ");
    sel_add_iso_date(&line, sel_fieldkit_stint(kit, round, kit->stint_count - 1).to_day);
    sel_text_add(&line, ": walking ");
    sel_add_walking(kit, row, &line);
    sel_text_addf(&line, ", travel between %s ", sel_travel_ends(kit));
    sel_add_duration(&line, row->travel_min);
    sel_text_add(&line, ", together with the work ");
    sel_add_whole_tour(kit, row, &line);
    sel_text_add(&line, ", in the order");
    for (size_t i = 0; i < row->count; i++)
        sel_text_addf(&line, " %s", sel_fieldkit_id(sel_fieldkit_at(kit, row->first + i)));
    report->failed = report->failed || line.failed;
    sel_wrap(report, "", line.chars ? line.chars : "");
    sel_text_clear(&line);
}

static void add_rounds(const struct sel_fieldkit *kit, struct sel_text *report) {
    sel_text_add(report, "\n");
    for (size_t i = 0; i < kit->round_count; i++)
        add_round(kit, i, report);
    if (kit->plan.traps > 1)
        sel_text_addf(report, "\nEach site has %d traps, each of which gets %zu", kit->plan.traps,
            kit->stint_count);
    else
        sel_text_addf(report, "\nEach site gets %zu", kit->stint_count);
    sel_text_addf(report, " bottle%s, changed every %d day%s.\n", kit->stint_count == 1 ? "" : "s",
        kit->plan.field.interval_days, kit->plan.field.interval_days == 1 ? "" : "s");
}

// --- what was done ---

// Takes the line, wrapped under a dash.
static void add_item(struct sel_text *report, struct sel_text *line) {
    report->failed = report->failed || line->failed;
    sel_wrap(report, "  - ", line->chars ? line->chars : "");
    sel_text_clear(line);
}

static bool is_done(
    const struct sel_actual *actual, const struct sel_fieldkit_site *site, size_t service) {
    for (size_t i = 0; i < actual->count; i++) {
        const struct sel_fieldkit_site *done = actual->services[i].site;
        bool here = done == site || done->primary == site;
        if (here && actual->services[i].service == (int)service)
            return true;
    }
    return false;
}

static size_t count_missing(const struct sel_fieldkit *kit, const struct sel_actual *actual,
    const struct sel_fieldkit_site *site, size_t *first) {
    size_t missing = 0;
    for (size_t service = kit->stint_count; service > 0; service--) {
        if (is_done(actual, site, service))
            continue;
        *first = service;
        missing++;
    }
    return missing;
}

static void add_missing(
    const struct sel_fieldkit *kit, const struct sel_actual *actual, struct sel_text *report) {
    struct sel_text line;
    sel_text_init(&line);
    for (size_t i = 0; i < kit->primary_count; i++) {
        const struct sel_fieldkit_site *site = sel_fieldkit_at(kit, i);
        size_t first = 0, missing = count_missing(kit, actual, site, &first);
        if (missing == 0)
            continue;
        sel_text_addf(&line, "planned and not done: %s, %zu of %zu bottles%s, the first is %zu",
            sel_fieldkit_id(site), missing, kit->stint_count,
            kit->plan.traps > 1 ? " of each trap" : "", first);
        add_item(report, &line);
    }
}

static void add_far(const struct sel_actual *actual, struct sel_text *report) {
    struct sel_text line;
    sel_text_init(&line);
    for (size_t i = 0; i < actual->count; i++) {
        const struct sel_actual_service *service = &actual->services[i];
        const struct sel_site_row *row = service->site->row;
        double off = sel_actual_distance_m(
            row->latitude, row->longitude, service->latitude, service->longitude);
        if (!service->placed || off <= FAR_M)
            continue;
        sel_text_addf(&line,
            "Warning: line %d puts %s %.0f m from its planned place: look at the figures",
            service->line, sel_fieldkit_id(service->site), off);
        add_item(report, &line);
    }
}

static void add_unusual(const struct sel_actual *actual, struct sel_text *report) {
    struct sel_text line;
    sel_text_init(&line);
    for (size_t i = 0; i < actual->count; i++) {
        const struct sel_actual_service *service = &actual->services[i];
        int64_t days = service->to_day - service->from_day;
        if (sel_stint_is_usual(days))
            continue;
        sel_text_addf(&line, "line %d: bottle %d of %s hung for %lld days; usual are %d to %d",
            service->line, service->service, sel_fieldkit_id(service->site), (long long)days,
            SEL_STINT_LEAST_DAYS, SEL_STINT_MOST_DAYS);
        add_item(report, &line);
    }
}

static void add_off_season(
    const struct sel_fieldkit *kit, const struct sel_actual *actual, struct sel_text *report) {
    struct sel_text line;
    sel_text_init(&line);
    for (size_t i = 0; i < actual->count; i++) {
        const struct sel_actual_service *service = &actual->services[i];
        if (service->from_day >= kit->plan.first_day - OFF_SEASON_DAYS &&
            service->to_day <= kit->plan.last_day + OFF_SEASON_DAYS)
            continue;
        sel_text_addf(&line, "Warning: line %d: bottle %d of %s hung from ", service->line,
            service->service, sel_fieldkit_id(service->site));
        sel_add_iso_date(&line, service->from_day);
        sel_text_add(&line, " to ");
        sel_add_iso_date(&line, service->to_day);
        sel_text_addf(&line, ", more than %d days outside the planned season: look at the year",
            OFF_SEASON_DAYS);
        add_item(report, &line);
    }
}

// How many bottles: one for each trap of a row.
static size_t count_bottles(const struct sel_actual *actual) {
    size_t bottles = 0;
    for (size_t i = 0; i < actual->count; i++)
        bottles += (size_t)actual->services[i].traps;
    return bottles;
}

static void add_blank(const struct sel_actual *actual, struct sel_text *report) {
    struct sel_text line;
    sel_text_init(&line);
    if (actual->blank == 0)
        return;
    sel_text_addf(&line, "%zu row%s of the file tell%s nothing and count%s as not done",
        actual->blank, actual->blank == 1 ? "" : "s", actual->blank == 1 ? "s" : "",
        actual->blank == 1 ? "s" : "");
    add_item(report, &line);
}

static void add_actual(
    const struct sel_fieldkit *kit, const struct sel_actual *actual, struct sel_text *report) {
    struct sel_text line;
    size_t bottles = count_bottles(actual);
    sel_text_init(&line);
    sel_text_addf(&line,
        "%zu bottle%s really came in: events.csv holds them and nothing else; the plan is in "
        "events-planned.csv.",
        bottles, bottles == 1 ? "" : "s");
    sel_text_add(report, "\n");
    sel_wrap(report, "", line.chars ? line.chars : "");
    report->failed = report->failed || line.failed;
    sel_text_clear(&line);
    add_far(actual, report);
    add_off_season(kit, actual, report);
    add_unusual(actual, report);
    add_blank(actual, report);
    add_missing(kit, actual, report);
}

// --- all of it ---

static void add_remarks(const struct sel_fieldkit *kit, struct sel_text *report) {
    struct sel_kit_remarks remarks;
    sel_fieldkit_remarks(kit, &remarks);
    sel_text_add(report, "\nRemarks\n");
    for (size_t i = 0; i < remarks.count; i++)
        sel_wrap(report, "  - ", remarks.lines[i]);
    if (remarks.count == 0)
        sel_text_add(report, "  none\n");
}

static void add_files(const struct sel_folder *folder, struct sel_text *report) {
    struct sel_text line;
    sel_text_init(&line);
    sel_text_addf(&line, "Written to %s:", folder->path);
    for (size_t i = 0; i < folder->count; i++)
        sel_text_addf(&line, " %s", folder->files[i].name);
    sel_text_add(report, "\n");
    sel_wrap(report, "", line.chars ? line.chars : "");
    report->failed = report->failed || line.failed;
    sel_text_clear(&line);
}

void sel_fieldkit_report(const struct sel_fieldkit *kit, const struct sel_folder *folder,
    const struct sel_actual *actual, struct sel_text *report) {
    sel_wrap(report, "", kit->title);
    add_rounds(kit, report);
    if (actual)
        add_actual(kit, actual, report);
    add_remarks(kit, report);
    add_files(folder, report);
    sel_text_add(report, "\n");
    sel_wrap(report, "", SEL_CAUTIONS_SHORT);
}
