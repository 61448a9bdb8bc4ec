// SPDX-License-Identifier: MIT
//
// Puts the reading in order, names the survey, answers small questions.
#include "fieldkit/data.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "plan/dates.h"

// Identifiers stay short enough for labels and handsets.
enum { SLUG_MOST = 40 };

// --- slug ---

// A letter or digit of ASCII in lower case; 0 for anything else.
static int plain(char byte) {
    unsigned char code = (unsigned char)byte;
    return code < 0x80 && isalnum(code) ? tolower(code) : 0;
}

// Plain characters, with single hyphens for all between.
static void add_slug(struct sel_text *text, const char *title) {
    const char *hyphen = "";
    for (const char *at = title; *at && text->length < SLUG_MOST; at++) {
        int byte = plain(*at);
        if (byte)
            sel_text_addf(text, "%s%c", hyphen, byte);
        hyphen = byte || text->length == 0 ? "" : "-";
    }
    if (text->length == 0)
        sel_text_add(text, "survey");
}

static sel_status name_survey(struct sel_fieldkit *kit) {
    const char *title = sel_package_fact(kit->package, "title");
    const char *written = sel_package_fact(kit->package, "written");
    kit->title = title && title[0] ? title : "Flyway survey";
    kit->written = written ? written : "1970-01-01T00:00:00.000Z";
    struct sel_text slug;
    sel_text_init(&slug);
    add_slug(&slug, kit->title);
    sel_text_addf(&slug, "-%04d", sel_date_of_day(kit->plan.first_day).year);
    kit->slug = sel_text_take(&slug);
    return kit->slug ? SEL_OK : sel_fail_memory(kit->package->context);
}

// --- reading ---

static sel_status read_scale(struct sel_fieldkit *kit) {
    kit->metres = sel_package_number(kit->package, "grid.metres_per_unit");
    if (kit->metres > 0.0)
        return SEL_OK;
    return sel_fail(kit->package->context, SEL_BAD_INPUT,
        "%s: table run: grid.metres_per_unit is missing: the file was changed; rank again",
        kit->package->path);
}

static sel_status read_habitats(struct sel_fieldkit *kit) {
    void *rows = NULL;
    sel_status status =
        sel_package_rows(kit->package, &SEL_TABLE_HABITATS, &rows, &kit->habitat_count);
    kit->habitats = rows;
    return status;
}

sel_status sel_fieldkit_read(struct sel_package *package, struct sel_fieldkit *kit) {
    *kit = (struct sel_fieldkit){.package = package};
    sel_status status = sel_fieldkit_plan_read(package, &kit->plan);
    kit->middle_day = (kit->plan.first_day + kit->plan.last_day) / 2;
    static sel_status (*const STEPS[])(struct sel_fieldkit *) = {name_survey, read_scale,
        read_habitats, sel_fieldkit_read_sites, sel_fieldkit_read_flyways, sel_fieldkit_read_walks,
        sel_fieldkit_lay_rounds};
    for (size_t i = 0; i < sizeof STEPS / sizeof *STEPS && status == SEL_OK; i++)
        status = STEPS[i](kit);
    return status;
}

void sel_fieldkit_clear(struct sel_fieldkit *kit) {
    for (size_t i = 0; kit->sites && i < kit->site_count; i++) {
        free(kit->sites[i].walk.longitude);
        free(kit->sites[i].walk.latitude);
        free(kit->sites[i].walk.elevation_m);
    }
    free(kit->sites);
    free(kit->access);
    free(kit->order);
    free(kit->rounds);
    free(kit->setup_day);
    free(kit->setup_days);
    free(kit->takedown_days);
    free(kit->stints);
    free(kit->slug);
    sel_rows_free(&SEL_TABLE_PROFILE, kit->profile, kit->profile_count);
    sel_rows_free(&SEL_TABLE_HABITATS, kit->habitats, kit->habitat_count);
    sel_fieldkit_plan_clear(&kit->plan);
    *kit = (struct sel_fieldkit){0};
}

// --- questions ---

const struct sel_fieldkit_site *sel_fieldkit_at(const struct sel_fieldkit *kit, size_t place) {
    return &kit->sites[kit->order[place]];
}

const struct sel_fieldkit_site *sel_fieldkit_find(const struct sel_fieldkit *kit, const char *id) {
    for (size_t i = 0; i < kit->site_count; i++)
        if (strcmp(sel_fieldkit_id(&kit->sites[i]), id) == 0)
            return &kit->sites[i];
    return NULL;
}

struct sel_stint sel_fieldkit_stint(const struct sel_fieldkit *kit, size_t round, size_t stint) {
    int64_t setup = kit->setup_day[round];
    return (struct sel_stint){
        setup + kit->stints[stint].from_day, setup + kit->stints[stint].to_day};
}

struct sel_stint sel_fieldkit_site_stint(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, size_t stint) {
    struct sel_stint days = sel_fieldkit_stint(kit, (size_t)site->round, stint);
    if (stint == 0)
        days.from_day += site->setup_offset;
    if (stint + 1 == kit->stint_count)
        days.to_day = sel_fieldkit_takedown_day(kit, (size_t)site->round) + site->takedown_offset;
    return days;
}

int64_t sel_fieldkit_site_days(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    return sel_fieldkit_site_stint(kit, site, kit->stint_count - 1).to_day -
           sel_fieldkit_site_stint(kit, site, 0).from_day;
}

int64_t sel_fieldkit_takedown_day(const struct sel_fieldkit *kit, size_t round) {
    int64_t last = sel_fieldkit_stint(kit, round, kit->stint_count - 1).to_day;
    return last - kit->takedown_days[round] + 1;
}

const char *sel_fieldkit_id(const struct sel_fieldkit_site *site) {
    return site->row->site && site->row->site[0] ? site->row->site : "?";
}

const char *sel_fieldkit_place(const struct sel_fieldkit *kit) {
    return kit->plan.field.place ? kit->plan.field.place : kit->title;
}

const char *sel_fieldkit_habitat(const char *name) {
    return name && name[0] ? name : "unknown habitat";
}
