// SPDX-License-Identifier: MIT
//
// Covers the ground with regular hexagons of which no two places are apart: each gives at most one
// site. A hexagon whose longest diagonal is apart_m covers 1.3 times the ground of a square with
// that diagonal, so a bound built on it is the tighter.
#ifndef SEL_CHOOSE_COVER_H
#define SEL_CHOOSE_COVER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "choose/choose.h"

// How many different covers there are: shifted by halves and thirds of the lattice.
enum { SEL_COVERS = 6 };

// And of how many lattices of discs: shifted by quarters of the lattice.
enum { SEL_DISCS = 16 };

// Writes the number of each item's hexagon in a cover, 0..*cell_count-1, in order of first
// appearance. Any two items of one hexagon are nearer than apart_m; with apart_m <= 0 each item
// has its own. False when memory is out.
bool sel_cover_number(const struct sel_choice_item *items, size_t count, double apart_m, int cover,
    int32_t *cells, int32_t *cell_count);

// The same for discs of diameter apart_m that touch one another. They leave gaps: items there have
// the number 0, which stands for no disc.
bool sel_discs_number(const struct sel_choice_item *items, size_t count, double apart_m,
    int lattice, int32_t *cells, int32_t *cell_count);

#endif
