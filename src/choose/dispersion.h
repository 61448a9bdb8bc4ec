// SPDX-License-Identifier: MIT
//
// How evenly a set of sites lies on its ground: measures to report, not to choose by.
#ifndef SEL_CHOOSE_DISPERSION_H
#define SEL_CHOOSE_DISPERSION_H

#include "choose/hull.h"

struct sel_dispersion {
    double nearest_mean_m, nearest_least_m, nearest_most_m; // to the nearest other site
    double ground_m2;                                       // the convex ground of the candidates
    // Clark & Evans' ratio of the mean nearest distance to that of random sites: 1 like random, to
    // 2.149 for a regular triangular lattice. Random sites are sets of as many candidates, or
    // (_free) points that might lie anywhere on the ground.
    double ratio, ratio_free;
    double share_wider; // of the random sets, those whose mean is no smaller
    int sets;
    // Voronoi balance, 0 when all sites stand for equal shares of the ground, or of the candidates.
    double balance_ground, balance_candidates;
};

// Mean distance to the nearest other of at least two points; distances to each go to nearest_m
// (may be NULL).
double sel_nearest_mean(const struct sel_choice_point *points, int count, double *nearest_m);

// Clark & Evans (1954): mean nearest distance over its expectation for points at random on an area
// without regard to its border, 1 / (2 sqrt(density)).
double sel_clark_evans(double nearest_mean_m, int count, double area_m2);

// Stevens & Olsen (2004): the mean of (v - 1)^2 over the sites, v being the share of a site times
// the number of sites. `shares` need not sum to 1.
double sel_voronoi_balance(const double *shares, int count);

// The area of the part of the ground that is nearer to each site than to any other. False when
// memory is out.
bool sel_voronoi_areas(const struct sel_hull *ground, const struct sel_choice_point *sites,
    int count, double *areas_m2);

// Measures the dispersion of at least one site; with one site, distances, ratios and share are NAN.
// `candidates` in an order that does not depend on how they were found. False when memory is out.
bool sel_dispersion_measure(const struct sel_choice_item *sites, int site_count,
    const struct sel_choice_item *candidates, size_t candidate_count, uint64_t seed,
    struct sel_dispersion *dispersion);

#endif
