// SPDX-License-Identifier: MIT
//
// The legend of ESA WorldCover 2021, a global land cover of 10 m cells. Codes and class names: as
// published, read in the Earth Engine data catalogue (ESA/WorldCover/v200). Habitats and traits:
// our own estimates for a temperate landscape; one class of trees covers anything from scrub to
// rain forest, so look at canopy_m first.
#include "plan/legends.h"

// value, second code, published name, habitat, canopy_m, cover, wetness, edge, walk, trap, water,
// ground, support
// clang-format off
static const struct sel_legend_class classes[] = {
    {10, 10, "Tree cover", "wood",
        15, 0.8, 0.4, 1, 0.65, true, false, SEL_GROUND_FIRM, true},
    {20, 20, "Shrubland", "shrubland",
        2, 0.45, 0.25, 1, 0.6, true, false, SEL_GROUND_FIRM, true},
    {30, 30, "Grassland", "grassland",
        0.4, 0, 0.3, 1, 0.9, true, false, SEL_GROUND_FIRM, false},
    {40, 40, "Cropland", "cropland",
        0.8, 0, 0.25, 0.5, 0.65, true, false, SEL_GROUND_FIRM, false},
    {50, 50, "Built-up", "built-up",
        3, 0.15, 0.1, 0, 1, false, false, SEL_GROUND_FIRM, false},
    {60, 60, "Bare / sparse vegetation", "bare ground",
        0.1, 0, 0.1, 0.2, 0.8, true, false, SEL_GROUND_ROCK, false},
    {70, 70, "Snow and ice", "snow and ice",
        0, 0, 0.5, 0.05, 0.3, false, false, SEL_GROUND_FIRM, false},
    {80, 80, "Permanent water bodies", "open water",
        0, 0, 1, 0.3, 0, false, true, SEL_GROUND_WET, false},
    {90, 90, "Herbaceous wetland", "marsh",
        1, 0.1, 0.9, 1, 0.35, true, false, SEL_GROUND_WET, false},
    {95, 95, "Mangroves", "mangrove",
        8, 0.8, 1, 0.8, 0.1, false, false, SEL_GROUND_WET, true},
    {100, 100, "Moss and lichen", "moss and lichen",
        0.05, 0, 0.5, 0.5, 0.7, true, false, SEL_GROUND_FIRM, false},
};
// clang-format on

const struct sel_legend sel_legend_worldcover = {
    .name = "worldcover",
    .title = "ESA WorldCover 10 m 2021 (v200)",
    .source = "Earth Engine data catalogue, ESA/WorldCover/v200",
    .classes = classes,
    .class_count = sizeof classes / sizeof classes[0],
};
