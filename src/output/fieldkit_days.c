// SPDX-License-Identifier: MIT
//
// Lays rounds and calendar: one team, one round a day, the rounds on days that follow each other
// and begin again after the interval. Every round stands equally long, so its heads are changed on
// the same days after its set-up.
#include <math.h>
#include <stdlib.h>

#include "output/fieldkit_data.h"

static struct sel_round_stop stop_of(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site) {
    double x = site->row->x, y = site->row->y;
    if (site->access != SEL_NO_ACCESS) {
        x = kit->access[site->access].x;
        y = kit->access[site->access].y;
    }
    return (struct sel_round_stop){.access = {x * kit->metres, y * kit->metres},
        .walk_min = isnan(site->walk_min) ? 0.0 : 2.0 * site->walk_min,
        .work_min = kit->plan.field.service_min};
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

// How many days apart the first and the last set-up are. A season too short for that sends all
// rounds out on its first day.
static int64_t spread_of(const struct sel_fieldkit *kit) {
    int64_t rounds = (int64_t)kit->round_count, interval = kit->plan.field.interval_days;
    int64_t spread = (rounds < interval ? rounds : interval) - 1;
    int64_t days = kit->plan.last_day - kit->plan.first_day;
    return days - spread < SEL_STINT_LEAST_DAYS ? 0 : spread;
}

sel_status sel_fieldkit_lay_rounds(struct sel_fieldkit *kit) {
    if (!make_rounds(kit))
        return sel_fail_memory(kit->package->context);
    int64_t spread = spread_of(kit), days = kit->plan.last_day - kit->plan.first_day - spread;
    int interval = kit->plan.field.interval_days;
    kit->stint_count = sel_stint_count(days, interval);
    kit->stints = malloc(kit->stint_count * sizeof *kit->stints);
    kit->setup_day = malloc(kit->round_count * sizeof *kit->setup_day);
    if (!kit->stints || !kit->setup_day)
        return sel_fail_memory(kit->package->context);
    sel_stints_lay(0, days, interval, kit->stints);
    for (size_t i = 0; i < kit->round_count; i++)
        kit->setup_day[i] = kit->plan.first_day + (int64_t)i % (spread + 1);
    return SEL_OK;
}
