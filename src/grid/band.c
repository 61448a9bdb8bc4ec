// SPDX-License-Identifier: MIT
//
// Blocks are numbered from the frame's anchor, not from the window, so that a cell is always made
// as part of the same block.
#include "grid/band.h"

#include <string.h>

#include "grid/blocks.h"
#include "grid/limits.h"
#include "grid/nearest.h"
#include "grid/pixel_map.h"
#include "grid/warp.h"

void sel_band_close(struct sel_band *band) {
    sel_warp_free(band->warp);
    sel_nearest_free(band->nearest);
    sel_blocks_free(band->blocks);
    sel_pixel_map_free(band->to_frame);
    sel_raster_close(&band->raster);
    *band = (struct sel_band){0};
}

static sel_status prepare_blocks(
    sel_context *context, const struct sel_study *study, struct sel_band *band) {
    const struct sel_study_sources *sources = study->sources;
    bool is_classes = band->source->method == SEL_NEAREST;
    sel_status status =
        sel_pixel_map_new(context, &band->raster.shape, &sources->frame, &band->to_frame);
    if (status != SEL_OK)
        return status;
    size_t cell_bytes = is_classes ? sizeof(sel_habitat_id) : sizeof(float);
    band->blocks = sel_blocks_new(band->source->block, cell_bytes);
    if (!band->blocks)
        return sel_fail_memory(context);
    if (is_classes)
        return sel_nearest_new(context, &band->raster, band->to_frame, &sources->values,
            band->source->block, &band->nearest);
    return sel_warp_new(context, &band->raster, band->source, band->to_frame, &band->warp);
}

sel_status sel_band_open(sel_context *context, const struct sel_study *study,
    const struct sel_source *source, struct sel_band *band) {
    *band = (struct sel_band){.source = source};
    sel_status status = sel_raster_open(context, &source->ref, &band->raster);
    if (status == SEL_OK && source->method != SEL_AS_IT_IS)
        status = prepare_blocks(context, study, band);
    return status;
}

struct sel_window sel_band_covered(const struct sel_band *band) {
    return (struct sel_window){-band->source->row_shift, -band->source->col_shift,
        band->raster.shape.rows, band->raster.shape.cols};
}

struct sel_raster_part sel_band_pixels(const struct sel_band *band, struct sel_window window) {
    return (struct sel_raster_part){window.col + band->source->col_shift,
        window.row + band->source->row_shift, window.cols, window.rows};
}

struct sel_window sel_window_common(struct sel_window a, struct sel_window b) {
    int64_t row = sel_larger(a.row, b.row), col = sel_larger(a.col, b.col);
    int64_t row_end = sel_smaller(a.row + a.rows, b.row + b.rows);
    int64_t col_end = sel_smaller(a.col + a.cols, b.col + b.cols);
    return (struct sel_window){
        row, col, sel_larger(0, row_end - row), sel_larger(0, col_end - col)};
}

static size_t cell_index(struct sel_window window, int64_t row, int64_t col) {
    return (size_t)((row - window.row) * window.cols + (col - window.col));
}

void *sel_canvas_at(const struct sel_canvas *canvas, int64_t row, int64_t col) {
    return (char *)canvas->cells + cell_index(canvas->window, row, col) * canvas->cell_bytes;
}

// The block (row, col), counted in blocks.
static sel_status get_block(
    sel_context *context, struct sel_band *band, int64_t row, int64_t col, const void **cells) {
    bool filled;
    void *memory = sel_blocks_get(band->blocks, row, col, &filled);
    *cells = memory;
    if (!memory)
        return sel_fail_memory(context);
    if (filled)
        return SEL_OK;
    int64_t side = band->source->block;
    sel_status status =
        band->nearest ? sel_nearest_fill(context, band->nearest, row * side, col * side, memory)
                      : sel_warp_fill(context, band->warp, row * side, col * side, memory);
    if (status == SEL_OK)
        sel_blocks_mark(band->blocks, row, col);
    return status;
}

static void copy_part(const struct sel_canvas *canvas, struct sel_window part,
    struct sel_window block, const void *cells) {
    struct sel_window both = sel_window_common(part, block);
    for (int64_t row = both.row; row < both.row + both.rows; row++)
        memcpy(sel_canvas_at(canvas, row, both.col),
            (const char *)cells + cell_index(block, row, both.col) * canvas->cell_bytes,
            (size_t)both.cols * canvas->cell_bytes);
}

static int64_t block_of(int64_t cell, int64_t side) {
    return cell >= 0 ? cell / side : -((-cell + side - 1) / side);
}

sel_status sel_band_fill(sel_context *context, struct sel_band *band,
    const struct sel_canvas *canvas, struct sel_window part) {
    int64_t side = band->source->block;
    int64_t last_row = block_of(part.row + part.rows - 1, side);
    int64_t last_col = block_of(part.col + part.cols - 1, side);
    for (int64_t row = block_of(part.row, side); row <= last_row; row++) {
        for (int64_t col = block_of(part.col, side); col <= last_col; col++) {
            const void *cells;
            sel_status status = get_block(context, band, row, col, &cells);
            if (status != SEL_OK)
                return status;
            struct sel_window block = {row * side, col * side, side, side};
            copy_part(canvas, part, block, cells);
        }
    }
    return SEL_OK;
}
