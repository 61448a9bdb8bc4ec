// SPDX-License-Identifier: MIT
//
// Opening and closing of a thread's own handles.
#include "survey/worker.h"

#include <stdlib.h>

void *sel_buffer_take(struct sel_buffer *buffer, size_t bytes) {
    if (buffer->bytes && bytes <= buffer->capacity)
        return buffer->bytes;
    free(buffer->bytes);
    buffer->bytes = malloc(bytes > 0 ? bytes : 1);
    buffer->capacity = buffer->bytes ? bytes : 0;
    return buffer->bytes;
}

bool sel_level_take(
    struct sel_level_buffers *buffers, size_t cells, float **ground, float **top, uint8_t **cover) {
    *ground = sel_buffer_take(&buffers->ground, cells * sizeof **ground);
    *top = sel_buffer_take(&buffers->top, cells * sizeof **top);
    *cover = sel_buffer_take(&buffers->cover, cells);
    return *ground && *top && *cover;
}

void sel_lookout_clear(struct sel_lookout *lookout) {
    sel_horizon_view_free(lookout->view);
    sel_horizon_plan_free(lookout->plan);
    *lookout = (struct sel_lookout){0};
}

static sel_status open_queries(sel_context *context, struct sel_worker *worker) {
    const struct sel_job *job = worker->job;
    size_t zones = job->plan->zones_count;
    sel_status status = SEL_OK;
    if (job->area)
        status = sel_polygons_query_new(context, job->area, &worker->area);
    if (status == SEL_OK && job->parcels)
        status = sel_polygons_query_new(context, job->parcels, &worker->parcels);
    if (status != SEL_OK || zones == 0)
        return status;
    worker->zones = calloc(zones, sizeof(struct sel_polygons_query *));
    if (!worker->zones)
        return sel_fail_memory(context);
    for (size_t i = 0; i < zones && status == SEL_OK; i++)
        status = sel_polygons_query_new(context, job->zones[i], &worker->zones[i]);
    return status;
}

sel_status sel_worker_new(
    sel_context *context, const struct sel_job *job, struct sel_worker *worker) {
    *worker = (struct sel_worker){.job = job};
    worker->specks = sel_speck_scratch_new();
    worker->lattice = sel_lattice_scratch_new();
    worker->trace = sel_trace_scratch_new();
    sel_status status = SEL_OK;
    if (!worker->specks || !worker->lattice || !worker->trace)
        status = sel_fail_memory(context);
    if (status == SEL_OK)
        status = sel_reader_new(context, job->study, &worker->reader);
    if (status == SEL_OK)
        status = sel_projector_new(context, &job->study->grid, &worker->projector);
    if (status == SEL_OK)
        status = open_queries(context, worker);
    if (status != SEL_OK)
        sel_worker_clear(worker);
    return status;
}

static void close_queries(struct sel_worker *worker) {
    sel_polygons_query_free(worker->area);
    sel_polygons_query_free(worker->parcels);
    for (size_t i = 0; worker->zones && i < worker->job->plan->zones_count; i++)
        sel_polygons_query_free(worker->zones[i]);
    free(worker->zones);
}

static void empty_buffer(struct sel_buffer *buffer) {
    free(buffer->bytes);
    *buffer = (struct sel_buffer){0};
}

static void empty_level(struct sel_level_buffers *buffers) {
    empty_buffer(&buffers->ground);
    empty_buffer(&buffers->top);
    empty_buffer(&buffers->cover);
}

void sel_worker_rest(struct sel_worker *worker) {
    struct sel_buffer *buffers[] = {
        &worker->wide, &worker->raw, &worker->used, &worker->elevation, &worker->canopy};
    for (size_t i = 0; i < sizeof buffers / sizeof *buffers; i++)
        empty_buffer(buffers[i]);
    for (int level = 0; level < SEL_SURFACE_LEVELS; level++)
        empty_level(&worker->surface[level]);
    empty_level(&worker->peek);
    sel_cracks_clear(&worker->cracks);
    free(worker->prospects);
    free(worker->winners);
    worker->prospects = NULL;
    worker->winners = NULL;
    worker->prospect_capacity = worker->winner_capacity = 0;
}

void sel_worker_clear(struct sel_worker *worker) {
    if (!worker->job)
        return;
    sel_worker_rest(worker);
    sel_reader_free(worker->reader);
    sel_projector_free(worker->projector);
    close_queries(worker);
    sel_speck_scratch_free(worker->specks);
    sel_lattice_scratch_free(worker->lattice);
    sel_trace_scratch_free(worker->trace);
    sel_traced_lines_clear(&worker->lines);
    for (int i = 0; i < SEL_LIGHT_SLOTS; i++)
        sel_season_free(worker->light[i].season);
    for (int i = 0; i < SEL_LOOKOUT_SLOTS; i++)
        sel_lookout_clear(&worker->lookouts[i]);
    *worker = (struct sel_worker){0};
}
