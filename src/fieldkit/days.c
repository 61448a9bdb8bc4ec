// SPDX-License-Identifier: MIT
//
// Lays rounds and calendar: one team, one round a day, the rounds on days that follow each other
// and begin again after the interval. Every round stands equally long, so its heads are changed on
// the same days after its set-up.
#include <math.h>
#include <stdlib.h>

#include "fieldkit/data.h"

// At one site, min.
static double work_min(const struct sel_fieldkit *kit, enum sel_visit visit) {
    const struct sel_plan_field *field = &kit->plan.field;
    double of_trap = visit == SEL_VISIT_SETUP    ? field->setup_min
                     : visit == SEL_VISIT_CHANGE ? field->service_min
                                                 : field->takedown_min;
    return of_trap * kit->plan.traps;
}

static struct sel_round_stop stop_of(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    double x = site->row->x, y = site->row->y;
    if (site->access != SEL_NO_ACCESS) {
        x = kit->access[site->access].x;
        y = kit->access[site->access].y;
    }
    return (struct sel_round_stop){.access = {x * kit->metres, y * kit->metres},
        .walk_min = isnan(site->walk_min) ? 0.0 : 2.0 * site->walk_min,
        .work_min = work_min(kit, SEL_VISIT_CHANGE)};
}

// The primaries come in the order of the file; what the rounds call 0, 1, ... are their numbers.
static void number_primaries(
    const struct sel_fieldkit *kit, struct sel_round_stop *stops, size_t *numbers) {
    size_t count = 0;
    for (size_t i = 0; i < kit->site_count; i++) {
        if (kit->sites[i].row->reserve_for)
            continue;
        stops[count] = stop_of(kit, &kit->sites[i]);
        numbers[count++] = i;
    }
}

static void mark_rounds(struct sel_fieldkit *kit, const size_t *numbers) {
    for (size_t i = 0; i < kit->primary_count; i++)
        kit->order[i] = numbers[kit->order[i]];
    for (size_t round = 0; round < kit->round_count; round++)
        for (size_t i = 0; i < kit->rounds[round].count; i++)
            kit->sites[kit->order[kit->rounds[round].first + i]].round = (int)round;
}

static bool make_rounds(struct sel_fieldkit *kit) {
    const struct sel_plan_field *field = &kit->plan.field;
    struct sel_round_rule rule = {60.0 * field->day_hours, field->travel_kmh * 1000.0 / 60.0};
    struct sel_round_stop *stops = malloc(kit->primary_count * sizeof *stops);
    size_t *numbers = malloc(kit->primary_count * sizeof *numbers);
    kit->order = malloc(kit->primary_count * sizeof *kit->order);
    kit->rounds = malloc(kit->primary_count * sizeof *kit->rounds);
    bool made = stops && numbers && kit->order && kit->rounds;
    if (made) {
        number_primaries(kit, stops, numbers);
        made = sel_rounds_make(
            stops, kit->primary_count, &rule, kit->order, kit->rounds, &kit->round_count);
    }
    if (made)
        mark_rounds(kit, numbers);
    free(stops);
    free(numbers);
    return made;
}

// --- tours ---

struct sel_round sel_fieldkit_tour(
    const struct sel_fieldkit *kit, size_t first, size_t count, enum sel_visit visit) {
    struct sel_round tour = {.first = first, .count = count};
    double metres_per_min = kit->plan.field.travel_kmh * 1000.0 / 60.0;
    for (size_t i = 0; i < count; i++) {
        struct sel_round_stop stop = stop_of(kit, sel_fieldkit_at(kit, first + i));
        tour.walk_min += stop.walk_min;
        tour.work_min += work_min(kit, visit);
        if (i == 0)
            continue;
        struct sel_round_stop before = stop_of(kit, sel_fieldkit_at(kit, first + i - 1));
        tour.travel_min += hypot(stop.access.x - before.access.x, stop.access.y - before.access.y) /
                           metres_per_min;
    }
    return tour;
}

struct sel_round sel_fieldkit_setup(const struct sel_fieldkit *kit, size_t round, int day) {
    size_t first = kit->rounds[round].first, end = first + kit->rounds[round].count;
    while (first < end && sel_fieldkit_at(kit, first)->setup_offset < day)
        first++;
    size_t count = 0;
    while (first + count < end && sel_fieldkit_at(kit, first + count)->setup_offset == day)
        count++;
    return sel_fieldkit_tour(kit, first, count, SEL_VISIT_SETUP);
}

struct sel_round sel_fieldkit_takedown(const struct sel_fieldkit *kit, size_t round) {
    const struct sel_round *row = &kit->rounds[round];
    return sel_fieldkit_tour(kit, row->first, row->count, SEL_VISIT_TAKEDOWN);
}

// --- days ---

// Setting up takes longer than a change: the round is cut into days, in its order.
static int cut_setup(struct sel_fieldkit *kit, size_t round) {
    const struct sel_round *row = &kit->rounds[round];
    double day_min = 60.0 * kit->plan.field.day_hours + 1e-6;
    size_t first = row->first;
    int day = 0;
    for (size_t place = row->first; place < row->first + row->count; place++) {
        struct sel_round tour = sel_fieldkit_tour(kit, first, place - first + 1, SEL_VISIT_SETUP);
        if (place > first && sel_round_total_min(&tour) > day_min) {
            first = place;
            day++;
        }
        kit->sites[kit->order[place]].setup_offset = day;
    }
    return day + 1;
}

// One team sets up round after round; after a whole interval it would have to be at the first round
// again, so from there on another team begins.
static int64_t lay_setups(struct sel_fieldkit *kit) {
    int64_t next = 0, spread = 0;
    for (size_t i = 0; i < kit->round_count; i++) {
        kit->setup_days[i] = cut_setup(kit, i);
        if (next > 0 && next + kit->setup_days[i] > kit->plan.field.interval_days)
            next = 0;
        kit->setup_day[i] = kit->plan.first_day + next;
        spread = next > spread ? next : spread;
        next += kit->setup_days[i];
    }
    return spread;
}

// A season too short for rounds one after the other sends them all out on its first day.
static int64_t days_standing(struct sel_fieldkit *kit) {
    int64_t days = kit->plan.last_day - kit->plan.first_day, spread = lay_setups(kit);
    if (days - spread >= SEL_STINT_LEAST_DAYS)
        return days - spread;
    for (size_t i = 0; i < kit->round_count; i++)
        kit->setup_day[i] = kit->plan.first_day;
    return days;
}

sel_status sel_fieldkit_lay_rounds(struct sel_fieldkit *kit) {
    if (!make_rounds(kit))
        return sel_fail_memory(kit->package->context);
    kit->setup_day = malloc(kit->round_count * sizeof *kit->setup_day);
    kit->setup_days = malloc(kit->round_count * sizeof *kit->setup_days);
    if (!kit->setup_day || !kit->setup_days)
        return sel_fail_memory(kit->package->context);
    int64_t days = days_standing(kit);
    kit->stint_count = sel_stint_count(days, kit->plan.field.interval_days);
    kit->stints = malloc(kit->stint_count * sizeof *kit->stints);
    if (!kit->stints)
        return sel_fail_memory(kit->package->context);
    sel_stints_lay(0, days, kit->plan.field.interval_days, kit->stints);
    return SEL_OK;
}
