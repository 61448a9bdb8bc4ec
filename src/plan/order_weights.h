// SPDX-License-Identifier: MIT
//
// Weights from an order of importance alone.
#ifndef SEL_PLAN_ORDER_WEIGHTS_H
#define SEL_PLAN_ORDER_WEIGHTS_H

// Rank-order centroid weights of n criteria, the most important first:
// w_k = (1/n) sum_{i=k..n} 1/i (Barron & Barrett 1996). They fall and sum to 1. n >= 1.
void sel_order_weights(int n, double *weights);

#endif
