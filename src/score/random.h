// SPDX-License-Identifier: MIT
//
// Counter-based random numbers: a draw is a function of the seed, of what it is for and of its
// number, and of nothing else, so the order of draws and the number of threads change nothing.
#ifndef SEL_SCORE_RANDOM_H
#define SEL_SCORE_RANDOM_H

#include <stdint.h>

// What streams are for; streams of different purposes have nothing in common.
enum sel_random_purpose {
    SEL_RANDOM_WEIGHTS = 1,
    SEL_RANDOM_ELEVATION,
    SEL_RANDOM_LANDCOVER,
    SEL_RANDOM_SETS,
    SEL_RANDOM_RUIN
};

// One stream of numbers.
struct sel_random {
    uint32_t key[2], counter[4]; // counter: block, purpose, two numbers of the stream
    uint32_t words[4];
    int left; // words not used yet
};

// The generator: Philox4x32 with ten rounds.
void sel_philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4]);

// The stream for a purpose, numbered by two numbers at will.
struct sel_random sel_random_begin(
    uint64_t seed, enum sel_random_purpose purpose, uint32_t first, uint32_t second);

uint32_t sel_random_word(struct sel_random *random);
double sel_random_share(struct sel_random *random);  // uniform, above 0 and below 1
double sel_random_normal(struct sel_random *random); // mean 0, variance 1

// Gamma variate of scale 1; shape > 0.
double sel_random_gamma(struct sel_random *random, double shape);

// A Dirichlet vector with parameters concentration * mean[i]; mean sums to 1, and where it is 0 the
// vector is. Its variances are mean (1 - mean) / (concentration + 1).
void sel_random_dirichlet(
    struct sel_random *random, const double *mean, int count, double concentration, double *out);

#endif
