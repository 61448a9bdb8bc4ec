// SPDX-License-Identifier: MIT
//
// Chooses the parts, makes their files in memory and writes them together.
#include "fieldkit/fieldkit.h"

#include <string.h>

#include "fieldkit/actual.h"
#include "fieldkit/calendar.h"
#include "fieldkit/events.h"
#include "fieldkit/folder.h"
#include "fieldkit/gpx.h"
#include "fieldkit/labels.h"
#include "fieldkit/list.h"
#include "fieldkit/report.h"
#include "fieldkit/setup.h"
#include "plan/words.h"

// --- parts ---

enum part { PART_GPX, PART_LABELS, PART_CALENDAR, PART_EVENTS, PART_KIT, PART_SETUP, PARTS };

static const char *const PART_NAMES[PARTS] = {
    "gpx", "labels", "calendar", "events", "kit", "setup"};

static sel_status fail_part(sel_context *context, const char *name, size_t length) {
    char part[64];
    size_t kept = length < sizeof part ? length : sizeof part - 1;
    memcpy(part, name, kept);
    part[kept] = '\0';
    return sel_fail(context, SEL_USAGE,
        "--only: %s is no part of the field kit: the parts are gpx, labels, calendar, events, kit "
        "and setup, separated by commas",
        sel_quote(part).chars);
}

static sel_status take_part(
    sel_context *context, const char *name, size_t length, bool wanted[PARTS]) {
    for (int i = 0; i < PARTS; i++) {
        if (strlen(PART_NAMES[i]) == length && strncmp(PART_NAMES[i], name, length) == 0) {
            wanted[i] = true;
            return SEL_OK;
        }
    }
    return fail_part(context, name, length);
}

static sel_status read_parts(
    sel_context *context, const struct sel_fieldkit_options *options, bool wanted[PARTS]) {
    for (int i = 0; i < PARTS; i++)
        wanted[i] = !options->only && (!options->actual || i == PART_EVENTS);
    sel_status status = SEL_OK;
    for (const char *at = options->only; at && status == SEL_OK;) {
        size_t length = strcspn(at, ",");
        status = take_part(context, at, length, wanted);
        at = at[length] == ',' ? at + length + 1 : NULL;
    }
    if (status == SEL_OK && options->actual && !wanted[PART_EVENTS])
        status = sel_fail(context, SEL_USAGE,
            "--actual: changes the part events only, and --only leaves it out: add events to it");
    return status;
}

// --- files ---

// The names alone, before anything is read, so that an output in the way is found at once.
static void name_files(struct sel_folder *folder, const bool wanted[PARTS], bool actual) {
    static const struct {
        enum part part;
        const char *name;
        bool with_plan, with_actual;
    } FILES[] = {
        {PART_GPX, "sites.gpx", true, true},
        {PART_LABELS, "labels.html", true, true},
        {PART_CALENDAR, "calendar.ics", true, true},
        {PART_EVENTS, "events.csv", true, true},
        {PART_EVENTS, "meta.xml", true, true},
        {PART_EVENTS, "events-planned.csv", false, true},
        {PART_EVENTS, "actual-template.csv", true, false},
        {PART_KIT, "kit.html", true, true},
        {PART_KIT, "kit.csv", true, true},
        {PART_SETUP, "setup.html", true, true},
    };
    for (size_t i = 0; i < sizeof FILES / sizeof *FILES; i++)
        if (wanted[FILES[i].part] && (actual ? FILES[i].with_actual : FILES[i].with_plan))
            sel_folder_add(folder, FILES[i].name);
}

static struct sel_text *file_named(struct sel_folder *folder, const char *name) {
    for (size_t i = 0; i < folder->count; i++)
        if (strcmp(folder->files[i].name, name) == 0)
            return &folder->files[i].text;
    return NULL;
}

static void fill(struct sel_folder *folder, const char *name, const struct sel_fieldkit *kit,
    void (*make)(const struct sel_fieldkit *kit, struct sel_text *text)) {
    struct sel_text *text = file_named(folder, name);
    if (text)
        make(kit, text);
}

static void fill_events(
    struct sel_folder *folder, const struct sel_fieldkit *kit, const struct sel_actual *actual) {
    struct sel_text *meta = file_named(folder, "meta.xml");
    struct sel_text *events = file_named(folder, "events.csv");
    if (!meta || !events)
        return;
    sel_fieldkit_meta("events.csv", meta);
    if (actual)
        sel_fieldkit_events_actual(kit, actual, events);
    else
        sel_fieldkit_events_planned(kit, events);
    fill(folder, "events-planned.csv", kit, sel_fieldkit_events_planned);
    fill(folder, "actual-template.csv", kit, sel_actual_template);
}

static void fill_files(
    struct sel_folder *folder, const struct sel_fieldkit *kit, const struct sel_actual *actual) {
    fill(folder, "sites.gpx", kit, sel_fieldkit_gpx);
    fill(folder, "labels.html", kit, sel_fieldkit_labels);
    fill(folder, "calendar.ics", kit, sel_fieldkit_calendar);
    fill(folder, "kit.html", kit, sel_fieldkit_list_html);
    fill(folder, "kit.csv", kit, sel_fieldkit_list_csv);
    fill(folder, "setup.html", kit, sel_fieldkit_setup_cards);
    fill_events(folder, kit, actual);
}

// --- all of it ---

static sel_status make_kit(const struct sel_fieldkit *kit, struct sel_folder *folder,
    const struct sel_fieldkit_options *options, struct sel_text *report) {
    struct sel_actual actual = {0};
    sel_context *context = kit->package->context;
    sel_status status = options->actual ? sel_actual_read(kit, options->actual, &actual) : SEL_OK;
    if (status == SEL_OK && file_named(folder, "labels.html"))
        status = sel_fieldkit_check_labels(kit);
    if (status == SEL_OK) {
        fill_files(folder, kit, options->actual ? &actual : NULL);
        sel_fieldkit_report(kit, folder, options->actual ? &actual : NULL, report);
        status = sel_folder_write(context, folder, options->overwrite);
    }
    if (status == SEL_OK && report->failed)
        status = sel_fail_memory(context);
    sel_actual_clear(&actual);
    return status;
}

sel_status sel_fieldkit_write(sel_context *context, const char *geopackage, const char *directory,
    const struct sel_fieldkit_options *options, struct sel_text *report) {
    bool wanted[PARTS];
    struct sel_folder folder = {.path = directory};
    struct sel_package package = {0};
    struct sel_fieldkit kit = {0};
    sel_status status = read_parts(context, options, wanted);
    if (status == SEL_OK) {
        name_files(&folder, wanted, options->actual != NULL);
        status = sel_folder_check(context, &folder, options->overwrite);
    }
    if (status == SEL_OK)
        status = sel_package_open(context, geopackage, &package);
    if (status == SEL_OK)
        status = sel_fieldkit_read(&package, &kit);
    if (status == SEL_OK)
        status = make_kit(&kit, &folder, options, report);
    sel_fieldkit_clear(&kit);
    sel_package_close(&package);
    sel_folder_clear(&folder);
    return status;
}
