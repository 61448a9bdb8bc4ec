// SPDX-License-Identifier: MIT
//
// Lays the days: a team goes out for one round a day, its rounds on days that follow each other and
// begin again after the interval. Setting up and taking down may take a round several days, which
// follow each other too: setting up begins on the round's first day, taking down ends on its last.
// Every round stands equally long, so its heads are changed on the same days after its first. No
// day has two visits of one team.
#include <stdlib.h>

#include "fieldkit/data.h"

// --- one round ---

static int *offset_of(struct sel_fieldkit *kit, size_t place, enum sel_visit visit) {
    struct sel_fieldkit_site *site = &kit->sites[kit->order[place]];
    return visit == SEL_VISIT_SETUP ? &site->setup_offset : &site->takedown_offset;
}

// The round is cut into days along its order, each as full as can be. Returns how many.
static int cut(struct sel_fieldkit *kit, size_t round, enum sel_visit visit) {
    const struct sel_round *row = &kit->rounds[round];
    double day_min = 60.0 * kit->plan.field.day_hours + 1e-6;
    size_t first = row->first;
    int day = 0;
    for (size_t place = row->first; place < row->first + row->count; place++) {
        struct sel_round tour = sel_fieldkit_tour(kit, first, place - first + 1, visit);
        if (place > first && sel_round_total_min(&tour) > day_min) {
            first = place;
            day++;
        }
        *offset_of(kit, place, visit) = day;
    }
    return day + 1;
}

static int leave_whole(struct sel_fieldkit *kit, size_t round, enum sel_visit visit) {
    const struct sel_round *row = &kit->rounds[round];
    for (size_t place = row->first; place < row->first + row->count; place++)
        *offset_of(kit, place, visit) = 0;
    return 1;
}

// What would take longer than the interval is no task for one team: it is left whole, and remarks
// tell how long that day is.
static int days_of(struct sel_fieldkit *kit, size_t round, enum sel_visit visit) {
    int days = cut(kit, round, visit);
    return days <= kit->plan.field.interval_days ? days : leave_whole(kit, round, visit);
}

// --- all rounds ---

// What the days as laid ask of the stints.
struct pace {
    int64_t spread; // from the first round's first day to the last one's
    int64_t apart;  // the fewest days between two visits to a round
    int64_t least;  // the fewest days from set-up to take-down
};

static int64_t larger(int64_t a, int64_t b) {
    return a > b ? a : b;
}

// A round that begins `next` days after the first of its team must be set up before that is
// visited again, and its heads changed before that is taken down.
static void reckon(
    const struct sel_fieldkit *kit, size_t round, size_t first, int64_t next, struct pace *pace) {
    int64_t setup = kit->setup_days[round], takedown = kit->takedown_days[first];
    pace->spread = larger(pace->spread, next);
    pace->apart = larger(pace->apart, next + larger(setup, takedown));
    pace->least = larger(pace->least, next + setup + takedown - 1);
}

// One team goes out round after round; after a whole interval it would have to be at its first
// round again, so from there on another team begins.
static struct pace lay_in_turn(struct sel_fieldkit *kit) {
    struct pace pace = {0, 1, 0};
    int64_t next = 0;
    size_t first = 0;
    for (size_t i = 0; i < kit->round_count; i++) {
        if (i > 0)
            next += larger(kit->setup_days[i - 1], kit->takedown_days[i]);
        int64_t busy = larger(kit->setup_days[i], kit->takedown_days[first]);
        if (next + busy > kit->plan.field.interval_days) {
            next = 0;
            first = i;
        }
        kit->setup_day[i] = kit->plan.first_day + next;
        reckon(kit, i, first, next, &pace);
    }
    return pace;
}

// A team for every round.
static struct pace lay_at_once(struct sel_fieldkit *kit) {
    struct pace pace = {0, 1, 0};
    for (size_t i = 0; i < kit->round_count; i++) {
        kit->setup_day[i] = kit->plan.first_day;
        reckon(kit, i, i, 0, &pace);
    }
    return pace;
}

static void leave_all_whole(struct sel_fieldkit *kit) {
    for (size_t i = 0; i < kit->round_count; i++) {
        kit->setup_days[i] = leave_whole(kit, i, SEL_VISIT_SETUP);
        kit->takedown_days[i] = leave_whole(kit, i, SEL_VISIT_TAKEDOWN);
    }
}

static bool fits(int64_t days, struct pace pace) {
    return days - pace.spread >= larger(SEL_STINT_LEAST_DAYS, pace.least);
}

// A season too short for rounds one after the other sends them all out on its first day; one too
// short for their set-up and take-down has no days to cut these into.
static struct pace lay_rounds(struct sel_fieldkit *kit) {
    int64_t days = kit->plan.last_day - kit->plan.first_day;
    for (size_t i = 0; i < kit->round_count; i++) {
        kit->setup_days[i] = days_of(kit, i, SEL_VISIT_SETUP);
        kit->takedown_days[i] = days_of(kit, i, SEL_VISIT_TAKEDOWN);
    }
    struct pace pace = lay_in_turn(kit);
    if (!fits(days, pace))
        pace = lay_at_once(kit);
    if (!fits(days, pace)) {
        leave_all_whole(kit);
        pace = lay_at_once(kit);
    }
    return pace;
}

// What is taken down on a round's first day of several shall have hung long enough as well.
static struct sel_stint_rule rule_of(const struct sel_fieldkit *kit, struct pace pace) {
    int interval = kit->plan.field.interval_days;
    int64_t wanted = pace.apart;
    for (size_t i = 0; i < kit->round_count; i++)
        wanted = larger(wanted, SEL_STINT_LEAST_DAYS + kit->takedown_days[i] - 1);
    return (struct sel_stint_rule){interval, wanted < interval ? wanted : interval};
}

static sel_status lay_stints(struct sel_fieldkit *kit, struct pace pace) {
    struct sel_stint_rule rule = rule_of(kit, pace);
    int64_t days = kit->plan.last_day - kit->plan.first_day - pace.spread;
    kit->stint_count = sel_stint_count(days, rule);
    kit->stints = malloc(kit->stint_count * sizeof *kit->stints);
    if (!kit->stints)
        return sel_fail_memory(kit->package->context);
    sel_stints_lay(0, days, rule, kit->stints);
    kit->unused_days = days - kit->stints[kit->stint_count - 1].to_day;
    return SEL_OK;
}

sel_status sel_fieldkit_lay_rounds(struct sel_fieldkit *kit) {
    if (!sel_fieldkit_make_rounds(kit))
        return sel_fail_memory(kit->package->context);
    kit->setup_day = malloc(kit->round_count * sizeof *kit->setup_day);
    kit->setup_days = malloc(kit->round_count * sizeof *kit->setup_days);
    kit->takedown_days = malloc(kit->round_count * sizeof *kit->takedown_days);
    if (!kit->setup_day || !kit->setup_days || !kit->takedown_days)
        return sel_fail_memory(kit->package->context);
    return lay_stints(kit, lay_rounds(kit));
}
