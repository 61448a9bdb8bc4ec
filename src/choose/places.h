// SPDX-License-Identifier: MIT
//
// Places on the ground that answer whether another place keeps apart from all of them.
#ifndef SEL_CHOOSE_PLACES_H
#define SEL_CHOOSE_PLACES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct sel_place;

struct sel_places {
    double apart_m, bin_m;
    struct sel_place *items; // owned
    size_t count, most;
    size_t *heads; // owned; one more than the last item of each bucket, 0: none
    size_t mask;   // number of buckets - 1
};

// "No place", for sel_places_near.
#define SEL_NO_PLACE SIZE_MAX

// Room for `most` places. False when memory is out; then there is nothing to clear.
bool sel_places_init(struct sel_places *places, double apart_m, size_t most);
void sel_places_clear(struct sel_places *places);

// Forgets all places and keeps the room.
void sel_places_reset(struct sel_places *places);

// Adds a place; its number is the count before. At most `most` may be added.
void sel_places_add(struct sel_places *places, double x_m, double y_m);

// Whether some place other than number `except` lies nearer than apart_m. Thread-safe.
bool sel_places_near(const struct sel_places *places, double x_m, double y_m, size_t except);

// Whether two places are nearer than apart_m.
static inline bool sel_too_near(double x0, double y0, double x1, double y1, double apart_m) {
    double dx = x1 - x0, dy = y1 - y0;
    return dx * dx + dy * dy < apart_m * apart_m;
}

#endif
