// SPDX-License-Identifier: MIT
//
// Hedges (lines only: a raster of 10 m does not show them) and tree belts (a cell or two wide, in
// the land cover) along the borders between parcels of farmland.
#include "valley.h"

enum border { BORDER_OPEN, BORDER_HEDGE, BORDER_BELT };

// A stretch of border under way: from where, towards which neighbour.
struct stretch {
    struct point from;
    int neighbour; // -1: none
};

static enum border border_kind(const struct valley *valley, int index, int neighbour) {
    double luck = hash_unit(index, neighbour, 301);
    bool stock = valley->parcels[index].use == COVER_PASTURE ||
                 valley->parcels[neighbour].use == COVER_PASTURE;
    if (luck > 0.955)
        return BORDER_BELT;
    return luck < (stock ? 0.4 : 0.16) ? BORDER_HEDGE : BORDER_OPEN;
}

static const double SHORTEST_M = 45, REACH_M = 13, STEP_M = 10;

static void belt_plant(struct valley *valley, struct point from, struct point to) {
    double length = distance(from, to);
    for (int metre = 0; metre <= length; metre += 3)
        for (int side = -1; side <= 1; side++) {
            double x = from.x + metre / length * (to.x - from.x);
            double y = from.y + metre / length * (to.y - from.y);
            int cell = cell_at((struct point){
                x - side * 6 * (to.y - from.y) / length, y + side * 6 * (to.x - from.x) / length});
            if (is_farmland(valley->cover[cell]))
                valley->cover[cell] = COVER_BROADLEAF_WOOD;
        }
}

static void stretch_end(struct valley *valley, int index, struct stretch *stretch, struct point to,
    enum border wanted) {
    if (stretch->neighbour >= 0 && distance(stretch->from, to) >= SHORTEST_M &&
        border_kind(valley, index, stretch->neighbour) == wanted) {
        if (wanted == BORDER_BELT)
            belt_plant(valley, stretch->from, to);
        else if (valley->hedge_count < HEDGES_MOST)
            valley->hedges[valley->hedge_count++] = (struct hedge){stretch->from, to};
    }
    *stretch = (struct stretch){to, -1};
}

// The parcel across the border, where both sides are farmed; -1 otherwise. A border is walked once,
// from the parcel with the lower index.
static int farmed_neighbour(
    const struct valley *valley, int index, struct point at, struct point outward) {
    int outer = cell_at((struct point){at.x + REACH_M * outward.x, at.y + REACH_M * outward.y});
    int inner = cell_at((struct point){at.x - REACH_M * outward.x, at.y - REACH_M * outward.y});
    bool farmed = is_farmland(valley->cover[outer]) && is_farmland(valley->cover[inner]);
    return farmed && valley->parcel_at[outer] > index ? valley->parcel_at[outer] : -1;
}

static void walk_side(
    struct valley *valley, int index, struct point a, struct point b, enum border wanted) {
    double length = distance(a, b);
    struct point outward = {(b.y - a.y) / length, (a.x - b.x) / length};
    struct stretch stretch = {a, -1};
    for (int step = 0; (step + 0.5) * STEP_M < length; step++) {
        double along = (step + 0.5) * STEP_M;
        struct point at = {a.x + along / length * (b.x - a.x), a.y + along / length * (b.y - a.y)};
        int neighbour = farmed_neighbour(valley, index, at, outward);
        if (neighbour != stretch.neighbour) {
            stretch_end(valley, index, &stretch, at, wanted);
            stretch = (struct stretch){at, neighbour};
        }
    }
    stretch_end(valley, index, &stretch, b, wanted);
}

static void walk_borders(struct valley *valley, enum border wanted) {
    for (int index = 0; index < valley->parcel_count; index++) {
        const struct parcel *parcel = &valley->parcels[index];
        for (int i = 0; i < parcel->corner_count; i++) {
            struct point a = parcel->corners[i];
            struct point b = parcel->corners[(i + 1) % parcel->corner_count];
            if (distance(a, b) >= SHORTEST_M)
                walk_side(valley, index, a, b, wanted);
        }
    }
}

void hedges_make(struct valley *valley) {
    walk_borders(valley, BORDER_BELT);
    walk_borders(valley, BORDER_HEDGE);
}
