// SPDX-License-Identifier: MIT
//
// The legend of the National Land Cover Database of the United States, 30 m cells, with the four
// classes used in Alaska only (51, 72, 73, 74). Codes and class names: as published, read in the
// Earth Engine data catalogue (USGS/NLCD). Habitats and traits: our own estimates.
#include "plan/legends.h"

// value, second code, published name, habitat, canopy_m, cover, wetness, edge, walk, trap, water,
// ground, support
// clang-format off
static const struct sel_legend_class classes[] = {
    {11, 11, "Open water", "open water",
        0, 0, 1, 0.3, 0, false, true, SEL_GROUND_WET, false},
    {12, 12, "Perennial ice/snow", "ice and snow",
        0, 0, 0.5, 0.05, 0.3, false, false, SEL_GROUND_FIRM, false},
    {21, 21, "Developed, open space", "lawns and verges",
        2, 0.15, 0.25, 0.15, 1, false, false, SEL_GROUND_FIRM, false},
    {22, 22, "Developed, low intensity", "built-up",
        3, 0.15, 0.1, 0, 1, false, false, SEL_GROUND_FIRM, false},
    {23, 23, "Developed, medium intensity", "built-up",
        3, 0.15, 0.1, 0, 1, false, false, SEL_GROUND_FIRM, false},
    {24, 24, "Developed, high intensity", "built-up",
        3, 0.15, 0.1, 0, 1, false, false, SEL_GROUND_FIRM, false},
    {31, 31, "Barren land (rock/sand/clay)", "bare ground",
        0.1, 0, 0.05, 0.2, 0.8, true, false, SEL_GROUND_ROCK, false},
    {41, 41, "Deciduous forest", "deciduous forest",
        16, 0.8, 0.4, 1, 0.7, true, false, SEL_GROUND_FIRM, true},
    {42, 42, "Evergreen forest", "evergreen forest",
        18, 0.7, 0.3, 0.9, 0.7, true, false, SEL_GROUND_FIRM, true},
    {43, 43, "Mixed forest", "mixed forest",
        17, 0.75, 0.35, 1, 0.7, true, false, SEL_GROUND_FIRM, true},
    {51, 51, "Dwarf scrub", "dwarf scrub",
        0.2, 0.2, 0.4, 0.7, 0.7, true, false, SEL_GROUND_FIRM, false},
    {52, 52, "Shrub/scrub", "scrub",
        2, 0.35, 0.15, 1, 0.7, true, false, SEL_GROUND_FIRM, true},
    {71, 71, "Grassland/herbaceous", "grassland",
        0.5, 0, 0.2, 1, 0.9, true, false, SEL_GROUND_FIRM, false},
    {72, 72, "Sedge/herbaceous", "sedge tundra",
        0.4, 0, 0.65, 0.9, 0.6, true, false, SEL_GROUND_WET, false},
    {73, 73, "Lichens", "lichen tundra",
        0.05, 0, 0.2, 0.4, 0.8, true, false, SEL_GROUND_FIRM, false},
    {74, 74, "Moss", "moss tundra",
        0.05, 0, 0.65, 0.4, 0.6, true, false, SEL_GROUND_WET, false},
    {81, 81, "Pasture/hay", "pasture and hay",
        0.4, 0, 0.3, 0.8, 0.95, true, false, SEL_GROUND_FIRM, false},
    {82, 82, "Cultivated crops", "crops",
        0.8, 0, 0.2, 0.5, 0.6, true, false, SEL_GROUND_FIRM, false},
    {90, 90, "Woody wetlands", "woody wetland",
        12, 0.7, 0.9, 1, 0.4, true, false, SEL_GROUND_WET, true},
    {95, 95, "Emergent herbaceous wetlands", "marsh",
        1, 0.1, 0.95, 1, 0.3, true, false, SEL_GROUND_WET, false},
};
// clang-format on

const struct sel_legend sel_legend_nlcd = {
    .name = "nlcd",
    .title = "National Land Cover Database (United States), with the classes of Alaska",
    .source = "Earth Engine data catalogue, USGS/NLCD",
    .classes = classes,
    .class_count = sizeof classes / sizeof classes[0],
};
