// SPDX-License-Identifier: MIT
//
// Where a raster lies on the Earth and how large its pixels are there, whatever its CRS.
#ifndef SEL_GRID_GROUND_H
#define SEL_GRID_GROUND_H

#include "grid/raster.h"

// Pixels [x0, x1) x [y0, y1) of a shape, fractions allowed.
struct sel_extent {
    double x0, y0, x1, y1;
};

struct sel_ground_pixel {
    double latitude, longitude;  // WGS 84 degrees, of the extent's centre
    double pixel_x_m, pixel_y_m; // length of a pixel's sides there
    double pixel_area_m2;
};

// Holds nothing; grows to hold points by sel_extent_widen.
struct sel_extent sel_extent_of_nothing(void);
void sel_extent_widen(struct sel_extent *extent, double x, double y);

struct sel_extent sel_shape_extent(const struct sel_shape *shape);

// Measures at the centre of an extent, on an equal-area plane that touches the Earth there.
// `file` is named when the place has no latitude and longitude.
sel_status sel_ground_pixel_at(sel_context *context, const char *file,
    const struct sel_shape *shape, struct sel_extent extent, struct sel_ground_pixel *out);

enum { SEL_EXTENT_TEXT = 96 };

// "48.7449..49.1099 N, 13.6299..14.1838 E": the extent in latitude and longitude. "nowhere" when
// no point of it has a place.
sel_status sel_extent_text(sel_context *context, const struct sel_shape *shape,
    struct sel_extent extent, char text[SEL_EXTENT_TEXT]);

// The rectangle of map `to` that holds the extent's outline, which is sampled 64 times a side.
// False when no point of the outline can be transformed.
struct sel_pixel_map;
bool sel_extent_map(
    const struct sel_pixel_map *map, struct sel_extent extent, struct sel_extent *out);

// The same for an extent of `to`, in pixels of `from`.
bool sel_extent_map_back(
    const struct sel_pixel_map *map, struct sel_extent extent, struct sel_extent *out);

#endif
