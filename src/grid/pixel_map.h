// SPDX-License-Identifier: MIT
//
// Exact transforms between the pixels of two shapes: affine, map projection, affine. No
// approximation anywhere. Columns of a file that are longitudes come as near the file's middle as
// whole rounds allow, so that a file may span the antimeridian. A map belongs to one thread.
#ifndef SEL_GRID_PIXEL_MAP_H
#define SEL_GRID_PIXEL_MAP_H

#include <stdbool.h>
#include <stddef.h>

#include "grid/raster.h"

struct sel_pixel_map;

sel_status sel_pixel_map_new(sel_context *context, const struct sel_shape *from,
    const struct sel_shape *to, struct sel_pixel_map **map);
void sel_pixel_map_free(struct sel_pixel_map *map);

// Replaces pixel positions of `from` by those of `to`; positions that cannot be transformed become
// NAN. For the same answer to the last bit always hand over the same batch of points: PROJ may
// choose among several datum transforms by the batch's middle.
void sel_pixel_map_apply(const struct sel_pixel_map *map, size_t count, double *x, double *y);

// The same from `to` back to `from`.
void sel_pixel_map_back(const struct sel_pixel_map *map, size_t count, double *x, double *y);

// GDAL's own transformer behind a map, for its warper. Borrowed.
void *sel_pixel_map_transformer(const struct sel_pixel_map *map);

// A shape whose "pixels" are map coordinates of a CRS (geotransform 0, 1, 0, 0, 0, 1). Owns a copy
// of the WKT; crs NULL: out of memory.
struct sel_shape sel_plain_shape(const char *crs);

// WGS 84 in degrees, x longitude, y latitude. Static text.
const char *sel_wgs84(void);

#endif
