// SPDX-License-Identifier: MIT
//
// A grid of square bins over the candidates' extent, filled by counting sort.
#include "choose/nearby.h"

#include <math.h>
#include <stdlib.h>

static const double REACH_MARGIN = 1e-9; // of the radius; well above what rounding can shift

static void lay_grid(struct sel_nearby *nearby, double radius_m) {
    double west = HUGE_VAL, north = HUGE_VAL, east = -HUGE_VAL, south = -HUGE_VAL;
    for (size_t i = 0; i < nearby->count; i++) {
        const struct sel_choice_item *item = &nearby->items[i];
        west = fmin(west, item->x_m), east = fmax(east, item->x_m);
        north = fmin(north, item->y_m), south = fmax(south, item->y_m);
    }
    double width = east - west, height = south - north, count = (double)nearby->count;
    double least = fmax(sqrt(width / count * height), (width + height) / count);
    nearby->west = west;
    nearby->north = north;
    nearby->bin_m = fmax(radius_m, least) > 0 ? fmax(radius_m, least) : 1;
    nearby->cols = (int64_t)(width / nearby->bin_m) + 1;
    nearby->rows = (int64_t)(height / nearby->bin_m) + 1;
}

static int64_t clamp_bin(double number, int64_t count) {
    return (int64_t)fmax(0, fmin(floor(number), (double)(count - 1)));
}

static int64_t row_of(const struct sel_nearby *nearby, double y_m) {
    return clamp_bin((y_m - nearby->north) / nearby->bin_m, nearby->rows);
}

static int64_t col_of(const struct sel_nearby *nearby, double x_m) {
    return clamp_bin((x_m - nearby->west) / nearby->bin_m, nearby->cols);
}

static size_t bin_of(const struct sel_nearby *nearby, const struct sel_choice_item *item) {
    return (size_t)(row_of(nearby, item->y_m) * nearby->cols + col_of(nearby, item->x_m));
}

// Counts two places on, sums, then raises the starts while filling.
static void fill_bins(struct sel_nearby *nearby) {
    size_t bins = (size_t)nearby->rows * (size_t)nearby->cols;
    for (size_t i = 0; i < nearby->count; i++)
        nearby->starts[bin_of(nearby, &nearby->items[i]) + 2]++;
    for (size_t bin = 2; bin < bins + 2; bin++)
        nearby->starts[bin] += nearby->starts[bin - 1];
    for (size_t i = 0; i < nearby->count; i++)
        nearby->entries[nearby->starts[bin_of(nearby, &nearby->items[i]) + 1]++] = i;
}

bool sel_nearby_init(
    struct sel_nearby *nearby, const struct sel_choice_item *items, size_t count, double radius_m) {
    *nearby = (struct sel_nearby){.items = items, .count = count};
    if (count == 0)
        return true;
    lay_grid(nearby, radius_m);
    size_t bins = (size_t)nearby->rows * (size_t)nearby->cols;
    nearby->starts = calloc(bins + 2, sizeof *nearby->starts);
    nearby->entries = malloc(count * sizeof *nearby->entries);
    if (!nearby->starts || !nearby->entries) {
        sel_nearby_clear(nearby);
        return false;
    }
    fill_bins(nearby);
    return true;
}

void sel_nearby_clear(struct sel_nearby *nearby) {
    free(nearby->starts);
    free(nearby->entries);
    *nearby = (struct sel_nearby){0};
}

static void open_row(struct sel_nearby_query *query) {
    const size_t *starts = query->nearby->starts;
    int64_t first = query->row * query->nearby->cols;
    query->at = starts[first + query->first_col];
    query->end = starts[first + query->last_col + 1];
}

struct sel_nearby_query sel_nearby_begin(
    const struct sel_nearby *nearby, double x_m, double y_m, double radius_m) {
    struct sel_nearby_query query = {
        .nearby = nearby, .x_m = x_m, .y_m = y_m, .radius_m = radius_m, .last_row = -1};
    if (nearby->count == 0)
        return query;
    double reach = radius_m + REACH_MARGIN * (radius_m + nearby->bin_m);
    query.row = row_of(nearby, y_m - reach);
    query.last_row = row_of(nearby, y_m + reach);
    query.first_col = col_of(nearby, x_m - reach);
    query.last_col = col_of(nearby, x_m + reach);
    open_row(&query);
    return query;
}

static bool is_within(const struct sel_nearby_query *query, const struct sel_choice_item *item) {
    double dx = item->x_m - query->x_m, dy = item->y_m - query->y_m;
    return dx * dx + dy * dy <= query->radius_m * query->radius_m;
}

bool sel_nearby_next(struct sel_nearby_query *query, size_t *position) {
    const struct sel_nearby *nearby = query->nearby;
    while (query->row <= query->last_row) {
        while (query->at < query->end) {
            *position = nearby->entries[query->at++];
            if (is_within(query, &nearby->items[*position]))
                return true;
        }
        if (++query->row <= query->last_row)
            open_row(query);
    }
    return false;
}
