// SPDX-License-Identifier: MIT
//
// Sets up what tiles share. Everything that can be refused about the vector layers is refused here,
// before the first tile is read.
#include "survey/job.h"

#include <math.h>
#include <stdlib.h>

#include "score/score.h"
#include "survey/coarse.h"
#include "survey/reach.h"
#include "terrain/exposure.h"

// The collecting head of a tent-style trap stands about this high, and light beyond this distance
// is not blocked by anything that matters (docs/method-sun.md; common practice, no source).
static const double HEAD_M = 1.8;
static const double HORIZON_REACH_M = 10000.0;

static void set_rules(struct sel_job *job) {
    const struct sel_plan *plan = job->plan;
    double x = job->study->grid.cell_x_m, y = job->study->grid.cell_y_m;
    job->lengths = sel_study_lengths(job->study, plan);
    job->specks = (struct sel_speck_rule){x, y, plan->min_patch_m2};
    job->tangent = (struct sel_tangent_rule){x, y, job->lengths.tangent_m};
    job->belt = (struct sel_belt_rule){x, y, job->lengths.reach_m, job->lengths.belt_m};
    job->trace = (struct sel_trace_rule){x, y};
    job->horizon = (struct sel_horizon_rule){
        HORIZON_REACH_M, HEAD_M, plan->opening_m, sel_horizon_margin(plan->opening_m, x, y)};
    int64_t kernel = sel_tangent_halo(&job->tangent), belt = sel_belt_halo(&job->belt);
    if (belt > kernel)
        kernel = belt;
    job->halo = job->lengths.every_half_cells / 2 + 2 + kernel + 2;
}

static sel_status open_zones(sel_context *context, struct sel_job *job) {
    const struct sel_plan *plan = job->plan;
    if (plan->zones_count == 0)
        return SEL_OK;
    job->zones = calloc(plan->zones_count, sizeof *job->zones);
    if (!job->zones)
        return sel_fail_memory(context);
    sel_status status = SEL_OK;
    for (size_t i = 0; i < plan->zones_count && status == SEL_OK; i++)
        status = sel_polygons_new(
            context, &plan->zones[i].source, &job->study->grid, NULL, NULL, &job->zones[i]);
    return status;
}

static sel_status open_polygons(sel_context *context, struct sel_job *job) {
    const struct sel_plan *plan = job->plan;
    const struct sel_grid *grid = &job->study->grid;
    sel_status status = SEL_OK;
    if (plan->area.file)
        status = sel_polygons_new(context, &plan->area, grid, NULL, NULL, &job->area);
    const struct sel_layer_column name = {"parcels.name", plan->parcel_name, false},
                                  owner = {"parcels.owner", plan->parcel_owner, false},
                                  block = {"choose.blocks.column", plan->block_name, true};
    if (status == SEL_OK && plan->parcels.file)
        status = sel_polygons_new(context, &plan->parcels, grid, &name, &owner, &job->parcels);
    if (status == SEL_OK && plan->blocks.file)
        status = sel_polygons_new(context, &plan->blocks, grid, &block, NULL, &job->blocks);
    if (status == SEL_OK)
        status = sel_check_blocks_reach(context, job);
    if (status == SEL_OK)
        status = open_zones(context, job);
    return status;
}

static sel_status read_access_layer(
    sel_context *context, const struct sel_job *job, size_t i, struct sel_segments *segments) {
    sel_status status = sel_read_segments(context, &job->plan->access[i].source, &job->study->grid,
        segments, &job->access_tallies[i]);
    return status == SEL_OK ? sel_check_access_reach(context, job, i, job->access_tallies[i])
                            : status;
}

// All access layers of one role; *index stays NULL when there are none.
static sel_status open_access_role(sel_context *context, const struct sel_job *job,
    enum sel_access_role role, struct sel_segment_index **index) {
    const struct sel_plan *plan = job->plan;
    struct sel_segments segments = {0};
    sel_status status = SEL_OK;
    for (size_t i = 0; i < plan->access_count && status == SEL_OK; i++)
        if (plan->access[i].role == role)
            status = read_access_layer(context, job, i, &segments);
    if (status == SEL_OK && segments.count > 0 && sel_segment_index_new(&segments, index) != SEL_OK)
        status = sel_fail_memory(context);
    sel_segments_clear(&segments);
    return status;
}

static sel_status open_access(sel_context *context, struct sel_job *job) {
    job->walking = sel_walk_rule_of(job->plan, job->study);
    job->access_tallies = calloc(job->plan->access_count + 1, sizeof *job->access_tallies);
    if (!job->access_tallies)
        return sel_fail_memory(context);
    sel_status status = open_access_role(context, job, SEL_ACCESS_START, &job->access);
    if (status == SEL_OK)
        status = open_access_role(context, job, SEL_ACCESS_WAY, &job->ways);
    return status;
}

static sel_status open_occupied(sel_context *context, struct sel_job *job) {
    if (!job->plan->occupied.file)
        return SEL_OK;
    struct sel_segments segments = {0};
    sel_status status = sel_read_segments(
        context, &job->plan->occupied, &job->study->grid, &segments, &job->occupied_tally);
    if (status == SEL_OK) {
        job->occupied = calloc(2 * segments.count, sizeof *job->occupied);
        if (!job->occupied)
            status = sel_fail_memory(context);
    }
    for (size_t i = 0; job->occupied && i < segments.count; i++) {
        const struct sel_segment *segment = &segments.items[i];
        job->occupied[job->occupied_count++] = (struct sel_choice_point){segment->x0, segment->y0};
        if (segment->x1 != segment->x0 || segment->y1 != segment->y0)
            job->occupied[job->occupied_count++] =
                (struct sel_choice_point){segment->x1, segment->y1};
    }
    sel_segments_clear(&segments);
    return status;
}

static sel_status set_weights(sel_context *context, struct sel_job *job) {
    for (int i = 0; i < SEL_CRITERIA; i++)
        job->in_use[i] = i != SEL_CRITERION_ACCESS || job->access;
    sel_scale_weights(job->plan, job->in_use, job->weights);
    double sum = 0;
    for (int i = 0; i < SEL_CRITERIA; i++)
        sum += job->weights[i];
    if (sum > 0)
        return SEL_OK;
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: criteria: no criterion in use has a weight above 0: give at least one",
        job->plan->path);
}

static sel_status refuse_darkness(sel_context *context, const struct sel_job *job) {
    const struct sel_plan *plan = job->plan;
    struct sel_season *season;
    if (job->weights[SEL_CRITERION_SUN] <= 0)
        return SEL_OK;
    if (sel_season_new(plan->season_from, plan->season_to, job->study->latitude,
            job->study->longitude, 0, &season) != SEL_OK)
        return sel_fail_memory(context);
    bool dark = !sel_season_has_sun(season);
    sel_season_free(season);
    if (!dark)
        return SEL_OK;
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: season: %04d-%02d-%02d to %04d-%02d-%02d: the sun does not rise at latitude %.2f: "
        "give "
        "a season with daylight, or leave light out with criteria: { sun: { weight: 0 } }",
        plan->path, plan->season_from.year, plan->season_from.month, plan->season_from.day,
        plan->season_to.year, plan->season_to.month, plan->season_to.day, job->study->latitude);
}

static int64_t clamp(double value, int64_t low, int64_t high) {
    if (!(value > (double)low))
        return low;
    return value < (double)high ? (int64_t)value : high;
}

// The study area's extent in cells, grown by a lattice square so that squares reaching in count.
static sel_status set_focus(sel_context *context, struct sel_job *job) {
    const struct sel_grid *grid = &job->study->grid;
    job->focus = (struct sel_window){0, 0, grid->rows, grid->cols};
    if (!job->area)
        return SEL_OK;
    double box[4];
    sel_polygons_extent(job->area, box);
    double margin = (double)job->lengths.every_half_cells / 2 + 1;
    int64_t col = clamp(floor((box[0] - grid->x0) / grid->dx - margin), 0, grid->cols);
    int64_t row = clamp(floor((grid->y0 - box[3]) / grid->dy - margin), 0, grid->rows);
    int64_t col_end = clamp(ceil((box[2] - grid->x0) / grid->dx + margin), 0, grid->cols);
    int64_t row_end = clamp(ceil((grid->y0 - box[1]) / grid->dy + margin), 0, grid->rows);
    job->focus = (struct sel_window){row, col, row_end - row, col_end - col};
    if (job->focus.rows > 0 && job->focus.cols > 0)
        return SEL_OK;
    return sel_fail(context, SEL_BAD_INPUT,
        "%s:%d: area: %s does not overlap the rasters: check its place and its CRS",
        job->plan->path, job->plan->area.place.line, job->plan->area.file);
}

static void note_layer(void *user, const char *sentence) {
    sel_note(user, "%s", sentence);
}

sel_status sel_job_new(sel_context *context, const struct sel_plan *plan,
    const struct sel_study *study, struct sel_job *job) {
    *job = (struct sel_job){.plan = plan, .study = study};
    set_rules(job);
    sel_status status = sel_contrast_build(context, plan, &job->contrast);
    if (status == SEL_OK && plan->lines_count > 0)
        status = sel_narrow_new(context, plan, &study->grid, &job->narrow);
    if (status == SEL_OK)
        status = open_polygons(context, job);
    if (status == SEL_OK)
        status = open_access(context, job);
    if (status == SEL_OK)
        status = open_occupied(context, job);
    if (status == SEL_OK)
        status = set_weights(context, job);
    if (status == SEL_OK)
        status = refuse_darkness(context, job);
    if (status == SEL_OK)
        status = set_focus(context, job);
    if (status == SEL_OK)
        sel_each_idle_layer(job, note_layer, context);
    else
        sel_job_clear(job);
    return status;
}

void sel_job_clear(struct sel_job *job) {
    sel_contrast_clear(&job->contrast);
    sel_narrow_free(job->narrow);
    sel_polygons_free(job->area);
    for (size_t i = 0; job->zones && i < job->plan->zones_count; i++)
        sel_polygons_free(job->zones[i]);
    free(job->zones);
    sel_polygons_free(job->parcels);
    sel_polygons_free(job->blocks);
    sel_segment_index_free(job->access);
    sel_segment_index_free(job->ways);
    free(job->occupied);
    free(job->access_tallies);
    sel_coarse_free(job->coarse);
    *job = (struct sel_job){0};
}
