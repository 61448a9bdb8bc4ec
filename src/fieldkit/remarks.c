// SPDX-License-Identifier: MIT
//
// One function per thing that may be odd.
#include "fieldkit/remarks.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>

static void remark(struct sel_kit_remarks *remarks, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void remark(struct sel_kit_remarks *remarks, const char *format, ...) {
    if (remarks->count == SEL_KIT_REMARKS_MOST)
        return;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(remarks->lines[remarks->count++], SEL_KIT_REMARK_SIZE, format, arguments);
    va_end(arguments);
}

// --- days ---

static void on_interval(const struct sel_fieldkit *kit, struct sel_kit_remarks *remarks) {
    int days = kit->plan.field.interval_days;
    if (days < SEL_STINT_LEAST_DAYS)
        remark(remarks,
            "Warning: heads are changed every %d day%s. Usual are %d to %d days: shorter makes "
            "much "
            "work and disturbs the place.",
            days, days == 1 ? "" : "s", SEL_STINT_LEAST_DAYS, SEL_STINT_MOST_DAYS);
    if (days > SEL_STINT_MOST_DAYS)
        remark(remarks,
            "Warning: heads are changed every %d days. Usual are %d to %d days: a bottle left "
            "longer "
            "overfills, and its alcohol dilutes.",
            days, SEL_STINT_LEAST_DAYS, SEL_STINT_MOST_DAYS);
}

static void on_season(const struct sel_fieldkit *kit, struct sel_kit_remarks *remarks) {
    const struct sel_stint *last = &kit->stints[kit->stint_count - 1];
    int64_t days = last->to_day - last->from_day;
    bool usual = kit->plan.field.interval_days >= SEL_STINT_LEAST_DAYS &&
                 kit->plan.field.interval_days <= SEL_STINT_MOST_DAYS;
    if (usual && !sel_stint_is_usual(days))
        remark(remarks,
            "Warning: the season is so short that the last bottle hangs for %lld day%s%s.",
            (long long)days, days == 1 ? "" : "s", days < SEL_STINT_LEAST_DAYS ? " only" : "");
    if (kit->plan.season_is_default)
        remark(remarks, "The season was not set in the plan: the default stands, which is a guess. "
                        "Set season.from and season.to and rank again.");
}

static void on_teams(const struct sel_fieldkit *kit, struct sel_kit_remarks *remarks) {
    size_t on_first_day = 0;
    for (size_t i = 0; i < kit->round_count; i++)
        on_first_day += kit->setup_day[i] == kit->setup_day[0];
    if (on_first_day > 1)
        remark(remarks,
            "Warning: %zu rounds fall on one day, so %zu teams are needed: take fewer sites, "
            "longer "
            "days (field.day_hours), a longer interval or a longer season.",
            on_first_day, on_first_day);
}

static void on_long_rounds(const struct sel_fieldkit *kit, struct sel_kit_remarks *remarks) {
    const struct sel_plan_field *field = &kit->plan.field;
    for (size_t i = 0; i < kit->round_count; i++) {
        double hours = sel_round_total_min(&kit->rounds[i]) / 60.0;
        if (hours > field->day_hours + 0.01)
            remark(remarks,
                "Warning: round %zu takes about %.1f h, more than the field day of %.4g h: its one "
                "site is too far for a day.",
                i + 1, hours, field->day_hours);
    }
}

// "in every round", "in 2 of 3 rounds".
static const char *in_rounds(const struct sel_fieldkit *kit, size_t some, char words[64]) {
    if (some == kit->round_count)
        return "in every round";
    snprintf(words, 64, "in %zu of %zu rounds", some, kit->round_count);
    return words;
}

// The longest of a visit's days over all rounds, h.
static double longest_day(const struct sel_fieldkit *kit, enum sel_visit visit) {
    double longest = 0.0;
    for (size_t i = 0; i < kit->round_count; i++) {
        int days = visit == SEL_VISIT_SETUP ? kit->setup_days[i] : kit->takedown_days[i];
        for (int day = 0; day < days; day++) {
            struct sel_round tour = visit == SEL_VISIT_SETUP ? sel_fieldkit_setup(kit, i, day)
                                                             : sel_fieldkit_takedown(kit, i, day);
            longest = fmax(longest, sel_round_total_min(&tour) / 60.0);
        }
    }
    return longest;
}

static size_t count_split(const struct sel_fieldkit *kit, const int *days) {
    size_t split = 0;
    for (size_t i = 0; i < kit->round_count; i++)
        split += days[i] > 1 ? 1 : 0;
    return split;
}

static void on_long_day(
    const struct sel_fieldkit *kit, enum sel_visit visit, struct sel_kit_remarks *remarks) {
    double longest = longest_day(kit, visit);
    if (longest > kit->plan.field.day_hours + 0.01)
        remark(remarks,
            "Warning: the longest %s day takes about %.1f h, more than the field day of %.4g h, "
            "and cannot be shared out over more days: go with more teams.",
            visit == SEL_VISIT_SETUP ? "set-up" : "take-down", longest, kit->plan.field.day_hours);
}

static void on_setups(const struct sel_fieldkit *kit, struct sel_kit_remarks *remarks) {
    char words[64];
    size_t split = count_split(kit, kit->setup_days);
    if (split > 0)
        remark(remarks,
            "Setting up takes more than one day %s; what is set up later in a round has a shorter "
            "first bottle.",
            in_rounds(kit, split, words));
    on_long_day(kit, SEL_VISIT_SETUP, remarks);
}

static void on_takedowns(const struct sel_fieldkit *kit, struct sel_kit_remarks *remarks) {
    char words[64];
    size_t split = count_split(kit, kit->takedown_days);
    if (split > 0)
        remark(remarks,
            "Taking down takes more than one day %s; what is taken down earlier in a round has a "
            "shorter last bottle.",
            in_rounds(kit, split, words));
    on_long_day(kit, SEL_VISIT_TAKEDOWN, remarks);
    if (kit->unused_days > 0)
        remark(remarks,
            "Traps are taken down %lld day%s before the season ends: what is left would be too "
            "short for a team to get round.",
            (long long)kit->unused_days, kit->unused_days == 1 ? "" : "s");
}

// How many sites have so short a bottle, only because their round is not done in a day.
static size_t count_short(const struct sel_fieldkit *kit, size_t stint) {
    size_t count = 0;
    for (size_t i = 0; i < kit->primary_count; i++) {
        const struct sel_fieldkit_site *site = sel_fieldkit_at(kit, i);
        struct sel_stint days = sel_fieldkit_site_stint(kit, site, stint);
        struct sel_stint whole = sel_fieldkit_stint(kit, (size_t)site->round, stint);
        int64_t hung = days.to_day - days.from_day;
        bool shortened = hung < whole.to_day - whole.from_day;
        count += shortened && hung < SEL_STINT_LEAST_DAYS ? 1 : 0;
    }
    return count;
}

static void on_short_bottles(const struct sel_fieldkit *kit, struct sel_kit_remarks *remarks) {
    size_t first = count_short(kit, 0), last = count_short(kit, kit->stint_count - 1);
    if (first > 0)
        remark(remarks,
            "Warning: setting up takes so long that the first bottle of %zu site%s hangs for less "
            "than %d days: go with more teams.",
            first, first == 1 ? "" : "s", SEL_STINT_LEAST_DAYS);
    if (last > 0 && kit->stint_count > 1)
        remark(remarks,
            "Warning: taking down takes so long that the last bottle of %zu site%s hangs for less "
            "than %d days: go with more teams.",
            last, last == 1 ? "" : "s", SEL_STINT_LEAST_DAYS);
}

// --- walks and bearings ---

static size_t count_walks(const struct sel_fieldkit *kit, enum sel_walk_source source) {
    size_t count = 0;
    for (size_t i = 0; i < kit->site_count; i++)
        count += kit->sites[i].walk_source == source;
    return count;
}

static void on_walks(const struct sel_fieldkit *kit, struct sel_kit_remarks *remarks) {
    size_t guessed = count_walks(kit, SEL_WALK_STRAIGHT);
    size_t unknown = count_walks(kit, SEL_WALK_UNKNOWN);
    if (guessed > 0)
        remark(remarks,
            "The walk to %zu of %zu places is guessed: the straight line at off-path speed on flat "
            "ground (about 3 km/h). The real way is longer.",
            guessed, kit->site_count);
    if (unknown > 0)
        remark(remarks,
            "The walk to %zu of %zu places is not known, since the plan names no access, and is "
            "not counted: rounds will take longer than told, and may not fit into a day.",
            unknown, kit->site_count);
    if (kit->walks_left_out && unknown < kit->site_count)
        remark(remarks, "The file holds no walks over the ground, so sites.gpx has no tracks: rank "
                        "with criteria.access.by: time to get them.");
    if (kit->access_count == 0)
        remark(remarks, "Where the walks begin is not known: travel is counted from site to site.");
}

static void on_north(const struct sel_fieldkit *kit, struct sel_kit_remarks *remarks) {
    size_t missing = 0;
    for (size_t i = 0; i < kit->site_count; i++)
        missing += isnan(kit->sites[i].row->declination_deg) ? 1 : 0;
    if (missing > 0)
        remark(remarks,
            "No magnetic bearings for %zu of %zu places: the season lies outside the magnetic "
            "model's years (2025 to 2030), or a compass is useless there. Their bearings are true "
            "ones only.",
            missing, kit->site_count);
}

// --- place ---

// Labels and events outlive the plan: a stranger must find the place from them.
static void on_place(const struct sel_fieldkit *kit, struct sel_kit_remarks *remarks) {
    const struct sel_plan_field *field = &kit->plan.field;
    const char *unset[3];
    int count = 0;
    if (!field->place)
        unset[count++] = "field.place";
    if (!field->region)
        unset[count++] = "field.region";
    if (!field->country_code)
        unset[count++] = "field.country_code";
    if (count > 0)
        remark(remarks,
            "The plan leaves out %s%s%s%s%s: labels and events should tell a stranger where the "
            "place is.",
            unset[0],
            count > 2   ? ", "
            : count > 1 ? " and "
                        : "",
            count > 1 ? unset[1] : "", count > 2 ? " and " : "", count > 2 ? unset[2] : "");
}

void sel_fieldkit_remarks(const struct sel_fieldkit *kit, struct sel_kit_remarks *remarks) {
    *remarks = (struct sel_kit_remarks){.count = 0};
    on_interval(kit, remarks);
    on_season(kit, remarks);
    on_teams(kit, remarks);
    on_setups(kit, remarks);
    on_takedowns(kit, remarks);
    on_short_bottles(kit, remarks);
    on_place(kit, remarks);
    on_walks(kit, remarks);
    on_north(kit, remarks);
    on_long_rounds(kit, remarks);
}
