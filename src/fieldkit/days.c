// SPDX-License-Identifier: MIT
//
// Groups the primaries into rounds and sums what a tour through some of them takes. The days on
// which rounds go out are laid in season.c.
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

bool sel_fieldkit_make_rounds(struct sel_fieldkit *kit) {
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

// The places of a round that fall on one of the days of its set-up or take-down.
static struct sel_round part(
    const struct sel_fieldkit *kit, size_t round, int day, enum sel_visit visit) {
    size_t first = kit->rounds[round].first, count = 0;
    for (size_t place = first; place < kit->rounds[round].first + kit->rounds[round].count;
         place++) {
        const struct sel_fieldkit_site *site = sel_fieldkit_at(kit, place);
        int falls_on = visit == SEL_VISIT_SETUP ? site->setup_offset : site->takedown_offset;
        first += falls_on < day ? 1 : 0;
        count += falls_on == day ? 1 : 0;
    }
    return sel_fieldkit_tour(kit, first, count, visit);
}

struct sel_round sel_fieldkit_setup(const struct sel_fieldkit *kit, size_t round, int day) {
    return part(kit, round, day, SEL_VISIT_SETUP);
}

struct sel_round sel_fieldkit_takedown(const struct sel_fieldkit *kit, size_t round, int day) {
    return part(kit, round, day, SEL_VISIT_TAKEDOWN);
}
