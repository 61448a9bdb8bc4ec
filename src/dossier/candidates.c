// SPDX-License-Identifier: MIT
//
// A choice under other weights takes places that are good by some criterion, all over the ground; a
// choice under weights near the plan's takes from the best. Where there are more candidates than
// the page has room for, both kinds go into it, some thousands in all. Where quotas are in force,
// only candidates of the same groups outdo one another, since a full group leaves the others their
// chance.
#include "dossier/candidates.h"

#include <math.h>
#include <stdlib.h>

#include "score/score.h"

enum { ALL_UP_TO = 6000, BEST = 1500, SQUARES_MOST = 1000 };

int sel_candidate_group(const struct sel_dossier *dossier,
    const struct sel_candidate_row *candidate, enum sel_quota_kind kind) {
    return sel_names_find(
        &dossier->groups[kind], kind == SEL_BY_PAIR ? candidate->pair : candidate->block);
}

double sel_candidate_worth(const struct sel_dossier *dossier,
    const struct sel_candidate_row *candidate, enum sel_criterion criterion) {
    return sel_value(
        &dossier->functions[criterion], sel_candidate_measure(dossier, candidate, criterion));
}

// Squares over all candidates, SQUARES_MOST at most.
struct squares {
    double west, north, side;
    size_t cols, rows;
};

static void widen(double at, double *low, double *high) {
    *low = fmin(*low, at);
    *high = fmax(*high, at);
}

static struct squares squares_over(const struct sel_dossier *dossier) {
    double west = (double)INFINITY, east = -west, south = west, north = -west;
    double apart = sel_package_number(dossier->package, "apart_m");
    for (size_t i = 0; i < dossier->candidate_count; i++) {
        widen(dossier->candidates[i].x, &west, &east);
        widen(dossier->candidates[i].y, &south, &north);
    }
    struct squares squares = {west, north, fmax(1.0, 0.5 * apart) / dossier->metres, 0, 0};
    double cols, rows;
    for (;;) {
        cols = floor((east - west) / squares.side) + 1.0;
        rows = floor((north - south) / squares.side) + 1.0;
        if (cols * rows <= SQUARES_MOST)
            break;
        squares.side *= 1.25;
    }
    squares.cols = (size_t)cols;
    squares.rows = (size_t)rows;
    return squares;
}

static size_t square_of(const struct squares *squares, const struct sel_candidate_row *candidate) {
    size_t col = (size_t)floor((candidate->x - squares->west) / squares->side);
    size_t row = (size_t)floor((squares->north - candidate->y) / squares->side);
    return row * squares->cols + col;
}

// Where a candidate lies, and the groups that matter: candidates of one place outdo one another.
struct place {
    size_t square;
    int group[SEL_QUOTA_KINDS];
    size_t row;
};

static int compare(size_t a, size_t b) {
    return (a > b) - (a < b);
}

static int compare_places(const struct place *a, const struct place *b) {
    int order = compare(a->square, b->square);
    for (int kind = 0; kind < SEL_QUOTA_KINDS && order == 0; kind++)
        order = (a->group[kind] > b->group[kind]) - (a->group[kind] < b->group[kind]);
    return order;
}

static int by_place(const void *left, const void *right) {
    const struct place *a = left, *b = right;
    int order = compare_places(a, b);
    return order ? order : compare(a->row, b->row);
}

static void list_places(const struct sel_dossier *dossier, struct place *places) {
    struct squares squares = squares_over(dossier);
    for (size_t i = 0; i < dossier->candidate_count; i++) {
        const struct sel_candidate_row *candidate = &dossier->candidates[i];
        places[i] = (struct place){.square = square_of(&squares, candidate), .row = i};
        for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
            if (dossier->quota[kind].least > 0 || dossier->quota[kind].most > 0)
                places[i].group[kind] =
                    sel_candidate_group(dossier, candidate, (enum sel_quota_kind)kind);
    }
    qsort(places, dossier->candidate_count, sizeof *places, by_place);
}

// Of equals the first stands, which has the better score.
static size_t best_by(const struct sel_dossier *dossier, enum sel_criterion criterion,
    const struct place *places, size_t count) {
    size_t best = places[0].row;
    double most = -(double)INFINITY;
    for (size_t i = 0; i < count; i++) {
        const struct sel_candidate_row *candidate = &dossier->candidates[places[i].row];
        double worth = sel_candidate_worth(dossier, candidate, criterion);
        if (worth > most) {
            most = worth;
            best = places[i].row;
        }
    }
    return best;
}

// Marks the best of every place, by score and under each criterion.
static bool mark_bests(const struct sel_dossier *dossier, bool *taken) {
    size_t count = dossier->candidate_count, end;
    struct place *places = malloc(count * sizeof *places);
    if (!places)
        return false;
    list_places(dossier, places);
    for (size_t from = 0; from < count; from = end) {
        end = from + 1;
        while (end < count && compare_places(&places[from], &places[end]) == 0)
            end++;
        taken[places[from].row] = true;
        for (int i = 0; i < SEL_CRITERIA; i++)
            if (dossier->in_use[i])
                taken[best_by(dossier, (enum sel_criterion)i, places + from, end - from)] = true;
    }
    free(places);
    return true;
}

static bool mark(const struct sel_dossier *dossier, bool *taken) {
    bool all = dossier->candidate_count <= ALL_UP_TO;
    for (size_t i = 0; i < dossier->candidate_count; i++)
        taken[i] = all || i < BEST || dossier->candidates[i].site;
    return all || mark_bests(dossier, taken);
}

static sel_status check_places(const struct sel_dossier *dossier) {
    const struct sel_package *package = dossier->package;
    for (size_t i = 0; i < dossier->candidate_count; i++)
        if (!isfinite(dossier->candidates[i].x) || !isfinite(dossier->candidates[i].y))
            return sel_fail(package->context, SEL_BAD_INPUT,
                "%s: layer candidates: row %zu has no place: the file was changed; rank again",
                package->path, i + 1);
    return SEL_OK;
}

sel_status sel_dossier_pick(const struct sel_dossier *dossier, struct sel_dossier_pick *pick) {
    *pick = (struct sel_dossier_pick){0};
    sel_status status = check_places(dossier);
    if (status != SEL_OK || dossier->candidate_count == 0)
        return status;
    bool *taken = calloc(dossier->candidate_count, sizeof *taken);
    pick->rows = malloc(dossier->candidate_count * sizeof *pick->rows);
    bool marked = taken && pick->rows && mark(dossier, taken);
    for (size_t i = 0; marked && i < dossier->candidate_count; i++)
        if (taken[i])
            pick->rows[pick->count++] = i;
    free(taken);
    if (marked)
        return SEL_OK;
    sel_dossier_pick_clear(pick);
    return sel_fail_memory(dossier->package->context);
}

void sel_dossier_pick_clear(struct sel_dossier_pick *pick) {
    free(pick->rows);
    *pick = (struct sel_dossier_pick){0};
}
