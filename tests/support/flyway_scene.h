// SPDX-License-Identifier: MIT
//
// Small habitat scenes for tests of the flyway stage: drawn as text, or random and patchy, and
// their mirror images and quarter turns.
#ifndef SEL_TEST_FLYWAY_SCENE_H
#define SEL_TEST_FLYWAY_SCENE_H

#include "edge/cracks.h"
#include "edge/tangent.h"
#include "flyway/contrast.h"

struct flyway_scene {
    struct sel_habitat_view view;
    sel_habitat_id *ids; // owned; the view's cells
};

// '.' is unknown, 'A' is habitat 1, 'B' is 2, ... All rows have one length. Top left is cell 0, 0.
struct flyway_scene flyway_draw(const char *const *rows, int count);

// Patches about `patch` cells wide of habitats 1..habitats, with some noise and unknown ground.
struct flyway_scene flyway_patchy(
    int64_t rows, int64_t cols, int patch, int habitats, uint64_t *random);

struct flyway_scene flyway_shifted(const struct flyway_scene *scene, int64_t rows, int64_t cols);
struct flyway_scene flyway_mirrored(const struct flyway_scene *scene); // east for west
struct flyway_scene flyway_turned(const struct flyway_scene *scene);   // a quarter, clockwise
void flyway_scene_free(struct flyway_scene *scene);

struct sel_crack flyway_shift_crack(struct sel_crack crack, int64_t rows, int64_t cols);
struct sel_crack flyway_mirror_crack(const struct flyway_scene *scene, struct sel_crack crack);
struct sel_crack flyway_turn_crack(const struct flyway_scene *scene, struct sel_crack crack);

// The crack with this middle; its two cells must be of two known habitats.
struct sel_crack flyway_crack_at(const struct flyway_scene *scene, int32_t hx, int32_t hy);

// Every crack of the scene, in any order; returns how many. `cracks` has room for `most`.
size_t flyway_all_cracks(const struct flyway_scene *scene, struct sel_crack *cracks, size_t most);

// The tangent whose normal into a is `toward_a` (any length above 0).
struct sel_tangent flyway_tangent(struct vec2 toward_a);

// A table of `count` habitats with c_ij = values[i - 1][j - 1].
struct sel_contrast flyway_contrast(int count, const double *values);

// xorshift64* (Vigna 2016); state must not be 0. Uniform in [0, 1).
double flyway_random(uint64_t *state);
int flyway_random_below(uint64_t *state, int end);

#endif
