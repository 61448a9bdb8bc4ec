// SPDX-License-Identifier: MIT
//
// Repeatable random numbers for the tests of access and choose: the SplitMix64 generator (Steele,
// Lea & Flood 2014).
#ifndef SEL_TEST_CHOOSE_RANDOM_H
#define SEL_TEST_CHOOSE_RANDOM_H

#include <stdint.h>

static inline uint64_t random_next(uint64_t *state) {
    uint64_t z = *state += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

// 0 <= x < 1.
static inline double random_share(uint64_t *state) {
    return (double)(random_next(state) >> 11) * 0x1p-53;
}

static inline double random_between(uint64_t *state, double low, double high) {
    return low + (high - low) * random_share(state);
}

// 0..count-1.
static inline int64_t random_below(uint64_t *state, int64_t count) {
    return (int64_t)(random_next(state) % (uint64_t)count);
}

#endif
