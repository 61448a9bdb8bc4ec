// SPDX-License-Identifier: MIT
//
// What people have laid down about the valley: the study area, zones and traps that already stand.
#include <math.h>
#include <stddef.h>

#include "valley.h"

void area_make(struct line *area) {
    static const struct point corners[] = {{560, 1500}, {980, 720}, {2300, 560}, {3900, 520},
        {5300, 560}, {6350, 700}, {6660, 1500}, {6700, 2900}, {6580, 4300}, {6100, 5250},
        {4900, 5480}, {3300, 5440}, {1700, 5500}, {760, 5300}, {520, 4300}, {500, 2800},
        {560, 1500}};
    area->count = 0;
    for (size_t i = 0; i < sizeof corners / sizeof *corners; i++)
        line_add(area, corners[i].x, corners[i].y);
}

// Herons nest in the riparian wood above the pond; their zone is an irregular polygon.
void colony_make(struct line *colony) {
    static const struct point corners[] = {{2390, 3430}, {2560, 3395}, {2700, 3440}, {2745, 3560},
        {2660, 3660}, {2500, 3690}, {2390, 3590}, {2390, 3430}};
    colony->count = 0;
    for (size_t i = 0; i < sizeof corners / sizeof *corners; i++)
        line_add(colony, corners[i].x, corners[i].y);
}

// One side of the meadows: points of the valley line pushed aside by `off` metres.
static void add_side(const struct line *axis, int first, int last, double off, struct line *out) {
    int step = first < last ? 1 : -1;
    for (int i = first; i != last + step; i += step) {
        struct point a = axis->points[i - 1], b = axis->points[i + 1], at = axis->points[i];
        double length = distance(a, b);
        line_add(out, at.x - off * (b.y - a.y) / length, at.y + off * (b.x - a.x) / length);
    }
}

// The floor between two points of the valley line is under a hay-meadow agreement.
void meadow_make(const struct valley *valley, double from_x, double to_x, struct line *meadow) {
    int first = 1, last = 1;
    for (int i = 1; i + 1 < valley->axis.count; i++) {
        if (valley->axis.points[i].x > from_x)
            first = i;
        if (valley->axis.points[i].x > to_x)
            last = i;
    }
    meadow->count = 0;
    add_side(&valley->axis, first, last, 105, meadow);
    add_side(&valley->axis, last, first, -105, meadow);
    line_add(meadow, meadow->points[0].x, meadow->points[0].y);
}

bool is_grazed(const struct valley *valley, int parcel) {
    const struct parcel *land = &valley->parcels[parcel];
    static const struct point herd = {2700, 4500};
    return land->use == COVER_PASTURE && distance(land->corners[0], herd) < 1100;
}

// The middle of the side between two cells of the given covers that lies nearest to a place.
struct point edge_near(const struct valley *valley, struct point at, enum cover a, enum cover b) {
    struct point best = at;
    double least = HUGE_VAL;
    for (int cell = 0; cell + 1 < CELLS; cell++) {
        int left = valley->cover[cell], right = valley->cover[cell + 1];
        if (!((left == (int)a && right == (int)b) || (left == (int)b && right == (int)a)))
            continue;
        struct point side = {cell_centre(cell).x + 0.5 * CELL_M, cell_centre(cell).y};
        if (distance(side, at) < least) {
            least = distance(side, at);
            best = side;
        }
    }
    return best;
}
