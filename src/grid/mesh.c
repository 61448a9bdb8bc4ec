// SPDX-License-Identifier: MIT
//
// Three by three knots make a square. Parabolas through its knots give the places within it, where
// its five inner knots lie near the straight lines between its corners: there the map bends so
// little that parabolas, which leave out its third derivatives alone, err by far less than those
// lines.
#include "grid/mesh.h"

#include <math.h>
#include <stdlib.h>

// Cells between two knots, and along a square.
enum { GAP = 8, SQUARE = 2 * GAP };

// Where a square's lines may miss its inner knots, in cells or pixels, whichever is the smaller.
static const double MOST_ERROR = 0.01;

struct sel_mesh {
    const struct sel_pixel_map *to_frame; // borrowed
    int side, knots;                      // cells of a block; knots along it, 0: all exact
    double row, col;                      // of the block's corner
    double *x, *y;                        // knots x knots pixel positions
    bool *trusted;                        // by squares
    int64_t exact;
};

void sel_mesh_free(struct sel_mesh *mesh) {
    if (!mesh)
        return;
    free(mesh->x);
    free(mesh->y);
    free(mesh->trusted);
    free(mesh);
}

sel_status sel_mesh_new(
    sel_context *context, const struct sel_pixel_map *to_frame, int side, struct sel_mesh **out) {
    struct sel_mesh *mesh = calloc(1, sizeof *mesh);
    *out = mesh;
    if (!mesh)
        return sel_fail_memory(context);
    mesh->to_frame = to_frame;
    mesh->side = side;
    mesh->knots = side % SQUARE == 0 ? side / GAP + 1 : 0;
    size_t knots = (size_t)mesh->knots * (size_t)mesh->knots + 1;
    mesh->x = malloc(knots * sizeof *mesh->x);
    mesh->y = malloc(knots * sizeof *mesh->y);
    mesh->trusted = malloc(knots * sizeof *mesh->trusted);
    if (mesh->x && mesh->y && mesh->trusted)
        return SEL_OK;
    sel_mesh_free(mesh);
    *out = NULL;
    return sel_fail_memory(context);
}

static void back_exactly(struct sel_mesh *mesh, size_t count, double *x, double *y) {
    sel_pixel_map_back(mesh->to_frame, count, x, y);
    mesh->exact += (int64_t)count;
}

// How far the middle one of three places lies from the middle of the others.
static double bend(const struct sel_mesh *mesh, int first, int middle, int last) {
    const double *x = mesh->x, *y = mesh->y;
    return hypot(0.5 * (x[first] + x[last]) - x[middle], 0.5 * (y[first] + y[last]) - y[middle]);
}

static double distance(const struct sel_mesh *mesh, int a, int b) {
    return hypot(mesh->x[a] - mesh->x[b], mesh->y[a] - mesh->y[b]);
}

// False also where a knot has no place in the file: then it is NAN.
static bool is_straight(const struct sel_mesh *mesh, int knot) {
    int right = knot + 1, far_right = knot + 2;
    int below = mesh->knots, far_below = 2 * mesh->knots;
    double cell = fmin(distance(mesh, knot, far_right), distance(mesh, knot, knot + far_below));
    double most = MOST_ERROR * fmin(1, cell / SQUARE);
    return bend(mesh, knot, right, far_right) <= most &&
           bend(mesh, knot, knot + below, knot + far_below) <= most &&
           bend(mesh, far_right, far_right + below, far_right + far_below) <= most &&
           bend(mesh, knot + far_below, right + far_below, far_right + far_below) <= most &&
           bend(mesh, knot, right + below, far_right + far_below) <= most;
}

void sel_mesh_lay(struct sel_mesh *mesh, int64_t row, int64_t col) {
    int knots = mesh->knots, squares = knots / 2;
    mesh->row = (double)row;
    mesh->col = (double)col;
    for (int i = 0; i < knots * knots; i++) {
        int64_t across = i % knots, down = i / knots;
        mesh->x[i] = (double)(col + GAP * across);
        mesh->y[i] = (double)(row + GAP * down);
    }
    if (knots > 0)
        back_exactly(mesh, (size_t)knots * (size_t)knots, mesh->x, mesh->y);
    for (int i = 0; i < squares * squares; i++)
        mesh->trusted[i] = is_straight(mesh, 2 * (i / squares) * knots + 2 * (i % squares));
}

// The row or column of squares that a place lies in; the block's far side belongs to the last.
static int square_of(double from_corner, int knots) {
    int square = (int)(from_corner / SQUARE);
    return square < knots / 2 ? square : knots / 2 - 1;
}

static bool is_trusted(const struct sel_mesh *mesh, double x, double y) {
    double right = x - mesh->col, down = y - mesh->row;
    if (!(right >= 0 && right <= mesh->side && down >= 0 && down <= mesh->side))
        return false;
    int square = square_of(down, mesh->knots) * (mesh->knots / 2) + square_of(right, mesh->knots);
    return mesh->trusted[square];
}

// The parabola through three values at 0, 1 and 2.
static double parabola(const double at[3], double t) {
    return at[0] + t * (at[1] - at[0]) + 0.5 * t * (t - 1) * (at[2] - 2 * at[1] + at[0]);
}

// One line of places across a square: what parabolas along its columns of knots give there.
struct line {
    double down; // from the block's corner
    int square_row, square_col;
    double x[3], y[3];
};

static void draw_line(const struct sel_mesh *mesh, struct line *line) {
    double t = line->down / GAP - 2 * line->square_row;
    for (int i = 0; i < 3; i++) {
        int at = 2 * line->square_row * mesh->knots + 2 * line->square_col + i;
        int below = at + mesh->knots, far_below = below + mesh->knots;
        line->x[i] = parabola((double[3]){mesh->x[at], mesh->x[below], mesh->x[far_below]}, t);
        line->y[i] = parabola((double[3]){mesh->y[at], mesh->y[below], mesh->y[far_below]}, t);
    }
}

static void interpolate(const struct sel_mesh *mesh, struct line *line, double *x, double *y) {
    double right = *x - mesh->col, down = *y - mesh->row;
    int row = square_of(down, mesh->knots), col = square_of(right, mesh->knots);
    if (down != line->down || row != line->square_row || col != line->square_col) {
        line->down = down;
        line->square_row = row;
        line->square_col = col;
        draw_line(mesh, line);
    }
    double t = right / GAP - 2 * col;
    *x = parabola(line->x, t);
    *y = parabola(line->y, t);
}

void sel_mesh_back(struct sel_mesh *mesh, size_t count, double *x, double *y) {
    bool all = mesh->knots > 0;
    for (size_t i = 0; i < count && all; i++)
        all = is_trusted(mesh, x[i], y[i]);
    if (!all) {
        back_exactly(mesh, count, x, y);
        return;
    }
    struct line line = {.square_row = -1};
    for (size_t i = 0; i < count; i++)
        interpolate(mesh, &line, &x[i], &y[i]);
}

int64_t sel_mesh_exact(const struct sel_mesh *mesh) {
    return mesh->exact;
}
