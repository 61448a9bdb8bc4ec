// SPDX-License-Identifier: MIT
//
// Ground read from a file, mirrored at its borders without end, with made-up woods or those of a
// land cover.
#ifndef SEL_TEST_TERRAIN_RELIEF_H
#define SEL_TEST_TERRAIN_RELIEF_H

#include "terrain_eyes.h"

struct terrain_relief {
    float *metres; // owned
    int64_t rows, cols;
    uint8_t *classes; // owned; NULL: made-up woods
    int64_t class_rows, class_cols;
    int64_t first_row, first_col;        // of the ground, where the land cover begins
    const struct terrain_cell *of_class; // by class, canopy_m and cover; 0: none
};

// False when a file cannot be read. Free with terrain_relief_clear.
bool terrain_relief_read(struct terrain_relief *relief, const char *path);
bool terrain_relief_read_classes(struct terrain_relief *relief, const char *path, int64_t first_row,
    int64_t first_col, const struct terrain_cell *of_class);
void terrain_relief_clear(struct terrain_relief *relief);

// A terrain_cell_fn whose scene is a relief.
struct terrain_cell terrain_on_relief(const void *relief, int level, int64_t row, int64_t col);

#endif
