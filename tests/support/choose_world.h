// SPDX-License-Identifier: MIT
//
// Small random worlds of candidates, and the definitions of what a choice may be, written out one
// by one for the tests of choose: no sort, no index.
#ifndef SEL_TEST_CHOOSE_WORLD_H
#define SEL_TEST_CHOOSE_WORLD_H

#include <stdbool.h>
#include <stdint.h>

#include "choose/choose.h"
#include "choose/problem.h"

enum { WORLD_MOST = 64 };

struct world {
    struct sel_choice_item items[WORLD_MOST];
    struct sel_choice_point occupied[WORLD_MOST];
    size_t count, occupied_count;
    struct sel_choice_rule rule;
};

// An item on half-cells of 5 m, so that the tie-break follows the place.
struct sel_choice_item world_item(double score, double x_m, double y_m, int32_t pair);

// Few scores and whole metres on a small ground: ties and exact distances abound. At most `most`
// candidates of three pairs, no place twice.
struct world world_random(uint64_t *random, int most, bool minimum_quotas);

// Puts the candidates of a world into four blocks, a few of them into none.
void world_add_blocks(struct world *w, uint64_t *random, bool minimum_quotas);

// Better by score, then row, then column, then pair.
bool world_beats(const struct sel_choice_item *a, const struct sel_choice_item *b);

bool world_apart(const struct world *w, double x0, double y0, double x1, double y1);
bool world_apart_from_occupied(const struct world *w, size_t i);
bool world_apart_from_all(
    const struct world *w, size_t i, const size_t *sites, int count, size_t except);
bool world_is_among(size_t i, const size_t *list, int count);

// Sites of the same group of a kind as an item.
int world_taken_like(
    const struct world *w, enum sel_quota_kind kind, size_t item, const size_t *sites, int count);

// Whether the maximum quotas leave room for one more like the item.
bool world_has_room(const struct world *w, size_t item, const size_t *sites, int count);

// Sites that minimums miss, over all groups that have a candidate.
int world_missing(const struct world *w, const size_t *sites, int count);

// Whether a set of sites keeps every rule; every rule but the minimums.
bool world_allows(const struct world *w, const size_t *sites, int count);
bool world_allows_short(const struct world *w, const size_t *sites, int count);

// Puts sites in order, best first.
void world_order(const struct world *w, size_t *sites, int count);

// The best total of all sets that are allowed, by trying them all; -1 when none is. Totals are in
// whole steps of 1e-9. Of equal totals the larger set, then the one whose sites come first in
// order; written to `best` in order.
int64_t world_exhaust(const struct world *w, size_t *best, int *count);

// The same where minimums may be missed: of all sets those that miss least, then the best.
int64_t world_exhaust_relaxed(const struct world *w, size_t *best, int *count, int *missing);

// The problem of a world; the caller clears it.
struct sel_choice_problem world_problem(const struct world *w);

#endif
