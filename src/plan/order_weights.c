// SPDX-License-Identifier: MIT
//
// The centroid of all weight vectors that keep the order: F. H. Barron and B. E. Barrett (1996),
// "Decision quality using ranked attribute weights", Management Science 42. Summed from the least
// important upwards, smallest terms first.
#include "plan/order_weights.h"

void sel_order_weights(int n, double *weights) {
    double sum = 0.0;
    for (int k = n; k >= 1; k--) {
        sum += 1.0 / k;
        weights[k - 1] = sum / n;
    }
}
