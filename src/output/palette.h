// SPDX-License-Identifier: MIT
//
// A colour for each habitat, made from its traits.
#ifndef SEL_OUTPUT_PALETTE_H
#define SEL_OUTPUT_PALETTE_H

#include "plan/habitats.h"

struct sel_rgb {
    uint8_t red, green, blue;
};

// The colour that a habitat's traits alone ask for: water blue, built-up and bare ground grey,
// vegetation light where it is low and dark where it is tall, yellow where dry, green to teal
// where wet.
struct sel_rgb sel_palette_base(const struct sel_habitat *habitat);

// Colours for all habitats (`colours` has room for habitats->count): each as near to its base as
// keeps it apart from the earlier ones for full and for red-green-blind colour vision. Depends on
// nothing but the table.
void sel_palette_build(const struct sel_habitats *habitats, struct sel_rgb *colours);

// How different two colours look to the eye that sees the least difference: the smallest distance
// in OKLab (0 black to white 1) under normal, protan and deutan vision.
double sel_palette_distance(struct sel_rgb a, struct sel_rgb b);

#endif
