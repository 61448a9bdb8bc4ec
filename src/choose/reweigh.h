// SPDX-License-Identifier: MIT
//
// Candidates put in order under given weights, quickly and over and over: whole-number keys instead
// of scores, parted into buckets that are sorted only when somebody comes to them.
#ifndef SEL_CHOOSE_REWEIGH_H
#define SEL_CHOOSE_REWEIGH_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { SEL_CRITERIA_MOST = 8 };

// What is weighed: values 0..1 of each criterion for each candidate, borrowed. Candidates are
// numbered in the order that decides ties.
struct sel_values {
    const double *of[SEL_CRITERIA_MOST]; // logarithms of the values for the geometric mean
    int criteria;
    size_t count;
    bool geometric;
};

// What stands for the logarithm of 0: any weight above 0 makes the mean 0.
#define SEL_LOG_OF_ZERO (-1e300)

// One thread's room.
struct sel_reweigh;
struct sel_reweigh *sel_reweigh_new(const struct sel_values *values); // NULL: out of memory
void sel_reweigh_free(struct sel_reweigh *reweigh);

// Weighs all candidates anew. Arithmetic means are kept to 1e-9, geometric ones to 1e-8 of their
// size; below 1e-9 they are 0.
void sel_reweigh(struct sel_reweigh *reweigh, const double *weights);

// The candidate at a rank (0: the best). `user` is the sel_reweigh: fits struct sel_greedy_order.
size_t sel_reweigh_at(void *user, size_t rank);

// Its mean. The same.
double sel_reweigh_score(void *user, size_t candidate);

// How many candidates come before it.
size_t sel_reweigh_rank(const struct sel_reweigh *reweigh, size_t candidate);

#endif
