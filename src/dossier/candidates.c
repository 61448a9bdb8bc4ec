// SPDX-License-Identifier: MIT
//
// A choice under other weights takes places that are good by some criterion, all over the ground; a
// choice under weights near the plan's takes from the best. Both kinds go into the page, some
// thousands in all, however many candidates there are.
#include "dossier/candidates.h"

#include <math.h>
#include <stdlib.h>

#include "score/score.h"

enum { BEST = 1500, SQUARES_MOST = 1000 };

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

// The best of a square under one criterion.
struct best {
    bool found;
    double worth;
    size_t row;
};

// The first of equals stands, which has the better score.
static void find_best(const struct sel_dossier *dossier, const struct squares *squares,
    enum sel_criterion criterion, struct best *best) {
    for (size_t i = 0; i < dossier->candidate_count; i++) {
        const struct sel_candidate_row *candidate = &dossier->candidates[i];
        struct best *here = &best[square_of(squares, candidate)];
        double worth = sel_candidate_worth(dossier, candidate, criterion);
        if (!here->found || worth > here->worth)
            *here = (struct best){true, worth, i};
    }
}

// Marks the best of every square under one criterion.
static bool mark_best(const struct sel_dossier *dossier, const struct squares *squares,
    enum sel_criterion criterion, bool *taken) {
    size_t count = squares->cols * squares->rows;
    struct best *best = calloc(count, sizeof *best);
    if (!best)
        return false;
    find_best(dossier, squares, criterion, best);
    for (size_t i = 0; i < count; i++)
        if (best[i].found)
            taken[best[i].row] = true;
    free(best);
    return true;
}

static bool mark(const struct sel_dossier *dossier, bool *taken) {
    struct squares squares = squares_over(dossier);
    for (size_t i = 0; i < dossier->candidate_count; i++)
        taken[i] = i < BEST || dossier->candidates[i].site;
    for (int i = 0; i < SEL_CRITERIA; i++)
        if (dossier->in_use[i] && !mark_best(dossier, &squares, (enum sel_criterion)i, taken))
            return false;
    return true;
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
