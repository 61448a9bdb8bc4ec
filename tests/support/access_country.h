// SPDX-License-Identifier: MIT
//
// Small countries to walk in.
#ifndef SEL_TEST_ACCESS_COUNTRY_H
#define SEL_TEST_ACCESS_COUNTRY_H

#include <stdint.h>

#include "access/walking.h"

// Closed form: 1 / (6 exp(-0.175) km/h).
static const double FLAT_MIN_PER_M = 60 / 5036.742124615245;
static const double FOREVER = 5000; // min

struct country {
    int64_t rows, cols;
    float *elevation_m, *factor;
    uint8_t *marks;
    double cell_x_m, cell_y_m;
    struct sel_walk walk;
};

// Flat open ground without ways or starts.
struct country country_new(int64_t rows, int64_t cols, double cell_m);

// A map drawn with letters: '#' barrier, '.' open, 'S' start, '=' way over open ground, '+' way
// over a barrier.
struct country country_drawn(const char *const *lines, int64_t rows, double cell_m);

// Rough ground of mixed factors, with barriers, gaps in the elevation, ways and starts.
struct country country_random(uint64_t *random, int64_t rows, int64_t cols);
void country_free(struct country *c);

int64_t country_at(const struct country *c, int64_t row, int64_t col);
double country_minutes(const struct country *c, int64_t row, int64_t col);

// Fills a walk's ground.
void country_lay(const struct country *c, struct sel_walk *walk);

// Searches from every cell that is marked as a start, at time zero, and expects it to succeed.
void country_search_in(const struct country *c, struct sel_walk *walk, double limit_min);
void country_search(struct country *c, double limit_min);

// Sums a walk over its moves, start first.
struct sel_walk_effort country_measure(
    const struct country *c, const int64_t *visited, size_t count);

#endif
