// SPDX-License-Identifier: MIT
//
// Plane vectors. On the study grid x points east and y points SOUTH (down the rows), in metres,
// unless a comment says otherwise.
#ifndef SEL_BASE_VEC2_H
#define SEL_BASE_VEC2_H

#include <math.h>

struct vec2 {
    double x, y;
};

static inline struct vec2 vec2_add(struct vec2 a, struct vec2 b) {
    return (struct vec2){a.x + b.x, a.y + b.y};
}

static inline struct vec2 vec2_sub(struct vec2 a, struct vec2 b) {
    return (struct vec2){a.x - b.x, a.y - b.y};
}

static inline struct vec2 vec2_scale(struct vec2 a, double factor) {
    return (struct vec2){a.x * factor, a.y * factor};
}

static inline double vec2_dot(struct vec2 a, struct vec2 b) {
    return a.x * b.x + a.y * b.y;
}

static inline double vec2_length(struct vec2 a) {
    return sqrt(a.x * a.x + a.y * a.y);
}

#endif
