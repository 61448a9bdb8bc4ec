// SPDX-License-Identifier: MIT
//
// After the choice: sites in order, their reserves (choose/reserves.c), and one fate for everybody.
#include <math.h>
#include <stdlib.h>

#include "choose/problem.h"
#include "choose/quotas.h"
#include "choose/reserves.h"
#include "choose/spread.h"
#include "choose/successors.h"
#include "choose/taken.h"

struct finish {
    const struct sel_choice_problem *problem;
    struct sel_choice *choice;
    struct sel_places places; // the sites; a site's number is its rank from 0
    struct sel_taken taken;
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
        sel_taken_count(&f->taken, item, 1);
        f->choice->fates[index] = SEL_CHOICE_SITE;
        f->choice->sites[i].item = index;
        f->choice->total_score += item->score;
    }
    f->choice->count = site_count;
    f->choice->objective = f->problem->rule->spread > 0
                               ? sel_spread_objective(f->problem, sites, site_count)
                               : f->choice->total_score;
}

static bool is_full(const struct finish *f, const struct sel_choice_item *item, int kind) {
    const struct sel_choice_rule *rule = f->problem->rule;
    int32_t slot = sel_group_slot(rule, item, kind);
    return f->taken.sites[kind][slot] >= sel_group_most(rule, kind, slot);
}

// The lowest scores of sites that minimums need, and of the others; HUGE_VAL: there is none.
struct poorest {
    double held, spare;
};

static struct poorest find_poorest(const struct finish *f) {
    struct poorest poorest = {HUGE_VAL, HUGE_VAL};
    for (int i = 0; i < f->choice->count; i++) {
        const struct sel_choice_item *site = &f->problem->items[f->choice->sites[i].item];
        double *lowest = sel_taken_can_spare(&f->taken, site) ? &poorest.spare : &poorest.held;
        *lowest = fmin(*lowest, site->score);
    }
    return poorest;
}

// One that no site stands near and no full quota keeps out could have the place of any site, but
// for the number of sites. Without spread no site that can be spared scores less than it.
static enum sel_choice_fate fate_of(
    const struct finish *f, const struct sel_choice_item *item, struct poorest poorest) {
    if (sel_places_near(&f->places, item->x_m, item->y_m, SEL_NO_PLACE))
        return SEL_CHOICE_NEAR_CHOSEN;
    if (is_full(f, item, SEL_BY_PAIR))
        return SEL_CHOICE_PAIR_FULL;
    if (is_full(f, item, SEL_BY_BLOCK))
        return SEL_CHOICE_BLOCK_FULL;
    if (f->problem->rule->spread > 0 && item->score > poorest.spare)
        return SEL_CHOICE_FOR_SPREAD;
    return item->score > poorest.held ? SEL_CHOICE_FOR_MINIMUM : SEL_CHOICE_LOWER_SCORE;
}

static void settle_fates(struct finish *f) {
    struct poorest poorest = find_poorest(f);
    for (size_t i = 0; i < f->problem->open_count; i++) {
        uint8_t *fate = &f->choice->fates[f->problem->open_index[i]];
        if (*fate == SEL_CHOICE_LOWER_SCORE)
            *fate = (uint8_t)fate_of(f, &f->problem->open[i], poorest);
    }
    for (size_t i = 0; i < f->problem->count; i++)
        f->choice->met[f->choice->fates[i]]++;
}

static bool start(struct finish *f, int site_count) {
    f->choice->sites = calloc((size_t)site_count + 1, sizeof *f->choice->sites);
    return f->choice->sites && sel_taken_init(&f->taken, f->problem) &&
           sel_places_init(&f->places, f->problem->rule->apart_m, (size_t)site_count);
}

sel_status sel_choice_finish(
    struct sel_choice_problem *problem, size_t *sites, int site_count, struct sel_choice *choice) {
    struct finish f = {.problem = problem, .choice = choice};
    *choice = (struct sel_choice){.bound = (double)NAN, .even_m = problem->even_m};
    sel_status status = SEL_NO_MEMORY;
    if (!start(&f, site_count))
        goto done;
    choice->fates = problem->fates;
    problem->fates = NULL;
    place_sites(&f, sites, site_count);
    if (!sel_reserves_find(problem, &f.places, choice))
        goto done;
    settle_fates(&f);
    if (!sel_successors_find(problem, &f.taken, choice))
        goto done;
    status = sel_quotas_list_short(
        problem, sites, site_count, &choice->shortfalls, &choice->shortfall_count);
done:
    sel_places_clear(&f.places);
    sel_taken_clear(&f.taken);
    if (status != SEL_OK)
        sel_choice_clear(choice);
    return status;
}

void sel_choice_clear(struct sel_choice *choice) {
    free(choice->sites);
    free(choice->fates);
    free(choice->shortfalls);
    *choice = (struct sel_choice){0};
}
