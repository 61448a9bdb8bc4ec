// SPDX-License-Identifier: MIT
//
// How long a tour takes, in words that do not tell more than is known: a walk along the straight
// line is shorter than the real one, and a walk that nobody knows is in no sum.
#ifndef SEL_FIELDKIT_TOUR_WORDS_H
#define SEL_FIELDKIT_TOUR_WORDS_H

#include "base/text.h"
#include "fieldkit/data.h"

// "35 min"; "at least 35 min" with guessed walks; "at least 35 min, without 2 walks not known";
// "not known, not counted" when none is.
void sel_add_walking(
    const struct sel_fieldkit *kit, const struct sel_round *tour, struct sel_text *text);

// Walking, work and travel: "3 h 05 min"; "at least 3 h 05 min" unless all walks are known.
void sel_add_whole_tour(
    const struct sel_fieldkit *kit, const struct sel_round *tour, struct sel_text *text);

// One walk: "35 min", "at least 35 min" or "not known".
void sel_add_walk(const struct sel_fieldkit_site *site, struct sel_text *text);

// What travel leads between: "access points", or "sites" where no access point is known.
const char *sel_travel_ends(const struct sel_fieldkit *kit);

#endif
