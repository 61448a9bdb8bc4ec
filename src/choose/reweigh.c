// SPDX-License-Identifier: MIT
//
// A key is the mean in whole steps. Buckets part the range of the keys that occur, best first; an
// entry is the key turned upside down with the candidate's number below it, so that entries sort by
// mean, then number. A candidate's rank needs only the counts of the buckets before its own and a
// look through that one.
#include "choose/reweigh.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { BUCKETS = 4096, CHUNK = 512 };
static const double STEPS = 1e9; // per mean of 1, as scores are quantised
// Geometric: logarithms from that of 1e-9 up to 0, in steps that use the whole key.
static const double LOG_LEAST = -20.72326583694641, STEPS_PER_LOG = 2e8;

struct sel_reweigh {
    const struct sel_values *values;
    uint32_t *keys;    // of each candidate
    uint64_t *entries; // bucket by bucket
    uint32_t starts[BUCKETS + 2];
    uint32_t most;     // key
    uint64_t scale;    // buckets per key, times 2^32
    int next_bucket;   // the first that is not sorted
    size_t sorted_end; // of the entries
};

struct sel_reweigh *sel_reweigh_new(const struct sel_values *values) {
    struct sel_reweigh *r = calloc(1, sizeof *r);
    if (!r)
        return NULL;
    r->values = values;
    r->keys = malloc((values->count + 1) * sizeof *r->keys);
    r->entries = malloc((values->count + 1) * sizeof *r->entries);
    if (r->keys && r->entries)
        return r;
    sel_reweigh_free(r);
    return NULL;
}

void sel_reweigh_free(struct sel_reweigh *r) {
    if (!r)
        return;
    free(r->keys);
    free(r->entries);
    free(r);
}

// ---- keys ----

static void add_criterion(double *sums, const double *values, double weight, size_t count) {
    for (size_t i = 0; i < count; i++)
        sums[i] += weight * values[i];
}

static void keep_arithmetic(const double *sums, uint32_t *keys, size_t count) {
    for (size_t i = 0; i < count; i++)
        keys[i] = (uint32_t)(int32_t)(sums[i] * STEPS + 0.5); // up to 1e9: fits either way
}

static void keep_geometric(const double *sums, uint32_t *keys, size_t count) {
    for (size_t i = 0; i < count; i++)
        keys[i] = sums[i] <= LOG_LEAST ? 0 : (uint32_t)((sums[i] - LOG_LEAST) * STEPS_PER_LOG) + 1;
}

static void weigh(struct sel_reweigh *r, const double *weights) {
    const struct sel_values *values = r->values;
    double sums[CHUNK];
    for (size_t first = 0; first < values->count; first += CHUNK) {
        size_t count = values->count - first < CHUNK ? values->count - first : CHUNK;
        memset(sums, 0, sizeof sums);
        for (int k = 0; k < values->criteria; k++)
            if (weights[k] > 0)
                add_criterion(sums, values->of[k] + first, weights[k], count);
        if (values->geometric)
            keep_geometric(sums, r->keys + first, count);
        else
            keep_arithmetic(sums, r->keys + first, count);
    }
}

// ---- buckets ----

static size_t bucket_of(const struct sel_reweigh *r, uint32_t key) {
    return (size_t)((uint64_t)(r->most - key) * r->scale >> 32);
}

static void lay_buckets(struct sel_reweigh *r) {
    uint32_t least = UINT32_MAX;
    r->most = 0;
    for (size_t i = 0; i < r->values->count; i++) {
        r->most = r->keys[i] > r->most ? r->keys[i] : r->most;
        least = r->keys[i] < least ? r->keys[i] : least;
    }
    uint64_t range = r->values->count > 0 ? (uint64_t)(r->most - least) + 1 : 1;
    r->scale = ((uint64_t)BUCKETS << 32) / range;
    r->scale = r->scale > UINT32_MAX ? UINT32_MAX : r->scale; // a product of two 32-bit numbers
}

// Counts two places on, sums, then raises the starts while filling.
static void fill_buckets(struct sel_reweigh *r) {
    memset(r->starts, 0, sizeof r->starts);
    for (size_t i = 0; i < r->values->count; i++)
        r->starts[bucket_of(r, r->keys[i]) + 2]++;
    for (int bucket = 2; bucket < BUCKETS + 2; bucket++)
        r->starts[bucket] += r->starts[bucket - 1];
    for (size_t i = 0; i < r->values->count; i++) {
        size_t bucket = bucket_of(r, r->keys[i]);
        r->entries[r->starts[bucket + 1]++] = (uint64_t)(UINT32_MAX - r->keys[i]) << 32 | i;
    }
    r->next_bucket = 0;
    r->sorted_end = 0;
}

void sel_reweigh(struct sel_reweigh *r, const double *weights) {
    weigh(r, weights);
    lay_buckets(r);
    fill_buckets(r);
}

static int compare_entries(const void *left, const void *right) {
    uint64_t a = *(const uint64_t *)left, b = *(const uint64_t *)right;
    return (a > b) - (a < b);
}

// Entries of equal keys lie in order already.
static void sort_bucket(struct sel_reweigh *r, size_t first, size_t end) {
    for (size_t i = first + 1; i < end; i++) {
        if (r->entries[i - 1] > r->entries[i]) {
            qsort(r->entries + first, end - first, sizeof *r->entries, compare_entries);
            return;
        }
    }
}

size_t sel_reweigh_at(void *user, size_t rank) {
    struct sel_reweigh *r = user;
    while (rank >= r->sorted_end) {
        size_t first = r->starts[r->next_bucket], end = r->starts[r->next_bucket + 1];
        sort_bucket(r, first, end);
        r->sorted_end = end;
        r->next_bucket++;
    }
    return (size_t)(r->entries[rank] & UINT32_MAX);
}

double sel_reweigh_score(void *user, size_t candidate) {
    const struct sel_reweigh *r = user;
    double key = r->keys[candidate];
    if (!r->values->geometric)
        return key / STEPS;
    return key > 0 ? exp((key - 1) / STEPS_PER_LOG + LOG_LEAST) : 0;
}

size_t sel_reweigh_rank(const struct sel_reweigh *r, size_t candidate) {
    size_t bucket = bucket_of(r, r->keys[candidate]);
    size_t rank = r->starts[bucket];
    uint64_t own = (uint64_t)(UINT32_MAX - r->keys[candidate]) << 32 | candidate;
    for (size_t i = r->starts[bucket]; i < r->starts[bucket + 1]; i++)
        rank += r->entries[i] < own;
    return rank;
}
