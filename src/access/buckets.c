// SPDX-License-Identifier: MIT
//
// Each bucket is a chain of chunks, written at its end and read at its beginning; chunks that were
// read go to a free list. Cells that wait together thus lie together in memory.
#include "access/buckets.h"

#include <stdlib.h>

#include "base/array.h"

enum { CHUNK_CELLS = 254, NO_CHUNK = -1 };

struct sel_bucket_chunk {
    int32_t next;
    int32_t count;
    int32_t cells[CHUNK_CELLS];
};

struct sel_bucket {
    int32_t first, last; // chunks
    int32_t taken;       // cells already taken from the first chunk
};

bool sel_buckets_reset(struct sel_buckets *buckets, size_t count) {
    struct sel_bucket *grown =
        sel_grow(buckets->buckets, count, &buckets->bucket_room, sizeof *grown);
    if (!grown)
        return false;
    buckets->buckets = grown;
    for (size_t i = 0; i < count; i++)
        grown[i] = (struct sel_bucket){NO_CHUNK, NO_CHUNK, 0};
    buckets->chunk_count = 0;
    buckets->free_chunk = NO_CHUNK;
    return true;
}

void sel_buckets_clear(struct sel_buckets *buckets) {
    free(buckets->buckets);
    free(buckets->chunks);
    *buckets = (struct sel_buckets){0};
}

static int32_t take_chunk(struct sel_buckets *buckets) {
    int32_t chunk = buckets->free_chunk;
    if (chunk != NO_CHUNK) {
        buckets->free_chunk = buckets->chunks[chunk].next;
    } else {
        struct sel_bucket_chunk *grown = sel_grow(
            buckets->chunks, buckets->chunk_count + 1, &buckets->chunk_room, sizeof *grown);
        if (!grown)
            return NO_CHUNK;
        buckets->chunks = grown;
        chunk = (int32_t)buckets->chunk_count++;
    }
    buckets->chunks[chunk].next = NO_CHUNK;
    buckets->chunks[chunk].count = 0;
    return chunk;
}

bool sel_buckets_push(struct sel_buckets *buckets, int64_t bucket, int32_t cell) {
    struct sel_bucket *at = &buckets->buckets[bucket];
    if (at->last == NO_CHUNK || buckets->chunks[at->last].count == CHUNK_CELLS) {
        int32_t chunk = take_chunk(buckets);
        if (chunk == NO_CHUNK)
            return false;
        if (at->last == NO_CHUNK)
            at->first = chunk;
        else
            buckets->chunks[at->last].next = chunk;
        at->last = chunk;
    }
    struct sel_bucket_chunk *last = &buckets->chunks[at->last];
    last->cells[last->count++] = cell;
    return true;
}

bool sel_buckets_pop(struct sel_buckets *buckets, int64_t bucket, int32_t *cell) {
    struct sel_bucket *at = &buckets->buckets[bucket];
    if (at->first == NO_CHUNK)
        return false;
    struct sel_bucket_chunk *first = &buckets->chunks[at->first];
    *cell = first->cells[at->taken++];
    if (at->taken < first->count)
        return true;
    int32_t emptied = at->first;
    at->first = first->next;
    at->taken = 0;
    if (at->first == NO_CHUNK)
        at->last = NO_CHUNK;
    first->next = buckets->free_chunk;
    buckets->free_chunk = emptied;
    return true;
}

bool sel_buckets_any(const struct sel_buckets *buckets, int64_t bucket) {
    return buckets->buckets[bucket].first != NO_CHUNK;
}
