// SPDX-License-Identifier: MIT
//
// Even spread as an aim beside the score. With `spread` s the choice is the one, among those with
// as many sites as the search can place, that has the highest
//
//     sum over its sites of (1 - s) * score + s * min(1, d / D),
//
// d being the distance to the nearest other site, and D the distance at which a regular triangular
// lattice of as many points as sites are asked for fills the convex ground that the open candidates
// span, D = sqrt(2 A / (sqrt(3) N)), or the length of that ground divided by N where that is more
// (candidates along a line). In such a lattice every site reaches 1; a site alone does so, too.
#ifndef SEL_CHOOSE_SPREAD_H
#define SEL_CHOOSE_SPREAD_H

#include "choose/problem.h"

// D for a problem whose open candidates are listed; 0 when its rule has no spread. False when
// memory is out.
bool sel_spread_even_m(const struct sel_choice_problem *problem, double *even_m);

// What a site adds: its score and the distance to the nearest other.
static inline double sel_spread_part(double spread, double even_m, double score, double near_m) {
    double even = near_m < even_m ? near_m / even_m : 1;
    return (1 - spread) * score + spread * even;
}

// The sum for a choice, by positions in problem->open.
double sel_spread_objective(
    const struct sel_choice_problem *problem, const size_t *sites, int site_count);

// Betters a choice that keeps the rules by putting candidates in the place of single sites, until
// no trial among the best candidates of each place helps or most_work distances were looked at.
// The number of sites only grows. SEL_NO_MEMORY without message.
sel_status sel_spread_search(
    const struct sel_choice_problem *problem, int64_t most_work, size_t *sites, int *site_count);

#endif
