// SPDX-License-Identifier: MIT
//
// Rows of pixels are painted in strips. The relief comes from the level of the surface whose cells
// are about as large as a pixel.
#include "survey/picture.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/whole.h"
#include "survey/coarse.h"
#include "survey/ground.h"

// Lambert shading of a plane lit from azimuth 315, altitude 45 degrees.
static const double LIGHT_X = -0.5, LIGHT_Y = 0.5, LIGHT_Z = 0.70710678118654752;
static const uint8_t SHADE_UNKNOWN = 180;
enum { STRIP_CELLS = 512 };

void sel_picture_clear(struct sel_picture *picture) {
    free(picture->habitat);
    free(picture->shade);
    *picture = (struct sel_picture){0};
}

static struct sel_window cut_to_grid(struct sel_window window, const struct sel_grid *grid) {
    int64_t row = window.row > 0 ? window.row : 0, col = window.col > 0 ? window.col : 0;
    int64_t row_end = window.row + window.rows, col_end = window.col + window.cols;
    row_end = row_end < grid->rows ? row_end : grid->rows;
    col_end = col_end < grid->cols ? col_end : grid->cols;
    return (struct sel_window){row, col, row_end - row, col_end - col};
}

static sel_status new_picture(
    sel_context *context, struct sel_window window, int64_t most, struct sel_picture *picture) {
    int64_t longest = window.rows > window.cols ? window.rows : window.cols;
    int64_t step = (longest + most - 1) / most;
    *picture = (struct sel_picture){.window = window,
        .step = step,
        .rows = (window.rows + step - 1) / step,
        .cols = (window.cols + step - 1) / step};
    size_t pixels = (size_t)picture->rows * (size_t)picture->cols;
    picture->habitat = calloc(pixels, 1);
    picture->shade = malloc(pixels);
    if (picture->habitat && picture->shade) {
        memset(picture->shade, SHADE_UNKNOWN, pixels);
        return SEL_OK;
    }
    sel_picture_clear(picture);
    return sel_fail_memory(context);
}

// The cell at a pixel's middle, along one axis.
static int64_t middle(int64_t first, int64_t count, int64_t step, int64_t pixel) {
    int64_t cell = pixel * step + step / 2;
    return first + (cell < count ? cell : count - 1);
}

static sel_status paint_habitats(
    sel_context *context, struct sel_worker *worker, struct sel_picture *picture) {
    const struct sel_window *window = &picture->window;
    int64_t strip = STRIP_CELLS / picture->step > 0 ? STRIP_CELLS / picture->step : 1;
    for (int64_t first = 0; first < picture->rows; first += strip) {
        int64_t rows = first + strip < picture->rows ? strip : picture->rows - first;
        struct sel_window cells = {
            window->row + first * picture->step, window->col, rows * picture->step, window->cols};
        const sel_habitat_id *raw;
        sel_status status = sel_check_cancel(context);
        if (status == SEL_OK)
            status = sel_ground_raw(context, worker, cells, &raw);
        if (status != SEL_OK)
            return status;
        for (int64_t row = first; row < first + rows; row++)
            for (int64_t col = 0; col < picture->cols; col++) {
                int64_t y = middle(window->row, window->rows, picture->step, row) - cells.row;
                int64_t x = middle(window->col, window->cols, picture->step, col) - cells.col;
                picture->habitat[row * picture->cols + col] = raw[y * cells.cols + x];
            }
    }
    return SEL_OK;
}

static uint8_t shade_of(double east, double north) {
    double lit =
        (LIGHT_Z - LIGHT_X * east - LIGHT_Y * north) / sqrt(1 + east * east + north * north);
    return (uint8_t)lround(255.0 * fmin(1.0, fmax(0.0, lit)));
}

// The relief a picture is shaded from: one level of the surface around the picture's window.
struct relief {
    struct sel_window window; // level cells
    const float *metres;
    int64_t step; // study cells along a level cell
    double x_m, y_m;
};

static sel_status read_relief(sel_context *context, struct sel_worker *worker,
    const struct sel_picture *picture, struct relief *relief) {
    const struct sel_grid *grid = &worker->job->study->grid;
    int level = picture->step >= 16 ? 2 : picture->step >= 3 ? 1 : 0;
    relief->step = (int64_t)1 << (2 * level);
    relief->x_m = grid->cell_x_m * (double)relief->step;
    relief->y_m = grid->cell_y_m * (double)relief->step;
    const struct sel_window *cells = &picture->window;
    int64_t row = sel_floor_div(cells->row, relief->step) - 1;
    int64_t col = sel_floor_div(cells->col, relief->step) - 1;
    relief->window = (struct sel_window){row, col,
        sel_floor_div(cells->row + cells->rows, relief->step) + 2 - row,
        sel_floor_div(cells->col + cells->cols, relief->step) + 2 - col};
    if (level == 0)
        return sel_ground_elevation(context, worker, relief->window, &relief->metres);
    struct sel_surface_level read;
    sel_status status = sel_coarse_read(
        context, worker->job->coarse, level, relief->window, &worker->surface[level], &read);
    relief->metres = read.ground_m;
    return status;
}

static void shade_pixel(const struct relief *relief, int64_t row, int64_t col, uint8_t *shade) {
    int64_t cols = relief->window.cols;
    const float *at = relief->metres +
                      (sel_floor_div(row, relief->step) - relief->window.row) * cols +
                      sel_floor_div(col, relief->step) - relief->window.col;
    double east = (double)(at[1] - at[-1]) / (2 * relief->x_m);
    double north = (double)(at[-cols] - at[cols]) / (2 * relief->y_m);
    if (!isnan(east) && !isnan(north))
        *shade = shade_of(east, north);
}

static void shade_pixels(const struct relief *relief, struct sel_picture *picture) {
    const struct sel_window *window = &picture->window;
    for (int64_t row = 0; row < picture->rows; row++)
        for (int64_t col = 0; col < picture->cols; col++)
            shade_pixel(relief, middle(window->row, window->rows, picture->step, row),
                middle(window->col, window->cols, picture->step, col),
                &picture->shade[row * picture->cols + col]);
}

sel_status sel_picture_paint(sel_context *context, struct sel_worker *worker,
    struct sel_window window, int64_t most, struct sel_picture *picture) {
    struct relief relief;
    sel_status status =
        new_picture(context, cut_to_grid(window, &worker->job->study->grid), most, picture);
    if (status == SEL_OK)
        status = paint_habitats(context, worker, picture);
    if (status == SEL_OK)
        status = read_relief(context, worker, picture, &relief);
    if (status == SEL_OK)
        shade_pixels(&relief, picture);
    return status;
}
