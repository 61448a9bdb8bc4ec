// SPDX-License-Identifier: MIT
//
// Of the candidates of one group in one hexagon of a cover (choose/cover.h), any two are within the
// radius, so only the best of them can be a local best; that one is held against its neighbours.
#include "choose/local_best.h"

#include <stdlib.h>
#include <string.h>

#include "choose/cover.h"
#include "choose/nearby.h"

struct local {
    const struct sel_choice_problem *problem;
    double radius_m;
    struct sel_nearby nearby;
    int32_t *cells; // of each position: hexagon, parted by groups
    int32_t cell_count;
    size_t *best; // of each cell
    bool parted[SEL_QUOTA_KINDS];
    const double *values; // NULL: the order of problem->open alone
};

static bool is_better(const struct local *l, size_t a, size_t b) {
    if (l->values && l->values[a] != l->values[b])
        return l->values[a] > l->values[b];
    return a < b;
}

static bool same_groups(const struct local *l, size_t a, size_t b) {
    const struct sel_choice_rule *rule = l->problem->rule;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        if (l->parted[kind] && sel_group_slot(rule, &l->problem->open[a], kind) !=
                                   sel_group_slot(rule, &l->problem->open[b], kind))
            return false;
    return true;
}

// ---- cells ----

struct cell_key {
    int32_t hexagon, slots[SEL_QUOTA_KINDS];
};

struct cell_entry {
    struct cell_key key;
    int32_t number; // -1: free
};

static struct cell_key key_of(const struct local *l, size_t position) {
    struct cell_key key = {.hexagon = l->cells[position]};
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        key.slots[kind] = l->parted[kind]
                              ? sel_group_slot(l->problem->rule, &l->problem->open[position], kind)
                              : 0;
    return key;
}

static int32_t number_of(
    struct local *l, struct cell_entry *entries, size_t mask, size_t position) {
    struct cell_key key = key_of(l, position);
    uint64_t mixed = (uint64_t)key.hexagon * 0x9e3779b97f4a7c15u;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        mixed = (mixed ^ (mixed >> 29)) + (uint64_t)key.slots[kind] * 0xbb67ae8584caa73bu;
    size_t at = (size_t)(mixed ^ (mixed >> 32)) & mask;
    while (entries[at].number >= 0 && memcmp(&entries[at].key, &key, sizeof key) != 0)
        at = (at + 1) & mask;
    if (entries[at].number < 0)
        entries[at] = (struct cell_entry){key, l->cell_count++};
    return entries[at].number;
}

static bool part_cells(struct local *l) {
    size_t room = 16;
    while (room < 2 * l->problem->open_count)
        room *= 2;
    struct cell_entry *entries = malloc(room * sizeof *entries);
    if (!entries)
        return false;
    for (size_t i = 0; i < room; i++)
        entries[i].number = -1;
    l->cell_count = 0;
    for (size_t i = 0; i < l->problem->open_count; i++)
        l->cells[i] = number_of(l, entries, room - 1, i);
    free(entries);
    return true;
}

// ---- local bests ----

static void find_best_of_cells(struct local *l) {
    for (int32_t cell = 0; cell < l->cell_count; cell++)
        l->best[cell] = SIZE_MAX;
    for (size_t i = 0; i < l->problem->open_count; i++) {
        size_t *best = &l->best[l->cells[i]];
        if (*best == SIZE_MAX || is_better(l, i, *best))
            *best = i;
    }
}

static bool is_outdone(const struct local *l, size_t position) {
    const struct sel_choice_item *at = &l->problem->open[position];
    struct sel_nearby_query query = sel_nearby_begin(&l->nearby, at->x_m, at->y_m, l->radius_m);
    size_t other;
    while (sel_nearby_next(&query, &other))
        if (is_better(l, other, position) && same_groups(l, other, position))
            return true;
    return false;
}

static void mark(struct local *l, const double *values, bool *is_best) {
    l->values = values;
    find_best_of_cells(l);
    for (int32_t cell = 0; cell < l->cell_count; cell++)
        if (!is_best[l->best[cell]] && !is_outdone(l, l->best[cell]))
            is_best[l->best[cell]] = true;
}

static bool start(struct local *l) {
    const struct sel_choice_problem *problem = l->problem;
    size_t room = problem->open_count + 1;
    bool any = false;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        const struct sel_quota *quota = &problem->rule->quota[kind];
        l->parted[kind] = quota->groups > 0 && (quota->least > 0 || quota->most > 0);
        any = any || l->parted[kind];
    }
    l->cells = malloc(room * sizeof *l->cells);
    l->best = malloc(room * sizeof *l->best);
    return l->cells && l->best &&
           sel_nearby_init(&l->nearby, problem->open, problem->open_count, l->radius_m) &&
           sel_cover_number(
               problem->open, problem->open_count, l->radius_m, 0, l->cells, &l->cell_count) &&
           (!any || part_cells(l));
}

sel_status sel_local_bests(const struct sel_choice_problem *problem, double radius_m,
    const double *const *values, int criteria, bool *is_best) {
    struct local l = {.problem = problem, .radius_m = radius_m};
    sel_status status = start(&l) ? SEL_OK : SEL_NO_MEMORY;
    memset(is_best, 0, problem->open_count * sizeof *is_best);
    if (status == SEL_OK)
        mark(&l, NULL, is_best);
    for (int i = 0; i < criteria && status == SEL_OK; i++)
        mark(&l, values[i], is_best);
    sel_nearby_clear(&l.nearby);
    free(l.cells);
    free(l.best);
    return status;
}
