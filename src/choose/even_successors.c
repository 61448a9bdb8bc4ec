// SPDX-License-Identifier: MIT
//
// One pass over the candidates, best score first. What the other sites make without the site at
// hand is known beforehand, and a candidate that comes in can only bring them nearer to one, so
// that sum and the candidate's own part tell most candidates off at a glance; the pass ends where
// no score left could make up for any site.
#include "choose/even_successors.h"

#include <math.h>
#include <stdlib.h>

#include "choose/spread.h"

enum { NOBODY = -1 };

struct placed {
    const struct sel_choice_item *item;
    double near_m, second_m; // to the nearest other site, and to the next after it
    int nearest;
    double others;    // what the other sites make if it goes
    double objective; // the highest found with someone in its place
};

struct search {
    const struct sel_choice_problem *problem;
    struct sel_taken *taken;
    struct sel_choice *choice;
    struct placed *placed;
    double *away_m; // from the candidate at hand to each site
    int count;
};

static double apart_m(const struct sel_choice_item *a, const struct sel_choice_item *b) {
    return hypot(a->x_m - b->x_m, a->y_m - b->y_m);
}

static double part(const struct search *s, const struct sel_choice_item *item, double near_m) {
    return sel_spread_part(s->problem->rule->spread, s->problem->even_m, item->score, near_m);
}

static void find_nearest(struct search *s, int site) {
    struct placed *p = &s->placed[site];
    p->near_m = p->second_m = HUGE_VAL;
    p->nearest = NOBODY;
    for (int k = 0; k < s->count; k++) {
        double metres = k == site ? HUGE_VAL : apart_m(p->item, s->placed[k].item);
        if (metres < p->near_m) {
            p->second_m = p->near_m;
            p->near_m = metres;
            p->nearest = k;
        } else {
            p->second_m = fmin(p->second_m, metres);
        }
    }
}

// What the sites but one make, with a candidate beside them (away_m) or without (NULL).
static double others_make(const struct search *s, int gone, const double *away_m) {
    double sum = 0;
    for (int k = 0; k < s->count; k++) {
        const struct placed *p = &s->placed[k];
        double near_m = p->nearest == gone ? p->second_m : p->near_m;
        if (k != gone)
            sum += part(s, p->item, away_m ? fmin(near_m, away_m[k]) : near_m);
    }
    return sum;
}

static void survey_sites(struct search *s) {
    for (int k = 0; k < s->count; k++) {
        s->placed[k].item = &s->problem->items[s->choice->sites[k].item];
        s->placed[k].objective = -HUGE_VAL;
        s->choice->sites[k].successor = SIZE_MAX;
    }
    for (int k = 0; k < s->count; k++)
        find_nearest(s, k);
    for (int k = 0; k < s->count; k++)
        s->placed[k].others = others_make(s, k, NULL);
}

static void offer(struct search *s, int gone, size_t position, double own_m) {
    struct placed *p = &s->placed[gone];
    const struct sel_choice_item *item = &s->problem->open[position];
    double own = part(s, item, own_m);
    if (p->others + own <= p->objective || !sel_taken_may_exchange(s->taken, p->item, item))
        return;
    double objective = others_make(s, gone, s->away_m) + own;
    if (objective <= p->objective)
        return;
    p->objective = objective;
    s->choice->sites[gone].successor = s->problem->open_index[position];
}

// How far the sites lie from a candidate: the nearest, and the next after it.
struct reach {
    double near_m, second_m;
    int nearest, too_near;
};

static struct reach look_around(struct search *s, const struct sel_choice_item *item) {
    struct reach reach = {HUGE_VAL, HUGE_VAL, NOBODY, 0};
    for (int k = 0; k < s->count; k++) {
        const struct sel_choice_item *site = s->placed[k].item;
        double metres = s->away_m[k] = apart_m(item, site);
        reach.too_near +=
            sel_too_near(item->x_m, item->y_m, site->x_m, site->y_m, s->problem->rule->apart_m);
        if (metres < reach.near_m) {
            reach.second_m = reach.near_m;
            reach.near_m = metres;
            reach.nearest = k;
        } else {
            reach.second_m = fmin(reach.second_m, metres);
        }
    }
    return reach;
}

static void offer_candidate(struct search *s, size_t position) {
    struct reach reach = look_around(s, &s->problem->open[position]);
    if (reach.too_near > 1)
        return;
    for (int k = 0; k < s->count; k++) {
        bool is_nearest = k == reach.nearest;
        if (reach.too_near == 0 || is_nearest)
            offer(s, k, position, is_nearest ? reach.second_m : reach.near_m);
    }
}

// Whether a candidate of such a score could be anybody's successor.
static bool may_serve(const struct search *s, double score) {
    double spread = s->problem->rule->spread, most = (1 - spread) * score + spread;
    for (int k = 0; k < s->count; k++)
        if (s->placed[k].others + most > s->placed[k].objective)
            return true;
    return false;
}

// The score at which the site and its successor would be worth the same.
static double drop_score(const struct search *s, int rank) {
    const struct placed *p = &s->placed[rank];
    double weight = 1 - s->problem->rule->spread;
    if (s->choice->sites[rank].successor == SIZE_MAX || !(weight > 0))
        return (double)NAN;
    double score = p->item->score - (s->choice->objective - p->objective) / weight;
    return score >= 0 ? score : (double)NAN;
}

bool sel_even_successors_find(
    const struct sel_choice_problem *problem, struct sel_taken *taken, struct sel_choice *choice) {
    struct search s = {
        .problem = problem, .taken = taken, .choice = choice, .count = choice->count};
    s.placed = malloc(((size_t)s.count + 1) * sizeof *s.placed);
    s.away_m = malloc(((size_t)s.count + 1) * sizeof *s.away_m);
    bool ready = s.placed && s.away_m;
    if (ready)
        survey_sites(&s);
    for (size_t i = 0; ready && i < problem->open_count; i++) {
        if (!may_serve(&s, problem->open[i].score))
            break;
        if (choice->fates[problem->open_index[i]] != SEL_CHOICE_SITE)
            offer_candidate(&s, i);
    }
    for (int k = 0; ready && k < s.count; k++)
        choice->sites[k].drop_score = drop_score(&s, k);
    free(s.placed);
    free(s.away_m);
    return ready;
}
