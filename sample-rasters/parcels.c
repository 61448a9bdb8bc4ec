// SPDX-License-Identifier: MIT
//
// Parcels of land: blocks (the Voronoi cells of jittered points) cut into rows and fields along the
// contour, each a convex polygon, with an owner and a use that suits its ground.
#include <math.h>

#include "valley.h"

enum {
    BLOCK_M = 520,
    BLOCK_COLS = WIDE * CELL_M / BLOCK_M + 3,
    BLOCK_ROWS = HIGH * CELL_M / BLOCK_M + 3
};

struct polygon {
    int count;
    struct point corners[PARCEL_CORNERS];
};

// The half-plane of points p with (p - at) . away <= 0.
struct half_plane {
    struct point at, away;
};

static double outside(struct half_plane half, struct point p) {
    return (p.x - half.at.x) * half.away.x + (p.y - half.at.y) * half.away.y;
}

static void add_corner(struct polygon *polygon, struct point corner) {
    if (polygon->count < PARCEL_CORNERS)
        polygon->corners[polygon->count++] = corner;
}

// Cuts a convex polygon down to a half-plane (Sutherland & Hodgman 1974).
static void cut(struct polygon *polygon, struct half_plane half) {
    struct polygon from = *polygon;
    polygon->count = 0;
    for (int i = 0; i < from.count; i++) {
        struct point a = from.corners[i], b = from.corners[(i + 1) % from.count];
        double out_a = outside(half, a), out_b = outside(half, b);
        if (out_a <= 0)
            add_corner(polygon, a);
        if ((out_a < 0 && out_b > 0) || (out_a > 0 && out_b < 0)) {
            double t = out_a / (out_a - out_b);
            add_corner(polygon, (struct point){a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)});
        }
    }
}

static double area_of(const struct polygon *polygon) {
    double twice = 0;
    for (int i = 0; i < polygon->count; i++) {
        struct point a = polygon->corners[i], b = polygon->corners[(i + 1) % polygon->count];
        twice += a.x * b.y - b.x * a.y;
    }
    return fabs(twice) / 2;
}

static struct point block_point(int row, int col) {
    return (struct point){(col - 0.5 + 0.75 * (hash_unit(col, row, 101) - 0.5)) * BLOCK_M,
        (row - 0.5 + 0.75 * (hash_unit(col, row, 102) - 0.5)) * BLOCK_M};
}

// The Voronoi cell of a block's point, within the land cover.
static struct polygon block_polygon(int row, int col) {
    const double west = MARGIN * CELL_M, east = west + COLS * CELL_M;
    const double north = MARGIN * CELL_M, south = north + ROWS * CELL_M;
    struct polygon polygon = {4, {{west, north}, {east, north}, {east, south}, {west, south}}};
    struct point own = block_point(row, col);
    for (int k = 0; k < 25; k++) {
        if (k == 12)
            continue;
        struct point other = block_point(row + k / 5 - 2, col + k % 5 - 2);
        struct point middle = {(own.x + other.x) / 2, (own.y + other.y) / 2};
        cut(&polygon, (struct half_plane){middle, {other.x - own.x, other.y - own.y}});
    }
    return polygon;
}

// Unit vector uphill, over some hundred metres.
static struct point uphill(const struct valley *valley, struct point at) {
    const double arm = 160;
    double x = valley->height[cell_at((struct point){at.x + arm, at.y})] -
               valley->height[cell_at((struct point){at.x - arm, at.y})];
    double y = valley->height[cell_at((struct point){at.x, at.y + arm})] -
               valley->height[cell_at((struct point){at.x, at.y - arm})];
    double length = sqrt(x * x + y * y);
    return length > 0 ? (struct point){x / length, y / length} : (struct point){0, 1};
}

// What a stretch of ground is like, on the whole.
struct ground {
    double slope, above_brook, floor_share;
};

static struct ground ground_around(const struct valley *valley, struct point at, double arm) {
    struct ground mean = {0, 0, 0};
    for (int k = 0; k < 9; k++) {
        int across = k / 3 - 1, down = k % 3 - 1;
        int cell = cell_at((struct point){at.x + across * arm, at.y + down * arm});
        mean.slope += valley->slope[cell] / 9;
        mean.above_brook += valley->above_brook[cell] / 9;
        mean.floor_share += valley->floor_share[cell] / 9;
    }
    return mean;
}

// How often a piece of ground is used for what: odds out of one, the rest is left to itself.
struct odds {
    double steepest, highest; // the ground it holds for: slope and height above the brook
    double arable, pasture, hay;
};

static enum cover farm_use(struct ground ground, double luck) {
    static const struct odds kinds[] = {
        {0.15, 165, 0.68, 0.20, 0.12}, // gentle
        {0.20, 165, 0.30, 0.44, 0.14}, // sloping
        {0.25, 110, 0.00, 0.45, 0.00}, // steep, but low
    };
    if (ground.floor_share > 0.6)
        return luck < 0.74 ? COVER_HAY_MEADOW : COVER_PASTURE;
    for (int k = 0; k < 3; k++) {
        if (ground.slope >= kinds[k].steepest || ground.above_brook >= kinds[k].highest)
            continue;
        if (luck < kinds[k].arable)
            return COVER_ARABLE;
        luck -= kinds[k].arable;
        if (luck < kinds[k].pasture)
            return COVER_PASTURE;
        return luck - kinds[k].pasture < kinds[k].hay ? COVER_HAY_MEADOW : COVER_NONE;
    }
    return COVER_NONE;
}

// The hills are farmed up to a ragged line; above it the forest or the common has them.
static bool is_hill_block(const struct valley *valley, struct point at) {
    struct ground ground = ground_around(valley, at, 130);
    double ragged = 22 * fractal(at.x, at.y, 1400, 2, 111);
    return ground.above_brook + 180 * ground.slope + ragged > 137;
}

static enum cover hill_use(struct point at, double luck) {
    double forest = fractal(at.x, at.y, 1150, 2, 117);
    return forest + 0.5 * (luck - 0.5) > 0.08 ? COVER_PLANTATION : COVER_NONE;
}

static struct point middle_of(const struct polygon *polygon) {
    struct point sum = {0, 0};
    for (int i = 0; i < polygon->count; i++)
        sum = (struct point){sum.x + polygon->corners[i].x, sum.y + polygon->corners[i].y};
    return (struct point){sum.x / polygon->count, sum.y / polygon->count};
}

enum { OWNERS = 38, FIRST_OWNER = 101 };
static const double SMALLEST_M2 = 400; // slivers join nobody: they are left out

static void add_parcel(
    struct valley *valley, const struct polygon *polygon, int block, int row, int col, bool hill) {
    if (polygon->count < 3 || area_of(polygon) < SMALLEST_M2 ||
        valley->parcel_count == PARCELS_MOST)
        return;
    struct parcel *parcel = &valley->parcels[valley->parcel_count++];
    struct point at = middle_of(polygon);
    double luck = hash_unit(block * 64 + row, col, 113);
    *parcel = (struct parcel){.block = block, .row = row, .col = col};
    parcel->corner_count = polygon->count;
    for (int i = 0; i < polygon->count; i++)
        parcel->corners[i] = polygon->corners[i];
    parcel->use = hill ? hill_use(at, luck) : farm_use(ground_around(valley, at, 40), luck);
    int holding = hill ? block / 3 : block * 8 + row / 2;
    parcel->owner = FIRST_OWNER + (int)(hash_unit(holding, hill ? 0 : col / 2, 114) * OWNERS);
}

// Cuts a block into rows along the contour and the rows into fields.
static void cut_block(
    struct valley *valley, int block, const struct polygon *whole, struct point centre, bool hill) {
    struct point up = uphill(valley, centre), along = {-up.y, up.x};
    double deep = hill ? 420 : 105 + 75 * hash_unit(block, 0, 121);
    for (int row = -8; row < 8; row++) {
        double low = row * deep, long_m = hill ? 640 : 170 + 150 * hash_unit(block, row, 122);
        double shift = long_m * hash_unit(block, row, 123);
        struct polygon strip = *whole;
        struct point from = {centre.x + low * up.x, centre.y + low * up.y};
        struct point to = {from.x + deep * up.x, from.y + deep * up.y};
        cut(&strip, (struct half_plane){from, {-up.x, -up.y}});
        cut(&strip, (struct half_plane){to, up});
        for (int col = -6; strip.count > 2 && col < 6; col++) {
            struct polygon field = strip;
            double left = col * long_m - shift;
            struct point a = {centre.x + left * along.x, centre.y + left * along.y};
            struct point b = {a.x + long_m * along.x, a.y + long_m * along.y};
            cut(&field, (struct half_plane){a, {-along.x, -along.y}});
            cut(&field, (struct half_plane){b, along});
            add_parcel(valley, &field, block, row + 8, col + 6, hill);
        }
    }
}

static bool parcel_holds(const struct parcel *parcel, struct point at) {
    for (int i = 0; i < parcel->corner_count; i++) {
        struct point a = parcel->corners[i], b = parcel->corners[(i + 1) % parcel->corner_count];
        if ((b.x - a.x) * (at.y - a.y) - (b.y - a.y) * (at.x - a.x) < 0)
            return false;
    }
    return true;
}

static void mark_parcel(struct valley *valley, int index) {
    const struct parcel *parcel = &valley->parcels[index];
    struct point low = parcel->corners[0], high = low;
    for (int i = 1; i < parcel->corner_count; i++) {
        low.x = fmin(low.x, parcel->corners[i].x);
        low.y = fmin(low.y, parcel->corners[i].y);
        high.x = fmax(high.x, parcel->corners[i].x);
        high.y = fmax(high.y, parcel->corners[i].y);
    }
    int first = cell_at(low), last = cell_at(high);
    for (int row = first / WIDE; row <= last / WIDE; row++)
        for (int col = first % WIDE; col <= last % WIDE; col++) {
            int cell = row * WIDE + col;
            if (parcel_holds(parcel, cell_centre(cell)))
                valley->parcel_at[cell] = (int16_t)index;
        }
}

void parcels_make(struct valley *valley) {
    for (int cell = 0; cell < CELLS; cell++)
        valley->parcel_at[cell] = -1;
    for (int block = 0; block < BLOCK_ROWS * BLOCK_COLS; block++) {
        int row = block / BLOCK_COLS, col = block % BLOCK_COLS;
        struct polygon polygon = block_polygon(row, col);
        struct point centre = block_point(row, col);
        if (polygon.count > 2)
            cut_block(valley, block, &polygon, centre, is_hill_block(valley, centre));
    }
    for (int index = 0; index < valley->parcel_count; index++)
        mark_parcel(valley, index);
}
