// SPDX-License-Identifier: MIT
//
// The world's coasts, coarse enough for a globe of three centimetres.
#ifndef SEL_DOSSIER_LAND_H
#define SEL_DOSSIER_LAND_H

#include <stddef.h>
#include <stdint.h>

// Longitude and latitude by turns, in half degrees; SEL_LAND_END twice ends a ring.
enum { SEL_LAND_END = 999 };
extern const int16_t SEL_LAND[];
extern const size_t SEL_LAND_COUNT;

#endif
