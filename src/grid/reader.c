// SPDX-License-Identifier: MIT
//
// Windows of habitats, ground and canopy. A raster that lies on the study grid is read in place;
// any other is put together from its resampled blocks.
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "grid/amiss.h"
#include "grid/band.h"
#include "grid/class_cells.h"
#include "grid/height_cells.h"
#include "grid/source.h"
#include "grid/study.h"

struct sel_reader {
    const struct sel_study *study; // borrowed
    struct sel_band landcover, elevation, canopy;
    struct sel_class_cells classes;
    struct sel_height_cells heights;
};

void sel_reader_free(struct sel_reader *reader) {
    if (!reader)
        return;
    sel_class_cells_clear(&reader->classes);
    sel_height_cells_clear(&reader->heights);
    sel_band_close(&reader->landcover);
    sel_band_close(&reader->elevation);
    sel_band_close(&reader->canopy);
    free(reader);
}

static sel_status open_bands(
    sel_context *context, const struct sel_study *study, struct sel_reader *reader) {
    const struct sel_study_sources *sources = study->sources;
    sel_status status = sel_band_open(context, study, &sources->landcover, &reader->landcover);
    if (status == SEL_OK)
        status = sel_band_open(context, study, &sources->elevation, &reader->elevation);
    if (status == SEL_OK && study->has_canopy)
        status = sel_band_open(context, study, &sources->canopy, &reader->canopy);
    if (status == SEL_OK)
        sel_class_cells_init(&reader->classes, &reader->landcover.raster, &sources->values);
    return status;
}

sel_status sel_reader_new(
    sel_context *context, const struct sel_study *study, struct sel_reader **reader) {
    *reader = calloc(1, sizeof **reader);
    if (!*reader)
        return sel_fail_memory(context);
    (*reader)->study = study;
    sel_status status = open_bands(context, study, *reader);
    if (status != SEL_OK) {
        sel_reader_free(*reader);
        *reader = NULL;
    }
    return status;
}

// A window of the grid in cells of the frame.
static struct sel_window on_frame(const struct sel_reader *reader, struct sel_window window) {
    window.row += reader->study->sources->row0;
    window.col += reader->study->sources->col0;
    return window;
}

static struct sel_window whole_grid(const struct sel_reader *reader) {
    const struct sel_grid *grid = &reader->study->grid;
    return on_frame(reader, (struct sel_window){0, 0, grid->rows, grid->cols});
}

static bool is_empty(struct sel_window window) {
    return window.rows <= 0 || window.cols <= 0;
}

static sel_status check_amiss(sel_context *context, const struct sel_reader *reader,
    struct sel_window window, const sel_habitat_id *ids) {
    const sel_habitat_id *amiss = memchr(ids, SEL_HABITAT_AMISS, sel_window_cells(window));
    if (!amiss)
        return SEL_OK;
    int64_t at = amiss - ids;
    return sel_fail_amiss(context, reader->study, &reader->landcover, window.row + at / window.cols,
        window.col + at % window.cols);
}

sel_status sel_read_habitats(sel_context *context, struct sel_reader *reader,
    struct sel_window window, sel_habitat_id *ids) {
    if (is_empty(window))
        return SEL_OK;
    struct sel_band *band = &reader->landcover;
    const struct sel_canvas canvas = {on_frame(reader, window), ids, sizeof *ids};
    struct sel_window part = sel_window_common(canvas.window, whole_grid(reader));
    bool direct = band->source->method == SEL_AS_IT_IS;
    if (direct)
        part = sel_window_common(part, sel_band_covered(band));
    if (sel_window_cells(part) < sel_window_cells(window))
        memset(ids, SEL_HABITAT_UNKNOWN, sel_window_cells(window));
    if (is_empty(part))
        return SEL_OK;
    sel_status status =
        direct ? sel_class_cells_read(context, &reader->classes, sel_band_pixels(band, part),
                     sel_canvas_at(&canvas, part.row, part.col), window.cols)
               : sel_band_fill(context, band, &canvas, part);
    return status == SEL_OK ? check_amiss(context, reader, window, ids) : status;
}

static sel_status read_heights(sel_context *context, struct sel_reader *reader,
    struct sel_band *band, struct sel_window window, float *metres) {
    if (is_empty(window))
        return SEL_OK;
    const struct sel_canvas canvas = {on_frame(reader, window), metres, sizeof *metres};
    if (band->source->method != SEL_AS_IT_IS)
        return sel_band_fill(context, band, &canvas, canvas.window);
    struct sel_window part = sel_window_common(canvas.window, sel_band_covered(band));
    if (sel_window_cells(part) < sel_window_cells(window))
        for (size_t i = 0; i < sel_window_cells(window); i++)
            metres[i] = NAN;
    if (is_empty(part))
        return SEL_OK;
    return sel_height_cells_read(context, &reader->heights, &band->raster, band->source,
        sel_band_pixels(band, part), sel_canvas_at(&canvas, part.row, part.col), window.cols);
}

sel_status sel_read_elevation(
    sel_context *context, struct sel_reader *reader, struct sel_window window, float *metres) {
    return read_heights(context, reader, &reader->elevation, window, metres);
}

sel_status sel_read_canopy(
    sel_context *context, struct sel_reader *reader, struct sel_window window, float *metres) {
    return read_heights(context, reader, &reader->canopy, window, metres);
}
