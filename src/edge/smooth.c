// SPDX-License-Identifier: MIT
//
// Smoothing: repeated binomial averages (1/4, 1/2, 1/4), applied once more to what they took away
// (twicing; Tukey, Exploratory Data Analysis, 1977), which keeps curves from shrinking while the
// staircase goes. Small rings get fewer passes, or they would vanish.
//
// Thinning: one pass with a cone of directions that pass every point since the last kept one within
// the tolerance (Williams 1978; Sklansky & Gonzalez 1980).
#include "edge/smooth.h"

#include <string.h>

// Passes of the binomial average, its standard deviation being sqrt(passes / 2) sides. Enough to
// hold the length of a straight line within 2 % at every angle, see tests/edge/test_trace.c.
enum { PASSES_MOST = 16 };

// A ring of n sides gets n^2 / 32 passes at most: then its slowest wave (a full turn) keeps
// cos(pi / n)^(2 passes), about exp(-pi^2 / 32) = 0.73, before twicing and 0.93 after.
static const double SIDES_SQUARE_PER_PASS = 32.0;

static size_t passes_for(size_t sides) {
    double most = (double)sides * (double)sides / SIDES_SQUARE_PER_PASS;
    return most < PASSES_MOST ? (size_t)most : PASSES_MOST;
}

static struct vec2 average(struct vec2 before, struct vec2 here, struct vec2 after) {
    return (struct vec2){
        0.25 * (before.x + after.x) + 0.5 * here.x, 0.25 * (before.y + after.y) + 0.5 * here.y};
}

static void average_line(struct vec2 *points, size_t sides, bool closed, size_t passes) {
    for (size_t pass = 0; pass < passes; pass++) {
        struct vec2 before = points[0];
        if (closed)
            points[0] = average(points[sides - 1], points[0], points[1]);
        for (size_t i = 1; i < sides; i++) {
            struct vec2 here = points[i];
            points[i] = average(before, here, points[i + 1]);
            before = here;
        }
        if (closed)
            points[sides] = points[0];
    }
}

void sel_smooth_line(struct vec2 *points, struct vec2 *spare, size_t sides, bool closed) {
    size_t passes = passes_for(sides);
    memcpy(spare, points, (sides + 1) * sizeof *points);
    average_line(spare, sides, closed, passes);
    for (size_t i = 0; i <= sides; i++)
        points[i] = vec2_sub(points[i], spare[i]);
    average_line(points, sides, closed, passes);
    for (size_t i = 0; i <= sides; i++)
        points[i] = vec2_add(points[i], spare[i]);
}

static double cross(struct vec2 a, struct vec2 b) {
    return a.x * b.y - a.y * b.x;
}

static struct vec2 scaled(struct vec2 from, struct vec2 to, struct vec2 scale) {
    return (struct vec2){(to.x - from.x) * scale.x, (to.y - from.y) * scale.y};
}

// The directions in which a line from the last kept point may leave.
struct cone {
    bool any;           // no: every direction
    struct vec2 lo, hi; // its sides, cross(lo, hi) >= 0
    double farthest;    // squared distance of the farthest point so far
};

static bool cone_has(const struct cone *cone, struct vec2 way) {
    if (vec2_dot(way, way) < cone->farthest)
        return false; // turns back
    return !cone->any || (cross(cone->lo, way) >= 0 && cross(way, cone->hi) >= 0);
}

// Narrows the cone to the lines that pass the point at `way` within the tolerance.
static void narrow(struct cone *cone, struct vec2 way, double tolerance) {
    double square = vec2_dot(way, way), tolerance_square = tolerance * tolerance;
    cone->farthest = fmax(cone->farthest, square);
    if (square <= tolerance_square)
        return;
    // Tangents from the origin to the circle of the tolerance, up to a common length.
    double ahead = sqrt(square - tolerance_square);
    struct vec2 lo = {ahead * way.x + tolerance * way.y, ahead * way.y - tolerance * way.x};
    struct vec2 hi = {ahead * way.x - tolerance * way.y, ahead * way.y + tolerance * way.x};
    if (!cone->any || cross(cone->lo, lo) > 0)
        cone->lo = lo;
    if (!cone->any || cross(hi, cone->hi) > 0)
        cone->hi = hi;
    cone->any = true;
}

size_t sel_thin_line(struct vec2 *points, size_t count, struct vec2 scale, double tolerance) {
    if (count < 3)
        return count;
    size_t kept = 1;
    struct cone cone = {0};
    for (size_t i = 1; i < count; i++) {
        struct vec2 way = scaled(points[kept - 1], points[i], scale);
        if (!cone_has(&cone, way)) {
            points[kept++] = points[i - 1];
            cone = (struct cone){0};
            way = scaled(points[kept - 1], points[i], scale);
        }
        narrow(&cone, way, tolerance);
    }
    points[kept++] = points[count - 1];
    return kept;
}

double sel_line_length(const struct vec2 *points, size_t count, struct vec2 scale) {
    double length = 0;
    for (size_t i = 1; i < count; i++)
        length += vec2_length(scaled(points[i - 1], points[i], scale));
    return length;
}
