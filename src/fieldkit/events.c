// SPDX-License-Identifier: MIT
//
// Events as planned and as they were, in two tables that never mix: a planned event is no record of
// anything, so only the actual ones are meant to be published.
#include "fieldkit/events.h"

#include <math.h>

#include "fieldkit/event_row.h"
#include "fieldkit/words.h"

// --- planned ---

static struct sel_event planned_event(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    return (struct sel_event){.site = site,
        .from_day = sel_fieldkit_site_stint(kit, site, 0).from_day,
        .to_day = sel_fieldkit_site_stint(kit, site, kit->stint_count - 1).to_day,
        .bottles = (int)kit->stint_count * kit->plan.traps,
        .traps = kit->plan.traps,
        .latitude = site->row->latitude,
        .longitude = site->row->longitude,
        .uncertainty_m = site->row->coordinate_uncertainty_m,
        .elevation_m = site->row->elevation_m,
        .remarks = "planned, not yet done",
        .location_remarks = "planned position, taken from maps; nobody has been there yet",
        .georeference_protocol = "planned from rasters; uncertainty is the diagonal of a cell"};
}

// All the traps stand all the time.
static void set_days(struct sel_event *event, int64_t days) {
    event->days = days;
    event->trap_days = days * event->traps;
}

void sel_fieldkit_events_planned(const struct sel_fieldkit *kit, struct sel_text *csv) {
    sel_event_heads(csv);
    for (size_t i = 0; i < kit->site_count; i++) {
        if (kit->sites[i].round == SEL_NO_ROUND)
            continue;
        struct sel_event event = planned_event(kit, &kit->sites[i]);
        set_days(&event, sel_fieldkit_site_days(kit, &kit->sites[i]));
        sel_event_add(kit, &event, csv);
        for (size_t stint = 0; stint < kit->stint_count; stint++) {
            struct sel_stint days = sel_fieldkit_site_stint(kit, &kit->sites[i], stint);
            event.service = (int)stint + 1;
            event.from_day = days.from_day;
            event.to_day = days.to_day;
            set_days(&event, days.to_day - days.from_day);
            sel_event_add(kit, &event, csv);
        }
    }
}

// --- actual ---

static const char READ_ON_SITE[] = "position read on site, uncertainty as told by the collector";

static void tell_position(const struct sel_actual_service *service, struct sel_text *remarks) {
    const struct sel_site_row *row = service->site->row;
    double moved =
        sel_actual_distance_m(row->latitude, row->longitude, service->latitude, service->longitude);
    sel_text_addf(remarks, "actual position, %.0f m from the planned one at %.6f, %.6f", moved,
        row->latitude, row->longitude);
    if (row->reserve_for)
        sel_text_addf(remarks, "; a reserve that stands for %s", row->reserve_for);
}

// What the plan says of the same bottle. A reserve has no days of its own in the plan: it takes
// over those of its primary.
static void tell_plan(const struct sel_fieldkit *kit, const struct sel_actual_service *service,
    struct sel_text *remarks) {
    const struct sel_fieldkit_site *site =
        service->site->primary ? service->site->primary : service->site;
    sel_text_add(remarks, "done");
    if (site->round == SEL_NO_ROUND || service->service > (int)kit->stint_count) {
        sel_text_add(remarks, "; not in the plan");
    } else {
        struct sel_stint days = sel_fieldkit_site_stint(kit, site, (size_t)service->service - 1);
        sel_text_add(remarks, "; planned ");
        sel_add_interval(remarks, days.from_day, days.to_day);
    }
    if (service->remarks[0])
        sel_text_addf(remarks, "; %s", service->remarks);
}

static struct sel_event actual_event(const struct sel_actual_service *service) {
    const struct sel_site_row *row = service->site->row;
    return (struct sel_event){.site = service->site,
        .service = service->service,
        .from_day = service->from_day,
        .to_day = service->to_day,
        .days = service->to_day - service->from_day,
        .traps = service->traps,
        .trap_days = (service->to_day - service->from_day) * service->traps,
        .latitude = service->latitude,
        .longitude = service->longitude,
        .uncertainty_m = service->uncertainty_m,
        .elevation_m = isnan(service->elevation_m) ? row->elevation_m : service->elevation_m,
        .georeference_protocol = READ_ON_SITE};
}

// The parent stands at the first position; its uncertainty takes in all the others.
static struct sel_event actual_parent(const struct sel_actual_service *first, size_t count) {
    struct sel_event event = actual_event(first);
    event.service = 0;
    event.bottles = first->traps;
    for (size_t i = 1; i < count; i++) {
        double off = sel_actual_distance_m(
            first->latitude, first->longitude, first[i].latitude, first[i].longitude);
        event.uncertainty_m = fmax(event.uncertainty_m, off + first[i].uncertainty_m);
        event.to_day = first[i].to_day;
        event.days += first[i].to_day - first[i].from_day;
        event.traps = first[i].traps > event.traps ? first[i].traps : event.traps;
        event.trap_days += (first[i].to_day - first[i].from_day) * first[i].traps;
        event.bottles += first[i].traps;
    }
    return event;
}

static void add_actual(const struct sel_fieldkit *kit, const struct sel_actual_service *service,
    struct sel_event *event, struct sel_text *csv) {
    struct sel_text remarks, location;
    sel_text_init(&remarks);
    sel_text_init(&location);
    tell_position(service, &location);
    if (event->service == 0)
        sel_text_add(&remarks, "done");
    else
        tell_plan(kit, service, &remarks);
    event->remarks = remarks.chars;
    event->location_remarks = location.chars;
    sel_event_add(kit, event, csv);
    csv->failed = csv->failed || remarks.failed || location.failed;
    sel_text_clear(&remarks);
    sel_text_clear(&location);
}

static size_t services_of_site(const struct sel_actual *actual, size_t first) {
    size_t count = 1;
    while (first + count < actual->count &&
           actual->services[first + count].site == actual->services[first].site)
        count++;
    return count;
}

void sel_fieldkit_events_actual(
    const struct sel_fieldkit *kit, const struct sel_actual *actual, struct sel_text *csv) {
    sel_event_heads(csv);
    for (size_t first = 0; first < actual->count;) {
        size_t count = services_of_site(actual, first);
        struct sel_event parent = actual_parent(&actual->services[first], count);
        add_actual(kit, &actual->services[first], &parent, csv);
        for (size_t i = 0; i < count; i++) {
            struct sel_event event = actual_event(&actual->services[first + i]);
            add_actual(kit, &actual->services[first + i], &event, csv);
        }
        first += count;
    }
}

// --- meta.xml ---

void sel_fieldkit_meta(const char *file, struct sel_text *xml) {
    static const char TERMS[] = "http://rs.tdwg.org/dwc/terms/";
    sel_text_addf(xml,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<archive xmlns=\"http://rs.tdwg.org/dwc/text/\">\n"
        "  <core encoding=\"UTF-8\" fieldsTerminatedBy=\",\" linesTerminatedBy=\"\\n\" "
        "fieldsEnclosedBy=\"&quot;\" ignoreHeaderLines=\"1\" rowType=\"%sEvent\">\n"
        "    <files>\n      <location>%s</location>\n    </files>\n    <id index=\"0\"/>\n",
        TERMS, file);
    for (size_t i = 0; SEL_EVENT_TERMS[i]; i++)
        sel_text_addf(
            xml, "    <field index=\"%zu\" term=\"%s%s\"/>\n", i, TERMS, SEL_EVENT_TERMS[i]);
    sel_text_add(xml, "  </core>\n</archive>\n");
}
