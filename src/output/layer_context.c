// SPDX-License-Identifier: MIT
//
// The layers `ground_area`, `ground_zones`, `ground_access` and `ground_occupied`: the plan's own
// layers as far as they lie on the ground under study, so that a map can be drawn when the files
// are gone. Lines are thinned (context_shapes.c); `within_m` tells how far they may lie from the
// given ones. Parcels are not copied: a site's own row names its parcel.
#include <cpl_error.h>
#include <math.h>

#include "grid/layer.h"
#include "grid/vectors.h"
#include "output/context_shapes.h"
#include "output/writer.h"

// Finer than this share of a cell nothing can be told apart on the study grid.
static const double CELL_SHARE = 0.25;

// The ground that the backdrop shows; the whole grid without one.
static OGREnvelope study_box(const struct sel_survey *survey) {
    const struct sel_grid *grid = &survey->study->grid;
    struct sel_window window = survey->backdrop.window;
    if (!survey->backdrop.habitat)
        window = (struct sel_window){0, 0, grid->rows, grid->cols};
    return (OGREnvelope){.MinX = sel_grid_x(grid, 2.0 * (double)window.col),
        .MaxX = sel_grid_x(grid, 2.0 * (double)(window.col + window.cols)),
        .MinY = sel_grid_y(grid, 2.0 * (double)(window.row + window.rows)),
        .MaxY = sel_grid_y(grid, 2.0 * (double)window.row)};
}

static struct sel_context_shapes shapes_of(const struct sel_survey *survey, bool polygons) {
    const struct sel_grid *grid = &survey->study->grid;
    return (struct sel_context_shapes){.box = study_box(survey),
        .within = CELL_SHARE * fmin(grid->dx, grid->dy),
        .polygons = polygons};
}

static sel_status take_layer(struct sel_geopackage *file, const struct sel_layer_ref *source,
    size_t entry, struct sel_context_shapes *shapes) {
    struct sel_layer layer;
    OGRGeometryH geometry = NULL;
    sel_status status = sel_layer_open(file->context, source, &file->study->grid, &layer);
    if (status != SEL_OK)
        return status;
    do {
        status = sel_layer_next(file->context, &layer, &geometry);
        if (status == SEL_OK && geometry && !sel_context_shapes_take(shapes, geometry, entry))
            status = sel_fail_memory(file->context);
        if (status == SEL_OK)
            status = sel_check_cancel(file->context);
    } while (status == SEL_OK && geometry);
    sel_layer_close(&layer);
    CPLErrorReset(); // what GEOS had to say of odd shapes is no failure of ours
    return status;
}

// --- one layer from many shapes ---

typedef void row_fn(const struct sel_plan *plan, size_t entry, double within_m, void *row);

static void area_row(const struct sel_plan *plan, size_t entry, double within_m, void *row) {
    (void)plan;
    (void)entry;
    *(struct sel_ground_area_row *)row = (struct sel_ground_area_row){within_m};
}

static void zone_row(const struct sel_plan *plan, size_t entry, double within_m, void *row) {
    static const char *const RULES[] = {"exclude", "no_clearing", "note"};
    const struct sel_plan_zone *zone = &plan->zones[entry];
    *(struct sel_ground_zone_row *)row =
        (struct sel_ground_zone_row){RULES[zone->rule], zone->reason, within_m};
}

static void access_row(const struct sel_plan *plan, size_t entry, double within_m, void *row) {
    bool way = plan->access[entry].role == SEL_ACCESS_WAY;
    *(struct sel_ground_access_row *)row =
        (struct sel_ground_access_row){way ? "way" : "start", within_m};
}

union any_row {
    struct sel_ground_area_row area;
    struct sel_ground_zone_row zone;
    struct sel_ground_access_row access;
};

// Empties the shapes into the table.
static sel_status write_shapes(struct sel_geopackage *file, const struct sel_table_kind *kind,
    row_fn *fill, struct sel_context_shapes *shapes) {
    struct sel_table table = {0};
    sel_status status = sel_begin_table(file, kind, &table);
    double within_m = shapes->within * file->study->grid.metres;
    for (size_t i = 0; i < shapes->count && status == SEL_OK; i++) {
        union any_row row;
        fill(file->plan, shapes->items[i].entry, within_m, &row);
        status = sel_table_add_geometry(
            file->context, file->path, &table, &row, shapes->items[i].geometry);
    }
    if (status == SEL_OK)
        status = sel_table_settle(file->context, file->path, &table);
    sel_table_close(&table);
    return status;
}

static sel_status write_area(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct sel_context_shapes shapes = shapes_of(survey, true);
    sel_status status = SEL_OK;
    if (file->plan->area.file)
        status = take_layer(file, &file->plan->area, 0, &shapes);
    if (status == SEL_OK)
        status = write_shapes(file, &SEL_TABLE_GROUND_AREA, area_row, &shapes);
    sel_context_shapes_clear(&shapes);
    return status;
}

static sel_status write_zones(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct sel_context_shapes shapes = shapes_of(survey, true);
    sel_status status = SEL_OK;
    for (size_t i = 0; i < file->plan->zones_count && status == SEL_OK; i++)
        status = take_layer(file, &file->plan->zones[i].source, i, &shapes);
    if (status == SEL_OK)
        status = write_shapes(file, &SEL_TABLE_GROUND_ZONES, zone_row, &shapes);
    sel_context_shapes_clear(&shapes);
    return status;
}

static sel_status write_access(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct sel_context_shapes shapes = shapes_of(survey, false);
    sel_status status = SEL_OK;
    for (size_t i = 0; i < file->plan->access_count && status == SEL_OK; i++)
        status = take_layer(file, &file->plan->access[i].source, i, &shapes);
    if (status == SEL_OK)
        status = write_shapes(file, &SEL_TABLE_GROUND_ACCESS, access_row, &shapes);
    sel_context_shapes_clear(&shapes);
    return status;
}

// --- traps that stand already ---

static bool near_study(const OGREnvelope *box, double margin, double x, double y) {
    return x >= box->MinX - margin && x <= box->MaxX + margin && y >= box->MinY - margin &&
           y <= box->MaxY + margin;
}

static sel_status add_place(
    struct sel_geopackage *file, struct sel_table *table, double x_m, double y_m) {
    const struct sel_grid *grid = &file->study->grid;
    struct sel_ground_occupied_row row = {
        grid->x0 + x_m / grid->metres, grid->y0 - y_m / grid->metres};
    return sel_add_row(file, table, &row);
}

// Both ends of a straight piece count, as they do for the choice; those too far off to count are
// left out.
static sel_status add_places(struct sel_geopackage *file, const struct sel_survey *survey,
    struct sel_table *table, const struct sel_segments *segments) {
    const struct sel_grid *grid = &file->study->grid;
    OGREnvelope box = study_box(survey);
    double margin = survey->plan->choose.apart_m / grid->metres;
    sel_status status = SEL_OK;
    for (size_t i = 0; i < segments->count && status == SEL_OK; i++) {
        const struct sel_segment *piece = &segments->items[i];
        double ends[2][2] = {{piece->x0, piece->y0}, {piece->x1, piece->y1}};
        int count = ends[0][0] == ends[1][0] && ends[0][1] == ends[1][1] ? 1 : 2;
        for (int end = 0; end < count && status == SEL_OK; end++)
            if (near_study(&box, margin, grid->x0 + ends[end][0] / grid->metres,
                    grid->y0 - ends[end][1] / grid->metres))
                status = add_place(file, table, ends[end][0], ends[end][1]);
    }
    return status;
}

static sel_status write_occupied(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct sel_table table = {0};
    struct sel_segments segments = {0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_GROUND_OCCUPIED, &table);
    if (status == SEL_OK && file->plan->occupied.file)
        status = sel_read_segments(
            file->context, &file->plan->occupied, &file->study->grid, &segments, NULL);
    if (status == SEL_OK)
        status = add_places(file, survey, &table, &segments);
    if (status == SEL_OK)
        status = sel_table_settle(file->context, file->path, &table);
    sel_segments_clear(&segments);
    sel_table_close(&table);
    return status;
}

sel_status sel_write_context(struct sel_geopackage *file, const struct sel_survey *survey) {
    sel_status status = write_area(file, survey);
    if (status == SEL_OK)
        status = write_zones(file, survey);
    if (status == SEL_OK)
        status = write_access(file, survey);
    if (status == SEL_OK)
        status = write_occupied(file, survey);
    return status;
}
