// SPDX-License-Identifier: MIT
//
// After the choice: sites in order, a search for each one's reserves, and one fate for everybody.
#include <math.h>
#include <stdlib.h>

#include "choose/nearby.h"
#include "choose/problem.h"

struct finish {
    const struct sel_choice_problem *problem;
    struct sel_choice *choice;
    struct sel_places places; // the sites; a site's number is its rank from 0
    struct sel_nearby nearby; // the open candidates
    int32_t *taken;           // sites of each pair
};

static int compare_positions(const void *left, const void *right) {
    size_t a = *(const size_t *)left, b = *(const size_t *)right;
    return (a > b) - (a < b);
}

static void place_sites(struct finish *f, size_t *sites, int site_count) {
    qsort(sites, (size_t)site_count, sizeof *sites, compare_positions);
    for (int i = 0; i < site_count; i++) {
        const struct sel_choice_item *item = &f->problem->open[sites[i]];
        size_t index = f->problem->open_index[sites[i]];
        sel_places_add(&f->places, item->x_m, item->y_m);
        f->taken[item->pair]++;
        f->choice->fates[index] = SEL_CHOICE_SITE;
        f->choice->sites[i].item = index;
        f->choice->total_score += item->score;
    }
    f->choice->count = site_count;
}

static bool may_be_reserve(const struct finish *f, int rank, size_t position) {
    const struct sel_choice_item *item = &f->problem->open[position];
    uint8_t fate = f->choice->fates[f->problem->open_index[position]];
    return fate != SEL_CHOICE_SITE && fate != SEL_CHOICE_RESERVE &&
           !sel_places_near(&f->places, item->x_m, item->y_m, (size_t)rank);
}

// Keeps the `most` lowest positions seen, in rising order.
static int keep_best(size_t *best, int count, int most, size_t position) {
    int at = count < most ? count : most;
    if (at == most && (most == 0 || best[most - 1] < position))
        return count;
    at -= at == most;
    for (; at > 0 && best[at - 1] > position; at--)
        best[at] = best[at - 1];
    best[at] = position;
    return count < most ? count + 1 : most;
}

static void find_reserves(struct finish *f, int rank, int wanted) {
    struct sel_chosen *chosen = &f->choice->sites[rank];
    const struct sel_choice_item *site = &f->problem->items[chosen->item];
    size_t best[SEL_RESERVES_MOST], position;
    int count = 0;
    struct sel_nearby_query query =
        sel_nearby_begin(&f->nearby, site->x_m, site->y_m, f->problem->rule->reserve_reach_m);
    while (sel_nearby_next(&query, &position))
        if (may_be_reserve(f, rank, position))
            count = keep_best(best, count, wanted, position);
    for (int i = 0; i < count; i++) {
        size_t item = f->problem->open_index[best[i]];
        f->choice->fates[item] = SEL_CHOICE_RESERVE;
        chosen->reserves[chosen->reserve_count++] = item;
    }
}

static bool find_all_reserves(struct finish *f) {
    const struct sel_choice_rule *rule = f->problem->rule;
    int wanted = rule->reserves < SEL_RESERVES_MOST ? rule->reserves : SEL_RESERVES_MOST;
    if (wanted <= 0)
        return true;
    if (!sel_nearby_init(
            &f->nearby, f->problem->open, f->problem->open_count, rule->reserve_reach_m))
        return false;
    for (int rank = 0; rank < f->choice->count; rank++)
        find_reserves(f, rank, wanted);
    sel_nearby_clear(&f->nearby);
    return true;
}

static void settle_fates(struct finish *f) {
    int pair_max = f->problem->rule->pair_max;
    for (size_t i = 0; i < f->problem->open_count; i++) {
        const struct sel_choice_item *item = &f->problem->open[i];
        uint8_t *fate = &f->choice->fates[f->problem->open_index[i]];
        if (*fate != SEL_CHOICE_LOWER_SCORE)
            continue;
        if (sel_places_near(&f->places, item->x_m, item->y_m, SEL_NO_PLACE))
            *fate = SEL_CHOICE_NEAR_CHOSEN;
        else if (pair_max > 0 && f->taken[item->pair] >= pair_max)
            *fate = SEL_CHOICE_OVER_QUOTA;
    }
}

static void count_fates(struct sel_choice *choice, size_t count) {
    int64_t counts[SEL_CHOICE_FATES] = {0};
    for (size_t i = 0; i < count; i++)
        counts[choice->fates[i]]++;
    choice->reserve_total = counts[SEL_CHOICE_RESERVE];
    choice->near_occupied = counts[SEL_CHOICE_NEAR_OCCUPIED];
    choice->near_chosen = counts[SEL_CHOICE_NEAR_CHOSEN];
    choice->over_quota = counts[SEL_CHOICE_OVER_QUOTA];
    choice->lower_score = counts[SEL_CHOICE_LOWER_SCORE];
}

static bool start(struct finish *f, int site_count) {
    const struct sel_choice_rule *rule = f->problem->rule;
    f->choice->sites = calloc((size_t)site_count + 1, sizeof *f->choice->sites);
    f->taken = calloc((size_t)rule->pair_count + 1, sizeof *f->taken);
    return f->choice->sites && f->taken &&
           sel_places_init(&f->places, rule->apart_m, (size_t)site_count);
}

sel_status sel_choice_finish(
    struct sel_choice_problem *problem, size_t *sites, int site_count, struct sel_choice *choice) {
    struct finish f = {.problem = problem, .choice = choice};
    *choice = (struct sel_choice){.bound = (double)NAN};
    sel_status status = SEL_NO_MEMORY;
    if (!start(&f, site_count))
        goto done;
    choice->fates = problem->fates;
    problem->fates = NULL;
    place_sites(&f, sites, site_count);
    if (!find_all_reserves(&f))
        goto done;
    settle_fates(&f);
    count_fates(choice, problem->count);
    status = SEL_OK;
done:
    sel_places_clear(&f.places);
    free(f.taken);
    if (status != SEL_OK)
        sel_choice_clear(choice);
    return status;
}

void sel_choice_clear(struct sel_choice *choice) {
    free(choice->sites);
    free(choice->fates);
    *choice = (struct sel_choice){0};
}
