// SPDX-License-Identifier: MIT
//
// Columns are found by name, in any order. Every cell is checked where it stands; what must hold
// between rows is in actual_check.c.
#include "fieldkit/actual.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fieldkit/actual_check.h"
#include "fieldkit/words.h"
#include "plan/dates.h"
#include "plan/numbers.h"
#include "plan/words.h"

// As many as the plan allows.
enum { TRAPS_MOST = 100 };

enum column {
    COLUMN_SITE,
    COLUMN_SERVICE,
    COLUMN_FROM,
    COLUMN_TO,
    COLUMN_LATITUDE,
    COLUMN_LONGITUDE,
    COLUMN_UNCERTAINTY,
    COLUMN_TRAPS, // from here on, the column itself may be left out
    COLUMN_ELEVATION,
    COLUMN_REMARKS,
    COLUMNS
};

static const char *const NAMES[COLUMNS] = {"site", "service", "from", "to", "latitude", "longitude",
    "uncertainty_m", "traps", "elevation_m", "remarks"};

struct actual_reader {
    const struct sel_fieldkit *kit;
    const char *path;
    const struct sel_csv_table *table;
    int columns[COLUMNS]; // where each stands in the file; -1: not there
    const struct sel_csv_record *record;
    sel_status status;
};

// `what` is wrong with the value, unless it is blank, which says all.
static void refuse(
    struct actual_reader *reader, enum column column, const char *what, const char *mend) {
    int index = reader->columns[column];
    if (reader->status != SEL_OK)
        return;
    const char *value = reader->record->fields[index];
    reader->status = sel_fail(reader->kit->package->context, SEL_BAD_INPUT, "%s:%d: %s: %s%s: %s",
        reader->path, reader->record->line, NAMES[column],
        value[0] ? sel_quote(value).chars : "is blank", value[0] ? what : "", mend);
}

static const char *cell(const struct actual_reader *reader, enum column column) {
    int index = reader->columns[column];
    return index < 0 ? "" : reader->record->fields[index];
}

// --- header ---

static int column_of(const char *name) {
    for (int i = 0; i < COLUMNS; i++)
        if (strcmp(name, NAMES[i]) == 0)
            return i;
    return -1;
}

static sel_status fail_header(
    const struct actual_reader *reader, const char *name, const char *what) {
    return sel_fail(reader->kit->package->context, SEL_BAD_INPUT,
        "%s:%d: column %s: %s: the columns are site, service, from, to, latitude, longitude, "
        "uncertainty_m, and if wanted traps, elevation_m and remarks",
        reader->path, reader->table->records[0].line, sel_quote(name).chars, what);
}

static sel_status find_columns(struct actual_reader *reader) {
    for (int i = 0; i < COLUMNS; i++)
        reader->columns[i] = -1;
    for (size_t i = 0; i < reader->table->columns; i++) {
        const char *name = reader->table->records[0].fields[i];
        int column = column_of(name);
        if (column < 0)
            return fail_header(reader, name, "is not known");
        if (reader->columns[column] >= 0)
            return fail_header(reader, name, "stands there twice");
        reader->columns[column] = (int)i;
    }
    for (int i = 0; i < COLUMN_TRAPS; i++)
        if (reader->columns[i] < 0)
            return fail_header(reader, NAMES[i], "is missing");
    return SEL_OK;
}

// --- cells ---

static const struct sel_fieldkit_site *take_site(struct actual_reader *reader) {
    const char *id = cell(reader, COLUMN_SITE);
    const struct sel_fieldkit_site *site = sel_fieldkit_find(reader->kit, id);
    if (!site)
        refuse(reader, COLUMN_SITE, ": is no site of the GeoPackage",
            "give an id like S01, or S01R1 for a reserve");
    return site;
}

static int take_service(struct actual_reader *reader) {
    int64_t number = 0;
    if (!sel_parse_whole(cell(reader, COLUMN_SERVICE), &number) || number < 1 ||
        number > SEL_SERVICE_MOST)
        refuse(reader, COLUMN_SERVICE, ": is no whole number from 1 to 999",
            "give the number on the bottle's label");
    return (int)number;
}

static int64_t take_day(struct actual_reader *reader, enum column column, const char *mend) {
    struct sel_date date = {2000, 1, 1};
    if (!sel_date_parse(cell(reader, column), &date))
        refuse(reader, column, ": is no day of the calendar", mend);
    return sel_date_day_number(date);
}

struct range {
    double least, most;
    const char *what;
};

static double take_number(
    struct actual_reader *reader, enum column column, struct range range, const char *mend) {
    double number = (double)NAN;
    bool good = sel_parse_number(cell(reader, column), &number);
    if (!good || number < range.least || number > range.most)
        refuse(reader, column, range.what, mend);
    return number;
}

// Blank: the plan's.
static int take_traps(struct actual_reader *reader) {
    int64_t number = reader->kit->plan.traps;
    const char *chars = cell(reader, COLUMN_TRAPS);
    if (chars[0] && (!sel_parse_whole(chars, &number) || number < 1 || number > TRAPS_MOST))
        refuse(reader, COLUMN_TRAPS, ": is no whole number from 1 to 100",
            "give how many traps stood at the site, or leave it blank for the plan's number");
    return (int)number;
}

static void take_position(struct actual_reader *reader, struct sel_actual_service *service) {
    service->placed = cell(reader, COLUMN_LATITUDE)[0] || cell(reader, COLUMN_LONGITUDE)[0] ||
                      cell(reader, COLUMN_UNCERTAINTY)[0];
    if (!service->placed)
        return;
    service->latitude =
        take_number(reader, COLUMN_LATITUDE, (struct range){-90.0, 90.0, ": is not in -90..90"},
            "give degrees with a decimal point, south negative");
    service->longitude = take_number(reader, COLUMN_LONGITUDE,
        (struct range){-180.0, 180.0, ": is not in -180..180"},
        "give degrees with a decimal point, west negative");
    service->uncertainty_m = take_number(reader, COLUMN_UNCERTAINTY,
        (struct range){0.1, 100000.0, ": is not in 0.1..100000"},
        "give what the receiver says the position is good to, in metres");
}

static void take_row(struct actual_reader *reader, struct sel_actual_service *service) {
    *service =
        (struct sel_actual_service){.line = reader->record->line, .elevation_m = (double)NAN};
    service->site = take_site(reader);
    service->service = take_service(reader);
    service->from_day =
        take_day(reader, COLUMN_FROM, "give the day the bottle was hung up, like 2027-05-15");
    service->to_day =
        take_day(reader, COLUMN_TO, "give the day the bottle came in, like 2027-05-22");
    if (service->to_day < service->from_day)
        refuse(reader, COLUMN_TO, ": lies before the day in column from", "mend one of the two");
    if (service->to_day == service->from_day)
        refuse(reader, COLUMN_TO,
            ": is the day in column from too, so that the bottle hung for 0 days",
            "mend one of the two");
    take_position(reader, service);
    service->traps = take_traps(reader);
    if (cell(reader, COLUMN_ELEVATION)[0])
        service->elevation_m = take_number(reader, COLUMN_ELEVATION,
            (struct range){-500.0, 9000.0, ": is not in -500..9000"},
            "give metres above sea level, or leave it blank");
    service->remarks = cell(reader, COLUMN_REMARKS);
}

static sel_status fail_empty(const struct actual_reader *reader) {
    return sel_fail(reader->kit->package->context, SEL_BAD_INPUT,
        "%s: holds no service: give one row for each bottle that came in, with its days",
        reader->path);
}

// A row of the template that nobody filled in.
static bool is_unfilled(const struct actual_reader *reader) {
    for (int i = COLUMN_FROM; i < COLUMNS; i++)
        if (cell(reader, (enum column)i)[0])
            return false;
    return true;
}

// Spreadsheets end a table with rows of nothing at all, which count as nothing.
static void skip_row(struct actual_reader *reader, struct sel_actual *actual) {
    if (!cell(reader, COLUMN_SITE)[0] && !cell(reader, COLUMN_SERVICE)[0])
        return;
    take_site(reader);
    take_service(reader);
    actual->blank++;
}

static void take_rows(struct actual_reader *reader, struct sel_actual *actual) {
    for (size_t i = 1; i < reader->table->record_count && reader->status == SEL_OK; i++) {
        reader->record = &reader->table->records[i];
        if (!is_unfilled(reader))
            take_row(reader, &actual->services[actual->count++]);
        else
            skip_row(reader, actual);
    }
    if (reader->status == SEL_OK && actual->count == 0)
        reader->status = fail_empty(reader);
}

sel_status sel_actual_read(
    const struct sel_fieldkit *kit, const char *path, struct sel_actual *actual) {
    sel_context *context = kit->package->context;
    *actual = (struct sel_actual){0};
    sel_status status = sel_csv_read(context, path, &actual->table);
    if (status != SEL_OK)
        return status;
    struct actual_reader reader = {.kit = kit, .path = path, .table = &actual->table};
    status = find_columns(&reader);
    if (status != SEL_OK)
        return status;
    actual->services = calloc(actual->table.record_count, sizeof *actual->services);
    if (!actual->services)
        return sel_fail_memory(context);
    take_rows(&reader, actual);
    return reader.status == SEL_OK ? sel_actual_check(kit, path, actual) : reader.status;
}

void sel_actual_clear(struct sel_actual *actual) {
    sel_csv_clear(&actual->table);
    free(actual->services);
    *actual = (struct sel_actual){0};
}

void sel_actual_template(const struct sel_fieldkit *kit, struct sel_text *csv) {
    for (int i = 0; i < COLUMNS; i++)
        sel_csv_cell(csv, NAMES[i]);
    sel_csv_end(csv);
    for (size_t place = 0; place < kit->primary_count; place++) {
        for (size_t stint = 0; stint < kit->stint_count; stint++) {
            sel_csv_cell(csv, sel_fieldkit_id(sel_fieldkit_at(kit, place)));
            sel_csv_cellf(csv, "%zu", stint + 1);
            for (int i = COLUMN_FROM; i < COLUMNS; i++)
                sel_csv_cell(csv, "");
            sel_csv_end(csv);
        }
    }
}
