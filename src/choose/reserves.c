// SPDX-License-Identifier: MIT
//
// A reserve serves when its site turns out unusable: near enough to stand in the same country, far
// enough not to share the site's trouble, and apart from every other site. Each site takes its
// reserves in turn, best candidate first.
#include "choose/reserves.h"

#include <stdlib.h>

#include "choose/nearby.h"

struct search {
    const struct sel_choice_problem *problem;
    const struct sel_places *sites;
    struct sel_choice *choice;
    struct sel_nearby nearby; // the open candidates
    size_t *within;           // positions of the candidates within reach of the site at hand
    size_t within_count;
    size_t *barred; // indices of the candidates near occupied places
    size_t barred_count;
};

static void list_within(struct search *s, const struct sel_choice_item *site) {
    struct sel_nearby_query query =
        sel_nearby_begin(&s->nearby, site->x_m, site->y_m, s->problem->rule->reserve_reach_m);
    size_t position;
    s->within_count = 0;
    while (sel_nearby_next(&query, &position))
        s->within[s->within_count++] = position;
}

static bool near_own(
    const struct search *s, const struct sel_chosen *chosen, const struct sel_choice_item *item) {
    const struct sel_choice_item *items = s->problem->items, *site = &items[chosen->item];
    double apart_m = s->problem->rule->reserve_apart_m;
    if (sel_too_near(item->x_m, item->y_m, site->x_m, site->y_m, apart_m))
        return true;
    for (int i = 0; i < chosen->reserve_count; i++) {
        const struct sel_choice_item *reserve = &items[chosen->reserves[i]];
        if (sel_too_near(item->x_m, item->y_m, reserve->x_m, reserve->y_m, apart_m))
            return true;
    }
    return false;
}

static bool near_others(const struct search *s, int rank, const struct sel_choice_item *item) {
    return sel_places_near(s->sites, item->x_m, item->y_m, (size_t)rank);
}

static bool may_serve(const struct search *s, int rank, size_t position) {
    const struct sel_choice_item *item = &s->problem->open[position];
    uint8_t fate = s->choice->fates[s->problem->open_index[position]];
    return fate != SEL_CHOICE_SITE && fate != SEL_CHOICE_RESERVE && !near_others(s, rank, item) &&
           !near_own(s, &s->choice->sites[rank], item);
}

static void take_reserves(struct search *s, int rank, int wanted) {
    struct sel_chosen *chosen = &s->choice->sites[rank];
    while (chosen->reserve_count < wanted) {
        size_t best = SIZE_MAX;
        for (size_t i = 0; i < s->within_count; i++)
            if (s->within[i] < best && may_serve(s, rank, s->within[i]))
                best = s->within[i];
        if (best == SIZE_MAX)
            return;
        size_t index = s->problem->open_index[best];
        s->choice->fates[index] = SEL_CHOICE_RESERVE;
        chosen->reserves[chosen->reserve_count++] = index;
    }
}

// ---- why there are too few ----

static void count_barred(struct search *s, struct sel_chosen *chosen) {
    const struct sel_choice_item *site = &s->problem->items[chosen->item];
    double reach = s->problem->rule->reserve_reach_m;
    for (size_t i = 0; i < s->barred_count; i++) {
        const struct sel_choice_item *item = &s->problem->items[s->barred[i]];
        double dx = item->x_m - site->x_m, dy = item->y_m - site->y_m;
        chosen->search.near_occupied += dx * dx + dy * dy <= reach * reach;
    }
}

static bool is_own_reserve(const struct sel_chosen *chosen, size_t index) {
    bool own = false;
    for (int i = 0; i < chosen->reserve_count; i++)
        own = own || index == chosen->reserves[i];
    return own;
}

static void count_open(struct search *s, int rank) {
    struct sel_chosen *chosen = &s->choice->sites[rank];
    for (size_t i = 0; i < s->within_count; i++) {
        const struct sel_choice_item *item = &s->problem->open[s->within[i]];
        size_t index = s->problem->open_index[s->within[i]];
        if (s->choice->fates[index] == SEL_CHOICE_SITE || is_own_reserve(chosen, index))
            continue;
        if (near_others(s, rank, item))
            chosen->search.near_others++;
        else if (near_own(s, chosen, item))
            chosen->search.near_own++;
        else
            chosen->search.taken++; // else it would serve
    }
}

// ---- all sites ----

static void list_barred(struct search *s) {
    for (size_t i = 0; i < s->problem->count; i++)
        if (s->choice->fates[i] == SEL_CHOICE_NEAR_OCCUPIED)
            s->barred[s->barred_count++] = i;
}

static bool start(struct search *s) {
    const struct sel_choice_problem *problem = s->problem;
    s->within = malloc((problem->open_count + 1) * sizeof *s->within);
    s->barred = malloc((problem->count - problem->open_count + 1) * sizeof *s->barred);
    return s->within && s->barred &&
           sel_nearby_init(
               &s->nearby, problem->open, problem->open_count, problem->rule->reserve_reach_m);
}

bool sel_reserves_find(const struct sel_choice_problem *problem, const struct sel_places *sites,
    struct sel_choice *choice) {
    int wanted = problem->rule->reserves;
    wanted = wanted < SEL_RESERVES_MOST ? wanted : SEL_RESERVES_MOST;
    if (wanted <= 0)
        return true;
    struct search s = {.problem = problem, .sites = sites, .choice = choice};
    bool ready = start(&s);
    if (ready)
        list_barred(&s);
    for (int rank = 0; ready && rank < choice->count; rank++) {
        struct sel_chosen *chosen = &choice->sites[rank];
        list_within(&s, &problem->items[chosen->item]);
        take_reserves(&s, rank, wanted);
        if (chosen->reserve_count < wanted) {
            count_open(&s, rank);
            count_barred(&s, chosen);
        }
    }
    sel_nearby_clear(&s.nearby);
    free(s.within);
    free(s.barred);
    return ready;
}
