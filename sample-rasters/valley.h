// SPDX-License-Identifier: MIT
//
// The invented Alder Brook valley while it is being made: one grid of cells and the lines on it.
//
// Coordinates are metres, x east and y SOUTH of the north-west corner of the wide grid, which
// reaches MARGIN cells beyond the land cover on every side (the elevation raster keeps the margin,
// so that horizons near the border are real). Only additions, multiplications, divisions and square
// roots are used: IEEE 754 rounds those alike everywhere, so the rasters are the same on every
// machine.
#ifndef SAMPLE_VALLEY_H
#define SAMPLE_VALLEY_H

#include <stdbool.h>
#include <stdint.h>

enum {
    CELL_M = 10,
    COLS = 640,
    ROWS = 520,
    MARGIN = 40,
    WIDE = COLS + 2 * MARGIN,
    HIGH = ROWS + 2 * MARGIN,
    CELLS = WIDE * HIGH
};

// The values of landcover.tif; habitats.csv tells what they mean.
enum cover {
    COVER_NONE = 0,
    COVER_WATER = 1,
    COVER_RIPARIAN_WOOD = 2,
    COVER_MARSH = 3,
    COVER_HAY_MEADOW = 4,
    COVER_PASTURE = 5,
    COVER_ARABLE = 6,
    COVER_SCRUB = 7,
    COVER_BROADLEAF_WOOD = 8,
    COVER_PLANTATION = 9,
    COVER_HEATH = 10,
    COVER_VILLAGE = 11,
    COVER_QUARRY = 12
};

struct point {
    double x, y;
};

enum { LINE_POINTS = 1200, LINES_MOST = 40 };

struct line {
    int count;
    struct point points[LINE_POINTS];
};

struct lines {
    int count;
    struct line items[LINES_MOST];
};

// A convex piece of land of one owner.
enum { PARCEL_CORNERS = 24, PARCELS_MOST = 2400 };

struct parcel {
    int block, row, col; // the block of land it was cut from, and its place in it
    int owner;
    int corner_count;
    struct point corners[PARCEL_CORNERS];
    enum cover use; // what is grown on it where the land allows; COVER_NONE: left to nature
};

enum { HEDGES_MOST = 1200 };

struct hedge {
    struct point from, to;
};

struct valley {
    double height[CELLS];      // ground, m above the sea
    double slope[CELLS];       // rise over run
    double above_brook[CELLS]; // height above the nearest point of the brook's valley line, m
    double floor_share[CELLS]; // 1 on the valley floor, falling to 0 at the foot of the slopes
    double catchment[CELLS];   // cells that drain through the cell
    int32_t downstream[CELLS]; // the cell it drains to; -1 at an outlet
    double brook_m[CELLS];     // distance to the brook; large far off
    double beck_m[CELLS];      // distance to the nearest beck
    double road_m[CELLS];      // distance to the nearest road
    int16_t parcel_at[CELLS];  // index into parcels; -1: none
    uint8_t cover[CELLS];      // enum cover
    struct line axis;          // the valley line, upstream to downstream
    struct line brook;         // the meandering brook, upstream to downstream
    struct lines becks;        // side streams, downhill
    struct lines roads, paths;
    int parcel_count;
    struct parcel parcels[PARCELS_MOST];
    int hedge_count;
    struct hedge hedges[HEDGES_MOST];
};

// Places that several steps know.
static const struct point VILLAGE = {3350, 2800};
static const struct point POND = {2290, 3590};
static const struct point QUARRY = {4890, 2020};

static inline double clamp(double value, double low, double high) {
    return value < low ? low : value > high ? high : value;
}

// 0 at or below `low`, 1 at or above `high`, smooth between.
static inline double smooth_step(double low, double high, double value) {
    double t = clamp((value - low) / (high - low), 0, 1);
    return t * t * (3 - 2 * t);
}

static inline struct point cell_centre(int cell) {
    int row = cell / WIDE, col = cell % WIDE;
    return (struct point){(col + 0.5) * CELL_M, (row + 0.5) * CELL_M};
}

// The cell that holds a point, the nearest one for a point off the grid.
static inline int cell_at(struct point at) {
    int col = (int)clamp(at.x / CELL_M, 0, WIDE - 1);
    int row = (int)clamp(at.y / CELL_M, 0, HIGH - 1);
    return row * WIDE + col;
}

// noise.c: reproducible random numbers by place.
uint32_t hash_place(int32_t x, int32_t y, uint32_t salt);
double hash_unit(int32_t x, int32_t y, uint32_t salt);              // 0..1
double noise(double x, double y, double wavelength, uint32_t salt); // about -1..1, smooth
double fractal(double x, double y, double wavelength, int octaves, uint32_t salt);

// lines.c
void line_add(struct line *line, double x, double y);
double distance(struct point a, struct point b);
double line_length(const struct line *line);
// A smooth line through the control points, a point about every `step` metres.
void line_through(const struct point *controls, int count, double step, struct line *out);
// Cuts the corners of a line (Chaikin 1974), `times` over.
void line_round(struct line *line, int times);
// Drops points that lie within `tolerance` of the line without them.
void line_thin(struct line *line, double tolerance);
// Lowers distances[] to the line within `reach` metres; along[] (NULL: not wanted) gets the arc
// length of the nearest point.
void line_stamp(const struct line *line, double reach, double *distances, double *along);

// flow.c: where water runs.
struct flow_grid {
    int wide, high;
    double cell_m;
    const double *height;
    const bool *outlet; // cells that keep their water
};
// Fills pits (priority flood), then gives each cell its steepest way down: downstream[] (-1 at an
// outlet), order[] (every cell, each after the one it drains to) and filled[]. False: no memory.
bool flow_route(const struct flow_grid *grid, double *filled, int32_t *downstream, int32_t *order);
void flow_accumulate(int cells, const int32_t *downstream, const int32_t *order, double *catchment);

// terrain.c: the ground, the brook and its becks. False: no memory.
bool terrain_make(struct valley *valley);

// routes.c: roads and paths. False: no memory.
bool routes_make(struct valley *valley);

// parcels.c: who owns what, and what the land is used for.
void parcels_make(struct valley *valley);

// cover.c
void cover_make(struct valley *valley);
bool is_farmland(unsigned cover);

// hedges.c: hedges, and tree belts in the land cover.
void hedges_make(struct valley *valley);

// places.c: outlines are closed lines.
void area_make(struct line *area);
void colony_make(struct line *colony);
void meadow_make(const struct valley *valley, double from_x, double to_x, struct line *meadow);
bool is_grazed(const struct valley *valley, int parcel);
// The middle of a cell side between the two covers, the nearest to a place.
struct point edge_near(const struct valley *valley, struct point at, enum cover a, enum cover b);

// write.c: the files. False after printing why.
bool write_all(const struct valley *valley, const char *folder);

#endif
