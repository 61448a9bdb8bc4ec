// SPDX-License-Identifier: MIT
//
// Philox4x32-10 of Salmon, Moraes, Dror & Shaw (2011, "Parallel random numbers: as easy as 1, 2,
// 3", SC11), written from its definition; normal variates by Box & Muller (1958), gamma variates by
// Marsaglia & Tsang (2000), Dirichlet vectors as gamma variates over their sum.
#include "score/random.h"

#include <math.h>

enum { ROUNDS = 10 };
static const uint32_t MULTIPLIER_0 = 0xD2511F53, MULTIPLIER_1 = 0xCD9E8D57;
static const uint32_t KEY_STEP_0 = 0x9E3779B9, KEY_STEP_1 = 0xBB67AE85;

void sel_philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4]) {
    uint32_t c0 = counter[0], c1 = counter[1], c2 = counter[2], c3 = counter[3];
    uint32_t k0 = key[0], k1 = key[1];
    for (int round = 0; round < ROUNDS; round++) {
        uint64_t product_0 = (uint64_t)MULTIPLIER_0 * c0, product_1 = (uint64_t)MULTIPLIER_1 * c2;
        c0 = (uint32_t)(product_1 >> 32) ^ c1 ^ k0;
        c2 = (uint32_t)(product_0 >> 32) ^ c3 ^ k1;
        c1 = (uint32_t)product_1;
        c3 = (uint32_t)product_0;
        k0 += KEY_STEP_0;
        k1 += KEY_STEP_1;
    }
    out[0] = c0, out[1] = c1, out[2] = c2, out[3] = c3;
}

struct sel_random sel_random_begin(
    uint64_t seed, enum sel_random_purpose purpose, uint32_t first, uint32_t second) {
    return (struct sel_random){.key = {(uint32_t)seed, (uint32_t)(seed >> 32)},
        .counter = {0, (uint32_t)purpose, first, second}};
}

uint32_t sel_random_word(struct sel_random *random) {
    if (random->left == 0) {
        sel_philox(random->counter, random->key, random->words);
        random->counter[0]++;
        random->left = 4;
    }
    return random->words[--random->left];
}

double sel_random_share(struct sel_random *random) {
    uint64_t high = sel_random_word(random), low = sel_random_word(random);
    return ((double)((high << 32 | low) >> 12) + 0.5) * 0x1p-52;
}

double sel_random_normal(struct sel_random *random) {
    static const double TWO_PI = 6.283185307179586;
    double radius = sqrt(-2 * log(sel_random_share(random)));
    return radius * cos(TWO_PI * sel_random_share(random));
}

double sel_random_gamma(struct sel_random *random, double shape) {
    if (shape < 1) {
        double larger = sel_random_gamma(random, shape + 1);
        return larger * pow(sel_random_share(random), 1 / shape);
    }
    double d = shape - 1.0 / 3, c = 1 / sqrt(9 * d);
    for (;;) {
        double x = sel_random_normal(random), root = 1 + c * x, v = root * root * root;
        double u = sel_random_share(random);
        if (root > 0 && log(u) < 0.5 * x * x + d - d * v + d * log(v))
            return d * v;
    }
}

void sel_random_dirichlet(
    struct sel_random *random, const double *mean, int count, double concentration, double *out) {
    double sum = 0;
    for (int i = 0; i < count; i++) {
        out[i] = mean[i] > 0 ? sel_random_gamma(random, concentration * mean[i]) : 0;
        sum += out[i];
    }
    for (int i = 0; i < count; i++)
        out[i] /= sum;
}
