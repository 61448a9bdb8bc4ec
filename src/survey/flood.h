// SPDX-License-Identifier: MIT
//
// Whether water may reach a place: one rule for the notes of a site, the dossier and the field kit.
// Common practice, no source: height counts first, since a flat bank floods far from the water's
// edge; close by, no height is trusted, since maps and elevation err by a cell or two. It is a
// caution from a map and no flood map.
#ifndef SEL_SURVEY_FLOOD_H
#define SEL_SURVEY_FLOOD_H

#include <stdbool.h>

// Below SEL_FLOOD_LOW_M above open water within SEL_FLOOD_FAR_M, or below SEL_FLOOD_RAISED_M within
// SEL_FLOOD_NEAR_M, or at any height within SEL_FLOOD_BESIDE_M, water may reach a trap.
extern const double SEL_FLOOD_LOW_M, SEL_FLOOD_FAR_M, SEL_FLOOD_RAISED_M, SEL_FLOOD_NEAR_M,
    SEL_FLOOD_BESIDE_M;

// A habitat of this wetness or more is wet. Our own reading of the trait.
extern const double SEL_WET_HABITAT;

// `water_m` to the nearest mapped open water, `above_water_m` above it; NAN: none, or not known.
bool sel_may_flood(double water_m, double above_water_m);

// Whether the wetter of a site's two habitats tells of water that the map does not show within
// SEL_FLOOD_FAR_M.
bool sel_water_is_unmapped(double water_m, double wetness_a, double wetness_b);

#endif
