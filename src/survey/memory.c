// SPDX-License-Identifier: MIT
//
// What stays is added to what each thread holds in the pass that needs most: the far ground, the
// tiles or the light. The numbers per cell are sums over the buffers of a pass; those of the
// program and of the cracks were measured (heaptrack), on ground with much and with little edge.
#include "survey/memory.h"

#include <math.h>

#include "base/pool.h"

static const double MIB = 1048576.0;

// The program with its libraries and their tables; what the choice and the GeoPackage take.
static const double PROGRAM_MIB = 60, OUTPUT_MIB = 16;
// GDAL's cache: see grid/gdal_support.c.
static const double CACHE_MIB = 64;
// A resampled raster's blocks and what is needed to make one: see grid/blocks.c.
static const double CLASS_BLOCKS_MIB = 5, HEIGHT_BLOCKS_MIB = 17;
// Per cell of a tile's window: habitats, ground, specks, cracks and what is asked of each.
static const double TILE_BYTES = 48;
// Per cell of the near surface, of a canopy raster, of a far level and its strips, of the light's
// square in strips that lie aslant.
static const double NEAR_BYTES = 10, CANOPY_BYTES = 4, FAR_BYTES = 18, SLANT_BYTES = 5;
// Squares of the candidate lattice that come to a candidate, and how often candidates are copied.
static const double SHARE_OF_SQUARES = 0.3, COPIES = 2;

// A chunk of the far ground (survey/coarse.c), and the sides of tiles.
enum { CHUNK = 1024, LEAST_TILE = SEL_TRACE_BLOCK, USUAL_TILE = 1024, MOST_TILE = 4096 };

static double square(double side) {
    return side * side;
}

static double halo_of(const struct sel_job *job) {
    return 2 * (double)(job->halo + sel_speck_halo(&job->specks));
}

static double tile_mb(const struct sel_job *job, int64_t tile_cells) {
    return square((double)tile_cells + halo_of(job)) * TILE_BYTES / MIB;
}

// The windows of all tiles: those on the borders are cut to the ground under study.
static double all_tiles_mb(const struct sel_job *job, int64_t tile_cells) {
    double rows = (double)(job->focus.rows + SEL_TRACE_BLOCK), halo = halo_of(job);
    double cols = (double)(job->focus.cols + SEL_TRACE_BLOCK), side = (double)tile_cells;
    return (rows + halo * ceil(rows / side)) * (cols + halo * ceil(cols / side)) * TILE_BYTES / MIB;
}

static double near_bytes(const struct sel_job *job) {
    return NEAR_BYTES + (job->study->has_canopy ? CANOPY_BYTES : 0);
}

static double light_mb(const struct sel_job *job, int64_t light_cells) {
    const struct sel_grid *grid = &job->study->grid;
    double cell = fmin(grid->cell_x_m, grid->cell_y_m), side = (double)light_cells, bytes = 0;
    for (int level = 0; level < SEL_SURFACE_LEVELS; level++) {
        double reach = (double)sel_horizon_level_reach(&job->horizon, cell, level);
        double step = (double)((int64_t)1 << 2 * level);
        bytes += square((side + 2 * reach) / step) * (level == 0 ? near_bytes(job) : FAR_BYTES);
    }
    return (bytes + square(side) * SLANT_BYTES) / MIB;
}

static double far_mb(const struct sel_job *job) {
    return square(CHUNK) * near_bytes(job) / MIB;
}

static double blocks_mb(const struct sel_study *study) {
    double mb = study->landcover.resampled ? CLASS_BLOCKS_MIB : 0;
    mb += study->elevation.resampled ? HEIGHT_BLOCKS_MIB : 0;
    return mb + (study->has_canopy && study->canopy.resampled ? HEIGHT_BLOCKS_MIB : 0);
}

static double cells_of(const struct sel_raster_facts *facts) {
    return (double)facts->rows * (double)facts->cols;
}

// What GDAL keeps of the rasters: bytes of classes, four bytes of heights.
static double cache_mb(const struct sel_study *study) {
    double bytes = cells_of(&study->landcover) + 4 * cells_of(&study->elevation);
    if (study->has_canopy)
        bytes += 4 * cells_of(&study->canopy);
    return fmin(CACHE_MIB, bytes / MIB);
}

static double candidates_mb(const struct sel_job *job) {
    double squares =
        (double)sel_window_cells(job->focus) / square(0.5 * (double)job->lengths.every_half_cells);
    return SHARE_OF_SQUARES * squares * COPIES * (double)sizeof(struct sel_candidate) / MIB;
}

// What does not depend on the windows.
static double standing_mb(const struct sel_job *job, int threads) {
    return PROGRAM_MIB + OUTPUT_MIB + cache_mb(job->study) + candidates_mb(job) +
           threads * blocks_mb(job->study);
}

// What each thread may take for its windows; INFINITY: nothing is asked.
static double allowed_mb(const struct sel_job *job, const sel_run_options *options) {
    if (options->memory_mb <= 0)
        return (double)INFINITY;
    int threads = sel_thread_count(options->threads);
    return (options->memory_mb - standing_mb(job, threads)) / threads;
}

int64_t sel_memory_light_cells(const struct sel_job *job, const sel_run_options *options) {
    int64_t light = SEL_LIGHT_MOST;
    while (light > SEL_LIGHT_LEAST && light_mb(job, light) > allowed_mb(job, options))
        light /= 2;
    return light;
}

int64_t sel_memory_tile_cells(const struct sel_job *job, const sel_run_options *options) {
    if (options->tile_cells > 0)
        return options->tile_cells;
    if (options->memory_mb <= 0)
        return USUAL_TILE;
    int64_t tile = LEAST_TILE;
    while (tile < MOST_TILE && tile_mb(job, 2 * tile) <= allowed_mb(job, options))
        tile *= 2;
    return tile;
}

double sel_memory_needed_mb(const struct sel_job *job, const sel_run_options *options,
    int64_t tile_cells, int64_t tile_count) {
    int threads = sel_thread_count(options->threads);
    double at_once = fmin(threads, (double)tile_count) * tile_mb(job, tile_cells);
    double tiles = fmin(at_once, all_tiles_mb(job, tile_cells)), far = threads * far_mb(job);
    double light = threads * light_mb(job, sel_memory_light_cells(job, options));
    return standing_mb(job, threads) + fmax(tiles, fmax(far, light));
}
