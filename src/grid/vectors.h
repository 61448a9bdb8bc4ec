// SPDX-License-Identifier: MIT
//
// Vector layers brought to the study grid's CRS: narrow habitats, access geometry, zones, parcels,
// the study area and occupied traps. OGR reads, PROJ transforms, GEOS answers questions about
// polygons.
#ifndef SEL_GRID_VECTORS_H
#define SEL_GRID_VECTORS_H

#include <stdbool.h>

#include "base/status.h"
#include "grid/grid.h"
#include "plan/plan.h"

// A straight piece of a line, or a point (both ends equal), in metres on the study grid: x east and
// y south of the grid's north-west corner.
struct sel_segment {
    double x0, y0, x1, y1;
};

// How much of a layer lies where it counts.
struct sel_layer_tally {
    int64_t features; // with a geometry of use
    int64_t met;      // those of them that meet the study grid
    double off_m;     // metres from the grid to the nearest of them; 0 when one meets it
};

struct sel_segments {
    struct sel_segment *items; // owned
    size_t count, capacity;
};

void sel_segments_clear(struct sel_segments *segments);

// Adds every line piece, polygon ring piece and point of a layer. A layer without CRS, or an empty
// one, fails. *tally may be NULL.
sel_status sel_read_segments(sel_context *context, const struct sel_layer_ref *source,
    const struct sel_grid *grid, struct sel_segments *segments, struct sel_layer_tally *tally);

// Metres from a straight piece to the study grid's rectangle, 0 where they meet.
double sel_off_grid_m(const struct sel_grid *grid, const struct sel_segment *segment);

// Narrow habitats ready to burn into windows.
struct sel_narrow;
sel_status sel_narrow_new(sel_context *context, const struct sel_plan *plan,
    const struct sel_grid *grid, struct sel_narrow **out);

// Of the plan's entry `lines[index]`.
struct sel_layer_tally sel_narrow_tally(const struct sel_narrow *narrow, size_t index);
void sel_narrow_free(struct sel_narrow *narrow);

// Overwrites with the habitat of each line the cells of a window whose centre lies within half its
// width of it, and always at least the cells the line passes through (an unbroken, 4-connected
// chain). Later lines of the plan win over earlier ones. A cell gets the same id in every window.
// Cells outside the grid stay unknown. Thread-safe.
void sel_narrow_burn(
    const struct sel_narrow *narrow, struct sel_window window, sel_habitat_id *ids);

// A column to be read from a layer, and the plan's key that names it.
struct sel_layer_column {
    const char *key, *column;
    bool filled; // a polygon that meets the grid and has nothing there fails
};

// Polygons that answer which of them hold a point. Those that do not meet the study grid are left
// out. Invalid ones are repaired and noted. A layer without any polygon fails, as does a column
// that the layer lacks; `name` and `owner` may be NULL.
struct sel_polygons;
sel_status sel_polygons_new(sel_context *context, const struct sel_layer_ref *source,
    const struct sel_grid *grid, const struct sel_layer_column *name,
    const struct sel_layer_column *owner, struct sel_polygons **polygons);
void sel_polygons_free(struct sel_polygons *polygons);

// A query handle belongs to one thread.
struct sel_polygons_query;
sel_status sel_polygons_query_new(
    sel_context *context, const struct sel_polygons *polygons, struct sel_polygons_query **query);
void sel_polygons_query_free(struct sel_polygons_query *query);

// Index of the first polygon (in file order) that holds or touches the map position; -1: none, or
// the look-up failed, which sel_polygons_query_status then tells: ask it once after many look-ups.
int64_t sel_polygons_at(struct sel_polygons_query *query, double x, double y);
sel_status sel_polygons_query_status(sel_context *context, const struct sel_polygons_query *query);

// Attribute values as text, "" when absent. Borrowed.
const char *sel_polygons_name(const struct sel_polygons *polygons, int64_t index);
const char *sel_polygons_owner(const struct sel_polygons *polygons, int64_t index);

// The polygons' common extent in map coordinates: min x, min y, max x, max y. Without any polygon
// infinite, the minima above the maxima.
void sel_polygons_extent(const struct sel_polygons *polygons, double extent[4]);

// Number of polygons that meet the study grid.
int64_t sel_polygons_count(const struct sel_polygons *polygons);

// Features with a polygon, and those of them that meet the grid; off_m is not measured.
struct sel_layer_tally sel_polygons_tally(const struct sel_polygons *polygons);

#endif
