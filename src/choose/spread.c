// SPDX-License-Identifier: MIT
//
// A local search: a candidate comes in for one site, that which stands in its way or one that can
// be spared, when the objective rises by it. What a site's going would cost is known beforehand, so
// most candidates are passed over at a glance, and as they come best first, the look at them ends
// where no candidate left could make up for any site.
#include "choose/spread.h"

#include <math.h>
#include <stdlib.h>

#include "choose/hull.h"
#include "choose/taken.h"

static const double SQRT_3 = 1.7320508075688772;
static const double LEAST_GAIN = 1e-12;
enum { SITES_TRIED = 8 }; // those that can best be spared

bool sel_spread_even_m(const struct sel_choice_problem *problem, double *even_m) {
    const struct sel_choice_rule *rule = problem->rule;
    struct sel_hull hull;
    *even_m = 0;
    if (!(rule->spread > 0))
        return true;
    if (!sel_hull_init(&hull, problem->open, problem->open_count))
        return false;
    double sites = rule->sites > 0 ? rule->sites : 1;
    *even_m = fmax(sqrt(2 * hull.area_m2 / (SQRT_3 * sites)), hull.length_m / sites);
    sel_hull_clear(&hull);
    return true;
}

// A site as the search keeps it.
struct placed {
    double near_m, second_m; // to the nearest other site, and to the next after it
    int nearest;             // -1: there is no other
    double loss;             // of the objective if it went and nobody came
};

struct search {
    const struct sel_choice_problem *problem;
    struct sel_taken taken;
    double objective;
    size_t *sites;
    int count;
    struct placed *placed;
    double *away_m; // from the candidate at hand to each site
    int *spare;     // sites by loss, rising
    bool *is_site;
    int64_t work, most_work;
};

static double distance(const struct search *s, size_t a, size_t b) {
    const struct sel_choice_item *one = &s->problem->open[a], *two = &s->problem->open[b];
    return hypot(one->x_m - two->x_m, one->y_m - two->y_m);
}

static double part(const struct search *s, int site, double near_m) {
    double score = s->problem->open[s->sites[site]].score;
    return sel_spread_part(s->problem->rule->spread, s->problem->even_m, score, near_m);
}

static void find_nearest(struct search *s, int site) {
    struct placed *p = &s->placed[site];
    *p = (struct placed){HUGE_VAL, HUGE_VAL, -1, 0};
    for (int k = 0; k < s->count; k++) {
        if (k == site)
            continue;
        double metres = distance(s, s->sites[site], s->sites[k]);
        if (metres < p->near_m) {
            p->second_m = p->near_m;
            p->near_m = metres;
            p->nearest = k;
        } else if (metres < p->second_m) {
            p->second_m = metres;
        }
    }
    s->work += s->count;
}

static void sort_spare(struct search *s) {
    for (int i = 0; i < s->count; i++) {
        int at = i;
        for (; at > 0 && s->placed[s->spare[at - 1]].loss > s->placed[i].loss; at--)
            s->spare[at] = s->spare[at - 1];
        s->spare[at] = i;
    }
}

// Everything about the sites, anew.
static void survey_sites(struct search *s) {
    s->objective = 0;
    for (int i = 0; i < s->count; i++)
        find_nearest(s, i);
    for (int i = 0; i < s->count; i++) {
        double own = part(s, i, s->placed[i].near_m);
        s->objective += own;
        s->placed[i].loss += own;
        int nearest = s->placed[i].nearest;
        if (nearest >= 0) // would look further if that one went
            s->placed[nearest].loss -= part(s, i, s->placed[i].second_m) - own;
    }
    sort_spare(s);
}

double sel_spread_objective(
    const struct sel_choice_problem *problem, const size_t *sites, int site_count) {
    double sum = 0, spread = problem->rule->spread;
    for (int i = 0; i < site_count; i++) {
        const struct sel_choice_item *site = &problem->open[sites[i]];
        double near_m = HUGE_VAL;
        for (int k = 0; k < site_count; k++) {
            const struct sel_choice_item *other = &problem->open[sites[k]];
            if (k != i)
                near_m = fmin(near_m, hypot(site->x_m - other->x_m, site->y_m - other->y_m));
        }
        sum += sel_spread_part(spread, problem->even_m, site->score, near_m);
    }
    return sum;
}

// ---- trials ----

// The objective with `item` in the place of a site.
static double objective_with(const struct search *s, size_t item, int gone) {
    double sum = 0, own_near_m = HUGE_VAL;
    for (int k = 0; k < s->count; k++) {
        if (k == gone)
            continue;
        const struct placed *p = &s->placed[k];
        double near_m = p->nearest == gone ? p->second_m : p->near_m;
        sum += part(s, k, fmin(near_m, s->away_m[k]));
        own_near_m = fmin(own_near_m, s->away_m[k]);
    }
    return sum + sel_spread_part(s->problem->rule->spread, s->problem->even_m,
                     s->problem->open[item].score, own_near_m);
}

static bool try_for(struct search *s, size_t item, int gone) {
    const struct sel_choice_item *in = &s->problem->open[item];
    if (!sel_taken_may_exchange(&s->taken, &s->problem->open[s->sites[gone]], in))
        return false;
    s->work += s->count;
    if (objective_with(s, item, gone) <= s->objective + LEAST_GAIN)
        return false;
    const struct sel_choice_item *open = s->problem->open;
    sel_taken_count(&s->taken, &open[s->sites[gone]], -1);
    sel_taken_count(&s->taken, &open[item], 1);
    s->is_site[s->sites[gone]] = false;
    s->is_site[item] = true;
    s->sites[gone] = item;
    survey_sites(s);
    return true;
}

// How many sites are too near an item; the last of them to *which.
static int look_around(struct search *s, size_t item, int *which) {
    int near = 0;
    const struct sel_choice_item *here = &s->problem->open[item];
    for (int k = 0; k < s->count && near < 2; k++) {
        const struct sel_choice_item *site = &s->problem->open[s->sites[k]];
        s->away_m[k] = distance(s, item, s->sites[k]);
        if (sel_too_near(here->x_m, here->y_m, site->x_m, site->y_m, s->problem->rule->apart_m)) {
            near++;
            *which = k;
        }
    }
    s->work += s->count;
    return near;
}

static void add_site(struct search *s, size_t item) {
    sel_taken_count(&s->taken, &s->problem->open[item], 1);
    s->is_site[item] = true;
    s->sites[s->count++] = item;
    survey_sites(s);
}

static bool try_item(struct search *s, size_t item) {
    int in_the_way = -1, near = look_around(s, item, &in_the_way);
    if (near > 1)
        return false;
    if (near == 1)
        return try_for(s, item, in_the_way);
    if (s->count < s->problem->rule->sites &&
        sel_taken_has_room(&s->taken, &s->problem->open[item])) {
        add_site(s, item);
        return true;
    }
    for (int i = 0; i < s->count && i < SITES_TRIED; i++)
        if (try_for(s, item, s->spare[i]))
            return true;
    return false;
}

static bool sweep(struct search *s) {
    double spread = s->problem->rule->spread;
    bool bettered = false;
    for (size_t i = 0; i < s->problem->open_count && s->work < s->most_work; i++) {
        bool full = s->count == s->problem->rule->sites;
        double most = (1 - spread) * s->problem->open[i].score + spread;
        if (full && s->count > 0 && most <= s->placed[s->spare[0]].loss)
            break;
        if (!s->is_site[i] && try_item(s, i))
            bettered = true;
    }
    return bettered;
}

static bool start(struct search *s, int site_count) {
    size_t room = (size_t)s->problem->rule->sites + 1;
    s->placed = malloc(room * sizeof *s->placed);
    s->away_m = malloc(room * sizeof *s->away_m);
    s->spare = malloc(room * sizeof *s->spare);
    s->is_site = calloc(s->problem->open_count + 1, sizeof *s->is_site);
    if (!s->placed || !s->away_m || !s->spare || !s->is_site ||
        !sel_taken_init(&s->taken, s->problem))
        return false;
    for (int i = 0; i < site_count; i++) {
        s->is_site[s->sites[i]] = true;
        sel_taken_count(&s->taken, &s->problem->open[s->sites[i]], 1);
    }
    s->count = site_count;
    survey_sites(s);
    return true;
}

sel_status sel_spread_search(
    const struct sel_choice_problem *problem, int64_t most_work, size_t *sites, int *site_count) {
    struct search s = {.problem = problem, .sites = sites, .most_work = most_work};
    bool ready = start(&s, *site_count);
    while (ready && s.work < s.most_work && sweep(&s))
        continue;
    if (ready)
        *site_count = s.count;
    sel_taken_clear(&s.taken);
    free(s.placed);
    free(s.away_m);
    free(s.spare);
    free(s.is_site);
    return ready ? SEL_OK : SEL_NO_MEMORY;
}
