// SPDX-License-Identifier: MIT
//
// The written parts of a setup card. Internal to the field kit.
#ifndef SEL_FIELDKIT_SETUP_PARTS_H
#define SEL_FIELDKIT_SETUP_PARTS_H

#include "base/text.h"
#include "fieldkit/data.h"

// Panel, head, edge and flight, true and by compass; declination, its change, grid convergence.
void sel_card_bearings(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html);

// Where the walk begins and how long it is.
void sel_card_walk(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html);

// What the two habitats look like.
void sel_card_habitats(const struct sel_fieldkit_site *site, struct sel_text *html);

// The yes/no list.
void sel_card_checks(const struct sel_fieldkit_site *site, struct sel_text *html);

// Where to go when the place will not do.
void sel_card_reserves(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html);

#endif
