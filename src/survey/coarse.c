// SPDX-License-Identifier: MIT
//
// Chunks of 1024 study cells, aligned so that every level cell lies in exactly one, are reduced
// level by level and written to their place in the scratch file.
#include "survey/coarse.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/pool.h"
#include "base/whole.h"
#include "survey/ground.h"

enum { CHUNK = 1024 };

struct plane {
    struct sel_window window; // level cells
    off_t ground, top, cover; // where each array begins in the file
};

struct sel_coarse {
    int file;
    int64_t first_row, first_col, chunk_rows, chunk_cols; // in chunks
    struct plane planes[SEL_SURFACE_LEVELS];              // [0] is not used
    const struct sel_job *job;
    struct sel_worker *workers;
    sel_context *context;
};

static int open_scratch(void) {
    const char *folder = getenv("TMPDIR");
    char path[4096];
    int length =
        snprintf(path, sizeof path, "%s/selvedge-XXXXXX", folder && folder[0] ? folder : "/tmp");
    if (length < 0 || (size_t)length >= sizeof path)
        return -1;
    int file = mkstemp(path);
    if (file >= 0)
        unlink(path);
    return file;
}

// The chunks that hold the focus and the horizon's reach around it.
static void lay_out(struct sel_coarse *coarse, const struct sel_job *job) {
    double cell = fmin(job->study->grid.cell_x_m, job->study->grid.cell_y_m);
    int64_t reach = (int64_t)ceil(job->horizon.reach_m / cell) + 2 * 16;
    struct sel_window around = sel_window_grow(job->focus, reach);
    coarse->first_row = sel_floor_div(around.row, CHUNK);
    coarse->first_col = sel_floor_div(around.col, CHUNK);
    coarse->chunk_rows = sel_floor_div(around.row + around.rows - 1, CHUNK) + 1 - coarse->first_row;
    coarse->chunk_cols = sel_floor_div(around.col + around.cols - 1, CHUNK) + 1 - coarse->first_col;
    off_t end = 0;
    int64_t side = CHUNK;
    for (int level = 1; level < SEL_SURFACE_LEVELS; level++) {
        side /= 4;
        struct plane *plane = &coarse->planes[level];
        plane->window = (struct sel_window){coarse->first_row * side, coarse->first_col * side,
            coarse->chunk_rows * side, coarse->chunk_cols * side};
        off_t cells = (off_t)sel_window_cells(plane->window);
        plane->ground = end;
        plane->top = plane->ground + cells * (off_t)sizeof(float);
        plane->cover = plane->top + cells * (off_t)sizeof(float);
        end = plane->cover + cells;
    }
}

static bool write_all(int file, const void *bytes, size_t length, off_t at) {
    const char *from = bytes;
    while (length > 0) {
        ssize_t written = pwrite(file, from, length, at);
        if (written < 0 && errno == EINTR)
            continue;
        if (written <= 0)
            return false;
        from += written, at += written, length -= (size_t)written;
    }
    return true;
}

static bool read_all(int file, void *bytes, size_t length, off_t at) {
    char *to = bytes;
    while (length > 0) {
        ssize_t got = pread(file, to, length, at);
        if (got < 0 && errno == EINTR)
            continue;
        if (got <= 0)
            return false;
        to += got, at += got, length -= (size_t)got;
    }
    return true;
}

static sel_status store(
    struct sel_coarse *coarse, int level, const struct sel_surface_level *piece) {
    const struct plane *plane = &coarse->planes[level];
    size_t cols = (size_t)piece->window.cols;
    for (int64_t row = 0; row < piece->window.rows; row++) {
        size_t from = (size_t)row * cols;
        off_t to = (off_t)((piece->window.row + row - plane->window.row) * plane->window.cols +
                           piece->window.col - plane->window.col);
        if (!write_all(coarse->file, piece->ground_m + from, cols * 4, plane->ground + 4 * to) ||
            !write_all(coarse->file, piece->canopy_top_m + from, cols * 4, plane->top + 4 * to) ||
            !write_all(coarse->file, piece->cover + from, cols, plane->cover + to))
            return sel_fail(coarse->context, SEL_IO,
                "the scratch file for far horizons cannot be written: %s: free some space in the "
                "temporary folder or set TMPDIR",
                strerror(errno));
    }
    return SEL_OK;
}

static sel_status coarsen(sel_context *context, struct sel_worker *worker, int level,
    const struct sel_surface_level *fine, struct sel_surface_level *coarse) {
    struct sel_window window = {sel_floor_div(fine->window.row, 4),
        sel_floor_div(fine->window.col, 4), fine->window.rows / 4, fine->window.cols / 4};
    float *ground, *top;
    uint8_t *cover;
    if (!sel_level_take(&worker->surface[level], sel_window_cells(window), &ground, &top, &cover))
        return sel_fail_memory(context);
    sel_surface_coarsen(fine, window, ground, top, cover);
    *coarse = (struct sel_surface_level){window, ground, top, cover};
    return SEL_OK;
}

static sel_status build_chunk(void *user, int thread, int64_t chunk) {
    struct sel_coarse *coarse = user;
    struct sel_worker *worker = &coarse->workers[thread];
    int64_t row = coarse->first_row + chunk / coarse->chunk_cols;
    int64_t col = coarse->first_col + chunk % coarse->chunk_cols;
    struct sel_window window = {row * CHUNK, col * CHUNK, CHUNK, CHUNK};
    struct sel_surface_level levels[SEL_SURFACE_LEVELS];
    sel_status status = sel_ground_surface(coarse->context, worker, window, &levels[0]);
    if (status == SEL_OK)
        sel_ground_count_canopy(worker, window);
    for (int level = 1; level < SEL_SURFACE_LEVELS && status == SEL_OK; level++) {
        status = coarsen(coarse->context, worker, level, &levels[level - 1], &levels[level]);
        if (status == SEL_OK)
            status = store(coarse, level, &levels[level]);
    }
    return status;
}

static void sum_counts(struct sel_job *job, const struct sel_worker *workers, int threads) {
    for (int i = 0; i < threads; i++) {
        job->canopy.cells += workers[i].canopy_count.cells;
        job->canopy.unknown += workers[i].canopy_count.unknown;
        job->canopy.coverless += workers[i].canopy_count.coverless;
    }
}

sel_status sel_coarse_build(
    sel_context *context, struct sel_job *job, struct sel_worker *workers, int threads) {
    struct sel_coarse *coarse = calloc(1, sizeof *coarse);
    if (!coarse)
        return sel_fail_memory(context);
    coarse->file = open_scratch();
    if (coarse->file < 0) {
        free(coarse);
        return sel_fail(context, SEL_IO,
            "no scratch file can be made in the temporary folder: %s: set TMPDIR to a folder that "
            "can be written to",
            strerror(errno));
    }
    coarse->job = job;
    coarse->workers = workers;
    coarse->context = context;
    job->coarse = coarse;
    lay_out(coarse, job);
    sel_status status = sel_pool_run(context, "reading the far ground", threads,
        coarse->chunk_rows * coarse->chunk_cols, build_chunk, coarse);
    sum_counts(job, workers, threads);
    return status;
}

void sel_coarse_free(struct sel_coarse *coarse) {
    if (!coarse)
        return;
    close(coarse->file);
    free(coarse);
}

// Reads one row's known stretch of a plane; false when the file fails.
static bool read_row(const struct sel_coarse *coarse, const struct plane *plane, int64_t row,
    int64_t col, size_t cols, float *ground, float *top, uint8_t *cover) {
    off_t from = (off_t)((row - plane->window.row) * plane->window.cols + col - plane->window.col);
    return read_all(coarse->file, ground, cols * 4, plane->ground + 4 * from) &&
           read_all(coarse->file, top, cols * 4, plane->top + 4 * from) &&
           read_all(coarse->file, cover, cols, plane->cover + from);
}

static void clear_level(size_t cells, float *ground, float *top, uint8_t *cover) {
    for (size_t i = 0; i < cells; i++)
        ground[i] = top[i] = NAN;
    memset(cover, 0, cells);
}

sel_status sel_coarse_read(sel_context *context, const struct sel_coarse *coarse, int level,
    struct sel_window window, struct sel_level_buffers *buffers, struct sel_surface_level *out) {
    const struct plane *plane = &coarse->planes[level];
    float *ground, *top;
    uint8_t *cover;
    if (!sel_level_take(buffers, sel_window_cells(window), &ground, &top, &cover))
        return sel_fail_memory(context);
    clear_level(sel_window_cells(window), ground, top, cover);
    int64_t first = window.col > plane->window.col ? window.col : plane->window.col;
    int64_t end = window.col + window.cols, plane_end = plane->window.col + plane->window.cols;
    if (plane_end < end)
        end = plane_end;
    for (int64_t row = window.row; row < window.row + window.rows && first < end; row++) {
        if (row < plane->window.row || row >= plane->window.row + plane->window.rows)
            continue;
        int64_t at = (row - window.row) * window.cols + first - window.col;
        if (!read_row(coarse, plane, row, first, (size_t)(end - first), ground + at, top + at,
                cover + at))
            return sel_fail(context, SEL_IO, "the scratch file for far horizons cannot be read: %s",
                strerror(errno));
    }
    *out = (struct sel_surface_level){window, ground, top, cover};
    return SEL_OK;
}
