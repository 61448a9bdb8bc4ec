// SPDX-License-Identifier: MIT
//
// Groups sites into rounds, each a day's work for one team: walking there and back from each access
// point, work at the trap, and travel between access points by straight line. One path is laid
// through all access points, cut where that gives the fewest rounds and then the least travel
// (dynamic programming over the cuts), and each round is put in order on its own. The way from the
// team's quarters to the first access point and back is not counted. Pure.
#ifndef SEL_FIELDKIT_ROUNDS_H
#define SEL_FIELDKIT_ROUNDS_H

#include "fieldkit/route.h"

struct sel_round_rule {
    double day_min;
    double metres_per_min; // of travel, over the straight line
};

// What a site asks of the team.
struct sel_round_stop {
    struct sel_stop access;
    double walk_min; // there and back
    double work_min;
};

struct sel_round {
    size_t first, count; // its sites in the order below
    double walk_min, work_min, travel_min;
};

// Fills `order` with the indices of all stops, round after round, and `rounds`, both with room for
// `count`. A site that alone takes longer than a day is a round of its own. False: out of memory.
bool sel_rounds_make(const struct sel_round_stop *stops, size_t count,
    const struct sel_round_rule *rule, size_t *order, struct sel_round *rounds,
    size_t *round_count);

// Walking, work and travel.
double sel_round_total_min(const struct sel_round *round);

#endif
