// SPDX-License-Identifier: MIT
//
// Decimals kept in the GeoPackage: bearings and horizons to 0.01 degrees, slope to 0.0001 (as good
// as it is computed), geographic coordinates to 1 cm, lengths to 1 cm; scores, worths and weights
// as they were summed.
#ifndef SEL_OUTPUT_DECIMALS_H
#define SEL_OUTPUT_DECIMALS_H

enum { BEARING = 2, SLOPE = 4, GEOGRAPHIC = 7, METRES = 2, TIME = 4, SHARE = 6, WORTH = 9 };

#endif
