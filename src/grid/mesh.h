// SPDX-License-Identifier: MIT
//
// Where a block's cells lie in a file, by few exact transforms: knots every 8 cells, parabolas
// between. Wherever even straight lines would err by a hundredth of a cell or a pixel, and so might
// miss a break of the map, every place is transformed exactly. A mesh belongs to one thread.
#ifndef SEL_GRID_MESH_H
#define SEL_GRID_MESH_H

#include "grid/pixel_map.h"

struct sel_mesh;

// For blocks of side x side cells. Borrows the map from the file's pixels to the frame's cells.
sel_status sel_mesh_new(
    sel_context *context, const struct sel_pixel_map *to_frame, int side, struct sel_mesh **out);
void sel_mesh_free(struct sel_mesh *mesh);

// Lays the mesh over the block that begins at the frame cell (row, col).
void sel_mesh_lay(struct sel_mesh *mesh, int64_t row, int64_t col);

// Replaces positions on the frame by pixel positions of the file; NAN where there is none. One
// batch is always made in one way: if any of its places must be exact, all are.
void sel_mesh_back(struct sel_mesh *mesh, size_t count, double *x, double *y);

// How many places were transformed exactly so far.
int64_t sel_mesh_exact(const struct sel_mesh *mesh);

#endif
