// SPDX-License-Identifier: MIT
//
// Reads, burns, despecks. The halo that speck removal needs is read here and cut away again.
#include "survey/ground.h"

#include <math.h>
#include <string.h>

static sel_status read_burned(sel_context *context, struct sel_worker *worker,
    struct sel_window window, sel_habitat_id *ids) {
    sel_status status = sel_read_habitats(context, worker->reader, window, ids);
    if (status == SEL_OK && worker->job->narrow)
        sel_narrow_burn(worker->job->narrow, window, ids);
    return status;
}

sel_status sel_ground_raw(sel_context *context, struct sel_worker *worker, struct sel_window window,
    const sel_habitat_id **raw) {
    sel_habitat_id *ids = sel_buffer_take(&worker->raw, sel_window_cells(window));
    if (!ids)
        return sel_fail_memory(context);
    *raw = ids;
    return read_burned(context, worker, window, ids);
}

// Copies the middle of a window that has `halo` more cells on every side.
static void cut_halo(
    const sel_habitat_id *wide, int64_t halo, struct sel_window window, sel_habitat_id *out) {
    int64_t stride = window.cols + 2 * halo;
    for (int64_t row = 0; row < window.rows; row++)
        memcpy(out + row * window.cols, wide + (row + halo) * stride + halo, (size_t)window.cols);
}

sel_status sel_ground_habitats(sel_context *context, struct sel_worker *worker,
    struct sel_window window, const sel_habitat_id **raw, const sel_habitat_id **used) {
    int64_t halo = sel_speck_halo(&worker->job->specks);
    struct sel_window wide_window = sel_window_grow(window, halo);
    sel_habitat_id *wide = sel_buffer_take(&worker->wide, sel_window_cells(wide_window));
    sel_habitat_id *raw_ids = sel_buffer_take(&worker->raw, sel_window_cells(window));
    sel_habitat_id *used_ids = sel_buffer_take(&worker->used, sel_window_cells(window));
    if (!wide || !raw_ids || !used_ids)
        return sel_fail_memory(context);
    sel_status status = read_burned(context, worker, wide_window, wide);
    if (status != SEL_OK)
        return status;
    cut_halo(wide, halo, window, raw_ids);
    if (sel_remove_specks(&worker->job->specks, wide_window.rows, wide_window.cols, wide,
            worker->specks) != SEL_OK)
        return sel_fail_memory(context);
    cut_halo(wide, halo, window, used_ids);
    *raw = raw_ids;
    *used = used_ids;
    return SEL_OK;
}

sel_status sel_ground_elevation(sel_context *context, struct sel_worker *worker,
    struct sel_window window, const float **metres) {
    float *read = sel_buffer_take(&worker->elevation, sel_window_cells(window) * sizeof *read);
    if (!read)
        return sel_fail_memory(context);
    *metres = read;
    return sel_read_elevation(context, worker->reader, window, read);
}

// Canopy height and closure by habitat id.
struct canopy_table {
    float height_m[SEL_HABITATS_MOST + 1];
    uint8_t cover[SEL_HABITATS_MOST + 1];
};

static void fill_table(const struct sel_habitats *habitats, struct canopy_table *table) {
    memset(table, 0, sizeof *table);
    for (int i = 0; i < habitats->count; i++) {
        table->height_m[i + 1] = (float)habitats->items[i].canopy_m;
        table->cover[i + 1] = (uint8_t)lround(255.0 * habitats->items[i].cover);
    }
}

static void raise_canopy(const struct canopy_table *table, const sel_habitat_id *raw,
    const float *canopy, size_t cells, const float *ground, float *top, uint8_t *cover) {
    for (size_t i = 0; i < cells; i++) {
        float height = table->height_m[raw[i]];
        if (canopy && !isnan(canopy[i]))
            height = canopy[i];
        cover[i] = table->cover[raw[i]];
        bool stands = cover[i] > 0 && height > 0.0f && !isnan(ground[i]);
        top[i] = stands ? ground[i] + height : -(float)HUGE_VAL;
    }
}

// The tallest trees stand 116 m (from memory). A little below 0 is noise, and no canopy.
static const float CANOPY_LEAST_M = -1, CANOPY_MOST_M = 120;
// By so much cubic convolution may swing beyond the heights that it is made of: 7 % of a step along
// one axis, 15 % along both.
static const float SWING_M = 20;

static sel_status refuse_height(sel_context *context, const struct sel_study *study,
    struct sel_window window, size_t at, float metres) {
    int64_t row = window.row + (int64_t)at / window.cols;
    int64_t col = window.col + (int64_t)at % window.cols;
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: at x %.2f, y %.2f: %.6g m is no canopy height, which lie between -1 and 120 m: give "
        "the "
        "unit as rasters: { canopy: { file: ..., unit: dm } }, or declare what is no height with "
        "gdal_translate -a_nodata",
        study->canopy.file, sel_grid_x(&study->grid, 2.0 * (double)col + 1.0),
        sel_grid_y(&study->grid, 2.0 * (double)row + 1.0), (double)metres);
}

static sel_status read_canopy(sel_context *context, struct sel_worker *worker,
    struct sel_window window, const float **canopy) {
    const struct sel_study *study = worker->job->study;
    size_t cells = sel_window_cells(window);
    float *metres = sel_buffer_take(&worker->canopy, cells * sizeof *metres);
    if (!metres)
        return sel_fail_memory(context);
    *canopy = metres;
    sel_status status = sel_read_canopy(context, worker->reader, window, metres);
    float swing = study->canopy.resampled ? SWING_M : 0.0f;
    for (size_t i = 0; i < cells && status == SEL_OK; i++)
        if (metres[i] < CANOPY_LEAST_M - swing || metres[i] > CANOPY_MOST_M + swing)
            status = refuse_height(context, study, window, i, metres[i]);
    return status;
}

void sel_ground_count_canopy(struct sel_worker *worker, struct sel_window window) {
    const struct sel_job *job = worker->job;
    const sel_habitat_id *raw = worker->raw.bytes;
    const float *metres = worker->canopy.bytes;
    struct sel_canopy_count *count = &worker->canopy_count;
    if (!job->study->has_canopy)
        return;
    for (size_t i = 0; i < sel_window_cells(window); i++) {
        if (raw[i] == SEL_HABITAT_UNKNOWN)
            continue;
        bool tall = (double)metres[i] > job->horizon.head_m;
        count->cells++;
        count->unknown += isnan(metres[i]) != 0;
        count->coverless += tall && sel_habitat_get(&job->plan->habitats, raw[i])->cover <= 0;
    }
}

sel_status sel_ground_surface(sel_context *context, struct sel_worker *worker,
    struct sel_window window, struct sel_surface_level *level) {
    size_t cells = sel_window_cells(window);
    const sel_habitat_id *raw = NULL;
    const float *canopy = NULL;
    float *ground, *top;
    uint8_t *cover;
    if (!sel_level_take(&worker->surface[0], cells, &ground, &top, &cover))
        return sel_fail_memory(context);
    sel_status status = sel_ground_raw(context, worker, window, &raw);
    if (status == SEL_OK)
        status = sel_read_elevation(context, worker->reader, window, ground);
    if (status == SEL_OK && worker->job->study->has_canopy)
        status = read_canopy(context, worker, window, &canopy);
    if (status != SEL_OK || !raw)
        return status;
    struct canopy_table table;
    fill_table(&worker->job->plan->habitats, &table);
    raise_canopy(&table, raw, canopy, cells, ground, top, cover);
    *level = (struct sel_surface_level){window, ground, top, cover};
    return SEL_OK;
}

// The cells that touch a half-cell coordinate along one axis: one (odd) or two (even).
static int touching(int64_t half, int64_t cells[2]) {
    cells[0] = half % 2 != 0 ? (half - 1) / 2 : half / 2 - 1;
    cells[1] = cells[0] + 1;
    return half % 2 != 0 ? 1 : 2;
}

double sel_ground_height(const float *metres, struct sel_window window, int64_t hx, int64_t hy) {
    int64_t cols[2], rows[2];
    int col_count = touching(hx, cols), row_count = touching(hy, rows);
    double sum = 0;
    for (int i = 0; i < row_count; i++)
        for (int j = 0; j < col_count; j++) {
            if (!sel_window_has(window, rows[i], cols[j]))
                return (double)NAN;
            sum += (double)metres[(rows[i] - window.row) * window.cols + cols[j] - window.col];
        }
    return sum / (row_count * col_count);
}
