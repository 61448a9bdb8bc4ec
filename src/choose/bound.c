// SPDX-License-Identifier: MIT
//
// A Lagrangean bound (Held & Karp 1970; Fisher 1981). Each hexagon of each cover (choose/cover.h)
// may hold one site, each group no more than its quota and no less than it needs. One cover is kept
// as it is; all else is priced: a site pays for its hexagons and its groups, and what is paid
// counts for the bound. With the prices as they are, the best that could be chosen is the
// best candidate of each kept hexagon, and of these the best N: easily found, never less than the
// true optimum, and the prices are moved, step by step, against what that choice overfills
// (subgradient steps of Polyak 1969).
//
// Where minimums may be missed by some sites in all, the same bound holds for all choices that miss
// no more: how many of them each group is forgiven is part of what is chosen, and as the prices
// stand the dearest groups are forgiven first.
//
// A candidate that would bring the bound down to what is reached already, were it forced in, can be
// in no better choice and is dropped.
#include "choose/bound.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "choose/cover.h"

static const double FIRST_STEP = 1.5; // of the gap, per squared overfill
static const double LEAST_STEP = 0.02;
static const int PATIENCE = 12;         // rounds without progress before the step is halved
static const double ROUNDING = 0x1p-52; // of a sum, for each of its terms

// A group with a minimum, and the price of that.
struct needy {
    double price;
    int kind;
    int32_t group;
};

// Covers of hexagons, then lattices of discs.
enum { PRICED = SEL_COVERS + SEL_DISCS };

struct sel_bound {
    const struct sel_choice_problem *problem;
    size_t count;
    size_t *positions;
    double *weight, *worth;         // worth: weight less prices
    int32_t *slot[SEL_QUOTA_KINDS]; // of each item's group, see sel_group_slot
    int32_t *cells[PRICED];
    int32_t cell_count[PRICED];
    double *price[PRICED]; // of each hexagon; the kept cover's stay 0
    int *filled[PRICED];   // by the choice of this round
    double *price_most[SEL_QUOTA_KINDS], *price_need[SEL_QUOTA_KINDS]; // of each group's quotas
    int *taken[SEL_QUOTA_KINDS];                                       // of each group, this round
    int *forgiven[SEL_QUOTA_KINDS]; // sites that each group may miss, this round
    struct needy *needy;            // the groups with a minimum
    size_t needy_count;
    int kept;       // the cover that is not priced
    size_t *best;   // of each hexagon of the kept cover, or NOTHING
    size_t *chosen; // this round's choice: a heap, least worth first
    size_t chosen_count;
    bool *is_chosen, *keep;     // of each item, this round
    double step, value, lowest; // bounds: this round's, the best so far
    int64_t reached;            // by a choice that is known
    int stale;
};

#define NOTHING SIZE_MAX

static size_t slots_of(const struct sel_bound *b, int kind) {
    return (size_t)b->problem->rule->quota[kind].groups + 1;
}

static bool allocate_groups(struct sel_bound *b) {
    bool all = true;
    size_t slots = 0;
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        b->slot[kind] = malloc((b->count + 1) * sizeof *b->slot[kind]);
        b->price_most[kind] = calloc(slots_of(b, kind), sizeof *b->price_most[kind]);
        b->price_need[kind] = calloc(slots_of(b, kind), sizeof *b->price_need[kind]);
        b->taken[kind] = calloc(slots_of(b, kind), sizeof *b->taken[kind]);
        b->forgiven[kind] = calloc(slots_of(b, kind), sizeof *b->forgiven[kind]);
        all = all && b->slot[kind] && b->price_most[kind] && b->price_need[kind] &&
              b->taken[kind] && b->forgiven[kind];
        slots += slots_of(b, kind);
    }
    b->needy = malloc(slots * sizeof *b->needy);
    return all && b->needy;
}

static bool allocate(struct sel_bound *b) {
    size_t room = b->count + 1;
    bool all = allocate_groups(b);
    for (int cover = 0; cover < PRICED; cover++) {
        b->cells[cover] = malloc(room * sizeof *b->cells[cover]);
        all = all && b->cells[cover];
    }
    b->positions = malloc(room * sizeof *b->positions);
    b->weight = malloc(room * sizeof *b->weight);
    b->worth = malloc(room * sizeof *b->worth);
    b->is_chosen = malloc(room * sizeof *b->is_chosen);
    b->keep = malloc(room * sizeof *b->keep);
    b->chosen = malloc(((size_t)b->problem->rule->sites + 1) * sizeof *b->chosen);
    return all && b->positions && b->weight && b->worth && b->is_chosen && b->keep && b->chosen;
}

static bool number_cover(struct sel_bound *b, int cover) {
    const struct sel_choice_item *open = b->problem->open;
    double apart_m = b->problem->rule->apart_m;
    int32_t *cells = b->cells[cover], *count = &b->cell_count[cover];
    if (cover < SEL_COVERS)
        return sel_cover_number(open, b->count, apart_m, cover, cells, count);
    return sel_discs_number(open, b->count, apart_m, cover - SEL_COVERS, cells, count);
}

// The first cell that may hold no more than one site.
static int32_t first_cell(int cover) {
    return cover < SEL_COVERS ? 0 : 1;
}

static bool number_covers(struct sel_bound *b) {
    int32_t most = 0;
    for (int cover = 0; cover < PRICED; cover++) {
        int32_t *count = &b->cell_count[cover];
        if (!number_cover(b, cover))
            return false;
        b->price[cover] = calloc((size_t)*count + 1, sizeof *b->price[cover]);
        b->filled[cover] = calloc((size_t)*count + 1, sizeof *b->filled[cover]);
        if (!b->price[cover] || !b->filled[cover])
            return false;
        most = *count > most ? *count : most;
    }
    b->best = malloc(((size_t)most + 1) * sizeof *b->best);
    return b->best != NULL;
}

static void read_items(struct sel_bound *b) {
    const struct sel_choice_problem *problem = b->problem;
    for (size_t i = 0; i < b->count; i++) {
        b->positions[i] = i;
        b->weight[i] = (double)sel_site_weight(problem->open[i].score);
        for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
            b->slot[kind][i] = sel_group_slot(problem->rule, &problem->open[i], kind);
    }
}

void sel_bound_free(struct sel_bound *b) {
    if (!b)
        return;
    for (int cover = 0; cover < PRICED; cover++) {
        free(b->cells[cover]);
        free(b->price[cover]);
        free(b->filled[cover]);
    }
    free(b->positions);
    free(b->weight);
    free(b->worth);
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        free(b->slot[kind]);
        free(b->price_most[kind]);
        free(b->price_need[kind]);
        free(b->taken[kind]);
        free(b->forgiven[kind]);
    }
    free(b->needy);
    free(b->is_chosen);
    free(b->keep);
    free(b->best);
    free(b->chosen);
    free(b);
}

static void list_needy(struct sel_bound *b) {
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        for (int32_t group = 0; group < b->problem->rule->quota[kind].groups; group++)
            if (b->problem->need[kind][group] > 0)
                b->needy[b->needy_count++] = (struct needy){0, kind, group};
}

static int dearer_first(const void *left, const void *right) {
    const struct needy *a = left, *b = right;
    if (a->price != b->price)
        return a->price > b->price ? -1 : 1;
    if (a->kind != b->kind)
        return a->kind < b->kind ? -1 : 1;
    return (a->group > b->group) - (a->group < b->group);
}

static void forgive(struct sel_bound *b) {
    int64_t left = b->problem->slack;
    if (left == 0)
        return;
    for (size_t i = 0; i < b->needy_count; i++)
        b->needy[i].price = b->price_need[b->needy[i].kind][b->needy[i].group];
    qsort(b->needy, b->needy_count, sizeof *b->needy, dearer_first);
    for (size_t i = 0; i < b->needy_count; i++) {
        const struct needy *at = &b->needy[i];
        int need = b->problem->need[at->kind][at->group];
        int given = left < need ? (int)left : need;
        b->forgiven[at->kind][at->group] = given;
        left -= given;
    }
}

static void price_items(struct sel_bound *b) {
    for (size_t i = 0; i < b->count; i++) {
        double worth = b->weight[i];
        for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
            worth += b->price_need[kind][b->slot[kind][i]] - b->price_most[kind][b->slot[kind][i]];
        for (int cover = 0; cover < PRICED; cover++)
            worth -= b->price[cover][b->cells[cover][i]];
        b->worth[i] = worth;
    }
}

// Of items worth the same, the lower one comes first.
static bool is_worth_more(const struct sel_bound *b, size_t i, size_t k) {
    return b->worth[i] > b->worth[k] || (b->worth[i] == b->worth[k] && i < k);
}

static void find_best_of_hexagons(struct sel_bound *b, int cover) {
    for (int32_t cell = 0; cell < b->cell_count[cover]; cell++)
        b->best[cell] = NOTHING;
    for (size_t i = 0; i < b->count; i++) {
        size_t *best = &b->best[b->cells[cover][i]];
        if (*best == NOTHING || is_worth_more(b, i, *best))
            *best = i;
    }
}

// Lets the item at the top of the heap sink to its place.
static void sink(struct sel_bound *b, size_t at) {
    size_t item = b->chosen[at];
    for (size_t child = 2 * at + 1; child < b->chosen_count; child = 2 * at + 1) {
        if (child + 1 < b->chosen_count && is_worth_more(b, b->chosen[child], b->chosen[child + 1]))
            child++;
        if (!is_worth_more(b, item, b->chosen[child]))
            break;
        b->chosen[at] = b->chosen[child];
        at = child;
    }
    b->chosen[at] = item;
}

static void rise(struct sel_bound *b, size_t at) {
    size_t item = b->chosen[at];
    for (; at > 0 && is_worth_more(b, b->chosen[(at - 1) / 2], item); at = (at - 1) / 2)
        b->chosen[at] = b->chosen[(at - 1) / 2];
    b->chosen[at] = item;
}

// The best N hexagons whose best is worth anything.
static void choose_hexagons(struct sel_bound *b, int cover) {
    size_t most = (size_t)b->problem->rule->sites;
    b->chosen_count = 0;
    for (int32_t cell = 0; cell < b->cell_count[cover]; cell++) {
        size_t item = b->best[cell];
        if (item == NOTHING || b->worth[item] <= 0)
            continue;
        if (b->chosen_count < most) {
            b->chosen[b->chosen_count] = item;
            rise(b, b->chosen_count++);
        } else if (is_worth_more(b, item, b->chosen[0])) {
            b->chosen[0] = item;
            sink(b, 0);
        }
    }
}

// A sum with what rounding may have taken from it.
struct careful_sum {
    double sum, size; // size: of the terms, without their signs
    int64_t terms;    // that are not zero
};

static void add(struct careful_sum *sum, double term) {
    sum->sum += term;
    sum->size += fabs(term);
    sum->terms += term != 0;
}

static void add_prices(const struct sel_bound *b, struct careful_sum *sum) {
    for (int cover = 0; cover < PRICED; cover++)
        for (int32_t cell = 0; cell < b->cell_count[cover]; cell++)
            add(sum, b->price[cover][cell]);
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        for (int32_t group = 0; group < b->problem->rule->quota[kind].groups; group++) {
            add(sum, b->price_most[kind][group] * b->problem->rule->quota[kind].most);
            int need = b->problem->need[kind][group] - b->forgiven[kind][group];
            add(sum, -b->price_need[kind][group] * need);
        }
    }
}

// Without prices all terms are whole numbers, and their sum is exact.
static double value_of_choice(const struct sel_bound *b) {
    struct careful_sum sum = {0, 0, 0};
    add_prices(b, &sum);
    bool priced = sum.terms > 0;
    for (size_t k = 0; k < b->chosen_count; k++)
        add(&sum, b->worth[b->chosen[k]]);
    double roundings = (double)(sum.terms * (PRICED + 2 * SEL_QUOTA_KINDS + 2));
    return sum.sum + (priced ? sum.size * roundings * ROUNDING : 0);
}

static void evaluate(struct sel_bound *b, int cover) {
    find_best_of_hexagons(b, cover);
    choose_hexagons(b, cover);
    b->value = value_of_choice(b);
}

// Keeps the cover that alone gives the least bound.
static void choose_kept_cover(struct sel_bound *b) {
    price_items(b);
    b->lowest = HUGE_VAL;
    for (int cover = 0; cover < SEL_COVERS; cover++) {
        evaluate(b, cover);
        if (b->value < b->lowest) {
            b->lowest = b->value;
            b->kept = cover;
        }
    }
}

sel_status sel_bound_new(const struct sel_choice_problem *problem, struct sel_bound **bound) {
    struct sel_bound *b = *bound = calloc(1, sizeof *b);
    if (!b)
        return SEL_NO_MEMORY;
    b->problem = problem;
    b->count = problem->open_count;
    b->step = FIRST_STEP;
    if (!allocate(b) || !number_covers(b)) {
        sel_bound_free(b);
        *bound = NULL;
        return SEL_NO_MEMORY;
    }
    read_items(b);
    list_needy(b);
    choose_kept_cover(b);
    return SEL_OK;
}

// ---- prices ----

static void count_filled(struct sel_bound *b) {
    for (int cover = 0; cover < PRICED; cover++)
        memset(b->filled[cover], 0, (size_t)b->cell_count[cover] * sizeof *b->filled[cover]);
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        memset(b->taken[kind], 0, slots_of(b, kind) * sizeof *b->taken[kind]);
    for (size_t k = 0; k < b->chosen_count; k++) {
        size_t item = b->chosen[k];
        for (int cover = 0; cover < PRICED; cover++)
            b->filled[cover][b->cells[cover][item]]++;
        for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
            b->taken[kind][b->slot[kind][item]]++;
    }
}

// By how much a limit is overfilled, as far as its price can follow: a price of zero cannot fall.
static double pressure(double price, int overfill) {
    return price > 0 || overfill > 0 ? overfill : 0;
}

struct quota_pressure {
    double most, need;
};

static struct quota_pressure quota_pressure(const struct sel_bound *b, int kind, int32_t group) {
    int most = b->problem->rule->quota[kind].most, need = b->problem->need[kind][group];
    int taken = b->taken[kind][group];
    struct quota_pressure p = {0, 0};
    if (most > 0)
        p.most = pressure(b->price_most[kind][group], taken - most);
    if (need > 0)
        p.need = pressure(b->price_need[kind][group], need - b->forgiven[kind][group] - taken);
    return p;
}

static double squared_pressure(const struct sel_bound *b) {
    double sum = 0;
    for (int cover = 0; cover < PRICED; cover++) {
        if (cover == b->kept)
            continue;
        for (int32_t cell = first_cell(cover); cell < b->cell_count[cover]; cell++) {
            double p = pressure(b->price[cover][cell], b->filled[cover][cell] - 1);
            sum += p * p;
        }
    }
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        for (int32_t group = 0; group < b->problem->rule->quota[kind].groups; group++) {
            struct quota_pressure p = quota_pressure(b, kind, group);
            sum += p.most * p.most + p.need * p.need;
        }
    }
    return sum;
}

static void move_prices(struct sel_bound *b, double step) {
    for (int cover = 0; cover < PRICED; cover++) {
        if (cover == b->kept)
            continue;
        for (int32_t cell = first_cell(cover); cell < b->cell_count[cover]; cell++) {
            double *price = &b->price[cover][cell];
            *price = fmax(0, *price + step * pressure(*price, b->filled[cover][cell] - 1));
        }
    }
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++) {
        double *most = b->price_most[kind], *need = b->price_need[kind];
        for (int32_t group = 0; group < b->problem->rule->quota[kind].groups; group++) {
            struct quota_pressure p = quota_pressure(b, kind, group);
            most[group] = fmax(0, most[group] + step * p.most);
            need[group] = fmax(0, need[group] + step * p.need);
        }
    }
}

// ---- dropping ----

// What the bound would be with an item forced in: it takes the place of its hexagon's best if that
// was chosen, else of the least of those chosen, else of nothing.
static double value_with(const struct sel_bound *b, size_t item) {
    size_t best = b->best[b->cells[b->kept][item]];
    double gone = 0;
    if (b->is_chosen[best])
        gone = b->worth[best];
    else if (b->chosen_count == (size_t)b->problem->rule->sites)
        gone = b->worth[b->chosen[0]];
    return b->value - gone + b->worth[item];
}

static void move_item(struct sel_bound *b, size_t to, size_t from) {
    b->positions[to] = b->positions[from];
    b->weight[to] = b->weight[from];
    b->worth[to] = b->worth[from];
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        b->slot[kind][to] = b->slot[kind][from];
    for (int cover = 0; cover < PRICED; cover++)
        b->cells[cover][to] = b->cells[cover][from];
}

static void drop_hopeless(struct sel_bound *b) {
    memset(b->is_chosen, 0, b->count * sizeof *b->is_chosen);
    for (size_t k = 0; k < b->chosen_count; k++)
        b->is_chosen[b->chosen[k]] = true;
    for (size_t i = 0; i < b->count; i++)
        b->keep[i] = value_with(b, i) >= (double)(b->reached + 1);
    size_t kept = 0;
    for (size_t i = 0; i < b->count; i++)
        if (b->keep[i])
            move_item(b, kept++, i);
    b->count = kept;
}

// ---- rounds ----

static void judge_progress(struct sel_bound *b) {
    if (b->value < b->lowest) {
        b->lowest = b->value;
        b->stale = 0;
    } else if (++b->stale >= PATIENCE) {
        b->step /= 2;
        b->stale = 0;
    }
}

static bool one_round(struct sel_bound *b) {
    if (b->count == 0 || floor(b->lowest) <= (double)b->reached) {
        b->count = 0;
        return false;
    }
    price_items(b);
    forgive(b);
    evaluate(b, b->kept);
    judge_progress(b);
    count_filled(b);
    double square = squared_pressure(b);
    if (square > 0)
        move_prices(b, b->step * fmax(0, b->value - (double)b->reached) / square);
    drop_hopeless(b);
    return square > 0; // else nothing is overfilled, and these prices are the best
}

bool sel_bound_tighten(struct sel_bound *b, int64_t reached, int rounds) {
    b->reached = reached > b->reached ? reached : b->reached;
    bool more = true;
    for (int round = 0; round < rounds && more; round++)
        more = b->step >= LEAST_STEP && one_round(b);
    return more;
}

void sel_bound_close(struct sel_bound *b, int64_t weight) {
    b->lowest = fmin(b->lowest, (double)weight);
    b->count = 0;
}

int64_t sel_bound_weight(const struct sel_bound *b) {
    int64_t lowest = (int64_t)floor(b->lowest);
    return lowest > b->reached ? lowest : b->reached;
}

size_t sel_bound_left(const struct sel_bound *b, const size_t **positions, const double **worth) {
    *positions = b->positions;
    *worth = b->worth;
    return b->count;
}
