// SPDX-License-Identifier: MIT
//
// Lines on the valley: smooth curves through control points (Catmull & Rom 1974), rounding of
// corners (Chaikin 1974), thinning (Douglas & Peucker 1973) and distances to them.
#include <math.h>
#include <string.h>

#include "valley.h"

void line_add(struct line *line, double x, double y) {
    if (line->count < LINE_POINTS)
        line->points[line->count++] = (struct point){x, y};
}

double distance(struct point a, struct point b) {
    return sqrt((a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y));
}

double line_length(const struct line *line) {
    double length = 0;
    for (int i = 1; i < line->count; i++)
        length += distance(line->points[i - 1], line->points[i]);
    return length;
}

static double catmull_rom(double a, double b, double c, double d, double t) {
    return b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)));
}

void line_through(const struct point *controls, int count, double step, struct line *out) {
    out->count = 0;
    for (int i = 0; i + 1 < count; i++) {
        struct point a = controls[i > 0 ? i - 1 : 0], b = controls[i], c = controls[i + 1];
        struct point d = controls[i + 2 < count ? i + 2 : count - 1];
        int pieces = (int)(distance(b, c) / step) + 1;
        for (int k = 0; k < pieces; k++) {
            double t = (double)k / pieces;
            line_add(out, catmull_rom(a.x, b.x, c.x, d.x, t), catmull_rom(a.y, b.y, c.y, d.y, t));
        }
    }
    line_add(out, controls[count - 1].x, controls[count - 1].y);
}

static void round_once(struct line *line) {
    struct line from = *line;
    line->count = 0;
    line_add(line, from.points[0].x, from.points[0].y);
    for (int i = 0; i + 1 < from.count; i++) {
        struct point a = from.points[i], b = from.points[i + 1];
        line_add(line, 0.75 * a.x + 0.25 * b.x, 0.75 * a.y + 0.25 * b.y);
        line_add(line, 0.25 * a.x + 0.75 * b.x, 0.25 * a.y + 0.75 * b.y);
    }
    line_add(line, from.points[from.count - 1].x, from.points[from.count - 1].y);
}

// A line that has no room left for twice its points stays as it is.
void line_round(struct line *line, int times) {
    for (int k = 0; k < times && line->count > 2 && 2 * line->count < LINE_POINTS; k++)
        round_once(line);
}

// Distance of `at` to the piece from a to b; *share gets how far along the nearest point lies.
static double piece_distance(struct point at, struct point a, struct point b, double *share) {
    double dx = b.x - a.x, dy = b.y - a.y, square = dx * dx + dy * dy;
    double t = square > 0 ? ((at.x - a.x) * dx + (at.y - a.y) * dy) / square : 0;
    *share = clamp(t, 0, 1);
    return distance(at, (struct point){a.x + *share * dx, a.y + *share * dy});
}

// The point between first and last that lies farthest from the straight piece between them.
static int farthest_from(const struct line *line, int first, int last, double *farthest) {
    int where = first;
    double share;
    *farthest = 0;
    for (int i = first + 1; i < last; i++) {
        double off =
            piece_distance(line->points[i], line->points[first], line->points[last], &share);
        if (off > *farthest) {
            *farthest = off;
            where = i;
        }
    }
    return where;
}

static void mark_kept(const struct line *line, int first, int last, double tolerance, bool *keep) {
    double off;
    int where = farthest_from(line, first, last, &off);
    if (off <= tolerance)
        return;
    keep[where] = true;
    mark_kept(line, first, where, tolerance, keep);
    mark_kept(line, where, last, tolerance, keep);
}

void line_thin(struct line *line, double tolerance) {
    bool keep[LINE_POINTS] = {false};
    if (line->count < 3)
        return;
    keep[0] = keep[line->count - 1] = true;
    mark_kept(line, 0, line->count - 1, tolerance, keep);
    int kept = 0;
    for (int i = 0; i < line->count; i++)
        if (keep[i])
            line->points[kept++] = line->points[i];
    line->count = kept;
}

// One piece of line_stamp: the cells of its bounding box, grown by `reach`.
static void stamp_piece(
    struct point a, struct point b, double start, double reach, double *distances, double *along) {
    int first_col = cell_at((struct point){fmin(a.x, b.x) - reach, 0}) % WIDE;
    int last_col = cell_at((struct point){fmax(a.x, b.x) + reach, 0}) % WIDE;
    int first_row = cell_at((struct point){0, fmin(a.y, b.y) - reach}) / WIDE;
    int last_row = cell_at((struct point){0, fmax(a.y, b.y) + reach}) / WIDE;
    double length = distance(a, b);
    for (int row = first_row; row <= last_row; row++)
        for (int col = first_col; col <= last_col; col++) {
            int cell = row * WIDE + col;
            double share, away = piece_distance(cell_centre(cell), a, b, &share);
            if (away < distances[cell]) {
                distances[cell] = away;
                if (along)
                    along[cell] = start + share * length;
            }
        }
}

void line_stamp(const struct line *line, double reach, double *distances, double *along) {
    double start = 0;
    for (int i = 1; i < line->count; i++) {
        stamp_piece(line->points[i - 1], line->points[i], start, reach, distances, along);
        start += distance(line->points[i - 1], line->points[i]);
    }
}
