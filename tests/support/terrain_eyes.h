// SPDX-License-Identifier: MIT
//
// Scenes for horizon tests: a surface given by a function, its levels, and a view of it.
#ifndef SEL_TEST_TERRAIN_EYES_H
#define SEL_TEST_TERRAIN_EYES_H

#include "terrain/horizon.h"

struct terrain_cell {
    float ground_m; // NAN: unknown
    float canopy_m; // height above ground; 0: none
    uint8_t cover;
};

// The cell of a level at (row, col); called for level 0 only when levels are coarsened.
typedef struct terrain_cell terrain_cell_fn(const void *scene, int level, int64_t row, int64_t col);

struct terrain_setting {
    struct sel_horizon_rule rule;
    double cell_x_m, cell_y_m;
    struct sel_window core; // study cells from which one may look
    int64_t spare;          // cells by which windows are larger than they must be
    bool coarsened;         // coarse levels from level 0; else each from the function
};

struct terrain_eyes {
    struct terrain_setting setting;
    struct sel_surface surface;
    struct sel_horizon_plan *plan;
    struct sel_horizon_view *view;
    float *ground[SEL_SURFACE_LEVELS], *top[SEL_SURFACE_LEVELS];
    uint8_t *cover[SEL_SURFACE_LEVELS];
};

// A usual setting: 10 m cells, reach 10 km, head 1.8 m, opening 4 m, a core of one level-2 cell.
struct terrain_setting terrain_setting_usual(void);

void terrain_eyes_open(struct terrain_eyes *eyes, const struct terrain_setting *setting,
    terrain_cell_fn *cell, const void *scene);
void terrain_eyes_close(struct terrain_eyes *eyes);

// The horizon at a place that has one.
struct sel_horizon terrain_look(const struct terrain_eyes *eyes, int64_t hx, int64_t hy);

double terrain_angle_deg(float tangent);

// An even random number 0..1 for a cell, the same for the same arguments.
double terrain_random(uint32_t salt, int64_t row, int64_t col);

// Rolling ground of many sizes, roughly +-60 m, and patchy canopy up to 20 m.
struct terrain_cell terrain_rolling(const void *salt, int level, int64_t row, int64_t col);

#endif
