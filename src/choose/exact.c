// SPDX-License-Identifier: MIT
//
// Branch and bound over sets of at most SEL_EXACT_MOST candidates held in one word.
//
// At each step the best candidate left is either taken or dropped. Bounds on what the rest can add:
// the rest is parted into cliques, sets of candidates of which any two are too near each other, so
// that each clique gives at most its best (a colouring bound of the complement, as for maximum
// weight cliques); once across all groups, and once within each group of each kind of quota, where
// a group gives at most as many cliques as its quota leaves. Taking before dropping, best first,
// visits choices in lexicographic order, so the first of several optima is kept.
//
// Where minimums may be missed, every site that one of them needs earns a reward above all weights.
#include "choose/exact.h"

#include <assert.h>

static_assert(SEL_EXACT_MOST <= 64, "one bit for each");

// The groups of one kind that occur.
struct kind {
    int count;
    int32_t slot[SEL_EXACT_MOST];
    uint64_t members[SEL_EXACT_MOST];
    int need[SEL_EXACT_MOST], room[SEL_EXACT_MOST]; // left to take at least, at most
    int group[SEL_EXACT_MOST];                      // of each candidate
};

struct exact {
    int count;
    int64_t weight[SEL_EXACT_MOST];
    uint64_t near[SEL_EXACT_MOST]; // who is too near, itself not included
    struct kind kinds[SEL_QUOTA_KINDS];
    int64_t reward; // for each site that a minimum needs; 0: minimums are rules
    int64_t slack;  // by as many sites these may come short in all
    int64_t best_weight;
    uint64_t best;
    bool found;
};

// More than all weights together: see sel_site_weight.
static const int64_t REWARD = (int64_t)1 << 52;

static uint64_t bit(int position) {
    return (uint64_t)1 << position;
}

static int lowest(uint64_t set) {
    return __builtin_ctzll(set);
}

static int count_of(uint64_t set) {
    return __builtin_popcountll(set);
}

static int find_group(const struct kind *kind, int32_t slot) {
    int group = 0;
    while (group < kind->count && kind->slot[group] != slot)
        group++;
    return group;
}

static int group_of(
    struct kind *kind, const struct sel_choice_problem *problem, int number, int32_t slot) {
    int group = find_group(kind, slot);
    if (group < kind->count)
        return group;
    kind->slot[group] = slot;
    kind->need[group] = problem->need[number][slot];
    kind->room[group] = sel_group_most(problem->rule, number, slot);
    return kind->count++;
}

static void join_groups(struct exact *e, const struct sel_choice_problem *problem, int i) {
    for (int k = 0; k < SEL_QUOTA_KINDS; k++) {
        struct kind *kind = &e->kinds[k];
        int32_t slot = sel_group_slot(problem->rule, &problem->open[i], k);
        kind->group[i] = group_of(kind, problem, k, slot);
        kind->members[kind->group[i]] |= bit(i);
    }
}

static void set_up(struct exact *e, const struct sel_choice_problem *problem) {
    e->count = (int)problem->open_count;
    for (int i = 0; i < e->count; i++) {
        const struct sel_choice_item *a = &problem->open[i];
        e->weight[i] = sel_site_weight(a->score);
        join_groups(e, problem, i);
        for (int k = 0; k < i; k++) {
            const struct sel_choice_item *b = &problem->open[k];
            if (sel_too_near(a->x_m, a->y_m, b->x_m, b->y_m, problem->rule->apart_m)) {
                e->near[i] |= bit(k);
                e->near[k] |= bit(i);
            }
        }
    }
}

// Sites that are missing anyway, of groups that are asked for and have no candidate here.
static int64_t lacking_anyway(const struct exact *e, const struct sel_choice_problem *problem) {
    int64_t lacking = 0;
    for (int k = 0; k < SEL_QUOTA_KINDS; k++)
        for (int32_t slot = 0; slot < problem->rule->quota[k].groups; slot++)
            if (problem->need[k][slot] > 0 && find_group(&e->kinds[k], slot) == e->kinds[k].count)
                lacking += problem->need[k][slot];
    return lacking;
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

static int64_t bound_across_groups(const struct exact *e, uint64_t left, int most) {
    int64_t sum = 0;
    for (; left && most > 0; most--) {
        int head = lowest(left);
        sum += e->weight[head];
        left &= ~clique_in(e, left, head);
    }
    return sum;
}

static int64_t bound_within_groups(
    const struct exact *e, const struct kind *kind, uint64_t left, int most) {
    int used[SEL_EXACT_MOST] = {0};
    int64_t sum = 0;
    for (; left && most > 0; most--) {
        int head = lowest(left), group = kind->group[head];
        uint64_t members = left & kind->members[group];
        sum += e->weight[head];
        left &= ~clique_in(e, members, head);
        if (++used[group] >= kind->room[group])
            left &= ~members;
    }
    return sum;
}

// How many sites the minimums of a kind still ask for, of those that can be had; *lacking grows by
// those that cannot.
static int still_needed(const struct kind *kind, uint64_t left, int64_t *lacking) {
    int needed = 0;
    for (int group = 0; group < kind->count; group++) {
        int need = kind->need[group];
        if (need <= 0)
            continue;
        int there = count_of(left & kind->members[group]);
        *lacking += there < need ? need - there : 0;
        needed += there < need ? there : need;
    }
    return needed;
}

static uint64_t in_need(const struct kind *kind) {
    uint64_t set = 0;
    for (int group = 0; group < kind->count; group++)
        if (kind->need[group] > 0)
            set |= kind->members[group];
    return set;
}

// What the rest can add at most.
static int64_t bound(const struct exact *e, uint64_t left, int most) {
    int64_t least = bound_across_groups(e, left, most), rewards = 0;
    int64_t lacking = 0; // not asked for here
    for (int k = 0; k < SEL_QUOTA_KINDS; k++) {
        // One group without a limit would give the bound across groups again.
        if (e->kinds[k].count > 1 || e->kinds[k].room[0] < most) {
            int64_t within = bound_within_groups(e, &e->kinds[k], left, most);
            least = within < least ? within : least;
        }
        int needed = still_needed(&e->kinds[k], left, &lacking);
        rewards += e->reward * (needed < most ? needed : most);
    }
    return least + rewards;
}

// Whether the minimums can be met, but for the slack, by what is left; *left shrinks to what they
// need when they need every site, *met tells whether nothing more is needed.
static bool can_be_met(const struct exact *e, uint64_t *left, int most, bool *met) {
    int needed[SEL_QUOTA_KINDS];
    int64_t lacking = 0, lacking_now = 0;
    for (int k = 0; k < SEL_QUOTA_KINDS; k++) {
        needed[k] = still_needed(&e->kinds[k], *left, &lacking);
        lacking += needed[k] > most ? needed[k] - most : 0;
        lacking_now += needed[k] < most ? needed[k] : most;
    }
    if (lacking > e->slack)
        return false;
    *met = lacking + lacking_now <= e->slack;
    for (int k = 0; k < SEL_QUOTA_KINDS && lacking == e->slack; k++)
        if (needed[k] >= most)
            *left &= in_need(&e->kinds[k]);
    return true;
}

// What taking a candidate adds, by its own weight and as one that minimums need.
static int64_t worth_of(const struct exact *e, int item) {
    int64_t worth = e->weight[item];
    for (int k = 0; k < SEL_QUOTA_KINDS; k++)
        worth += e->kinds[k].need[e->kinds[k].group[item]] > 0 ? e->reward : 0;
    return worth;
}

// Counts a candidate in its groups; returns the members of those that are full then.
static uint64_t count_in(struct exact *e, int item) {
    uint64_t full = 0;
    for (int k = 0; k < SEL_QUOTA_KINDS; k++) {
        struct kind *kind = &e->kinds[k];
        int group = kind->group[item];
        kind->need[group]--;
        if (--kind->room[group] == 0)
            full |= kind->members[group];
    }
    return full;
}

static void count_out(struct exact *e, int item) {
    for (int k = 0; k < SEL_QUOTA_KINDS; k++) {
        e->kinds[k].need[e->kinds[k].group[item]]++;
        e->kinds[k].room[e->kinds[k].group[item]]++;
    }
}

// Extends a choice of `weight` by at most `most` of the candidates left.
static void extend(struct exact *e, uint64_t taken, uint64_t left, int most, int64_t weight) {
    for (;;) {
        bool met = true;
        if (e->reward == 0 && !can_be_met(e, &left, most, &met))
            return;
        if (met && weight > e->best_weight) {
            e->best_weight = weight;
            e->best = taken;
            e->found = true;
        }
        if (left == 0 || most == 0 || weight + bound(e, left, most) <= e->best_weight)
            return;
        int next = lowest(left);
        int64_t worth = worth_of(e, next);
        uint64_t rest = left & ~bit(next) & ~e->near[next] & ~count_in(e, next);
        extend(e, taken | bit(next), rest, most - 1, weight + worth);
        count_out(e, next);
        left &= ~bit(next);
    }
}

static uint64_t all_of(const struct exact *e) {
    return e->count == 64 ? ~(uint64_t)0 : bit(e->count) - 1;
}

static void list_best(const struct exact *e, size_t *sites, int *site_count) {
    *site_count = 0;
    for (uint64_t left = e->best; left; left &= left - 1)
        sites[(*site_count)++] = (size_t)lowest(left);
}

bool sel_choose_exact(const struct sel_choice_problem *problem, int64_t floor_weight, size_t *sites,
    int *site_count) {
    struct exact e = {.best_weight = floor_weight - 1};
    set_up(&e, problem);
    e.slack = problem->slack - lacking_anyway(&e, problem);
    if (e.slack >= 0)
        extend(&e, 0, all_of(&e), problem->rule->sites, 0);
    list_best(&e, sites, site_count);
    return e.found;
}

void sel_choose_nearest(const struct sel_choice_problem *problem, size_t *sites, int *site_count) {
    struct exact e = {.best_weight = -1, .reward = REWARD};
    set_up(&e, problem);
    extend(&e, 0, all_of(&e), problem->rule->sites, 0);
    list_best(&e, sites, site_count);
}
