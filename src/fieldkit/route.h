// SPDX-License-Identifier: MIT
//
// The order in which places are visited: the shortest open path through them by straight lines,
// with both ends free, since nobody knows where the team sleeps. Exact for few places (dynamic
// programming over subsets, Held & Karp 1962), else nearest neighbour improved by reversals and
// moves (2-opt, Croes 1958; Or-opt, Or 1976; all three from memory). Pure and deterministic.
#ifndef SEL_FIELDKIT_ROUTE_H
#define SEL_FIELDKIT_ROUTE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct sel_stop {
    double x, y; // m, on one plane
};

enum { SEL_ROUTE_EXACT_MOST = 10 };

// Reorders `order`, indices into `stops`, so that the path through them is short; up to
// SEL_ROUTE_EXACT_MOST places, as short as can be. The end with the lower index comes first.
// False: out of memory, and `order` is unchanged.
bool sel_route_order(const struct sel_stop *stops, size_t *order, size_t count);

// Metres along the path.
double sel_route_length(const struct sel_stop *stops, const size_t *order, size_t count);

#endif
