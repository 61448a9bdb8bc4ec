// SPDX-License-Identifier: MIT
//
// Ruin and recreate (Schrimpf et al. 2000, from memory): a disc around a random site, one to three
// times as wide as the spacing, is cleared and filled greedily by worth and noise. Random numbers
// are a function of the number alone.
#include "choose/ruin.h"

#include <math.h>
#include <stdlib.h>

#include "choose/taken.h"
#include "score/random.h"

static const double LEAST_RADIUS = 1.1, MORE_RADIUS = 2; // of the spacing
static const double MOST_NOISE = 0.3;                    // of a site's weight

struct ranked {
    double worth;
    size_t position;
};

static int worthier_first(const void *left, const void *right) {
    const struct ranked *a = left, *b = right;
    if (a->worth != b->worth)
        return a->worth > b->worth ? -1 : 1;
    return (a->position > b->position) - (a->position < b->position);
}

static bool is_near(const struct sel_choice_problem *problem, size_t a, size_t b, double metres) {
    const struct sel_choice_item *one = &problem->open[a], *two = &problem->open[b];
    return sel_too_near(one->x_m, one->y_m, two->x_m, two->y_m, metres);
}

static bool fits(const struct sel_choice_problem *problem, const struct sel_taken *taken,
    const size_t *sites, int count, size_t position) {
    for (int k = 0; k < count; k++)
        if (sites[k] == position || is_near(problem, sites[k], position, problem->rule->apart_m))
            return false;
    return sel_taken_has_room(taken, &problem->open[position]);
}

// The candidates within the radius, worthiest first.
static size_t rank_near(const struct sel_choice_problem *problem, const double *worth,
    size_t centre, double radius_m, struct sel_random *random, struct ranked *ranked) {
    double noise = MOST_NOISE * sel_random_share(random);
    size_t count = 0;
    for (size_t i = 0; i < problem->open_count; i++) {
        if (!is_near(problem, i, centre, radius_m))
            continue;
        double more = noise * sel_random_share(random);
        double weight = (double)sel_site_weight(problem->open[i].score);
        ranked[count++] = (struct ranked){worth[i] + more * weight, i};
    }
    qsort(ranked, count, sizeof *ranked, worthier_first);
    return count;
}

sel_status sel_ruin(const struct sel_choice_problem *problem, const double *worth, uint32_t number,
    size_t *sites, int *site_count) {
    struct sel_taken taken;
    struct ranked *ranked = malloc((problem->open_count + 1) * sizeof *ranked);
    if (!ranked || *site_count < 1 || !sel_taken_init(&taken, problem)) {
        free(ranked);
        return ranked && *site_count < 1 ? SEL_OK : SEL_NO_MEMORY;
    }
    struct sel_random random = sel_random_begin(0, SEL_RANDOM_RUIN, number, 0);
    size_t centre = sites[(int)(sel_random_share(&random) * *site_count)];
    double wide = LEAST_RADIUS + MORE_RADIUS * sel_random_share(&random);
    double radius_m = wide * problem->rule->apart_m;
    int count = 0;
    for (int k = 0; k < *site_count; k++)
        if (!is_near(problem, sites[k], centre, radius_m))
            sites[count++] = sites[k];
    for (int k = 0; k < count; k++)
        sel_taken_count(&taken, &problem->open[sites[k]], 1);
    size_t near = rank_near(problem, worth, centre, radius_m, &random, ranked);
    for (size_t i = 0; i < near && count < problem->rule->sites; i++) {
        if (!fits(problem, &taken, sites, count, ranked[i].position))
            continue;
        sites[count++] = ranked[i].position;
        sel_taken_count(&taken, &problem->open[ranked[i].position], 1);
    }
    *site_count = count;
    sel_taken_clear(&taken);
    free(ranked);
    return SEL_OK;
}
