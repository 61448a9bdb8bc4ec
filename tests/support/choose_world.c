// SPDX-License-Identifier: MIT
//
// Definitions of a choice, one by one.
#include "choose_world.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "choose_random.h"

struct sel_choice_item world_item(double score, double x_m, double y_m, int32_t pair) {
    return (struct sel_choice_item){score, x_m, y_m, (int64_t)(y_m / 5), (int64_t)(x_m / 5), pair};
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
            (double)hy, hy, hx, (int32_t)random_below(random, 3)};
    }
}

struct world world_random(uint64_t *random, int most, bool minimum_quotas) {
    struct world w = {.occupied_count = (size_t)random_below(random, 4)};
    w.rule = (struct sel_choice_rule){.sites = (int)random_below(random, 8) + 1,
        .apart_m = (double)random_below(random, 6) * 5,
        .reserves = (int)random_below(random, SEL_RESERVES_MOST + 1),
        .reserve_reach_m = (double)random_below(random, 7) * 5,
        .pair_max = (int)random_below(random, 4),
        .pair_count = 3};
    if (minimum_quotas)
        w.rule.pair_min = (int)random_below(random, 3);
    if (w.rule.pair_max > 0 && w.rule.pair_max < w.rule.pair_min)
        w.rule.pair_max = w.rule.pair_min;
    random_items(&w, random, most);
    for (size_t i = 0; i < w.occupied_count; i++)
        w.occupied[i] = (struct sel_choice_point){
            (double)random_below(random, 60) - 10, (double)random_below(random, 50) - 10};
    return w;
}

bool world_beats(const struct sel_choice_item *a, const struct sel_choice_item *b) {
    if (a->score != b->score)
        return a->score > b->score;
    if (a->hy != b->hy)
        return a->hy < b->hy;
    return a->hx != b->hx ? a->hx < b->hx : a->pair < b->pair;
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

int world_taken_of_pair(const struct world *w, int32_t pair, const size_t *sites, int count) {
    int taken = 0;
    for (int k = 0; k < count; k++)
        taken += w->items[sites[k]].pair == pair;
    return taken;
}

static bool minimum_is_met(const struct world *w, const size_t *sites, int count) {
    for (size_t i = 0; i < w->count; i++)
        if (world_taken_of_pair(w, w->items[i].pair, sites, count) < w->rule.pair_min)
            return false;
    return true;
}

bool world_allows(const struct world *w, const size_t *sites, int count) {
    if (count > w->rule.sites || !minimum_is_met(w, sites, count))
        return false;
    for (int k = 0; k < count; k++) {
        int taken = world_taken_of_pair(w, w->items[sites[k]].pair, sites, count);
        if (world_is_among(sites[k], sites, k) || !world_apart_from_occupied(w, sites[k]) ||
            !world_apart_from_all(w, sites[k], sites, count, sites[k]) ||
            (w->rule.pair_max > 0 && taken > w->rule.pair_max))
            return false;
    }
    return true;
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
    int count, best_count;
    int64_t total, best_total;
};

static bool comes_first(const struct exhaust *e, const size_t *ordered) {
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
    if (!minimum_is_met(e->world, e->now, e->count))
        return;
    size_t ordered[WORLD_MOST];
    memcpy(ordered, e->now, sizeof ordered);
    world_order(e->world, ordered, e->count);
    if (!comes_first(e, ordered))
        return;
    memcpy(e->best, ordered, sizeof ordered);
    e->best_count = e->count;
    e->best_total = e->total;
}

static void try_from(struct exhaust *e, size_t next) {
    const struct world *w = e->world;
    judge(e);
    for (size_t i = next; i < w->count && e->count < w->rule.sites; i++) {
        int taken = world_taken_of_pair(w, w->items[i].pair, e->now, e->count);
        if (!world_apart_from_occupied(w, i) ||
            !world_apart_from_all(w, i, e->now, e->count, SIZE_MAX) ||
            (w->rule.pair_max > 0 && taken >= w->rule.pair_max))
            continue;
        int64_t steps = llround(w->items[i].score * 1e9);
        e->now[e->count++] = i;
        e->total += steps;
        try_from(e, i + 1);
        e->total -= steps;
        e->count--;
    }
}

int64_t world_exhaust(const struct world *w, size_t *best, int *count) {
    struct exhaust e = {.world = w, .best_total = -1};
    try_from(&e, 0);
    memcpy(best, e.best, (size_t)e.best_count * sizeof *best);
    *count = e.best_count;
    return e.best_total;
}

struct sel_choice_problem world_problem(const struct world *w) {
    struct sel_choice_problem problem;
    if (sel_choice_problem_init(
            &problem, w->items, w->count, w->occupied, w->occupied_count, &w->rule) != SEL_OK)
        abort();
    return problem;
}
