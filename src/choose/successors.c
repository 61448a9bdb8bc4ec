// SPDX-License-Identifier: MIT
//
// One pass over the candidates, best first: one that a single site keeps away can follow that site
// only, one that none keeps away any site whose going leaves room for it.
#include "choose/successors.h"

#include <math.h>
#include <stdlib.h>

#include "choose/even_successors.h"
#include "choose/nearby.h"

struct search {
    const struct sel_choice_problem *problem;
    struct sel_taken *taken;
    struct sel_choice *choice;
    const struct sel_choice_item *sites; // borrowed; by rank from 0
    struct sel_nearby nearby;            // the sites
    int lacking;                         // sites without a successor
};

static void offer(struct search *s, int rank, size_t position) {
    struct sel_chosen *chosen = &s->choice->sites[rank];
    if (chosen->successor != SIZE_MAX ||
        !sel_taken_may_exchange(s->taken, &s->sites[rank], &s->problem->open[position]))
        return;
    chosen->successor = s->problem->open_index[position];
    chosen->drop_score = s->problem->open[position].score;
    s->lacking--;
}

static void offer_candidate(struct search *s, size_t position) {
    const struct sel_choice_item *item = &s->problem->open[position];
    double apart_m = s->problem->rule->apart_m;
    struct sel_nearby_query query = sel_nearby_begin(&s->nearby, item->x_m, item->y_m, apart_m);
    size_t site, last = 0;
    int near = 0;
    while (near < 2 && sel_nearby_next(&query, &site)) {
        const struct sel_choice_item *there = &s->sites[site];
        if (sel_too_near(item->x_m, item->y_m, there->x_m, there->y_m, apart_m)) {
            near++;
            last = site;
        }
    }
    if (near == 1)
        offer(s, (int)last, position);
    for (int rank = 0; near == 0 && rank < s->choice->count; rank++)
        offer(s, rank, position);
}

bool sel_successors_find(
    const struct sel_choice_problem *problem, struct sel_taken *taken, struct sel_choice *choice) {
    if (problem->rule->spread > 0)
        return sel_even_successors_find(problem, taken, choice);
    size_t count = (size_t)choice->count;
    struct sel_choice_item *sites = malloc((count + 1) * sizeof *sites);
    if (!sites)
        return false;
    for (size_t i = 0; i < count; i++) {
        sites[i] = problem->items[choice->sites[i].item];
        choice->sites[i].successor = SIZE_MAX;
        choice->sites[i].drop_score = (double)NAN;
    }
    struct search s = {.problem = problem,
        .taken = taken,
        .choice = choice,
        .sites = sites,
        .lacking = choice->count};
    bool ready = sel_nearby_init(&s.nearby, sites, count, problem->rule->apart_m);
    for (size_t i = 0; ready && i < problem->open_count && s.lacking > 0; i++)
        if (choice->fates[problem->open_index[i]] != SEL_CHOICE_SITE)
            offer_candidate(&s, i);
    sel_nearby_clear(&s.nearby);
    free(sites);
    return ready;
}
