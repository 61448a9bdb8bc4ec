// SPDX-License-Identifier: MIT
//
// The ground: hills cut by running water into side valleys, a valley floor with a meandering brook,
// a pond and a quarry.
//
// The hills are a small landscape-evolution model on cells of 20 m: steady uplift, incision by
// streams (stream power with exponents 1/2 and 1, solved downstream to upstream as Braun & Willett
// 2013 do) and creep of the slopes. It makes believable hills; it is no reconstruction of any.
#include <math.h>
#include <stdlib.h>

#include "valley.h"

enum { COARSE_WIDE = WIDE / 2, COARSE_HIGH = HIGH / 2, COARSE_CELLS = COARSE_WIDE * COARSE_HIGH };
static const double COARSE_M = 2.0 * CELL_M;

enum { EROSION_STEPS = 80 };
static const double UPLIFT_M = 1.75;  // per step
static const double INCISION = 0.125; // per step and square root of the catchment in m2
static const double CREEP = 0.2;      // share of the difference to the neighbours, per step

struct hills {
    double height[COARSE_CELLS], filled[COARSE_CELLS], catchment[COARSE_CELLS];
    double strength[COARSE_CELLS]; // of the rock against the streams
    int32_t downstream[COARSE_CELLS], order[COARSE_CELLS];
    bool fixed[COARSE_CELLS];
};

// Distances to the valley line, and how far along it the nearest point lies.
struct axis_field {
    double away_m[CELLS], along_m[CELLS];
};

static const double FAR = 1e9;

static void axis_make(struct valley *valley, struct axis_field *field) {
    static const struct point controls[] = {{7600, 1500}, {7050, 1760}, {6450, 2240}, {5800, 2420},
        {5150, 2650}, {4600, 3130}, {3900, 3230}, {3250, 3060}, {2700, 3330}, {2050, 3760},
        {1350, 3690}, {700, 3980}, {-300, 4050}};
    line_through(controls, sizeof controls / sizeof *controls, 50, &valley->axis);
    for (int cell = 0; cell < CELLS; cell++)
        field->away_m[cell] = FAR;
    line_stamp(&valley->axis, 2.0 * WIDE * CELL_M, field->away_m, field->along_m);
}

// The valley line's height: steeper upstream, a little over 1 % on the whole.
static double axis_height(double along) {
    double left = 1 - along / 9000;
    return 268 + 52 * left + 44 * left * left;
}

// Half the width of the flat floor: a narrow glen upstream, meadows downstream, with waists.
static double floor_half_width(double along) {
    double wide = 18 + 125 * smooth_step(900, 5200, along);
    return wide * (1 + 0.45 * noise(along, 0, 700, 11));
}

static bool on_border(int row, int high) {
    return row == 0 || row == high - 1;
}

// The valley line holds its height; the ground falls to it from all sides.
static void hills_begin(struct hills *hills, const struct axis_field *axis) {
    for (int cell = 0; cell < COARSE_CELLS; cell++) {
        int fine = 2 * (cell / COARSE_WIDE) * WIDE + 2 * (cell % COARSE_WIDE);
        struct point at = cell_centre(fine);
        double along = axis->along_m[fine], away = axis->away_m[fine];
        hills->height[cell] =
            axis_height(along) + 0.01 * away + 3 * fractal(at.x, at.y, 400, 4, 21);
        hills->strength[cell] = 1 + 0.45 * fractal(at.x, at.y, 1500, 2, 31);
        hills->fixed[cell] = away <= fmax(floor_half_width(along), COARSE_M);
        if (hills->fixed[cell])
            hills->height[cell] = axis_height(along);
    }
}

// Lifts the ground and lets the streams cut, from the outlets up.
static void hills_cut(struct hills *hills) {
    for (int k = 0; k < COARSE_CELLS; k++) {
        int cell = hills->order[k];
        if (hills->fixed[cell])
            continue;
        int below = hills->downstream[cell];
        bool straight =
            below / COARSE_WIDE == cell / COARSE_WIDE || below % COARSE_WIDE == cell % COARSE_WIDE;
        double run = straight ? COARSE_M : COARSE_M * 1.41421356;
        double area = hills->catchment[cell] * COARSE_M * COARSE_M;
        double cut = INCISION / hills->strength[cell] * sqrt(area) / run;
        double lifted = hills->height[cell] + UPLIFT_M;
        hills->height[cell] = (lifted + cut * hills->height[below]) / (1 + cut);
    }
}

static void hills_creep(struct hills *hills) {
    double *height = hills->height, *next = hills->filled;
    for (int cell = 0; cell < COARSE_CELLS; cell++) {
        int col = cell % COARSE_WIDE, row = cell / COARSE_WIDE;
        double west = height[col > 0 ? cell - 1 : cell];
        double east = height[col + 1 < COARSE_WIDE ? cell + 1 : cell];
        double north = height[row > 0 ? cell - COARSE_WIDE : cell];
        double south = height[row + 1 < COARSE_HIGH ? cell + COARSE_WIDE : cell];
        next[cell] = height[cell] + CREEP * (west + east + north + south - 4 * height[cell]);
    }
    for (int cell = 0; cell < COARSE_CELLS; cell++)
        if (!hills->fixed[cell])
            height[cell] = next[cell];
}

static bool hills_make(struct hills *hills, const struct axis_field *axis) {
    hills_begin(hills, axis);
    struct flow_grid grid = {COARSE_WIDE, COARSE_HIGH, COARSE_M, hills->height, hills->fixed};
    for (int step = 0; step < EROSION_STEPS; step++) {
        if (!flow_route(&grid, hills->filled, hills->downstream, hills->order))
            return false;
        flow_accumulate(COARSE_CELLS, hills->downstream, hills->order, hills->catchment);
        hills_cut(hills);
        for (int k = 0; k < 3; k++)
            hills_creep(hills);
    }
    return true;
}

static double coarse_height(const struct hills *hills, int row, int col) {
    row = row < 0 ? 0 : row >= COARSE_HIGH ? COARSE_HIGH - 1 : row;
    col = col < 0 ? 0 : col >= COARSE_WIDE ? COARSE_WIDE - 1 : col;
    return hills->height[row * COARSE_WIDE + col];
}

// The weights of a uniform cubic B-spline: smooths the coarse cells away.
static void spline_weights(double t, double weights[4]) {
    double u = 1 - t;
    weights[0] = u * u * u / 6;
    weights[1] = (3 * t * t * t - 6 * t * t + 4) / 6;
    weights[2] = (3 * u * u * u - 6 * u * u + 4) / 6;
    weights[3] = t * t * t / 6;
}

static double hill_height(const struct hills *hills, struct point at) {
    double x = at.x / COARSE_M - 0.25, y = at.y / COARSE_M - 0.25;
    double across[4], down[4], sum = 0;
    spline_weights(x - floor(x), across);
    spline_weights(y - floor(y), down);
    for (int i = 0; i < 4; i++)
        for (int j = 0; j < 4; j++)
            sum += down[i] * across[j] *
                   coarse_height(hills, (int)floor(y) + i - 1, (int)floor(x) + j - 1);
    return sum;
}

// The brook swings from side to side of the floor as it goes down.
static void brook_make(struct valley *valley) {
    const struct line *axis = &valley->axis;
    double along = 0;
    valley->brook.count = 0;
    for (int i = 0; i + 1 < axis->count; i++) {
        struct point a = axis->points[i], b = axis->points[i + 1];
        double length = distance(a, b);
        for (int k = 0; k < 4; k++) {
            double s = along + length * k / 4;
            double swing = 1.25 * noise(s, 0, 75, 51) + 0.5 * noise(s, 0, 260, 52);
            double off = clamp(swing, -0.85, 0.85) * fmin(floor_half_width(s), 85);
            line_add(&valley->brook, a.x + (b.x - a.x) * k / 4 - off * (b.y - a.y) / length,
                a.y + (b.y - a.y) * k / 4 + off * (b.x - a.x) / length);
        }
        along += length;
    }
    line_thin(&valley->brook, 2);
    line_round(&valley->brook, 2);
    line_thin(&valley->brook, 0.4);
}

static void floor_cell(
    struct valley *valley, const struct axis_field *axis, const struct hills *hills, int cell) {
    struct point at = cell_centre(cell);
    double along = axis->along_m[cell], half = floor_half_width(along);
    double share = 1 - smooth_step(half * 0.8, half * 1.25 + 150, axis->away_m[cell]);
    double brook = axis_height(along), near = valley->brook_m[cell];
    double flat = brook + 0.009 * fmin(near, 150) + 0.25 * noise(at.x, at.y, 60, 61);
    double hill = hill_height(hills, at) + 0.7 * fractal(at.x, at.y, 90, 3, 62);
    double bank = 1.2 * (1 - smooth_step(3, 9, near));
    valley->floor_share[cell] = share;
    valley->height[cell] = hill + share * (flat - hill) - bank;
    valley->above_brook[cell] = valley->height[cell] - brook;
}

// How far inside an irregular oval a place lies: 1 at its centre, 0 on its rim.
static double oval(
    struct point at, struct point centre, double half_x, double half_y, uint32_t salt) {
    double x = (at.x - centre.x) / half_x, y = (at.y - centre.y) / half_y;
    return 1 - sqrt(x * x + y * y) * (1 + 0.2 * noise(at.x, at.y, 60, salt));
}

static bool in_pond(int cell) {
    return oval(cell_centre(cell), POND, 135, 80, 71) > 0;
}

// The pond lies as low as the brook that leaves it.
static void pond_dig(struct valley *valley) {
    double level = FAR;
    for (int cell = 0; cell < CELLS; cell++)
        if (in_pond(cell))
            level = fmin(level, valley->height[cell]);
    for (int cell = 0; cell < CELLS; cell++)
        if (in_pond(cell)) {
            valley->height[cell] = level;
            valley->cover[cell] = COVER_WATER;
        }
}

// A level floor cut into the hillside, with a steep face behind.
static void quarry_dig(struct valley *valley) {
    double level = valley->height[cell_at((struct point){QUARRY.x, QUARRY.y + 60})];
    for (int cell = 0; cell < CELLS; cell++) {
        double inside = oval(cell_centre(cell), QUARRY, 120, 85, 72);
        if (inside < -0.15)
            continue;
        double face = level + 160 * fmax(0, 0.22 - inside);
        valley->height[cell] = fmin(valley->height[cell], face);
        if (inside > 0)
            valley->cover[cell] = COVER_QUARRY;
    }
}

static void slopes_measure(struct valley *valley) {
    const double *z = valley->height;
    for (int row = 1; row + 1 < HIGH; row++)
        for (int col = 1; col + 1 < WIDE; col++) {
            int cell = row * WIDE + col;
            double east = (z[cell + 1] - z[cell - 1]) / (2 * CELL_M);
            double south = (z[cell + WIDE] - z[cell - WIDE]) / (2 * CELL_M);
            valley->slope[cell] = sqrt(east * east + south * south);
        }
}

// From its spring down to the brook, the border or a beck that was there before.
static void beck_follow(struct valley *valley, int cell, bool *taken, struct line *beck) {
    beck->count = 0;
    while (cell >= 0) {
        struct point at = cell_centre(cell);
        line_add(beck, at.x, at.y);
        if (taken[cell])
            break;
        taken[cell] = true;
        cell = valley->downstream[cell];
    }
}

static const double SPRING_CELLS = 2600; // the catchment that keeps a beck running: 0.26 km2

static bool is_spring(const struct valley *valley, int cell) {
    if (valley->catchment[cell] < SPRING_CELLS || valley->floor_share[cell] > 0.5)
        return false;
    for (int k = 0; k < 9; k++) {
        int above = cell + (k / 3 - 1) * WIDE + k % 3 - 1;
        if (above != cell && above >= 0 && above < CELLS && valley->downstream[above] == cell &&
            valley->catchment[above] >= SPRING_CELLS)
            return false;
    }
    return true;
}

static void becks_trace(struct valley *valley, bool *taken) {
    for (int cell = 0; cell < CELLS; cell++) {
        struct line *beck = &valley->becks.items[valley->becks.count];
        if (!is_spring(valley, cell) || valley->becks.count == LINES_MOST)
            continue;
        beck_follow(valley, cell, taken, beck);
        line_thin(beck, 6);
        line_round(beck, 2);
        if (line_length(beck) > 250)
            valley->becks.count++;
    }
    for (int i = 0; i < valley->becks.count; i++)
        line_stamp(&valley->becks.items[i], 120, valley->beck_m, NULL);
}

static bool becks_make(struct valley *valley) {
    bool *outlet = calloc(CELLS, sizeof *outlet), done = false;
    double *filled = malloc(sizeof(double) * CELLS);
    int32_t *order = malloc(sizeof(int32_t) * CELLS);
    struct flow_grid grid = {WIDE, HIGH, CELL_M, valley->height, outlet};
    if (!outlet || !filled || !order)
        goto done;
    for (int cell = 0; cell < CELLS; cell++) {
        outlet[cell] = valley->brook_m[cell] < 7 || on_border(cell / WIDE, HIGH);
        valley->beck_m[cell] = FAR;
    }
    if (!flow_route(&grid, filled, valley->downstream, order))
        goto done;
    flow_accumulate(CELLS, valley->downstream, order, valley->catchment);
    for (int cell = 0; cell < CELLS; cell++)
        outlet[cell] = false;
    becks_trace(valley, outlet);
    done = true;
done:
    free(outlet);
    free(filled);
    free(order);
    return done;
}

bool terrain_make(struct valley *valley) {
    struct hills *hills = calloc(1, sizeof *hills);
    struct axis_field *axis = malloc(sizeof *axis);
    bool done = false;
    if (!hills || !axis)
        goto done;
    axis_make(valley, axis);
    if (!hills_make(hills, axis))
        goto done;
    brook_make(valley);
    for (int cell = 0; cell < CELLS; cell++)
        valley->brook_m[cell] = FAR;
    line_stamp(&valley->brook, 600, valley->brook_m, NULL);
    for (int cell = 0; cell < CELLS; cell++)
        floor_cell(valley, axis, hills, cell);
    pond_dig(valley);
    quarry_dig(valley);
    slopes_measure(valley);
    done = becks_make(valley);
done:
    free(hills);
    free(axis);
    return done;
}
