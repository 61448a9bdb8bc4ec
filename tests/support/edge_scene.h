// SPDX-License-Identifier: MIT
//
// Small habitat scenes for the tests of the edge stage: straight edges and discs whose truth is
// known in closed form, random patches, and their mirror images, turns and cuttings.
#ifndef SEL_TEST_EDGE_SCENE_H
#define SEL_TEST_EDGE_SCENE_H

#include <stdint.h>

#include "edge/cracks.h"

struct edge_scene {
    struct sel_window window;
    sel_habitat_id *ids; // owned
};

// All unknown. Rows and columns start at 0 unless window says otherwise later.
struct edge_scene edge_scene_new(int64_t rows, int64_t cols);
void edge_scene_free(struct edge_scene *scene);
struct sel_habitat_view edge_scene_view(const struct edge_scene *scene);
sel_habitat_id *edge_scene_cell(struct edge_scene *scene, int64_t row, int64_t col);

// Rows of letters, '.' unknown, 'a' 1, 'b' 2 ..., separated by '/'.
struct edge_scene edge_scene_text(const char *rows);

// Habitat 1 on the left of a line through the scene's centre, shifted left by `offset`, that runs
// in direction (cos, -sin) of `degrees` (anticlockwise from east, north up); 2 on the right.
// Lengths in the unit of the cell sizes.
void edge_scene_half_plane(
    struct edge_scene *scene, double degrees, double offset, double cell_x, double cell_y);

// Habitat `inside` where the cell's centre lies within the disc, `outside` elsewhere; cells.
void edge_scene_disc(struct edge_scene *scene, double x, double y, double radius,
    sel_habitat_id inside, sel_habitat_id outside);

// Random ragged patches of `habitats` habitats about `size` cells wide, a share of `noise` cells
// drawn at random and a share of `unknown` cells unknown.
void edge_scene_patches(struct edge_scene *scene, uint32_t start, int habitats, double size,
    double noise, double unknown);

// A copy of a window of the scene (at the same rows and columns); beyond the scene all is unknown.
struct edge_scene edge_scene_cut(const struct edge_scene *scene, struct sel_window window);

// The scene mirrored east for west, and turned by a quarter clockwise.
struct edge_scene edge_scene_mirrored(const struct edge_scene *scene);
struct edge_scene edge_scene_turned(const struct edge_scene *scene);

// The first band of a raster, values taken as ids; the whole, or aborts.
struct edge_scene edge_scene_read(const char *path);

// A real land cover; false when there are no real data here, which is said.
bool edge_scene_real(struct edge_scene *scene);

// Writes the scene as a GeoTIFF with cells of one unit; unknown is NoData when asked.
void edge_scene_write(const struct edge_scene *scene, const char *path, bool unknown_is_nodata);

// xorshift (Marsaglia 2003); *state must not be 0. And a number in [0, 1).
uint32_t edge_random(uint32_t *state);
double edge_uniform(uint32_t *state);

// The value below which `share` of the values lie; sorts them.
double edge_quantile(double *values, size_t count, double share);

#endif
