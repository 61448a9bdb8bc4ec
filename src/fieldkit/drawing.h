// SPDX-License-Identifier: MIT
//
// Drawings of a setup card, as SVG inside the page.
#ifndef SEL_FIELDKIT_DRAWING_H
#define SEL_FIELDKIT_DRAWING_H

#include "base/text.h"
#include "fieldkit/data.h"

// From above: panel and head against true and magnetic north, the two habitats on their sides.
void sel_fieldkit_draw_plan(const struct sel_fieldkit_site *site, struct sel_text *html);

// From the side, along the flyway: ground, canopy and the trap, one scale both ways.
void sel_fieldkit_draw_section(
    const struct sel_fieldkit *kit, const struct sel_fieldkit_site *site, struct sel_text *html);

// A colour of the habitat table as "#rrggbb"; grey for what is no such code.
void sel_fieldkit_colour(const char *colour, char code[8]);

#endif
