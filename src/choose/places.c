// SPDX-License-Identifier: MIT
//
// A hash of square bins a little wider than apart_m: whatever is nearer than apart_m lies in the
// same bin or in one of its eight neighbours. Bins that share a bucket share a chain, so a chain
// may hold strangers; the distance decides.
#include "choose/places.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct sel_place {
    double x_m, y_m;
    size_t next; // one more than the next item of the bucket, 0: none
};

static const double BIN_MARGIN = 1e-9; // of apart_m; well above what rounding can shift
static const double LEAST_BIN_M = 1;

bool sel_places_init(struct sel_places *places, double apart_m, size_t most) {
    size_t buckets = 16;
    while (buckets < 2 * most)
        buckets *= 2;
    *places = (struct sel_places){.apart_m = fmax(apart_m, 0), .most = most, .mask = buckets - 1};
    places->bin_m = fmax(places->apart_m * (1 + BIN_MARGIN), LEAST_BIN_M);
    places->items = malloc((most + 1) * sizeof *places->items);
    places->heads = calloc(buckets, sizeof *places->heads);
    if (places->items && places->heads)
        return true;
    sel_places_clear(places);
    return false;
}

void sel_places_clear(struct sel_places *places) {
    free(places->items);
    free(places->heads);
    *places = (struct sel_places){0};
}

void sel_places_reset(struct sel_places *places) {
    places->count = 0;
    memset(places->heads, 0, (places->mask + 1) * sizeof *places->heads);
}

static int64_t bin_of(const struct sel_places *places, double metres) {
    return (int64_t)floor(metres / places->bin_m);
}

// Odd multipliers from the golden ratio and from the square root of three.
static size_t bucket_of(const struct sel_places *places, int64_t row, int64_t col) {
    uint64_t mixed = (uint64_t)row * 0x9e3779b97f4a7c15u + (uint64_t)col * 0xbb67ae8584caa73bu;
    return (size_t)(mixed ^ mixed >> 32) & places->mask;
}

void sel_places_add(struct sel_places *places, double x_m, double y_m) {
    size_t bucket = bucket_of(places, bin_of(places, y_m), bin_of(places, x_m));
    places->items[places->count++] = (struct sel_place){x_m, y_m, places->heads[bucket]};
    places->heads[bucket] = places->count;
}

static bool near_in_bucket(
    const struct sel_places *places, size_t bucket, double x_m, double y_m, size_t except) {
    for (size_t at = places->heads[bucket]; at > 0; at = places->items[at - 1].next) {
        const struct sel_place *place = &places->items[at - 1];
        if (at - 1 != except && sel_too_near(x_m, y_m, place->x_m, place->y_m, places->apart_m))
            return true;
    }
    return false;
}

bool sel_places_near(const struct sel_places *places, double x_m, double y_m, size_t except) {
    if (places->count == 0)
        return false;
    int64_t row = bin_of(places, y_m), col = bin_of(places, x_m);
    for (int64_t r = row - 1; r <= row + 1; r++)
        for (int64_t c = col - 1; c <= col + 1; c++)
            if (near_in_bucket(places, bucket_of(places, r, c), x_m, y_m, except))
                return true;
    return false;
}
