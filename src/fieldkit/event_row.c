// SPDX-License-Identifier: MIT
//
// The columns of the event table: terms of Darwin Core (namespace http://rs.tdwg.org/dwc/terms/),
// classes Event and Location, that every reader of the standard knows. The plan's region and
// country begin with a letter, and no other cell begins with text of a user, so none can be taken
// for a formula by a spreadsheet.
#include "fieldkit/event_row.h"

#include <math.h>

#include "fieldkit/csv.h"
#include "fieldkit/words.h"
#include "plan/dates.h"

const char *const SEL_EVENT_TERMS[] = {"eventID", "parentEventID", "fieldNumber", "eventDate",
    "startDayOfYear", "endDayOfYear", "habitat", "samplingProtocol", "sampleSizeValue",
    "sampleSizeUnit", "samplingEffort", "eventRemarks", "locationID", "countryCode",
    "stateProvince", "locality", "minimumElevationInMeters", "maximumElevationInMeters",
    "decimalLatitude", "decimalLongitude", "geodeticDatum", "coordinateUncertaintyInMeters",
    "coordinatePrecision", "georeferenceProtocol", "locationRemarks", NULL};

static const char PRECISION[] = "0.000001"; // of the coordinates as written, degrees

void sel_event_heads(struct sel_text *csv) {
    for (size_t i = 0; SEL_EVENT_TERMS[i]; i++)
        sel_csv_cell(csv, SEL_EVENT_TERMS[i]);
    sel_csv_end(csv);
}

static void take_cell(struct sel_text *csv, struct sel_text *cell) {
    csv->failed = csv->failed || cell->failed;
    sel_csv_cell(csv, cell->chars);
    sel_text_clear(cell);
}

// --- event ---

void sel_event_id(const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, int service,
    struct sel_text *text) {
    sel_text_addf(text, "%s:%s", kit->slug, sel_fieldkit_id(site));
    if (service > 0)
        sel_text_addf(text, ":%03d", service);
}

static void add_ids(
    const struct sel_fieldkit *kit, const struct sel_event *event, struct sel_text *csv) {
    const char *id = sel_fieldkit_id(event->site);
    bool parent = event->service == 0;
    struct sel_text cell;
    sel_text_init(&cell);
    sel_event_id(kit, event->site, event->service, &cell);
    take_cell(csv, &cell);
    if (!parent)
        sel_event_id(kit, event->site, 0, &cell);
    take_cell(csv, &cell);
    sel_text_add(&cell, id);
    if (!parent)
        sel_text_addf(&cell, "-%d", event->service);
    take_cell(csv, &cell);
}

static void add_dates(const struct sel_event *event, struct sel_text *csv) {
    struct sel_text cell;
    sel_text_init(&cell);
    sel_add_interval(&cell, event->from_day, event->to_day);
    take_cell(csv, &cell);
    sel_csv_cellf(csv, "%d", sel_date_day_of_year(sel_date_of_day(event->from_day)));
    sel_csv_cellf(csv, "%d", sel_date_day_of_year(sel_date_of_day(event->to_day)));
}

// "2 traps x 14 days in 4 bottles"; where the number of traps changed, the sum alone is true.
static void add_effort(const struct sel_event *event, struct sel_text *cell) {
    long long days = (long long)event->days, trap_days = (long long)event->trap_days;
    if (trap_days == days * event->traps)
        sel_text_addf(cell, "%d trap%s x %lld day%s", event->traps, event->traps == 1 ? "" : "s",
            days, days == 1 ? "" : "s");
    else
        sel_text_addf(cell, "%lld trap-days of up to %d traps", trap_days, event->traps);
    if (event->service == 0)
        sel_text_addf(cell, " in %d bottle%s", event->bottles, event->bottles == 1 ? "" : "s");
}

static void add_sampling(
    const struct sel_fieldkit *kit, const struct sel_event *event, struct sel_text *csv) {
    struct sel_text cell;
    sel_text_init(&cell);
    sel_text_addf(&cell, "edge between %s and %s",
        sel_fieldkit_habitat(event->site->row->habitat_a),
        sel_fieldkit_habitat(event->site->row->habitat_b));
    take_cell(csv, &cell);
    sel_text_addf(&cell, "passive flight trap: %s", kit->plan.field.trap_type);
    if (kit->plan.field.preservative)
        sel_text_addf(&cell, "; preservative: %s", kit->plan.field.preservative);
    take_cell(csv, &cell);
    sel_csv_cellf(csv, "%lld", (long long)event->trap_days);
    sel_csv_cell(csv, "day");
    add_effort(event, &cell);
    take_cell(csv, &cell);
    sel_csv_cell(csv, event->remarks);
}

// --- location ---

static void add_place(
    const struct sel_fieldkit *kit, const struct sel_event *event, struct sel_text *csv) {
    const char *parcel = event->site->row->parcel;
    struct sel_text cell;
    sel_text_init(&cell);
    sel_text_addf(&cell, "%s:%s", kit->slug, sel_fieldkit_id(event->site));
    take_cell(csv, &cell);
    sel_csv_cell(csv, kit->plan.field.country_code);
    sel_csv_cell(csv, kit->plan.field.region);
    sel_text_addf(&cell, kit->plan.field.place ? "site %s, %s" : "site %s of %s",
        sel_fieldkit_id(event->site), sel_fieldkit_place(kit));
    if (parcel && parcel[0])
        sel_text_addf(&cell, ", parcel %s", parcel);
    take_cell(csv, &cell);
    sel_csv_number(csv, event->elevation_m, 0);
    sel_csv_number(csv, event->elevation_m, 0);
}

static void add_coordinates(const struct sel_event *event, struct sel_text *csv) {
    sel_csv_number(csv, event->latitude, 6);
    sel_csv_number(csv, event->longitude, 6);
    sel_csv_cell(csv, "EPSG:4326");
    sel_csv_number(csv, ceil(event->uncertainty_m), 0);
    sel_csv_cell(csv, PRECISION);
    sel_csv_cell(csv, event->georeference_protocol);
    sel_csv_cell(csv, event->location_remarks);
}

void sel_event_add(
    const struct sel_fieldkit *kit, const struct sel_event *event, struct sel_text *csv) {
    add_ids(kit, event, csv);
    add_dates(event, csv);
    add_sampling(kit, event, csv);
    add_place(kit, event, csv);
    add_coordinates(event, csv);
    sel_csv_end(csv);
}
