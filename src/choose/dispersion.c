// SPDX-License-Identifier: MIT
//
// Every measure by trying all: sites are few. A Voronoi cell is the convex ground cut by the
// bisectors with all other sites.
#include "choose/dispersion.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "score/random.h"

enum { SETS = 499 };

static double square(double x) {
    return x * x;
}

static double squared_distance(const struct sel_choice_point *a, const struct sel_choice_point *b) {
    return square(a->x_m - b->x_m) + square(a->y_m - b->y_m);
}

// ---- nearest neighbours ----

double sel_nearest_mean(const struct sel_choice_point *points, int count, double *nearest_m) {
    double sum = 0;
    for (int i = 0; i < count; i++) {
        double least = HUGE_VAL;
        for (int k = 0; k < count; k++)
            if (k != i)
                least = fmin(least, squared_distance(&points[i], &points[k]));
        if (nearest_m)
            nearest_m[i] = sqrt(least);
        sum += sqrt(least);
    }
    return sum / count;
}

double sel_clark_evans(double nearest_mean_m, int count, double area_m2) {
    return nearest_mean_m * 2 * sqrt(count / area_m2);
}

// ---- random sets ----

// `count` candidates, none twice; drawn[i] tells in which set a candidate was drawn last.
static void draw_set(struct sel_random *random, const struct sel_choice_item *candidates,
    size_t candidate_count, int *drawn, int set, struct sel_choice_point *points, int count) {
    for (int i = 0; i < count;) {
        size_t at = (size_t)(sel_random_share(random) * (double)candidate_count);
        if (drawn[at] == set)
            continue;
        drawn[at] = set;
        points[i++] = (struct sel_choice_point){candidates[at].x_m, candidates[at].y_m};
    }
}

static bool compare_with_sets(int site_count, const struct sel_choice_item *candidates,
    size_t candidate_count, uint64_t seed, struct sel_dispersion *d) {
    int *drawn = calloc(candidate_count, sizeof *drawn);
    struct sel_choice_point *points = malloc((size_t)site_count * sizeof *points);
    bool ready = drawn && points;
    double sum = 0;
    int wider = 0;
    for (int set = 1; ready && set <= SETS; set++) {
        struct sel_random random = sel_random_begin(seed, SEL_RANDOM_SETS, (uint32_t)set, 0);
        draw_set(&random, candidates, candidate_count, drawn, set, points, site_count);
        double mean = sel_nearest_mean(points, site_count, NULL);
        sum += mean;
        wider += mean >= d->nearest_mean_m;
    }
    d->sets = SETS;
    d->ratio = d->nearest_mean_m / (sum / SETS);
    d->share_wider = (double)wider / SETS;
    free(drawn);
    free(points);
    return ready;
}

// ---- Voronoi cells ----

// The part of a convex polygon (corners in turn) that is no farther from `site` than from `other`;
// returns its number of corners. `out` has room for one more than `count`.
static size_t cut(const struct sel_choice_point *corners, size_t count,
    const struct sel_choice_point *site, const struct sel_choice_point *other,
    struct sel_choice_point *out) {
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        const struct sel_choice_point *a = &corners[i], *b = &corners[(i + 1) % count];
        double from_a = squared_distance(a, other) - squared_distance(a, site);
        double from_b = squared_distance(b, other) - squared_distance(b, site);
        if (from_a >= 0)
            out[kept++] = *a;
        if ((from_a > 0 && from_b < 0) || (from_a < 0 && from_b > 0)) {
            double share = from_a / (from_a - from_b);
            out[kept++] = (struct sel_choice_point){
                a->x_m + share * (b->x_m - a->x_m), a->y_m + share * (b->y_m - a->y_m)};
        }
    }
    return kept;
}

static double area_of(const struct sel_choice_point *corners, size_t count) {
    double twice = 0;
    for (size_t i = 0; i < count; i++) {
        double x = corners[i].x_m - corners[0].x_m, y = corners[i].y_m - corners[0].y_m;
        const struct sel_choice_point *next = &corners[(i + 1) % count];
        twice += x * (next->y_m - corners[0].y_m) - y * (next->x_m - corners[0].x_m);
    }
    return 0.5 * fabs(twice);
}

bool sel_voronoi_areas(const struct sel_hull *ground, const struct sel_choice_point *sites,
    int count, double *areas_m2) {
    size_t room = ground->count + (size_t)count + 1;
    struct sel_choice_point *cell = calloc(room, sizeof *cell);
    struct sel_choice_point *next = calloc(room, sizeof *next);
    bool ready = cell && next;
    for (int i = 0; ready && i < count; i++) {
        size_t corners = ground->count;
        memcpy(cell, ground->points, corners * sizeof *cell);
        for (int k = 0; k < count; k++) {
            if (k == i)
                continue;
            corners = cut(cell, corners, &sites[i], &sites[k], next);
            struct sel_choice_point *swap = cell;
            cell = next, next = swap;
        }
        areas_m2[i] = area_of(cell, corners);
    }
    free(cell);
    free(next);
    return ready;
}

double sel_voronoi_balance(const double *shares, int count) {
    double sum = 0, all = 0;
    for (int i = 0; i < count; i++)
        all += shares[i];
    for (int i = 0; i < count; i++)
        sum += square(shares[i] * count / all - 1);
    return sum / count;
}

// How many candidates are nearest to each site (the first of equally near ones).
static void count_nearest(const struct sel_choice_point *sites, int site_count,
    const struct sel_choice_item *candidates, size_t candidate_count, double *counts) {
    memset(counts, 0, (size_t)site_count * sizeof *counts);
    for (size_t i = 0; i < candidate_count; i++) {
        struct sel_choice_point at = {candidates[i].x_m, candidates[i].y_m};
        double least = HUGE_VAL;
        int nearest = 0;
        for (int k = 0; k < site_count; k++) {
            double far = squared_distance(&at, &sites[k]);
            if (far < least) {
                least = far;
                nearest = k;
            }
        }
        counts[nearest]++;
    }
}

// ---- together ----

static void measure_nearest(
    const struct sel_choice_point *sites, int count, double *nearest, struct sel_dispersion *d) {
    d->nearest_mean_m = sel_nearest_mean(sites, count, nearest);
    d->nearest_least_m = HUGE_VAL;
    d->nearest_most_m = 0;
    for (int i = 0; i < count; i++) {
        d->nearest_least_m = fmin(d->nearest_least_m, nearest[i]);
        d->nearest_most_m = fmax(d->nearest_most_m, nearest[i]);
    }
    d->ratio_free =
        d->ground_m2 > 0 ? sel_clark_evans(d->nearest_mean_m, count, d->ground_m2) : (double)NAN;
}

static struct sel_dispersion nothing_known(const struct sel_hull *ground) {
    return (struct sel_dispersion){.nearest_mean_m = (double)NAN,
        .nearest_least_m = (double)NAN,
        .nearest_most_m = (double)NAN,
        .ground_m2 = ground->area_m2,
        .ratio = (double)NAN,
        .ratio_free = (double)NAN,
        .share_wider = (double)NAN,
        .balance_ground = (double)NAN};
}

bool sel_dispersion_measure(const struct sel_choice_item *sites, int site_count,
    const struct sel_choice_item *candidates, size_t candidate_count, uint64_t seed,
    struct sel_dispersion *dispersion) {
    struct sel_hull ground = {0};
    struct sel_choice_point *points = malloc((size_t)site_count * sizeof *points);
    double *shares = calloc((size_t)site_count, sizeof *shares);
    bool ready = points && shares && sel_hull_init(&ground, candidates, candidate_count);
    *dispersion = nothing_known(&ground);
    for (int i = 0; ready && i < site_count; i++)
        points[i] = (struct sel_choice_point){sites[i].x_m, sites[i].y_m};
    if (ready && site_count > 1) {
        measure_nearest(points, site_count, shares, dispersion);
        ready = compare_with_sets(site_count, candidates, candidate_count, seed, dispersion);
    }
    if (ready && ground.area_m2 > 0) {
        ready = sel_voronoi_areas(&ground, points, site_count, shares);
        if (ready)
            dispersion->balance_ground = sel_voronoi_balance(shares, site_count);
    }
    if (ready) {
        count_nearest(points, site_count, candidates, candidate_count, shares);
        dispersion->balance_candidates = sel_voronoi_balance(shares, site_count);
    }
    sel_hull_clear(&ground);
    free(points);
    free(shares);
    return ready;
}
