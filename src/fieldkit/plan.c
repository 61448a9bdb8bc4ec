// SPDX-License-Identifier: MIT
//
// The table holds every key as text, as the plan's own listing writes it (plan/each.c); ranges are
// checked again against the table of keys, since the file may have been edited.
#include "fieldkit/plan.h"

#include <string.h>

#include "plan/dates.h"
#include "plan/keys.h"
#include "plan/numbers.h"
#include "plan/words.h"

// A reading of the table that stops at its first failure.
struct key_reader {
    const struct sel_package *package;
    const struct sel_fieldkit_plan *plan;
    sel_status status;
};

static const struct sel_plan_row *find_among(
    const struct sel_plan_row *rows, size_t count, const char *key) {
    for (size_t i = 0; i < count; i++)
        if (rows[i].key && strcmp(rows[i].key, key) == 0)
            return &rows[i];
    return NULL;
}

static const struct sel_plan_row *find(const struct sel_fieldkit_plan *plan, const char *key) {
    return find_among(plan->rows, plan->row_count, key);
}

bool sel_fieldkit_plan_is_whole(const struct sel_plan_row *rows, size_t count) {
    static const char *const OTHERS[] = {
        "season.from", "season.to", "permit.fluids", "permit.traps_per_site"};
    size_t key_count;
    const struct sel_plan_key *keys = sel_plan_keys(&key_count);
    for (size_t i = 0; i < key_count; i++)
        if (sel_key_leaf(&keys[i], "field") && !find_among(rows, count, keys[i].name))
            return false;
    for (size_t i = 0; i < sizeof OTHERS / sizeof *OTHERS; i++)
        if (!find_among(rows, count, OTHERS[i]))
            return false;
    return true;
}

static const char *value_of(struct key_reader *reader, const char *key) {
    const struct sel_plan_row *row = find(reader->plan, key);
    if (row && row->value)
        return row->value;
    if (reader->status == SEL_OK)
        reader->status = sel_fail(reader->package->context, SEL_BAD_INPUT,
            "%s: table plan: %s is missing: the file was changed or comes from another version; "
            "rank again",
            reader->package->path, key);
    return NULL;
}

static void refuse(struct key_reader *reader, const char *key, const char *value) {
    if (reader->status == SEL_OK)
        reader->status = sel_fail(reader->package->context, SEL_BAD_INPUT,
            "%s: table plan: %s: %s is out of place: the file was changed; rank again",
            reader->package->path, key, value);
}

static double number(struct key_reader *reader, const char *name) {
    const struct sel_plan_key *key = sel_key_find(name);
    const char *value = value_of(reader, name);
    double read = 0.0;
    if (value && (!sel_parse_number(value, &read) || read < key->least || read > key->most))
        refuse(reader, name, value);
    return read;
}

static int whole(struct key_reader *reader, const char *name) {
    return (int)number(reader, name);
}

static int truth(struct key_reader *reader, const char *name) {
    const char *value = value_of(reader, name);
    bool yes = value && strcmp(value, "true") == 0;
    if (value && !yes && strcmp(value, "false") != 0)
        refuse(reader, name, value);
    return yes;
}

static char *words(struct key_reader *reader, const char *name) {
    const char *value = value_of(reader, name);
    bool given = value && (sel_key_find(name)->fallback || strcmp(value, "none") != 0);
    return given ? (char *)value : NULL;
}

static int64_t day(struct key_reader *reader, const char *name) {
    const char *value = value_of(reader, name);
    struct sel_date date = {2000, 1, 1};
    if (value && !sel_date_parse(value, &date))
        refuse(reader, name, value);
    return sel_date_day_number(date);
}

// What the event table gives as it stands is checked again.
static char *checked(struct key_reader *reader, const char *name, bool (*is_good)(const char *)) {
    char *value = words(reader, name);
    if (value && !is_good(value))
        refuse(reader, name, value);
    return value;
}

static double takedown(struct key_reader *reader, int setup_min) {
    const char *value = value_of(reader, "field.takedown_min");
    return value && strcmp(value, "auto") == 0 ? 0.5 * setup_min
                                               : number(reader, "field.takedown_min");
}

static void read_field(struct key_reader *reader, struct sel_plan_field *field) {
    field->day_hours = number(reader, "field.day_hours");
    field->interval_days = whole(reader, "field.interval_days");
    field->setup_min = whole(reader, "field.setup_min");
    field->service_min = whole(reader, "field.service_min");
    field->takedown_min = takedown(reader, field->setup_min);
    field->travel_kmh = number(reader, "field.travel_kmh");
    field->fluid_ml = number(reader, "field.fluid_ml");
    field->pans = whole(reader, "field.pans");
    field->pan_ml = number(reader, "field.pan_ml");
    field->trap_type = words(reader, "field.trap_type");
    field->preservative = words(reader, "field.preservative");
    if (!field->preservative)
        field->preservative = words(reader, "permit.fluids");
    field->collector = words(reader, "field.collector");
    field->place = words(reader, "field.place");
    field->region = checked(reader, "field.region", sel_begins_with_letter);
    field->country_code = checked(reader, "field.country_code", sel_is_country_code);
    field->label_code = truth(reader, "field.label_code");
}

sel_status sel_fieldkit_plan_read(struct sel_package *package, struct sel_fieldkit_plan *plan) {
    void *rows = NULL;
    *plan = (struct sel_fieldkit_plan){0};
    sel_status status = sel_package_rows(package, &SEL_TABLE_PLAN, &rows, &plan->row_count);
    plan->rows = rows;
    if (status != SEL_OK)
        return status;
    struct key_reader reader = {package, plan, SEL_OK};
    read_field(&reader, &plan->field);
    plan->traps = whole(&reader, "permit.traps_per_site");
    plan->first_day = day(&reader, "season.from");
    plan->last_day = day(&reader, "season.to");
    const struct sel_plan_row *from = find(plan, "season.from");
    plan->season_is_default = from && from->is_default == 1;
    if (reader.status == SEL_OK && plan->last_day < plan->first_day)
        refuse(&reader, "season.to", find(plan, "season.to")->value);
    return reader.status;
}

void sel_fieldkit_plan_clear(struct sel_fieldkit_plan *plan) {
    sel_rows_free(&SEL_TABLE_PLAN, plan->rows, plan->row_count);
    *plan = (struct sel_fieldkit_plan){0};
}
