// SPDX-License-Identifier: MIT
//
// Travel is summed in the order in which it is made, so a round's total is what a person adds up.
#include "fieldkit/rounds.h"

#include <math.h>
#include <stdlib.h>

// A day that is full to the last second counts as fitting.
static const double SLACK_MIN = 1e-6;

struct cutting {
    const struct sel_round_stop *stops;
    const struct sel_stop *places;
    const size_t *order;
    size_t count;
    const struct sel_round_rule *rule;
    size_t *rounds; // fewest for the first i sites
    double *travel; // least m for those rounds
    size_t *from;   // where the last of them begins
};

double sel_round_total_min(const struct sel_round *round) {
    return round->walk_min + round->work_min + round->travel_min;
}

static double site_min(const struct cutting *cutting, size_t i) {
    const struct sel_round_stop *stop = &cutting->stops[cutting->order[i]];
    return stop->walk_min + stop->work_min;
}

static void keep_better(struct cutting *cutting, size_t begin, size_t end, double travel_m) {
    size_t rounds = cutting->rounds[begin] + 1;
    double travel = cutting->travel[begin] + travel_m;
    bool first = cutting->rounds[end] == SIZE_MAX;
    bool better = rounds < cutting->rounds[end] ||
                  (rounds == cutting->rounds[end] && travel < cutting->travel[end]);
    if (!first && !better)
        return;
    cutting->rounds[end] = rounds;
    cutting->travel[end] = travel;
    cutting->from[end] = begin;
}

// The best way to cut the first `end` sites: the last round grows backwards until the day is full.
static void cut_before(struct cutting *cutting, size_t end) {
    double busy_min = 0.0, travel_m = 0.0;
    cutting->rounds[end] = SIZE_MAX;
    for (size_t begin = end; begin-- > 0;) {
        busy_min += site_min(cutting, begin);
        if (begin + 1 < end)
            travel_m += sel_route_length(cutting->places, cutting->order + begin, 2);
        double total = busy_min + travel_m / cutting->rule->metres_per_min;
        bool alone = begin + 1 == end;
        if (!alone && total > cutting->rule->day_min + SLACK_MIN)
            break;
        keep_better(cutting, begin, end, travel_m);
    }
}

static size_t list_rounds(const struct cutting *cutting, struct sel_round *rounds) {
    size_t count = cutting->rounds[cutting->count];
    size_t end = cutting->count;
    for (size_t i = count; i-- > 0;) {
        rounds[i] = (struct sel_round){.first = cutting->from[end]};
        rounds[i].count = end - rounds[i].first;
        end = rounds[i].first;
    }
    return count;
}

static size_t cut(struct cutting *cutting, struct sel_round *rounds) {
    cutting->rounds[0] = 0;
    cutting->travel[0] = 0.0;
    for (size_t end = 1; end <= cutting->count; end++)
        cut_before(cutting, end);
    return list_rounds(cutting, rounds);
}

static bool settle(const struct sel_round_stop *stops, const struct sel_stop *places,
    const struct sel_round_rule *rule, size_t *order, struct sel_round *round) {
    size_t *mine = order + round->first;
    if (!sel_route_order(places, mine, round->count))
        return false;
    for (size_t i = 0; i < round->count; i++) {
        round->walk_min += stops[mine[i]].walk_min;
        round->work_min += stops[mine[i]].work_min;
    }
    round->travel_min = sel_route_length(places, mine, round->count) / rule->metres_per_min;
    return true;
}

bool sel_rounds_make(const struct sel_round_stop *stops, size_t count,
    const struct sel_round_rule *rule, size_t *order, struct sel_round *rounds,
    size_t *round_count) {
    struct sel_stop *places = malloc((count + 1) * sizeof *places);
    struct cutting cutting = {.stops = stops,
        .places = places,
        .order = order,
        .count = count,
        .rule = rule,
        .rounds = malloc((count + 1) * sizeof(size_t)),
        .travel = malloc((count + 1) * sizeof(double)),
        .from = calloc(count + 1, sizeof(size_t))};
    bool made = places && cutting.rounds && cutting.travel && cutting.from;
    for (size_t i = 0; made && i < count; i++) {
        places[i] = stops[i].access;
        order[i] = i;
    }
    made = made && sel_route_order(places, order, count);
    *round_count = made ? cut(&cutting, rounds) : 0;
    for (size_t i = 0; made && i < *round_count; i++)
        made = settle(stops, places, rule, order, &rounds[i]);
    free(places);
    free(cutting.rounds);
    free(cutting.travel);
    free(cutting.from);
    return made;
}
