// SPDX-License-Identifier: MIT
//
// Andrew's monotone chain (1979). Most candidates lie inside the octagon of the extremes in eight
// directions and are left out before the sort (Akl & Toussaint 1978).
#include "choose/hull.h"

#include <math.h>
#include <stdlib.h>

enum { DIRECTIONS = 8 };

// Twice the area of a triangle: positive when it turns left.
static double turn(const struct sel_choice_point *a, const struct sel_choice_point *b,
    const struct sel_choice_point *c) {
    return (b->x_m - a->x_m) * (c->y_m - a->y_m) - (b->y_m - a->y_m) * (c->x_m - a->x_m);
}

// The extremes in turn, leftwise.
static void find_octagon(const struct sel_choice_item *items, size_t count,
    struct sel_choice_point octagon[DIRECTIONS]) {
    static const double TOWARD[DIRECTIONS][2] = {
        {1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}};
    double most[DIRECTIONS];
    for (int k = 0; k < DIRECTIONS; k++)
        most[k] = -HUGE_VAL;
    for (size_t i = 0; i < count; i++) {
        for (int k = 0; k < DIRECTIONS; k++) {
            double far = items[i].x_m * TOWARD[k][0] + items[i].y_m * TOWARD[k][1];
            if (far > most[k]) {
                most[k] = far;
                octagon[k] = (struct sel_choice_point){items[i].x_m, items[i].y_m};
            }
        }
    }
}

static bool lies_inside(
    const struct sel_choice_point octagon[DIRECTIONS], const struct sel_choice_point *point) {
    bool any_side = false; // all extremes may be one spot
    for (int k = 0; k < DIRECTIONS; k++) {
        const struct sel_choice_point *a = &octagon[k], *b = &octagon[(k + 1) % DIRECTIONS];
        if (a->x_m == b->x_m && a->y_m == b->y_m)
            continue;
        any_side = true;
        if (turn(a, b, point) <= 0)
            return false;
    }
    return any_side;
}

static int by_place(const void *left, const void *right) {
    const struct sel_choice_point *a = left, *b = right;
    if (a->x_m != b->x_m)
        return a->x_m < b->x_m ? -1 : 1;
    return (a->y_m > b->y_m) - (a->y_m < b->y_m);
}

static size_t list_outer(
    const struct sel_choice_item *items, size_t count, struct sel_choice_point *points) {
    struct sel_choice_point octagon[DIRECTIONS] = {0};
    find_octagon(items, count, octagon);
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        struct sel_choice_point point = {items[i].x_m, items[i].y_m};
        if (!lies_inside(octagon, &point))
            points[kept++] = point;
    }
    return kept;
}

// Adds a point to a chain that must keep turning left; the chain does not shrink below `least`.
static size_t add_to_chain(struct sel_choice_point *chain, size_t count, size_t least,
    const struct sel_choice_point *point) {
    while (
        count >= least + 1 && count >= 2 && turn(&chain[count - 2], &chain[count - 1], point) <= 0)
        count--;
    chain[count] = *point;
    return count + 1;
}

// Lower chain, then upper; the sorted points are distinct or repeat, which the turning drops.
static size_t join_chains(
    const struct sel_choice_point *sorted, size_t count, struct sel_choice_point *chain) {
    size_t corners = 0;
    for (size_t i = 0; i < count; i++)
        corners = add_to_chain(chain, corners, 1, &sorted[i]);
    size_t lower = corners;
    for (size_t i = count - 1; i-- > 0;)
        corners = add_to_chain(chain, corners, lower, &sorted[i]);
    return corners > 1 ? corners - 1 : corners; // the first corner comes last again
}

static void measure(struct sel_hull *hull) {
    double west = HUGE_VAL, east = -HUGE_VAL, north = HUGE_VAL, south = -HUGE_VAL, twice = 0;
    for (size_t i = 0; i < hull->count; i++) {
        const struct sel_choice_point *point = &hull->points[i];
        west = fmin(west, point->x_m), east = fmax(east, point->x_m);
        north = fmin(north, point->y_m), south = fmax(south, point->y_m);
        twice += turn(&hull->points[0], point, &hull->points[(i + 1) % hull->count]);
    }
    hull->area_m2 = 0.5 * twice;
    hull->length_m = hull->count > 0 ? fmax(east - west, south - north) : 0;
}

bool sel_hull_init(struct sel_hull *hull, const struct sel_choice_item *items, size_t count) {
    *hull = (struct sel_hull){0};
    if (count == 0)
        return true;
    struct sel_choice_point *outer = malloc(count * sizeof *outer);
    hull->points = outer ? malloc((2 * count + 2) * sizeof *hull->points) : NULL;
    if (!hull->points) {
        free(outer);
        return false;
    }
    size_t kept = list_outer(items, count, outer);
    qsort(outer, kept, sizeof *outer, by_place);
    hull->count = join_chains(outer, kept, hull->points);
    free(outer);
    measure(hull);
    return true;
}

void sel_hull_clear(struct sel_hull *hull) {
    free(hull->points);
    *hull = (struct sel_hull){0};
}
