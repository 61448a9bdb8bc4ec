// SPDX-License-Identifier: MIT
//
// What goes into the rucksack, counted for one round or for all of them.
#ifndef SEL_FIELDKIT_ITEMS_H
#define SEL_FIELDKIT_ITEMS_H

#include "base/text.h"
#include "fieldkit/data.h"

struct sel_kit_item {
    const char *name, *note;
    bool fluid;                   // ml; else pieces
    double setup, change, season; // for the first visit, for each change of heads, in all
};

// How many kinds of things there are.
size_t sel_kit_items(void);

// Counts one of them over a round, or over all rounds when `round` is kit->round_count.
struct sel_kit_item sel_kit_count(const struct sel_fieldkit *kit, size_t item, size_t round);

// Appends the ids of the sites it is for; "all" when that is every site of the round, nothing when
// it is none.
void sel_kit_sites(
    const struct sel_fieldkit *kit, size_t item, size_t round, struct sel_text *text);

#endif
