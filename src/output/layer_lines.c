// SPDX-License-Identifier: MIT
//
// The line layers: edges, streamed block by block while the survey runs, and flyways.
#include <math.h>
#include <stdlib.h>

#include "output/writer.h"

// --- edges ---

// Feature ids give each block room for this many lines; a block of 512 x 512 cells has at most
// 2 x 512 x 512 cracks, so fewer lines.
static const int64_t LINES_PER_BLOCK = INT64_C(1) << 20;

static int64_t block_columns(const struct sel_grid *grid) {
    return (grid->cols + SEL_TRACE_BLOCK - 1) / SEL_TRACE_BLOCK;
}

// All vertices of a block on the map; line i begins at its `first`. One spare place lets a ring be
// closed.
struct map_vertices {
    double *x, *y;
};

static bool map_vertices_of(
    const struct sel_grid *grid, const struct sel_traced_lines *lines, struct map_vertices *map) {
    size_t room = lines->vertex_count + 1;
    map->x = malloc(room * sizeof *map->x);
    map->y = malloc(room * sizeof *map->y);
    if (!map->x || !map->y)
        return false;
    for (size_t i = 0; i < lines->vertex_count; i++) {
        map->x[i] = sel_grid_x(grid, lines->vertices[i].x);
        map->y[i] = sel_grid_y(grid, lines->vertices[i].y);
    }
    return true;
}

static size_t pair_index(const struct sel_geopackage *file, sel_habitat_id a, sel_habitat_id b) {
    size_t low = a < b ? a : b, high = a < b ? b : a;
    return low * ((size_t)file->plan->habitats.count + 1) + high;
}

double sel_pair_length(const struct sel_geopackage *file, sel_habitat_id a, sel_habitat_id b) {
    return (double)file->pair_mm[pair_index(file, a, b)] / 1000.0;
}

static sel_status add_row(struct sel_geopackage *file, int64_t fid,
    const struct sel_traced_line *line, const struct sel_shape *shape) {
    const struct sel_habitats *habitats = &file->plan->habitats;
    char *pair = sel_pair_label(habitats, line->a, line->b);
    if (!pair)
        return sel_fail_memory(file->context);
    struct sel_edge_row row = {.habitat_a = sel_habitat_label(habitats, line->a),
        .habitat_b = sel_habitat_label(habitats, line->b),
        .pair = pair,
        .length_m = line->length_m,
        .cracks = line->crack_count,
        .closed = line->closed};
    sel_status status = sel_table_add(file->context, file->path, &file->edges, fid, &row, shape);
    free(pair);
    file->pair_mm[pair_index(file, line->a, line->b)] += llround(line->length_m * 1000.0);
    file->edge_count++;
    return status;
}

// A ring whose list does not repeat its first vertex is closed with the place after its last,
// which is put back afterwards.
static sel_status add_line(struct sel_geopackage *file, int64_t fid,
    const struct sel_traced_line *line, const struct map_vertices *map) {
    double *x = map->x + line->first, *y = map->y + line->first;
    size_t last = line->count - 1;
    bool open = x[0] != x[last] || y[0] != y[last];
    struct sel_shape shape = {.x = x, .y = y, .count = (int)line->count};
    if (!line->closed || !open)
        return add_row(file, fid, line, &shape);
    double after_x = x[last + 1], after_y = y[last + 1];
    x[last + 1] = x[0], y[last + 1] = y[0];
    shape.count++;
    sel_status status = add_row(file, fid, line, &shape);
    x[last + 1] = after_x, y[last + 1] = after_y;
    return status;
}

static sel_status add_lines(struct sel_geopackage *file, int64_t first_fid,
    const struct sel_traced_lines *lines, const struct map_vertices *map) {
    sel_status status = SEL_OK;
    for (size_t i = 0; i < lines->count && status == SEL_OK; i++)
        status = add_line(file, first_fid + (int64_t)i, &lines->items[i], map);
    return status;
}

sel_status sel_geopackage_add_edges(struct sel_geopackage *file, int64_t block_row,
    int64_t block_col, const struct sel_traced_lines *lines) {
    const struct sel_grid *grid = &file->study->grid;
    if ((int64_t)lines->count >= LINES_PER_BLOCK)
        return sel_fail(file->context, SEL_IO,
            "%s: layer edges: block %lld, %lld holds %zu lines: more than a block can have",
            file->path, (long long)block_row, (long long)block_col, lines->count);
    int64_t fid = (block_row * block_columns(grid) + block_col) * LINES_PER_BLOCK + 1;
    struct map_vertices map = {NULL, NULL};
    sel_status status = SEL_OK;
    if (!map_vertices_of(grid, lines, &map)) {
        status = sel_fail_memory(file->context);
    } else {
        pthread_mutex_lock(&file->lock);
        sel_gdal_begin(NULL, NULL);
        status = add_lines(file, fid, lines, &map);
        sel_gdal_end(NULL);
        pthread_mutex_unlock(&file->lock);
    }
    free(map.x);
    free(map.y);
    return status;
}

// Built from the rows in the order of their ids, so that it does not depend on the order in which
// they came.
sel_status sel_index_edges(struct sel_geopackage *file) {
    OGRLayerH answer = GDALDatasetExecuteSQL(
        file->dataset, "SELECT CreateSpatialIndex('edges', 'geom')", NULL, NULL);
    bool built = false;
    if (answer) {
        OGRFeatureH row = OGR_L_GetNextFeature(answer);
        built = row && OGR_F_GetFieldAsInteger(row, 0) == 1;
        OGR_F_Destroy(row);
        GDALDatasetReleaseResultSet(file->dataset, answer);
    }
    if (!built)
        return sel_fail_gdal(
            file->context, SEL_IO, file->path, "layer edges: its spatial index cannot be built");
    return SEL_OK;
}

// --- flyways ---

static sel_status add_flyway(
    struct sel_geopackage *file, const struct sel_survey *survey, const struct sel_site *site) {
    const struct sel_candidate *candidate = &survey->candidates[site->candidate];
    const struct sel_grid *grid = &file->study->grid;
    const struct sel_habitats *habitats = &file->plan->habitats;
    double reach = survey->lengths.reach_m / grid->metres;
    double x = sel_grid_x(grid, candidate->crack_hx), y = sel_grid_y(grid, candidate->crack_hy);
    double east = (double)candidate->toward_a_x * reach;
    double north = -(double)candidate->toward_a_y * reach;
    double xs[] = {x + east, x - east}, ys[] = {y + north, y - north};
    struct sel_shape shape = {.x = xs, .y = ys, .count = 2};
    char id[SEL_SITE_ID_SIZE];
    sel_site_id(survey, site, id);
    char *pair = sel_pair_label(habitats, candidate->a, candidate->b);
    if (!pair)
        return sel_fail_memory(file->context);
    struct sel_flyway_row row = {.rank = site->rank,
        .site = id,
        .role = sel_role_name(site),
        .pair = pair,
        .habitat_a = sel_habitat_label(habitats, candidate->a),
        .habitat_b = sel_habitat_label(habitats, candidate->b),
        .flyway_true_deg = site->bearings.flyway_deg,
        .length_m = 2.0 * survey->lengths.reach_m,
        .depth_a_m = (double)candidate->depth_a_m,
        .depth_b_m = (double)candidate->depth_b_m};
    sel_status status = sel_table_add(file->context, file->path, &file->flyways, 0, &row, &shape);
    free(pair);
    return status;
}

sel_status sel_write_flyways(struct sel_geopackage *file, const struct sel_survey *survey) {
    sel_status status = SEL_OK;
    for (size_t i = 0; i < survey->site_count && status == SEL_OK; i++)
        status = add_flyway(file, survey, &survey->sites[i]);
    return status;
}
