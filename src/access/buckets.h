// SPDX-License-Identifier: MIT
//
// A queue of numbered cells by bucket, first in, first out within a bucket. Buckets are emptied in
// rising order by the caller; what has been taken out makes room for what is still to come.
#ifndef SEL_ACCESS_BUCKETS_H
#define SEL_ACCESS_BUCKETS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct sel_bucket;
struct sel_bucket_chunk;

// Zero-initialise before first use.
struct sel_buckets {
    struct sel_bucket *buckets;      // owned
    struct sel_bucket_chunk *chunks; // owned
    size_t bucket_room, chunk_count, chunk_room;
    int32_t free_chunk;
};

// Empties the queue and makes room for buckets 0..count-1. False when memory is out.
bool sel_buckets_reset(struct sel_buckets *buckets, size_t count);
void sel_buckets_clear(struct sel_buckets *buckets);

// False when memory is out.
bool sel_buckets_push(struct sel_buckets *buckets, int64_t bucket, int32_t cell);

// False when the bucket is empty.
bool sel_buckets_pop(struct sel_buckets *buckets, int64_t bucket, int32_t *cell);

// Whether a bucket holds any cell.
bool sel_buckets_any(const struct sel_buckets *buckets, int64_t bucket);

#endif
