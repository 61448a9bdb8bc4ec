// SPDX-License-Identifier: MIT
//
// Every cell's centre is placed in the file by the block's mesh; then the rectangle of the file
// that holds all their pixels is read once and picked from. Where that rectangle would be huge (a
// block across the antimeridian) the block is halved first, which changes no value.
#include "grid/nearest.h"

#include <math.h>
#include <stdlib.h>

#include "base/array.h"
#include "base/whole.h"
#include "grid/mesh.h"

// A centre this near a pixel's lower side, in pixels, is inside it: rounding must not decide.
static const double LEAN = 1e-6;

enum { MOST_PIXELS = 4 << 20, OUTSIDE = -1 };

struct sel_nearest {
    struct sel_class_cells cells;
    struct sel_mesh *mesh;
    int side;
    double *x, *y;        // one row
    int32_t *cols, *rows; // file pixel of every cell, or OUTSIDE
    sel_habitat_id *pixels;
    size_t pixel_capacity;
};

void sel_nearest_free(struct sel_nearest *nearest) {
    if (!nearest)
        return;
    sel_class_cells_clear(&nearest->cells);
    sel_mesh_free(nearest->mesh);
    free(nearest->x);
    free(nearest->y);
    free(nearest->cols);
    free(nearest->rows);
    free(nearest->pixels);
    free(nearest);
}

sel_status sel_nearest_new(sel_context *context, const struct sel_raster *raster,
    const struct sel_pixel_map *to_frame, const struct sel_values *values, int side,
    struct sel_nearest **out) {
    struct sel_nearest *nearest = calloc(1, sizeof *nearest);
    *out = nearest;
    if (!nearest)
        return sel_fail_memory(context);
    sel_class_cells_init(&nearest->cells, raster, values);
    nearest->side = side;
    size_t row = (size_t)side, block = row * row;
    nearest->x = malloc(row * sizeof *nearest->x);
    nearest->y = malloc(row * sizeof *nearest->y);
    nearest->cols = malloc(block * sizeof *nearest->cols);
    nearest->rows = malloc(block * sizeof *nearest->rows);
    sel_status status = nearest->x && nearest->y && nearest->cols && nearest->rows
                            ? sel_mesh_new(context, to_frame, side, &nearest->mesh)
                            : sel_fail_memory(context);
    if (status != SEL_OK) {
        sel_nearest_free(nearest);
        *out = NULL;
    }
    return status;
}

static int32_t pixel_at(double position, int64_t count) {
    double pixel = floor(position + LEAN);
    return pixel >= 0 && pixel < (double)count ? (int32_t)pixel : OUTSIDE;
}

static void locate_row(struct sel_nearest *nearest, int64_t row, int64_t col, int line) {
    const struct sel_shape *file = &nearest->cells.raster->shape;
    for (int i = 0; i < nearest->side; i++) {
        nearest->x[i] = (double)(col + i) + 0.5;
        nearest->y[i] = (double)(row + line) + 0.5;
    }
    sel_mesh_back(nearest->mesh, (size_t)nearest->side, nearest->x, nearest->y);
    int32_t *cols = nearest->cols + (size_t)line * (size_t)nearest->side;
    int32_t *rows = nearest->rows + (size_t)line * (size_t)nearest->side;
    for (int i = 0; i < nearest->side; i++) {
        cols[i] = pixel_at(nearest->x[i], file->cols);
        rows[i] = pixel_at(nearest->y[i], file->rows);
        if (rows[i] == OUTSIDE)
            cols[i] = OUTSIDE;
    }
}

static void locate_block(struct sel_nearest *nearest, int64_t row, int64_t col) {
    sel_mesh_lay(nearest->mesh, row, col);
    for (int line = 0; line < nearest->side; line++)
        locate_row(nearest, row, col, line);
}

bool sel_nearest_pixel(
    struct sel_nearest *nearest, int64_t row, int64_t col, int64_t *file_row, int64_t *file_col) {
    int64_t first_row = sel_floor_div(row, nearest->side) * nearest->side;
    int64_t first_col = sel_floor_div(col, nearest->side) * nearest->side;
    locate_block(nearest, first_row, first_col);
    int64_t at = (row - first_row) * nearest->side + col - first_col;
    *file_row = nearest->rows[at];
    *file_col = nearest->cols[at];
    return *file_col != OUTSIDE;
}

// The file's pixels that a piece, a rectangle of a block's cells, needs; false when it needs none.
static bool needed_pixels(
    const struct sel_nearest *nearest, struct sel_raster_part piece, struct sel_raster_part *part) {
    int32_t col0 = INT32_MAX, row0 = INT32_MAX, col1 = -1, row1 = -1;
    for (int64_t row = piece.row; row < piece.row + piece.rows; row++) {
        for (int64_t col = piece.col; col < piece.col + piece.cols; col++) {
            int32_t file_col = nearest->cols[row * nearest->side + col];
            int32_t file_row = nearest->rows[row * nearest->side + col];
            if (file_col == OUTSIDE)
                continue;
            col0 = file_col < col0 ? file_col : col0;
            col1 = file_col > col1 ? file_col : col1;
            row0 = file_row < row0 ? file_row : row0;
            row1 = file_row > row1 ? file_row : row1;
        }
    }
    *part =
        (struct sel_raster_part){col0, row0, (int64_t)col1 - col0 + 1, (int64_t)row1 - row0 + 1};
    return col1 >= 0;
}

static void pick(const struct sel_nearest *nearest, struct sel_raster_part piece,
    struct sel_raster_part part, sel_habitat_id *ids) {
    for (int64_t row = piece.row; row < piece.row + piece.rows; row++) {
        for (int64_t col = piece.col; col < piece.col + piece.cols; col++) {
            int64_t at = row * nearest->side + col;
            if (nearest->cols[at] == OUTSIDE) {
                ids[at] = SEL_HABITAT_UNKNOWN;
                continue;
            }
            int64_t line = nearest->rows[at] - part.row;
            ids[at] = nearest->pixels[line * part.cols + (nearest->cols[at] - part.col)];
        }
    }
}

static sel_status read_and_pick(sel_context *context, struct sel_nearest *nearest,
    struct sel_raster_part piece, struct sel_raster_part part, sel_habitat_id *ids) {
    sel_habitat_id *pixels = sel_grow(
        nearest->pixels, (size_t)(part.rows * part.cols), &nearest->pixel_capacity, sizeof *pixels);
    if (!pixels)
        return sel_fail_memory(context);
    nearest->pixels = pixels;
    sel_status status = sel_class_cells_read(context, &nearest->cells, part, pixels, part.cols);
    if (status == SEL_OK)
        pick(nearest, piece, part, ids);
    return status;
}

static sel_status fill_piece(sel_context *context, struct sel_nearest *nearest,
    struct sel_raster_part piece, sel_habitat_id *ids) {
    struct sel_raster_part part;
    if (!needed_pixels(nearest, piece, &part)) {
        pick(nearest, piece, part, ids);
        return SEL_OK;
    }
    bool single = piece.rows == 1 && piece.cols == 1;
    if (part.rows * part.cols <= MOST_PIXELS || single)
        return read_and_pick(context, nearest, piece, part, ids);
    struct sel_raster_part first, second;
    sel_part_halve(piece, &first, &second);
    sel_status status = fill_piece(context, nearest, first, ids);
    if (status == SEL_OK)
        status = fill_piece(context, nearest, second, ids);
    return status;
}

sel_status sel_nearest_fill(sel_context *context, struct sel_nearest *nearest, int64_t row,
    int64_t col, sel_habitat_id *ids) {
    locate_block(nearest, row, col);
    return fill_piece(
        context, nearest, (struct sel_raster_part){0, 0, nearest->side, nearest->side}, ids);
}
