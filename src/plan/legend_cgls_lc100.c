// SPDX-License-Identifier: MIT
//
// The legend of the Copernicus Global Land Service's land cover of 100 m cells, version 3. Codes
// and class names: as published, read in the Earth Engine data catalogue
// (COPERNICUS/Landcover/100m/Proba-V-C3/Global). Closed forest has more than 70 % canopy, open
// forest 15 to 70 % (from memory). Habitats and traits: our own estimates. An edge with unknown
// cover is worth nothing, and no trap stands there.
#include "plan/legends.h"

// value, second code, published name, habitat, canopy_m, cover, wetness, edge, walk, trap, water,
// ground, support
// clang-format off
static const struct sel_legend_class classes[] = {
    {0, 0, "Unknown", "unknown cover",
        0, 0, 0.3, 0, 0.5, false, false, SEL_GROUND_FIRM, false},
    {20, 20, "Shrubs", "shrubland",
        2, 0.4, 0.25, 1, 0.6, true, false, SEL_GROUND_FIRM, true},
    {30, 30, "Herbaceous vegetation", "grassland",
        0.4, 0, 0.3, 1, 0.9, true, false, SEL_GROUND_FIRM, false},
    {40, 40, "Cultivated and managed vegetation / agriculture", "cropland",
        0.8, 0, 0.25, 0.5, 0.65, true, false, SEL_GROUND_FIRM, false},
    {50, 50, "Urban / built up", "built-up",
        3, 0.15, 0.1, 0, 1, false, false, SEL_GROUND_FIRM, false},
    {60, 60, "Bare / sparse vegetation", "bare ground",
        0.1, 0, 0.1, 0.2, 0.8, true, false, SEL_GROUND_ROCK, false},
    {70, 70, "Snow and ice", "snow and ice",
        0, 0, 0.5, 0.05, 0.3, false, false, SEL_GROUND_FIRM, false},
    {80, 80, "Permanent water bodies", "open water",
        0, 0, 1, 0.3, 0, false, true, SEL_GROUND_WET, false},
    {90, 90, "Herbaceous wetland", "marsh",
        1, 0.1, 0.9, 1, 0.35, true, false, SEL_GROUND_WET, false},
    {100, 100, "Moss and lichen", "moss and lichen",
        0.05, 0, 0.5, 0.5, 0.7, true, false, SEL_GROUND_FIRM, false},
    {111, 111, "Closed forest, evergreen needle leaf", "closed evergreen conifer forest",
        20, 0.85, 0.35, 0.8, 0.6, true, false, SEL_GROUND_FIRM, true},
    {112, 112, "Closed forest, evergreen broad leaf", "closed evergreen broad-leaved forest",
        25, 0.9, 0.6, 1, 0.45, true, false, SEL_GROUND_FIRM, true},
    {113, 113, "Closed forest, deciduous needle leaf", "closed larch forest",
        16, 0.8, 0.35, 0.9, 0.65, true, false, SEL_GROUND_FIRM, true},
    {114, 114, "Closed forest, deciduous broad leaf", "closed broad-leaved forest",
        18, 0.85, 0.4, 1, 0.65, true, false, SEL_GROUND_FIRM, true},
    {115, 115, "Closed forest, mixed", "closed mixed forest",
        19, 0.85, 0.4, 0.95, 0.6, true, false, SEL_GROUND_FIRM, true},
    {116, 116, "Closed forest, not matching any of the other definitions", "closed forest",
        18, 0.85, 0.4, 0.95, 0.6, true, false, SEL_GROUND_FIRM, true},
    {121, 121, "Open forest, evergreen needle leaf", "open evergreen conifer forest",
        14, 0.45, 0.3, 0.9, 0.75, true, false, SEL_GROUND_FIRM, true},
    {122, 122, "Open forest, evergreen broad leaf", "open evergreen broad-leaved forest",
        15, 0.45, 0.35, 1, 0.7, true, false, SEL_GROUND_FIRM, true},
    {123, 123, "Open forest, deciduous needle leaf", "open larch forest",
        12, 0.4, 0.35, 0.95, 0.75, true, false, SEL_GROUND_FIRM, true},
    {124, 124, "Open forest, deciduous broad leaf", "open broad-leaved forest",
        13, 0.45, 0.3, 1, 0.75, true, false, SEL_GROUND_FIRM, true},
    {125, 125, "Open forest, mixed", "open mixed forest",
        14, 0.45, 0.3, 1, 0.75, true, false, SEL_GROUND_FIRM, true},
    {126, 126, "Open forest, not matching any of the other definitions", "open forest",
        13, 0.45, 0.3, 1, 0.75, true, false, SEL_GROUND_FIRM, true},
    {200, 200, "Oceans, seas", "sea",
        0, 0, 1, 0.1, 0, false, true, SEL_GROUND_WET, false},
};
// clang-format on

const struct sel_legend sel_legend_cgls_lc100 = {
    .name = "cgls-lc100",
    .title = "Copernicus Global Land Service, land cover 100 m (version 3)",
    .source = "Earth Engine data catalogue, COPERNICUS/Landcover/100m/Proba-V-C3/Global",
    .classes = classes,
    .class_count = sizeof classes / sizeof classes[0],
};
