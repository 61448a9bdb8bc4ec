// SPDX-License-Identifier: MIT
//
// Branch and bound over sets of at most 64 candidates held in one word.
//
// At each step the best candidate left is either taken or dropped. Two bounds on what the rest can
// add: the rest is parted into cliques, sets of candidates of which any two are too near each
// other, so that each clique gives at most its best (a colouring bound of the complement, as for
// maximum weight cliques); once across all pairs of habitats, and once within each pair, where a
// pair gives at most as many cliques as its quota leaves. Taking before dropping, best first,
// visits choices in lexicographic order, so the first of several optima is kept.
#include "choose/exact.h"

struct exact {
    int count;
    int64_t weight[SEL_EXACT_MOST];
    uint64_t near[SEL_EXACT_MOST]; // who is too near, itself not included
    int group[SEL_EXACT_MOST];     // which of the groups below
    int groups;                    // pairs of habitats that occur
    int32_t pair[SEL_EXACT_MOST];
    uint64_t members[SEL_EXACT_MOST];
    int need[SEL_EXACT_MOST], room[SEL_EXACT_MOST]; // left to take at least, at most
    int64_t best_weight;
    uint64_t best;
    bool found;
};

static uint64_t bit(int position) {
    return (uint64_t)1 << position;
}

static int lowest(uint64_t set) {
    return __builtin_ctzll(set);
}

static int count_of(uint64_t set) {
    return __builtin_popcountll(set);
}

static int find_group(const struct exact *e, int32_t pair) {
    int group = 0;
    while (group < e->groups && e->pair[group] != pair)
        group++;
    return group;
}

static int group_of(struct exact *e, const struct sel_choice_rule *rule, int32_t pair) {
    int group = find_group(e, pair);
    if (group < e->groups)
        return group;
    e->pair[group] = pair;
    e->need[e->groups] = rule->pair_min;
    e->room[e->groups] = rule->pair_max > 0 ? rule->pair_max : SEL_EXACT_MOST;
    return e->groups++;
}

static void set_up(struct exact *e, const struct sel_choice_problem *problem) {
    e->count = (int)problem->open_count;
    for (int i = 0; i < e->count; i++) {
        const struct sel_choice_item *a = &problem->open[i];
        e->weight[i] = sel_site_weight(a->score);
        e->group[i] = group_of(e, problem->rule, a->pair);
        e->members[e->group[i]] |= bit(i);
        for (int k = 0; k < i; k++) {
            const struct sel_choice_item *b = &problem->open[k];
            if (sel_too_near(a->x_m, a->y_m, b->x_m, b->y_m, problem->rule->apart_m)) {
                e->near[i] |= bit(k);
                e->near[k] |= bit(i);
            }
        }
    }
}

// Whether a pair that is asked for has candidates near occupied places only.
static bool lacks_a_pair(const struct exact *e, const struct sel_choice_problem *problem) {
    for (size_t i = 0; i < problem->count && problem->rule->pair_min > 0; i++)
        if (find_group(e, problem->items[i].pair) == e->groups)
            return true;
    return false;
}

// A clique that begins with its best member, as large as taking members in order makes it.
static uint64_t clique_in(const struct exact *e, uint64_t set, int head) {
    uint64_t clique = bit(head), common = set & e->near[head];
    while (common) {
        int next = lowest(common);
        clique |= bit(next);
        common &= e->near[next];
    }
    return clique;
}

static int64_t bound_across_pairs(const struct exact *e, uint64_t left, int most) {
    int64_t sum = 0;
    for (; left && most > 0; most--) {
        int head = lowest(left);
        sum += e->weight[head];
        left &= ~clique_in(e, left, head);
    }
    return sum;
}

static int64_t bound_within_pairs(const struct exact *e, uint64_t left, int most) {
    int used[SEL_EXACT_MOST] = {0};
    int64_t sum = 0;
    for (; left && most > 0; most--) {
        int head = lowest(left), group = e->group[head];
        uint64_t members = left & e->members[group];
        sum += e->weight[head];
        left &= ~clique_in(e, members, head);
        if (++used[group] >= e->room[group])
            left &= ~members;
    }
    return sum;
}

// How many sites the minimum quotas still ask for; more than `most` when too few are left.
static int still_needed(const struct exact *e, uint64_t left, int most) {
    int needed = 0;
    for (int group = 0; group < e->groups; group++) {
        if (e->need[group] <= 0)
            continue;
        if (count_of(left & e->members[group]) < e->need[group])
            return most + 1;
        needed += e->need[group];
    }
    return needed;
}

static uint64_t in_need(const struct exact *e) {
    uint64_t set = 0;
    for (int group = 0; group < e->groups; group++)
        if (e->need[group] > 0)
            set |= e->members[group];
    return set;
}

// Extends a choice of `weight` by at most `most` of the candidates left.
static void extend(struct exact *e, uint64_t taken, uint64_t left, int most, int64_t weight) {
    for (;;) {
        int needed = still_needed(e, left, most);
        if (needed > most)
            return;
        if (needed == 0 && weight > e->best_weight) {
            e->best_weight = weight;
            e->best = taken;
            e->found = true;
        }
        if (needed == most)
            left &= in_need(e);
        if (left == 0 || weight + bound_across_pairs(e, left, most) <= e->best_weight ||
            weight + bound_within_pairs(e, left, most) <= e->best_weight)
            return;
        int next = lowest(left), group = e->group[next];
        uint64_t rest = left & ~bit(next) & ~e->near[next];
        e->need[group]--;
        if (--e->room[group] == 0)
            rest &= ~e->members[group];
        extend(e, taken | bit(next), rest, most - 1, weight + e->weight[next]);
        e->need[group]++;
        e->room[group]++;
        left &= ~bit(next);
    }
}

bool sel_choose_exact(const struct sel_choice_problem *problem, int64_t floor_weight, size_t *sites,
    int *site_count) {
    struct exact e = {.best_weight = floor_weight - 1};
    *site_count = 0;
    set_up(&e, problem);
    uint64_t all = e.count == 64 ? ~(uint64_t)0 : bit(e.count) - 1;
    if (!lacks_a_pair(&e, problem))
        extend(&e, 0, all, problem->rule->sites, 0);
    for (uint64_t left = e.best; left; left &= left - 1)
        sites[(*site_count)++] = (size_t)lowest(left);
    return e.found;
}
