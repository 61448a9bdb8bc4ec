// SPDX-License-Identifier: MIT
//
// Validates a plan and its data and tells what a run would use. Everything that `rank` would refuse
// before its first tile is refused here.
#include <math.h>
#include <stdlib.h>

#include "api/jobs.h"
#include "base/pool.h"
#include "grid/classes.h"
#include "survey/measure.h"
#include "survey/memory.h"

static void tell_raster(
    struct sel_text *text, const char *what, const struct sel_raster_facts *facts) {
    sel_text_addf(text, "  %-11s %s\n", what, facts->file);
    sel_text_addf(text, "  %-11s %lld x %lld cells of %.8g x %.8g %s, %s\n", "",
        (long long)facts->cols, (long long)facts->rows, facts->pixel_x, facts->pixel_y, facts->unit,
        facts->crs_name);
    sel_text_addf(text, "  %-11s %s%s%s%s\n", "", facts->resampled ? "brought to the grid: " : "",
        facts->method, facts->value_unit ? "; values in " : "",
        facts->value_unit ? facts->value_unit : "");
}

static void tell_grid(struct sel_text *text, const struct sel_study *study) {
    const struct sel_grid *grid = &study->grid;
    sel_text_addf(text, "Study grid\n  %lld rows x %lld columns of %.6g x %.6g m\n",
        (long long)grid->rows, (long long)grid->cols, grid->cell_x_m, grid->cell_y_m);
    sel_text_addf(text, "  centre      %.5f, %.5f (latitude, longitude)\n", study->latitude,
        study->longitude);
    sel_text_addf(text, "  map scale   off by at most %.3f %%: distances are map distances\n",
        100 * study->scale_worst);
    sel_text_addf(text, "  overlap     %.1f %% of the land cover lies outside the elevation\n",
        100 * study->lost_share);
    if (study->has_canopy)
        sel_text_addf(text, "              %.1f %% of it lies outside the canopy raster%s\n",
            100 * study->canopy_lost_share,
            study->canopy_lost_share > 0.0005 ? ": the habitat table's heights stand there" : "");
    sel_text_add(text, "\n");
}

static void tell_class(struct sel_text *text, const struct sel_plan *plan,
    const struct sel_class_count *found, int64_t known) {
    sel_habitat_id id = sel_habitat_of_value(&plan->habitats, found->value);
    sel_text_addf(text, "  %8lld %6.2f %%  %s\n", (long long)found->value,
        100.0 * (double)found->cells / (double)known,
        id == SEL_HABITAT_UNKNOWN ? "NOT IN THE HABITAT TABLE"
                                  : sel_habitat_get(&plan->habitats, id)->name);
}

static sel_status tell_classes(
    sel_context *context, const struct sel_plan *plan, bool full, struct sel_text *text) {
    struct sel_class_counts counts = {0};
    sel_status status = sel_classes_scan(context, &plan->landcover, full, &counts);
    if (status == SEL_OK) {
        sel_text_add(text, "Classes of the land cover");
        if (counts.sampled)
            sel_text_addf(text, " (a sample: %.1f %% of the cells; --full scans all)",
                100.0 * (double)counts.looked_at / (double)counts.total);
        sel_text_add(text, "\n");
    }
    for (size_t i = 0; status == SEL_OK && i < counts.count; i++) {
        tell_class(text, plan, &counts.items[i], counts.looked_at - counts.unknown);
        if (sel_habitat_of_value(&plan->habitats, counts.items[i].value) == SEL_HABITAT_UNKNOWN)
            status = sel_fail(context, SEL_BAD_INPUT,
                "%s: value %lld (%lld of the cells looked at) is not in the habitat table %s: add "
                "a row for it, or leave value out as NoData",
                plan->landcover.file, (long long)counts.items[i].value,
                (long long)counts.items[i].cells, plan->habitats_source);
    }
    if (status == SEL_OK)
        sel_text_addf(text, "  %8s %6.2f %% of all cells; the shares above are of the known\n\n",
            "unknown", 100.0 * (double)counts.unknown / (double)counts.looked_at);
    sel_class_counts_clear(&counts);
    return status;
}

static void tell_tally(struct sel_text *text, struct sel_layer_tally tally, const char *shapes) {
    sel_text_addf(text, "%lld of %lld %s meet%s the study grid\n", (long long)tally.met,
        (long long)tally.features, shapes, tally.met == 1 ? "s" : "");
}

static void tell_zone(
    struct sel_text *text, const struct sel_plan_zone *zone, const struct sel_polygons *polygons) {
    static const char *const RULES[] = {[SEL_ZONE_EXCLUDE] = "exclude",
        [SEL_ZONE_NO_CLEARING] = "no_clearing",
        [SEL_ZONE_NOTE] = "note"};
    sel_text_addf(text, "  zone        %s%s%s, %s: %s; ", zone->source.file,
        zone->source.layer ? " " : "", zone->source.layer ? zone->source.layer : "",
        RULES[zone->rule], zone->reason);
    tell_tally(text, sel_polygons_tally(polygons), "polygons");
}

static void tell_polygons(struct sel_text *text, const char *what,
    const struct sel_layer_ref *source, const struct sel_polygons *polygons) {
    if (!polygons)
        return;
    sel_text_addf(text, "  %-11s %s: ", what, source->file);
    tell_tally(text, sel_polygons_tally(polygons), "polygons");
}

static void tell_layers(struct sel_text *text, const struct sel_job *job) {
    const struct sel_plan *plan = job->plan;
    sel_text_add(text, "Layers\n");
    for (size_t i = 0; i < plan->lines_count; i++) {
        sel_text_addf(text, "  line        %s: %s, %.4g m wide; ", plan->lines[i].source.file,
            plan->lines[i].habitat, plan->lines[i].width_m);
        tell_tally(text, sel_narrow_tally(job->narrow, i), "features");
    }
    for (size_t i = 0; i < plan->access_count; i++) {
        sel_text_addf(text, "  access      %s (%s); ", plan->access[i].source.file,
            plan->access[i].role == SEL_ACCESS_START ? "start" : "way");
        tell_tally(text, job->access_tallies[i], "features");
    }
    if (plan->access_count == 0)
        sel_text_add(text, "  access      none: the criterion is left out, the other weights are "
                           "rescaled\n");
    tell_polygons(text, "area", &plan->area, job->area);
    tell_polygons(text, "parcels", &plan->parcels, job->parcels);
    tell_polygons(text, "blocks", &plan->blocks, job->blocks);
    for (size_t i = 0; i < plan->zones_count; i++)
        tell_zone(text, &plan->zones[i], job->zones[i]);
    if (job->occupied_count > 0) {
        sel_text_addf(
            text, "  occupied    %s: %zu places; ", plan->occupied.file, job->occupied_count);
        tell_tally(text, job->occupied_tally, "features");
    }
    sel_text_add(text, "\n");
}

static void tell_weights(struct sel_text *text, const struct sel_job *job) {
    sel_text_add(text, "Weights\n");
    for (int i = 0; i < SEL_CRITERIA; i++)
        if (job->in_use[i])
            sel_text_addf(
                text, "  %-15s %.4f\n", sel_criterion_name((enum sel_criterion)i), job->weights[i]);
    sel_text_add(text, "\n");
}

static void tell_run(
    struct sel_text *text, const struct sel_job *job, const sel_run_options *options) {
    struct sel_tiling tiling = sel_tiling_of(job, options);
    int threads = sel_thread_count(options->threads);
    sel_text_addf(text,
        "Run\n  flyways     every %.4g m, %.4g m to each side, belt %.4g m, direction over %.4g "
        "m\n",
        job->lengths.every_m, job->lengths.reach_m, job->lengths.belt_m, job->lengths.tangent_m);
    sel_text_addf(text, "  halo        %lld cells, and %d for specks\n", (long long)job->halo,
        sel_speck_halo(&job->specks));
    sel_text_addf(text, "  tiles       %lld of %lld cells, on %d threads\n",
        (long long)tiling.count, (long long)tiling.tile_cells, threads);
    double needed = sel_memory_needed_mb(job, options, tiling.tile_cells, tiling.count);
    sel_text_addf(text, "  memory      about %.0f MiB", needed);
    if (options->memory_mb > 0 && needed > options->memory_mb)
        sel_text_add(text, ", with the smallest windows there are");
    sel_text_add(text, "\n");
    if (job->walking.in_use)
        sel_text_addf(text,
            "  walking     cells of %.4g x %.4g m, up to %.4g minutes: %lld cells around\n",
            job->walking.cell_x_m, job->walking.cell_y_m, job->walking.limit_min,
            (long long)job->walking.halo);
    sel_text_addf(text, "  season      %04d-%02d-%02d to %04d-%02d-%02d%s\n",
        job->plan->season_from.year, job->plan->season_from.month, job->plan->season_from.day,
        job->plan->season_to.year, job->plan->season_to.month, job->plan->season_to.day,
        sel_plan_place(job->plan, "season.from").line > 0 ? "" : " (default, a guess)");
}

static sel_status tell_all(sel_context *context, const struct sel_opened *opened, bool full,
    const sel_run_options *options, struct sel_text *text) {
    struct sel_job job;
    sel_status status = sel_job_new(context, &opened->plan, &opened->study, &job);
    if (status != SEL_OK)
        return status;
    sel_text_addf(text, "%s: %s\n\nRasters\n", opened->plan.path, opened->plan.title);
    tell_raster(text, "land cover", &opened->study.landcover);
    tell_raster(text, "elevation", &opened->study.elevation);
    if (opened->study.has_canopy)
        tell_raster(text, "canopy", &opened->study.canopy);
    sel_text_add(text, "\n");
    tell_grid(text, &opened->study);
    status = tell_classes(context, &opened->plan, full, text);
    if (status == SEL_OK) {
        tell_layers(text, &job);
        tell_weights(text, &job);
        tell_run(text, &job, options);
        sel_text_add(text, "\nThe plan can be used. Nothing was written.\n");
    }
    sel_job_clear(&job);
    return status;
}

sel_status sel_check(sel_context *context, const char *plan, bool full,
    const sel_run_options *options, char **report) {
    struct sel_opened opened;
    struct sel_text text;
    sel_text_init(&text);
    sel_context_begin(context);
    *report = NULL;
    sel_status status = sel_check_options(context, options);
    if (status == SEL_OK)
        status = sel_opened_open(context, plan, &opened);
    if (status != SEL_OK)
        return status;
    status = tell_all(context, &opened, full, options, &text);
    if (status == SEL_OK)
        status = sel_hand_over(context, &text, report);
    sel_text_clear(&text);
    sel_opened_close(&opened);
    return status;
}
