// SPDX-License-Identifier: MIT
//
// Definitions of a choice, one by one.
#include "choose_world.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "choose_random.h"

struct sel_choice_item world_item(double score, double x_m, double y_m, int32_t pair) {
    return (struct sel_choice_item){
        score, x_m, y_m, (int64_t)(y_m / 5), (int64_t)(x_m / 5), {pair, SEL_NO_GROUP}};
}

static bool place_is_taken(const struct world *w, size_t before, int64_t hx, int64_t hy) {
    for (size_t k = 0; k < before; k++)
        if (w->items[k].hx == hx && w->items[k].hy == hy)
            return true;
    return false;
}

static void random_items(struct world *w, uint64_t *random, int most) {
    w->count = (size_t)random_below(random, most) + 1;
    for (size_t i = 0; i < w->count; i++) {
        int64_t hx, hy;
        do {
            hx = random_below(random, 40), hy = random_below(random, 30);
        } while (place_is_taken(w, i, hx, hy));
        w->items[i] = (struct sel_choice_item){(double)random_below(random, 12) / 8, (double)hx,
            (double)hy, hy, hx, {(int32_t)random_below(random, 3), SEL_NO_GROUP}};
    }
}

static struct sel_quota random_quota(uint64_t *random, int32_t groups, bool minimum) {
    struct sel_quota quota = {.most = (int)random_below(random, 4), .groups = groups};
    if (minimum)
        quota.least = (int)random_below(random, 3);
    if (quota.most > 0 && quota.most < quota.least)
        quota.most = quota.least;
    return quota;
}

struct world world_random(uint64_t *random, int most, bool minimum_quotas) {
    struct world w = {.occupied_count = (size_t)random_below(random, 4)};
    w.rule = (struct sel_choice_rule){.sites = (int)random_below(random, 8) + 1,
        .apart_m = (double)random_below(random, 6) * 5,
        .reserves = (int)random_below(random, SEL_RESERVES_MOST + 1),
        .reserve_reach_m = (double)random_below(random, 7) * 5,
        .reserve_apart_m = (double)random_below(random, 3) * 3,
        .quota[SEL_BY_PAIR] = random_quota(random, 3, minimum_quotas)};
    random_items(&w, random, most);
    for (size_t i = 0; i < w.occupied_count; i++)
        w.occupied[i] = (struct sel_choice_point){
            (double)random_below(random, 60) - 10, (double)random_below(random, 50) - 10};
    return w;
}

void world_add_blocks(struct world *w, uint64_t *random, bool minimum_quotas) {
    w->rule.quota[SEL_BY_BLOCK] = random_quota(random, 4, minimum_quotas);
    for (size_t i = 0; i < w->count; i++) {
        int32_t block = (w->items[i].x_m >= 20) + 2 * (w->items[i].y_m >= 15);
        bool none = random_below(random, 5) == 0;
        w->items[i].group[SEL_BY_BLOCK] = none ? SEL_NO_GROUP : block;
    }
}

bool world_beats(const struct sel_choice_item *a, const struct sel_choice_item *b) {
    if (a->score != b->score)
        return a->score > b->score;
    if (a->hy != b->hy)
        return a->hy < b->hy;
    return a->hx != b->hx ? a->hx < b->hx : a->group[SEL_BY_PAIR] < b->group[SEL_BY_PAIR];
}

static double square(double x) {
    return x * x;
}

bool world_apart(const struct world *w, double x0, double y0, double x1, double y1) {
    return square(x1 - x0) + square(y1 - y0) >= square(w->rule.apart_m);
}

bool world_apart_from_occupied(const struct world *w, size_t i) {
    for (size_t k = 0; k < w->occupied_count; k++)
        if (!world_apart(
                w, w->items[i].x_m, w->items[i].y_m, w->occupied[k].x_m, w->occupied[k].y_m))
            return false;
    return true;
}

bool world_apart_from_all(
    const struct world *w, size_t i, const size_t *sites, int count, size_t except) {
    for (int k = 0; k < count; k++)
        if (sites[k] != except && !world_apart(w, w->items[i].x_m, w->items[i].y_m,
                                      w->items[sites[k]].x_m, w->items[sites[k]].y_m))
            return false;
    return true;
}

bool world_is_among(size_t i, const size_t *list, int count) {
    for (int k = 0; k < count; k++)
        if (list[k] == i)
            return true;
    return false;
}

static bool alike(const struct sel_choice_item *a, const struct sel_choice_item *b, int kind) {
    return a->group[kind] == b->group[kind];
}

int world_taken_like(const struct world *w, int kind, size_t item, const size_t *sites, int count) {
    int taken = 0;
    for (int k = 0; k < count; k++)
        taken += alike(&w->items[sites[k]], &w->items[item], kind);
    return taken;
}

// Whether quotas of a kind say anything about an item.
static bool is_bound(const struct world *w, int kind, size_t item) {
    return w->rule.quota[kind].groups > 0 && w->items[item].group[kind] != SEL_NO_GROUP;
}

bool world_has_room(const struct world *w, size_t item, const size_t *sites, int count) {
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        int most = w->rule.quota[kind].most;
        if (is_bound(w, kind, item) && most > 0 &&
            world_taken_like(w, kind, item, sites, count) >= most)
            return false;
    }
    return true;
}

int world_missing(const struct world *w, const size_t *sites, int count) {
    int missing = 0;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        for (size_t i = 0; i < w->count; i++) {
            bool first = is_bound(w, kind, i);
            for (size_t k = 0; k < i; k++)
                first = first && !alike(&w->items[k], &w->items[i], kind);
            int taken = world_taken_like(w, kind, i, sites, count);
            if (first && taken < w->rule.quota[kind].least)
                missing += w->rule.quota[kind].least - taken;
        }
    }
    return missing;
}

static bool keeps_spacing_and_maximums(const struct world *w, const size_t *sites, int count) {
    for (int k = 0; k < count; k++) {
        size_t before = sites[k];
        if (world_is_among(before, sites, k) || !world_apart_from_occupied(w, before) ||
            !world_apart_from_all(w, before, sites, count, before) ||
            !world_has_room(w, before, sites, k))
            return false;
    }
    return count <= w->rule.sites;
}

bool world_allows(const struct world *w, const size_t *sites, int count) {
    return keeps_spacing_and_maximums(w, sites, count) && world_missing(w, sites, count) == 0;
}

bool world_allows_short(const struct world *w, const size_t *sites, int count) {
    return keeps_spacing_and_maximums(w, sites, count);
}

void world_order(const struct world *w, size_t *sites, int count) {
    for (int i = 0; i < count; i++)
        for (int k = i + 1; k < count; k++)
            if (world_beats(&w->items[sites[k]], &w->items[sites[i]])) {
                size_t swap = sites[i];
                sites[i] = sites[k], sites[k] = swap;
            }
}

struct exhaust {
    const struct world *world;
    size_t now[WORLD_MOST], best[WORLD_MOST];
    int count, best_count, best_missing;
    int64_t total, best_total;
    bool relaxed;
};

static bool comes_first(const struct exhaust *e, const size_t *ordered, int missing) {
    if (missing != e->best_missing)
        return missing < e->best_missing;
    if (e->total != e->best_total)
        return e->total > e->best_total;
    if (e->count != e->best_count)
        return e->count > e->best_count;
    for (int k = 0; k < e->count; k++)
        if (ordered[k] != e->best[k])
            return world_beats(&e->world->items[ordered[k]], &e->world->items[e->best[k]]);
    return false;
}

static void judge(struct exhaust *e) {
    int missing = world_missing(e->world, e->now, e->count);
    if (missing > 0 && !e->relaxed)
        return;
    size_t ordered[WORLD_MOST];
    memcpy(ordered, e->now, sizeof ordered);
    world_order(e->world, ordered, e->count);
    if (!comes_first(e, ordered, missing))
        return;
    memcpy(e->best, ordered, sizeof ordered);
    e->best_count = e->count;
    e->best_total = e->total;
    e->best_missing = missing;
}

static void try_from(struct exhaust *e, size_t next) {
    const struct world *w = e->world;
    judge(e);
    for (size_t i = next; i < w->count && e->count < w->rule.sites; i++) {
        if (!world_apart_from_occupied(w, i) ||
            !world_apart_from_all(w, i, e->now, e->count, SIZE_MAX) ||
            !world_has_room(w, i, e->now, e->count))
            continue;
        int64_t steps = llround(w->items[i].score * 1e9);
        e->now[e->count++] = i;
        e->total += steps;
        try_from(e, i + 1);
        e->total -= steps;
        e->count--;
    }
}

static struct exhaust exhaust(const struct world *w, bool relaxed) {
    struct exhaust e = {
        .world = w, .best_total = -1, .best_missing = relaxed ? INT_MAX : 0, .relaxed = relaxed};
    try_from(&e, 0);
    return e;
}

int64_t world_exhaust(const struct world *w, size_t *best, int *count) {
    struct exhaust e = exhaust(w, false);
    memcpy(best, e.best, (size_t)e.best_count * sizeof *best);
    *count = e.best_count;
    return e.best_total;
}

int64_t world_exhaust_relaxed(const struct world *w, size_t *best, int *count, int *missing) {
    struct exhaust e = exhaust(w, true);
    memcpy(best, e.best, (size_t)e.best_count * sizeof *best);
    *count = e.best_count;
    *missing = e.best_missing;
    return e.best_total;
}

struct sel_choice_problem world_problem(const struct world *w) {
    struct sel_choice_problem problem;
    if (sel_choice_problem_init(
            &problem, w->items, w->count, w->occupied, w->occupied_count, &w->rule) != SEL_OK)
        abort();
    return problem;
}
