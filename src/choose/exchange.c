// SPDX-License-Identifier: MIT
//
// A local search with three kinds of trial. One replaces a site by two candidates that only it kept
// away; one forces a candidate in that nobody, or more than one site, stands in the way of; one
// forces a site out for good. Each time the ground that falls free is filled again, best candidate
// first, and where the number of sites is full a filler may push out the poorest site if it is
// better. A trial that neither lessens what minimums lack nor, with as much lacking, raises the
// total is taken back. Sweeps over all sites and candidates go on until one brings nothing, or the
// work allowed is done.
//
// How many sites stand in each candidate's way is kept up to date, so that a trial costs only the
// neighbourhoods it touches.
#include "choose/exchange.h"

#include <stdlib.h>

#include "choose/nearby.h"
#include "choose/taken.h"

enum { MOST_IN_DISC = 5 }; // apart places that fit around one that was taken out, besides it

struct change {
    size_t item;
    bool added;
};
#define NO_ITEM SIZE_MAX

struct exchange {
    const struct sel_choice_problem *problem;
    struct sel_nearby nearby;
    int *in_the_way; // sites too near each candidate; a site itself does not count
    int64_t *weight;
    bool *is_site;
    struct sel_taken taken;
    size_t *sites;
    int count;
    int64_t total;
    size_t *doomed; // who must go for a candidate to come in
    int doomed_count;
    struct change *journal; // of the running trial
    size_t journal_count, journal_room;
    size_t *list; // candidates that only one site keeps away
    int64_t work, most_work;
};

static void mark_neighbours(struct exchange *x, size_t item, int by) {
    const struct sel_choice_item *at = &x->problem->open[item];
    double apart_m = x->problem->rule->apart_m;
    struct sel_nearby_query query = sel_nearby_begin(&x->nearby, at->x_m, at->y_m, apart_m);
    size_t other;
    while (sel_nearby_next(&query, &other)) {
        x->work++;
        const struct sel_choice_item *there = &x->problem->open[other];
        if (other != item && sel_too_near(at->x_m, at->y_m, there->x_m, there->y_m, apart_m))
            x->in_the_way[other] += by;
    }
}

static void put_in(struct exchange *x, size_t item) {
    x->is_site[item] = true;
    x->sites[x->count++] = item;
    x->total += x->weight[item];
    sel_taken_count(&x->taken, &x->problem->open[item], 1);
    mark_neighbours(x, item, 1);
}

static void take_out(struct exchange *x, size_t item) {
    int at = 0;
    while (x->sites[at] != item)
        at++;
    x->sites[at] = x->sites[--x->count];
    x->is_site[item] = false;
    x->total -= x->weight[item];
    sel_taken_count(&x->taken, &x->problem->open[item], -1);
    mark_neighbours(x, item, -1);
}

// ---- trials ----

// What is missing of minimums counts first, then the total.
struct merit {
    int64_t missing, total;
};

static struct merit merit_of(const struct exchange *x) {
    return (struct merit){x->taken.missing, x->total};
}

static bool is_better(const struct exchange *x, struct merit than) {
    if (x->taken.missing != than.missing)
        return x->taken.missing < than.missing;
    return x->total > than.total;
}

static void change(struct exchange *x, size_t item, bool add) {
    if (add)
        put_in(x, item);
    else
        take_out(x, item);
    x->journal[x->journal_count++] = (struct change){item, add};
}

static void take_back(struct exchange *x) {
    while (x->journal_count > 0) {
        struct change last = x->journal[--x->journal_count];
        if (last.added)
            take_out(x, last.item);
        else
            put_in(x, last.item);
    }
}

static bool is_free(const struct exchange *x, size_t item) {
    return x->in_the_way[item] == 0 && !x->is_site[item] &&
           sel_taken_has_room(&x->taken, &x->problem->open[item]);
}

static bool is_doomed(const struct exchange *x, size_t item) {
    for (int i = 0; i < x->doomed_count; i++)
        if (x->doomed[i] == item)
            return true;
    return false;
}

static bool is_poorer(const struct exchange *x, size_t item, size_t than) {
    return than == NO_ITEM || x->weight[item] < x->weight[than] ||
           (x->weight[item] == x->weight[than] && item > than);
}

// The poorest site whose going leaves no more than `loss` minimums shorter.
static size_t poorest_to_spare(const struct exchange *x, int loss) {
    size_t poorest = NO_ITEM;
    for (int i = 0; i < x->count; i++) {
        size_t site = x->sites[i];
        if (!is_doomed(x, site) && is_poorer(x, site, poorest) &&
            sel_taken_loss(&x->taken, &x->problem->open[site]) <= loss)
            poorest = site;
    }
    return poorest;
}

// How many sites of a group would stay if the doomed went.
static int stay_of(const struct exchange *x, int kind, int32_t slot) {
    int stay = x->taken.sites[kind][slot];
    for (int i = 0; i < x->doomed_count; i++)
        stay -= sel_group_slot(x->problem->rule, &x->problem->open[x->doomed[i]], kind) == slot;
    return stay;
}

static size_t poorest_of(const struct exchange *x, int kind, int32_t slot) {
    size_t poorest = NO_ITEM;
    for (int i = 0; i < x->count; i++) {
        size_t site = x->sites[i];
        if (sel_group_slot(x->problem->rule, &x->problem->open[site], kind) == slot &&
            !is_doomed(x, site) && is_poorer(x, site, poorest))
            poorest = site;
    }
    return poorest;
}

static void doom_neighbours(struct exchange *x, size_t item) {
    const struct sel_choice_item *at = &x->problem->open[item];
    x->doomed_count = 0;
    for (int i = 0; i < x->count && x->in_the_way[item] > x->doomed_count; i++) {
        const struct sel_choice_item *site = &x->problem->open[x->sites[i]];
        if (sel_too_near(at->x_m, at->y_m, site->x_m, site->y_m, x->problem->rule->apart_m))
            x->doomed[x->doomed_count++] = x->sites[i];
    }
}

// Lists who must go for a candidate to come in. False when that cannot be.
static bool doom_for(struct exchange *x, size_t item) {
    const struct sel_choice_rule *rule = x->problem->rule;
    doom_neighbours(x, item);
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        int32_t slot = sel_group_slot(rule, &x->problem->open[item], kind);
        if (stay_of(x, kind, slot) < sel_group_most(rule, kind, slot))
            continue;
        size_t poorest = poorest_of(x, kind, slot);
        x->doomed[x->doomed_count++] = poorest;
    }
    if (x->count - x->doomed_count < rule->sites)
        return true;
    size_t more = poorest_to_spare(x, sel_taken_gain(&x->taken, &x->problem->open[item]));
    if (more == NO_ITEM)
        return false;
    x->doomed[x->doomed_count++] = more;
    return true;
}

// What may be lost of minimums for a filler: nothing, unless something is missing that it may
// bring.
static int loss_of_fillers(const struct exchange *x) {
    return x->taken.missing > 0 ? SEL_QUOTA_KINDS : 0;
}

// Whether a trial may lessen what is missing. Where minimums cannot be met, nearly every candidate
// is needed, and one that comes in for a site as much needed brings nothing in that.
static bool may_lessen_missing(const struct exchange *x, size_t item) {
    if (item == NO_ITEM)
        return false;
    int gain = sel_taken_gain(&x->taken, &x->problem->open[item]);
    if (gain == 0 || !x->problem->rule->relax || x->doomed_count != 1)
        return gain > 0;
    return gain > sel_taken_loss(&x->taken, &x->problem->open[x->doomed[0]]);
}

// What a trial can bring at best: each place that falls free can be filled by a few candidates no
// better than the best of all, in a free slot or in place of the poorest site.
static int64_t most_gain(const struct exchange *x, int64_t weight_in) {
    int64_t gain = weight_in, best = x->weight[0];
    for (int i = 0; i < x->doomed_count; i++)
        gain -= x->weight[x->doomed[i]];
    int fillers = MOST_IN_DISC * x->doomed_count;
    int slots = x->problem->rule->sites - (x->count - x->doomed_count) - (weight_in > 0);
    slots = slots < fillers ? slots : fillers;
    size_t poorest = poorest_to_spare(x, loss_of_fillers(x));
    int64_t push = poorest == NO_ITEM ? 0 : best - x->weight[poorest];
    return gain + slots * best + (fillers - slots) * push;
}

// The best free candidate near a place other than `forbidden`.
static size_t best_free_near(struct exchange *x, size_t place, size_t forbidden) {
    const struct sel_choice_item *at = &x->problem->open[place];
    struct sel_nearby_query query =
        sel_nearby_begin(&x->nearby, at->x_m, at->y_m, x->problem->rule->apart_m);
    size_t best = NO_ITEM, item;
    while (sel_nearby_next(&query, &item)) {
        x->work++;
        if (item < best && item != forbidden && is_free(x, item))
            best = item;
    }
    return best;
}

// Fills the ground around a place, best first.
static void fill_near(struct exchange *x, size_t place, size_t forbidden) {
    while (x->journal_count + 2 <= x->journal_room) {
        size_t item = best_free_near(x, place, forbidden);
        if (item == NO_ITEM)
            return;
        if (x->count == x->problem->rule->sites) {
            int gain = sel_taken_gain(&x->taken, &x->problem->open[item]);
            size_t poorest = poorest_to_spare(x, gain);
            if (poorest == NO_ITEM || x->weight[poorest] >= x->weight[item])
                return;
            change(x, poorest, false);
        }
        change(x, item, true);
    }
}

// Replaces the doomed by `item` (NO_ITEM: by nobody) and refills; true when that raised the total.
static bool try_exchange(struct exchange *x, size_t item) {
    if (!may_lessen_missing(x, item) && most_gain(x, item == NO_ITEM ? 0 : x->weight[item]) <= 0)
        return false;
    struct merit before = merit_of(x);
    int doomed = x->doomed_count;
    size_t forbidden = item == NO_ITEM ? x->doomed[0] : NO_ITEM;
    x->journal_count = 0;
    for (int i = 0; i < doomed; i++)
        change(x, x->doomed[i], false);
    x->doomed_count = 0;
    if (item != NO_ITEM)
        change(x, item, true);
    for (int i = 0; i < doomed; i++)
        fill_near(x, x->doomed[i], forbidden);
    if (is_better(x, before))
        return true;
    take_back(x);
    return false;
}

// ---- two for one ----

static int compare_positions(const void *left, const void *right) {
    size_t a = *(const size_t *)left, b = *(const size_t *)right;
    return (a > b) - (a < b);
}

// The candidates that only this site keeps away, best first.
static size_t list_kept_away(struct exchange *x, size_t site) {
    const struct sel_choice_item *at = &x->problem->open[site];
    double apart_m = x->problem->rule->apart_m;
    struct sel_nearby_query query = sel_nearby_begin(&x->nearby, at->x_m, at->y_m, apart_m);
    size_t count = 0, item;
    while (sel_nearby_next(&query, &item)) {
        x->work++;
        const struct sel_choice_item *there = &x->problem->open[item];
        if (x->in_the_way[item] == 1 && !x->is_site[item] &&
            sel_too_near(at->x_m, at->y_m, there->x_m, there->y_m, apart_m))
            x->list[count++] = item;
    }
    qsort(x->list, count, sizeof *x->list, compare_positions);
    return count;
}

// Whether a group has room for those of the two that are of it, once the site has gone.
static bool two_have_room(const struct exchange *x, size_t site, const size_t two[2], int kind) {
    const struct sel_choice_rule *rule = x->problem->rule;
    int32_t freed = sel_group_slot(rule, &x->problem->open[site], kind);
    int32_t one = sel_group_slot(rule, &x->problem->open[two[0]], kind);
    int32_t other = sel_group_slot(rule, &x->problem->open[two[1]], kind);
    int alike = one == other;
    return x->taken.sites[kind][one] - (freed == one) + alike < sel_group_most(rule, kind, one) &&
           x->taken.sites[kind][other] - (freed == other) + alike <
               sel_group_most(rule, kind, other);
}

static bool two_fit(const struct exchange *x, size_t site, size_t a, size_t b) {
    const struct sel_choice_item *one = &x->problem->open[a], *two = &x->problem->open[b];
    const size_t both[2] = {a, b};
    if (sel_too_near(one->x_m, one->y_m, two->x_m, two->y_m, x->problem->rule->apart_m))
        return false;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        if (!two_have_room(x, site, both, kind))
            return false;
    return true;
}

// The best two of the list that fit together and weigh more than `least`.
static bool find_two(struct exchange *x, size_t site, size_t count, int64_t least, size_t two[2]) {
    const int64_t *weight = x->weight;
    bool found = false;
    for (size_t a = 0; a + 1 < count; a++) {
        if (weight[x->list[a]] + weight[x->list[a + 1]] <= least)
            break;
        for (size_t b = a + 1; b < count; b++) {
            x->work++;
            if (weight[x->list[a]] + weight[x->list[b]] <= least)
                break;
            if (!two_fit(x, site, x->list[a], x->list[b]))
                continue;
            least = weight[x->list[a]] + weight[x->list[b]];
            two[0] = x->list[a], two[1] = x->list[b];
            found = true;
            break;
        }
    }
    return found;
}

static bool try_two_for_one(struct exchange *x, size_t site) {
    size_t two[2], poorest = NO_ITEM;
    int64_t least = x->weight[site];
    struct merit before = merit_of(x);
    if (x->count == x->problem->rule->sites) {
        x->doomed[0] = site;
        x->doomed_count = 1;
        poorest = poorest_to_spare(x, loss_of_fillers(x));
        x->doomed_count = 0;
        if (poorest == NO_ITEM)
            return false;
        least += x->weight[poorest];
    }
    if (!find_two(x, site, list_kept_away(x, site), least, two))
        return false;
    x->journal_count = 0;
    change(x, site, false);
    if (poorest != NO_ITEM)
        change(x, poorest, false);
    change(x, two[0], true);
    change(x, two[1], true);
    fill_near(x, site, NO_ITEM);
    if (is_better(x, before))
        return true;
    take_back(x);
    return false;
}

// ---- sweeps ----

static void top_up(struct exchange *x) {
    for (size_t i = 0; i < x->problem->open_count && x->count < x->problem->rule->sites; i++)
        if (is_free(x, i))
            put_in(x, i);
}

static bool try_site(struct exchange *x, size_t site) {
    if (try_two_for_one(x, site))
        return true;
    x->doomed[0] = site;
    x->doomed_count = 1;
    return try_exchange(x, NO_ITEM);
}

static bool try_all_sites(struct exchange *x) {
    bool bettered = false;
    for (size_t i = 0; i < x->problem->open_count && x->work < x->most_work; i++) {
        if (!x->is_site[i] || !try_site(x, i))
            continue;
        top_up(x);
        bettered = true;
    }
    return bettered;
}

static bool try_all_candidates(struct exchange *x) {
    bool bettered = false;
    for (size_t i = 0; i < x->problem->open_count && x->work < x->most_work; i++) {
        // Where one site alone stands in the way, the trials on that site have looked already,
        // unless a minimum needs the candidate.
        bool needed = sel_taken_needs(&x->taken, &x->problem->open[i]);
        if (x->is_site[i] || (x->in_the_way[i] == 1 && !needed) || !doom_for(x, i) ||
            !try_exchange(x, i))
            continue;
        top_up(x);
        bettered = true;
    }
    return bettered;
}

static bool allocate(struct exchange *x) {
    size_t room = x->problem->open_count + 1, sites = (size_t)x->problem->rule->sites;
    x->in_the_way = calloc(room, sizeof *x->in_the_way);
    x->weight = malloc(room * sizeof *x->weight);
    x->is_site = calloc(room, sizeof *x->is_site);
    x->doomed = malloc((sites + 2 + SEL_QUOTA_KINDS) * sizeof *x->doomed);
    x->journal_room = 4 * sites + 64;
    x->journal = malloc(x->journal_room * sizeof *x->journal);
    x->list = malloc(room * sizeof *x->list);
    return x->in_the_way && x->weight && x->is_site && x->doomed && x->journal && x->list &&
           sel_taken_init(&x->taken, x->problem) &&
           sel_nearby_init(
               &x->nearby, x->problem->open, x->problem->open_count, x->problem->rule->apart_m);
}

static void release(struct exchange *x) {
    sel_nearby_clear(&x->nearby);
    free(x->in_the_way);
    free(x->weight);
    free(x->is_site);
    sel_taken_clear(&x->taken);
    free(x->doomed);
    free(x->journal);
    free(x->list);
}

static void begin(struct exchange *x, int site_count) {
    const struct sel_choice_problem *problem = x->problem;
    for (size_t i = 0; i < problem->open_count; i++)
        x->weight[i] = sel_site_weight(problem->open[i].score);
    for (int i = 0; i < site_count; i++)
        put_in(x, x->sites[i]); // the list is rewritten in place
    top_up(x);
}

sel_status sel_exchange(const struct sel_choice_problem *problem, int64_t most_work, size_t *sites,
    int *site_count, int64_t *weight, int64_t *missing) {
    struct exchange x = {.problem = problem, .sites = sites, .most_work = most_work};
    sel_status status = SEL_NO_MEMORY;
    if (!allocate(&x))
        goto done;
    begin(&x, *site_count);
    while (x.work < most_work && (try_all_sites(&x) || try_all_candidates(&x)))
        continue;
    *site_count = x.count;
    *weight = x.total;
    *missing = x.taken.missing;
    status = SEL_OK;
done:
    release(&x);
    return status;
}
