// SPDX-License-Identifier: MIT
//
// Two slow references for horizons, written apart from the library and in doubles.
//
// terrain_cast: the exhaustive one. It walks every cell on a ray over level 0: the ground as the
// bilinear surface through the cells' centres, with the true maximum in every cell; canopy as
// boxes, entered where the ray crosses a border.
//
// terrain_sample: the definition in docs/method-sun.md to the letter, level by level, with nothing
// left out.
#ifndef SEL_TEST_TERRAIN_CAST_H
#define SEL_TEST_TERRAIN_CAST_H

#include "terrain_eyes.h"

struct terrain_ray {
    double ground_tan, canopy_tan;
    double cover;  // of what makes the canopy's horizon
    bool complete; // terrain_sample only
};

struct terrain_ray terrain_cast(
    const struct terrain_eyes *eyes, int64_t hx, int64_t hy, double azimuth_deg);

struct terrain_ray terrain_sample(
    const struct terrain_eyes *eyes, int64_t hx, int64_t hy, int direction);

// The same with other ends of the levels, in study cells.
struct terrain_ray terrain_sample_to(const struct terrain_eyes *eyes, int64_t hx, int64_t hy,
    int direction, const double level_cells[SEL_SURFACE_LEVELS]);

#endif
