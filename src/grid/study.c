// SPDX-License-Identifier: MIT
//
// Opening a study: look at the rasters, find their common part, choose the grid's frame, cut it to
// whole cells of the common part and settle how each raster gets onto it. Reads no cell.
#include "grid/study.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "grid/common.h"
#include "grid/derive.h"
#include "grid/facts.h"
#include "grid/heights.h"
#include "grid/projector.h"
#include "grid/source.h"

// Everything that lives only while a study is being opened.
struct opening {
    sel_context *context;
    const struct sel_plan *plan;
    struct sel_study *study;
    struct sel_raster landcover, elevation, canopy;
    struct sel_extent used;
    struct sel_frame frame;
    struct sel_raster_part cells;
};

static sel_status open_rasters(struct opening *o) {
    sel_status status = sel_raster_open(o->context, &o->plan->landcover, &o->landcover);
    if (status == SEL_OK)
        status = sel_raster_open(o->context, &o->plan->elevation, &o->elevation);
    o->study->has_canopy = o->plan->canopy.file != NULL;
    if (status == SEL_OK && o->study->has_canopy)
        status = sel_raster_open(o->context, &o->plan->canopy, &o->canopy);
    return status;
}

static sel_status lay_canopy(struct opening *o) {
    struct sel_extent covered;
    sel_status status =
        sel_check_touches(o->context, &o->frame, o->cells, &o->landcover, &o->canopy);
    if (status == SEL_OK)
        status = sel_common_part(
            o->context, &o->landcover, &o->canopy, &covered, &o->study->canopy_lost_share);
    return status;
}

static sel_status lay_frame(struct opening *o) {
    sel_status status =
        sel_common_part(o->context, &o->landcover, &o->elevation, &o->used, &o->study->lost_share);
    if (status == SEL_OK)
        status = sel_derive_frame(o->context, o->plan, &o->landcover, o->used, &o->frame);
    if (status == SEL_OK)
        status = sel_common_cells(
            o->context, &o->frame, &o->landcover, o->used, &o->elevation, &o->cells);
    if (status == SEL_OK && o->study->has_canopy)
        status = lay_canopy(o);
    return status;
}

static sel_status fill_grid(struct opening *o) {
    const struct sel_frame *frame = &o->frame;
    o->study->grid = (struct sel_grid){
        .rows = o->cells.rows,
        .cols = o->cells.cols,
        .x0 = frame->x0 + (double)o->cells.col * frame->dx,
        .y0 = frame->y0 - (double)o->cells.row * frame->dy,
        .dx = frame->dx,
        .dy = frame->dy,
        .metres = frame->metres,
        .cell_x_m = frame->dx * frame->metres,
        .cell_y_m = frame->dy * frame->metres,
        .crs = strdup(frame->crs),
    };
    return o->study->grid.crs ? SEL_OK : sel_fail_memory(o->context);
}

static sel_status fill_place(struct opening *o) {
    const struct sel_grid *grid = &o->study->grid;
    const struct sel_shape shape = {
        .gt = {grid->x0, grid->dx, 0, grid->y0, 0, -grid->dy}, .crs = grid->crs};
    struct sel_extent whole = {0, 0, (double)grid->cols, (double)grid->rows};
    sel_status status =
        sel_worst_scale(o->context, &shape, whole, grid->crs, &o->study->scale_worst);
    struct sel_ground_pixel ground;
    if (status == SEL_OK)
        status = sel_ground_pixel_at(o->context, o->landcover.file, &shape, whole, &ground);
    if (status == SEL_OK) {
        o->study->latitude = ground.latitude;
        o->study->longitude = ground.longitude;
    }
    return status;
}

static sel_status settle_source(struct opening *o, const struct sel_raster_ref *ref,
    const struct sel_raster *raster, bool is_classes, struct sel_source *source) {
    source->ref = *ref;
    source->ref.file = strdup(ref->file);
    if (!source->ref.file)
        return sel_fail_memory(o->context);
    source->factor = 1;
    return sel_source_plan(
        o->context, raster, &o->study->sources->frame, o->cells, is_classes, source);
}

static sel_status settle_heights(struct opening *o, const struct sel_raster_ref *ref,
    const struct sel_raster *raster, const char *key, struct sel_source *source, char **unit) {
    if (raster->signed_byte)
        return sel_fail(o->context, SEL_BAD_INPUT,
            "%s: band %d: heights in signed bytes are not read: convert it with gdal_translate "
            "-ot Int16",
            raster->file, raster->band_number);
    double metres = 1;
    sel_status status = sel_height_unit(o->context, raster, key, ref->unit, &metres, unit);
    if (status == SEL_OK)
        status = settle_source(o, ref, raster, false, source);
    source->factor = raster->value_scale * metres;
    source->term = raster->value_offset * metres;
    return status;
}

static sel_status settle_classes(struct opening *o) {
    struct sel_study_sources *sources = o->study->sources;
    sources->table_is_legend = o->plan->habitats_is_legend;
    sources->table = strdup(o->plan->habitats_source);
    if (!sources->table || !sel_values_init(&sources->values, &o->plan->habitats))
        return sel_fail_memory(o->context);
    sel_note_class_oddities(o->context, &o->landcover, &sources->values, sources->table);
    return settle_source(o, &o->plan->landcover, &o->landcover, true, &sources->landcover);
}

static sel_status settle_sources(struct opening *o) {
    struct sel_study *study = o->study;
    struct sel_study_sources *sources = calloc(1, sizeof *sources);
    if (!sources)
        return sel_fail_memory(o->context);
    study->sources = sources;
    sources->row0 = o->cells.row;
    sources->col0 = o->cells.col;
    sources->frame = sel_frame_shape(&o->frame);
    if (!sources->frame.crs)
        return sel_fail_memory(o->context);
    sel_status status = settle_classes(o);
    if (status == SEL_OK)
        status = settle_heights(o, &o->plan->elevation, &o->elevation, "elevation",
            &sources->elevation, &study->elevation.value_unit);
    if (status == SEL_OK && study->has_canopy)
        status = settle_heights(
            o, &o->plan->canopy, &o->canopy, "canopy", &sources->canopy, &study->canopy.value_unit);
    return status;
}

static sel_status tell_facts(struct opening *o) {
    struct sel_study *study = o->study;
    const struct sel_study_sources *sources = study->sources;
    sel_status status =
        sel_facts_fill(o->context, &o->landcover, sources->landcover.method, &study->landcover);
    if (status == SEL_OK)
        status =
            sel_facts_fill(o->context, &o->elevation, sources->elevation.method, &study->elevation);
    if (status == SEL_OK && study->has_canopy)
        status = sel_facts_fill(o->context, &o->canopy, sources->canopy.method, &study->canopy);
    return status;
}

sel_status sel_study_open(
    sel_context *context, const struct sel_plan *plan, struct sel_study *study) {
    *study = (struct sel_study){0};
    struct opening o = {.context = context, .plan = plan, .study = study};
    sel_status status = open_rasters(&o);
    if (status == SEL_OK)
        status = lay_frame(&o);
    if (status == SEL_OK)
        status = fill_grid(&o);
    if (status == SEL_OK)
        status = fill_place(&o);
    if (status == SEL_OK)
        status = settle_sources(&o);
    if (status == SEL_OK)
        status = tell_facts(&o);
    sel_raster_close(&o.landcover);
    sel_raster_close(&o.elevation);
    sel_raster_close(&o.canopy);
    sel_frame_clear(&o.frame);
    if (status != SEL_OK)
        sel_study_clear(study);
    return status;
}

void sel_study_clear(struct sel_study *study) {
    sel_sources_free(study->sources);
    sel_facts_clear(&study->landcover);
    sel_facts_clear(&study->elevation);
    sel_facts_clear(&study->canopy);
    free(study->grid.crs);
    *study = (struct sel_study){0};
}

static double or_auto(double given, double metres, double cells, double cell_m) {
    return isnan(given) ? fmax(metres, cells * cell_m) : given;
}

struct sel_lengths sel_study_lengths(const struct sel_study *study, const struct sel_plan *plan) {
    double cell_m = sqrt(study->grid.cell_x_m * study->grid.cell_y_m);
    struct sel_lengths lengths = {
        .every_m = or_auto(plan->every_m, 50, 3, cell_m),
        .reach_m = or_auto(plan->reach_m, 60, 3, cell_m),
        .belt_m = or_auto(plan->belt_m, 20, 2, cell_m),
        .tangent_m = or_auto(plan->tangent_m, 20, 5, cell_m),
    };
    double half_cells = round(lengths.every_m / (0.5 * cell_m));
    lengths.every_half_cells = half_cells < 1 ? 1 : (int64_t)half_cells;
    return lengths;
}
