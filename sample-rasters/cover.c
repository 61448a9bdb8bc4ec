// SPDX-License-Identifier: MIT
//
// Land cover: first what would grow by itself, over it the use of the parcels, then water's edges,
// the village and its farms, tree belts, copses and gaps. Straight borders come from the parcels,
// natural ones from the ground and from noise.
#include <math.h>

#include "valley.h"

bool is_farmland(unsigned cover) {
    return cover == COVER_HAY_MEADOW || cover == COVER_PASTURE || cover == COVER_ARABLE;
}

static const double STEEP = 0.225; // rise over run: too steep for the plough or the mower

// Woods on steep ground, heath on the tops, scrub where pasture was given up.
static enum cover wild_cover(const struct valley *valley, int cell, struct point at) {
    double ragged = fractal(at.x, at.y, 220, 4, 201);
    double high = valley->above_brook[cell] + 14 * ragged;
    if (valley->slope[cell] + 0.035 * ragged > (high > 135 ? 0.275 : STEEP))
        return COVER_BROADLEAF_WOOD;
    double growth = fractal(at.x, at.y, 340, 4, 202);
    if (high > 120)
        return growth > 0.62 ? COVER_SCRUB : growth < -0.85 ? COVER_BROADLEAF_WOOD : COVER_HEATH;
    return growth > 0.35 ? COVER_SCRUB : growth < -0.15 ? COVER_BROADLEAF_WOOD : COVER_PASTURE;
}

// Straight rides, 14 m wide, divide a plantation; two directions at right angles (3-4-5).
static bool is_ride(struct point at) {
    double along = (0.8 * at.x + 0.6 * at.y) / 430, across = (0.8 * at.y - 0.6 * at.x) / 310;
    return (along - floor(along)) * 430 < 14 || (across - floor(across)) * 310 < 14;
}

static enum cover forest_cover(double slope, struct point at) {
    if (is_ride(at))
        return COVER_HEATH;
    if (slope > 0.24)
        return COVER_BROADLEAF_WOOD;
    double gap = fractal(at.x, at.y, 110, 3, 211);
    return gap > 1.12 ? COVER_SCRUB : COVER_PLANTATION;
}

// What a parcel's owner makes of a cell: rough corners are left to themselves.
static enum cover used_cover(const struct valley *valley, int cell, struct point at) {
    int index = valley->parcel_at[cell];
    enum cover use = index >= 0 ? valley->parcels[index].use : COVER_NONE;
    double slope = valley->slope[cell] + 0.03 * fractal(at.x, at.y, 160, 3, 221);
    if (use == COVER_PLANTATION)
        return forest_cover(slope, at);
    if (is_farmland(use) && slope < (use == COVER_PASTURE ? 0.27 : STEEP)) {
        double neglect = fractal(at.x, at.y, 90, 3, 222) + 2.2 * slope;
        return use == COVER_PASTURE && neglect > 1.35 ? COVER_SCRUB : use;
    }
    return wild_cover(valley, cell, at);
}

// Old woods that fields were never cut from.
static bool is_old_wood(const struct valley *valley, int cell, struct point at) {
    double wood = fractal(at.x, at.y, 800, 4, 231) + 1.6 * valley->slope[cell];
    return wood > 0.98 && valley->floor_share[cell] < 0.3 && valley->above_brook[cell] < 160;
}

// Alders and willows along running water, now wide, now thin, now cut down.
static bool is_riparian(const struct valley *valley, int cell, struct point at) {
    double lush = fractal(at.x, at.y, 330, 3, 241) + 0.42;
    double by_brook = 7 + 30 * fmin(lush, 1.1), by_beck = 5 + 17 * fmin(lush, 1);
    if (valley->brook_m[cell] < 620 && valley->brook_m[cell] < by_brook)
        return lush > 0;
    bool open_ground = is_farmland(valley->cover[cell]) || valley->cover[cell] == COVER_SCRUB;
    return open_ground && lush > 0.05 && valley->beck_m[cell] < by_beck;
}

static bool is_marsh(const struct valley *valley, int cell, struct point at) {
    double pond_m = distance(at, POND);
    double wet = fractal(at.x, at.y, 260, 3, 251) + 1.1 * (1 - smooth_step(150, 420, pond_m));
    bool flat = valley->floor_share[cell] > 0.75 && valley->above_brook[cell] < 1.7;
    bool flush = valley->beck_m[cell] < 45 && valley->slope[cell] < 0.085 && wet > 0.75 &&
                 valley->above_brook[cell] > 40;
    return (flat && wet > 0.72) || flush;
}

static bool is_village(const struct valley *valley, int cell, struct point at) {
    double streets = 1 - fmin(valley->road_m[cell], 90) / 90;
    double built =
        1.15 - distance(at, VILLAGE) / 330 + 0.55 * streets + 0.5 * fractal(at.x, at.y, 70, 2, 261);
    return built > 0.72 && valley->floor_share[cell] < 0.8 && valley->slope[cell] < 0.26;
}

static void cover_cell(struct valley *valley, int cell) {
    struct point at = cell_centre(cell);
    if (valley->cover[cell] != COVER_NONE) // pond and quarry are there already
        return;
    enum cover cover = used_cover(valley, cell, at);
    if (is_farmland(cover) && is_old_wood(valley, cell, at))
        cover = COVER_BROADLEAF_WOOD;
    valley->cover[cell] = (uint8_t)cover;
    if (is_marsh(valley, cell, at))
        valley->cover[cell] = COVER_MARSH;
    if (is_riparian(valley, cell, at))
        valley->cover[cell] = COVER_RIPARIAN_WOOD;
    if (is_village(valley, cell, at))
        valley->cover[cell] = COVER_VILLAGE;
}

// A yard with its buildings: a few cells beside the end of a lane.
static void farm_build(struct valley *valley, struct point at, int wide, int high) {
    for (int row = 0; row < high; row++)
        for (int col = 0; col < wide; col++)
            valley->cover[cell_at((struct point){at.x + col * CELL_M, at.y + row * CELL_M})] =
                COVER_VILLAGE;
}

static void farms_build(struct valley *valley) {
    farm_build(valley, (struct point){1470, 4600}, 5, 4);
    farm_build(valley, (struct point){1520, 4650}, 3, 3);
    farm_build(valley, (struct point){3630, 470}, 4, 4);
    farm_build(valley, (struct point){5940, 3560}, 6, 4);
    farm_build(valley, (struct point){1040, 2130}, 4, 3);
    farm_build(valley, (struct point){2780, 4850}, 5, 5);
    farm_build(valley, (struct point){4200, 3420}, 4, 5);
}

// A little blot of one cover on open land; about one lattice square in two has one.
static void copse_plant(struct valley *valley, int row, int col) {
    const double side = 260;
    if (hash_unit(col, row, 271) > 0.5)
        return;
    struct point centre = {
        (col + hash_unit(col, row, 272)) * side, (row + hash_unit(col, row, 273)) * side};
    double radius = 6 + 22 * hash_unit(col, row, 274) * hash_unit(col, row, 275);
    enum cover grown = hash_unit(col, row, 276) < 0.55 ? COVER_BROADLEAF_WOOD : COVER_SCRUB;
    for (int k = 0; k < 49; k++) {
        int across = k % 7 - 3, down = k / 7 - 3;
        int cell = cell_at((struct point){centre.x + across * CELL_M, centre.y + down * CELL_M});
        struct point at = cell_centre(cell);
        double ragged = radius * (1 + 0.5 * noise(at.x, at.y, 25, 277));
        bool open_land = is_farmland(valley->cover[cell]) || valley->cover[cell] == COVER_HEATH;
        if (open_land && distance(at, centre) < ragged)
            valley->cover[cell] = (uint8_t)grown;
    }
}

void cover_make(struct valley *valley) {
    for (int cell = 0; cell < CELLS; cell++)
        cover_cell(valley, cell);
    farms_build(valley);
    for (int row = 0; row < HIGH * CELL_M / 260 + 1; row++)
        for (int col = 0; col < WIDE * CELL_M / 260 + 1; col++)
            copse_plant(valley, row, col);
}
