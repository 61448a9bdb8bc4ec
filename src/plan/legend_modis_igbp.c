// SPDX-License-Identifier: MIT
//
// The legend of the International Geosphere-Biosphere Programme as used by the MODIS land cover
// MCD12Q1, type 1, of 500 m cells, collections 6 and later (water is 17). Codes and class names: as
// published, read in the Earth Engine data catalogue (MODIS/006/MCD12Q1). Habitats and traits: our
// own estimates; cells this coarse fit a first look at a region, not the placing of a trap.
#include "plan/legends.h"

// value, second code, published name, habitat, canopy_m, cover, wetness, edge, walk, trap, water,
// ground, support
// clang-format off
static const struct sel_legend_class classes[] = {
    {1, 1, "Evergreen Needleleaf Forests", "evergreen conifer forest",
        20, 0.8, 0.35, 0.8, 0.6, true, false, SEL_GROUND_FIRM, true},
    {2, 2, "Evergreen Broadleaf Forests", "evergreen broad-leaved forest",
        25, 0.9, 0.6, 1, 0.45, true, false, SEL_GROUND_FIRM, true},
    {3, 3, "Deciduous Needleleaf Forests", "larch forest",
        16, 0.75, 0.35, 0.9, 0.65, true, false, SEL_GROUND_FIRM, true},
    {4, 4, "Deciduous Broadleaf Forests", "broad-leaved forest",
        18, 0.8, 0.4, 1, 0.65, true, false, SEL_GROUND_FIRM, true},
    {5, 5, "Mixed Forests", "mixed forest",
        19, 0.8, 0.4, 0.95, 0.6, true, false, SEL_GROUND_FIRM, true},
    {6, 6, "Closed Shrublands", "closed shrubland",
        1.8, 0.65, 0.25, 1, 0.5, true, false, SEL_GROUND_FIRM, true},
    {7, 7, "Open Shrublands", "open shrubland",
        1.3, 0.3, 0.15, 1, 0.75, true, false, SEL_GROUND_FIRM, true},
    {8, 8, "Woody Savannas", "woody savanna",
        8, 0.45, 0.25, 1, 0.75, true, false, SEL_GROUND_FIRM, true},
    {9, 9, "Savannas", "savanna",
        6, 0.2, 0.2, 1, 0.85, true, false, SEL_GROUND_FIRM, true},
    {10, 10, "Grasslands", "grassland",
        0.4, 0, 0.25, 1, 0.9, true, false, SEL_GROUND_FIRM, false},
    {11, 11, "Permanent Wetlands", "wetland",
        2, 0.3, 0.95, 1, 0.3, true, false, SEL_GROUND_WET, false},
    {12, 12, "Croplands", "cropland",
        0.8, 0, 0.25, 0.5, 0.65, true, false, SEL_GROUND_FIRM, false},
    {13, 13, "Urban and Built-up Lands", "built-up",
        3, 0.15, 0.1, 0, 1, false, false, SEL_GROUND_FIRM, false},
    {14, 14, "Cropland/Natural Vegetation Mosaics", "fields with wild patches",
        3, 0.2, 0.3, 0.9, 0.7, true, false, SEL_GROUND_FIRM, true},
    {15, 15, "Permanent Snow and Ice", "snow and ice",
        0, 0, 0.5, 0.05, 0.3, false, false, SEL_GROUND_FIRM, false},
    {16, 16, "Barren", "bare ground",
        0.1, 0, 0.05, 0.2, 0.8, true, false, SEL_GROUND_ROCK, false},
    {17, 17, "Water Bodies", "open water",
        0, 0, 1, 0.3, 0, false, true, SEL_GROUND_WET, false},
};
// clang-format on

const struct sel_legend sel_legend_modis_igbp = {
    .name = "modis-igbp",
    .title = "MODIS land cover MCD12Q1, type 1 (IGBP), 500 m",
    .source = "Earth Engine data catalogue, MODIS/006/MCD12Q1, LC_Type1",
    .classes = classes,
    .class_count = sizeof classes / sizeof classes[0],
};
