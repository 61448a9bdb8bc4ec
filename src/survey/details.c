// SPDX-License-Identifier: MIT
//
// Reads one small window around the site and answers from it.
#include "survey/details.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "base/whole.h"
#include "flyway/magnetic.h"
#include "survey/flood.h"
#include "survey/ground.h"
#include "survey/pool.h"
#include "survey/light.h"
#include "survey/picture.h"
#include "survey/walk.h"

// How far open water is looked for, and what a close-up shows to each side.
static const double WATER_REACH_M = 500.0;
static const double CLOSE_UP_M = 250.0;
enum { WATER_CELLS_MOST = 256, CLOSE_UP_PIXELS = 512 };

// The window around a site, as the rasters have it.
struct surroundings {
    const struct sel_grid *grid;
    const struct sel_habitats *habitats;
    struct sel_window window;
    const sel_habitat_id *raw, *used;
    const float *ground, *top;
};

void sel_site_clear(struct sel_site *site) {
    free(site->parcel);
    free(site->owner);
    free(site->zone);
    free(site->notes);
    free(site->reserve_note);
    free(site->profile);
    sel_picture_clear(&site->close_up);
    sel_site_walk_clear(&site->walk);
    *site = (struct sel_site){0};
}

static int64_t cells_in(const struct sel_grid *grid, double metres) {
    return (int64_t)ceil(metres / fmin(grid->cell_x_m, grid->cell_y_m));
}

static struct sel_window around(const struct sel_candidate *candidate, int64_t radius) {
    struct sel_window cell = {candidate->hy / 2, candidate->hx / 2, 1, 1};
    return sel_window_grow(cell, radius);
}

// Magnetic bearings at the season's middle, where the model holds and a compass serves.
static void point_compass(
    const struct sel_survey *survey, const struct sel_candidate *candidate, struct sel_site *site) {
    const struct sel_plan *plan = survey->plan;
    struct sel_magnetic field;
    double year = 0.5 * (sel_decimal_year(plan->season_from) + sel_decimal_year(plan->season_to));
    site->declination_deg = site->panel_magnetic_deg = site->head_magnetic_deg = (double)NAN;
    site->magnetic_note = NULL;
    if (!sel_magnetic_at(site->latitude, site->longitude, (double)candidate->elevation_m / 1000.0,
            year, &field)) {
        site->magnetic_note = "no magnetic bearings: the season lies outside the model's years";
        return;
    }
    if (field.compass == SEL_COMPASS_USELESS) {
        site->magnetic_note = "no magnetic bearings: a compass is useless this near a pole";
        return;
    }
    if (field.compass == SEL_COMPASS_CAUTION)
        site->magnetic_note = "a compass is unreliable here";
    site->declination_deg = field.declination_deg;
    site->panel_magnetic_deg = sel_axis_fold(site->bearings.panel_deg - field.declination_deg);
    site->head_magnetic_deg = sel_bearing_fold(site->bearings.head_deg - field.declination_deg);
}

static sel_status place(sel_context *context, struct sel_worker *worker,
    const struct sel_survey *survey, const struct sel_candidate *candidate, struct sel_site *site) {
    const struct sel_grid *grid = &survey->study->grid;
    struct sel_geographic at;
    site->x = sel_grid_x(grid, candidate->hx);
    site->y = sel_grid_y(grid, candidate->hy);
    sel_status status = sel_project(context, worker->projector, site->x, site->y, &at);
    if (status != SEL_OK)
        return status;
    site->latitude = at.latitude;
    site->longitude = at.longitude;
    site->convergence = at.convergence;
    // The mapped edge may lie a cell off either way.
    site->coordinate_uncertainty_m = hypot(grid->cell_x_m, grid->cell_y_m);
    struct sel_tangent tangent = {.along = {(double)candidate->along_x, (double)candidate->along_y},
        .toward_a = {(double)candidate->toward_a_x, (double)candidate->toward_a_y}};
    site->bearings = sel_trap_bearings_of(
        &tangent, survey->plan->flight, at.convergence, (double)candidate->light_azimuth_deg);
    point_compass(survey, candidate, site);
    sel_candidate_values(survey, candidate, site->values);
    return SEL_OK;
}

static void add_reason(struct sel_text *text, const char *reason, const char *rule) {
    if (text->length > 0)
        sel_text_add(text, "; ");
    sel_text_add(text, reason);
    sel_text_add(text, rule);
}

static sel_status land(sel_context *context, struct sel_worker *worker, struct sel_site *site) {
    const struct sel_job *job = worker->job;
    struct sel_text zones;
    sel_text_init(&zones);
    site->clearing = true;
    for (size_t i = 0; i < job->plan->zones_count; i++) {
        const struct sel_plan_zone *zone = &job->plan->zones[i];
        if (zone->rule == SEL_ZONE_EXCLUDE ||
            sel_polygons_at(worker->zones[i], site->x, site->y) < 0)
            continue;
        bool no_clearing = zone->rule == SEL_ZONE_NO_CLEARING;
        add_reason(&zones, zone->reason, no_clearing ? " (no clearing)" : "");
        site->clearing = site->clearing && !no_clearing;
    }
    bool failed = zones.failed;
    if (zones.length > 0)
        site->zone = sel_text_take(&zones);
    sel_text_clear(&zones);
    int64_t parcel =
        job->parcels ? sel_polygons_at(worker->parcels, site->x, site->y) : (int64_t)-1;
    if (parcel >= 0) {
        site->parcel = strdup(sel_polygons_name(job->parcels, parcel));
        site->owner = strdup(sel_polygons_owner(job->parcels, parcel));
        failed = failed || !site->parcel || !site->owner;
    }
    return failed ? sel_fail_memory(context) : SEL_OK;
}

// Energy and times by the season at the site's own place and altitude; candidates are compared by
// that of their block.
static sel_status own_light(sel_context *context, const struct sel_worker *worker,
    const struct sel_candidate *candidate, struct sel_site *site) {
    const struct sel_plan *plan = worker->job->plan;
    struct sel_season *season;
    if (sel_season_new(plan->season_from, plan->season_to, site->latitude, site->longitude,
            (double)candidate->elevation_m, &season) != SEL_OK)
        return sel_fail_memory(context);
    struct sel_exposure own = sel_season_exposure(season, &site->horizon, site->convergence);
    sel_season_free(season);
    site->exposure.kwh_m2_day = own.kwh_m2_day;
    site->exposure.first_sun_h = own.first_sun_h;
    site->exposure.last_sun_h = own.last_sun_h;
    site->exposure.first_bright_h = own.first_bright_h;
    site->exposure.last_bright_h = own.last_bright_h;
    return SEL_OK;
}

static sel_status horizon(sel_context *context, struct sel_worker *worker,
    const struct sel_candidate *candidate, struct sel_site *site) {
    const struct sel_horizon_view *view;
    struct sel_window cells = {candidate->hy / 2 - 1, candidate->hx / 2 - 1, 3, 3};
    sel_status status = sel_light_aim(context, worker, cells, &view);
    const struct sel_block_light *light = NULL;
    if (status == SEL_OK)
        status = sel_light_horizon(context, worker->job, view, candidate, &site->horizon);
    if (status == SEL_OK)
        status = sel_light_of(context, worker, candidate, &light);
    if (status != SEL_OK || !light)
        return status;
    site->exposure = sel_season_exposure(light->season, &site->horizon, light->convergence);
    return own_light(context, worker, candidate, site);
}

// Reads what the rest asks about. The arrays are the worker's and valid until its next read.
static sel_status look_around(sel_context *context, struct sel_worker *worker,
    const struct sel_candidate *candidate, struct surroundings *here) {
    const struct sel_job *job = worker->job;
    here->grid = &job->study->grid;
    here->habitats = &job->plan->habitats;
    int64_t water = sel_smaller(cells_in(here->grid, WATER_REACH_M), WATER_CELLS_MOST);
    int64_t profile = cells_in(here->grid, job->lengths.reach_m) + 2;
    here->window = around(candidate, sel_larger(water, profile));
    struct sel_surface_level level;
    sel_status status = sel_ground_surface(context, worker, here->window, &level);
    if (status == SEL_OK)
        status = sel_ground_habitats(context, worker, here->window, &here->raw, &here->used);
    here->ground = level.ground_m;
    here->top = level.canopy_top_m;
    return status;
}

// Distance from a coordinate to a cell's span along one axis, m.
static double axis_gap(double at_half, int64_t cell, double cell_m) {
    double low = (double)(2 * cell) - at_half, high = at_half - (double)(2 * cell + 2);
    return 0.5 * cell_m * fmax(0.0, fmax(low, high));
}

static void find_water(
    const struct surroundings *here, const struct sel_candidate *candidate, struct sel_site *site) {
    double best = (double)INFINITY;
    site->water_m = site->above_water_m = (double)NAN;
    for (int64_t i = 0; i < (int64_t)sel_window_cells(here->window); i++) {
        sel_habitat_id id = here->raw[i];
        if (id == SEL_HABITAT_UNKNOWN || !sel_habitat_get(here->habitats, id)->water)
            continue;
        double x =
            axis_gap(candidate->hx, here->window.col + i % here->window.cols, here->grid->cell_x_m);
        double y =
            axis_gap(candidate->hy, here->window.row + i / here->window.cols, here->grid->cell_y_m);
        double distance = hypot(x, y);
        if (distance < best && distance <= WATER_REACH_M) {
            best = distance;
            site->water_m = distance;
            site->above_water_m = (double)(candidate->elevation_m - here->ground[i]);
        }
    }
}

// Ground between cell middles, m.
static double bilinear(const struct surroundings *here, double col, double row) {
    double x = col - 0.5 - (double)here->window.col, y = row - 0.5 - (double)here->window.row;
    double fx = floor(x), fy = floor(y);
    const float *at = here->ground + (int64_t)fy * here->window.cols + (int64_t)fx;
    double wx = x - fx, wy = y - fy;
    double north = (double)at[0] * (1 - wx) + (double)at[1] * wx;
    double south =
        (double)at[here->window.cols] * (1 - wx) + (double)at[here->window.cols + 1] * wx;
    return north * (1 - wy) + south * wy;
}

static struct sel_profile_point profile_point(
    const struct surroundings *here, const struct sel_candidate *candidate, double along_m) {
    double col =
        0.5 * candidate->crack_hx - along_m * (double)candidate->toward_a_x / here->grid->cell_x_m;
    double row =
        0.5 * candidate->crack_hy - along_m * (double)candidate->toward_a_y / here->grid->cell_y_m;
    int64_t cell = ((int64_t)floor(row) - here->window.row) * here->window.cols +
                   (int64_t)floor(col) - here->window.col;
    return (struct sel_profile_point){.along_m = (float)along_m,
        .ground_m = (float)bilinear(here, col, row),
        .canopy_m = fmaxf(0.0f, here->top[cell] - here->ground[cell]),
        .habitat = here->used[cell]};
}

static sel_status draw_profile(sel_context *context, const struct sel_worker *worker,
    const struct surroundings *here, const struct sel_candidate *candidate, struct sel_site *site) {
    double reach = worker->job->lengths.reach_m;
    double step = 0.5 * fmin(here->grid->cell_x_m, here->grid->cell_y_m);
    int64_t half = (int64_t)floor(reach / step);
    site->profile_count = (size_t)(2 * half + 1);
    site->profile = malloc(site->profile_count * sizeof *site->profile);
    if (!site->profile)
        return sel_fail_memory(context);
    for (int64_t i = -half; i <= half; i++)
        site->profile[i + half] = profile_point(here, candidate, (double)i * step);
    return SEL_OK;
}

static void note(struct sel_text *notes, bool holds, const char *words) {
    if (!holds)
        return;
    if (notes->length > 0)
        sel_text_add(notes, "; ");
    sel_text_add(notes, words);
}

static bool stands_on(const struct surroundings *here, const struct sel_candidate *candidate,
    enum sel_ground ground) {
    return (candidate->trap_a && sel_habitat_get(here->habitats, candidate->a)->ground == ground) ||
           (candidate->trap_b && sel_habitat_get(here->habitats, candidate->b)->ground == ground);
}

// Advice from the ground of the habitats that may hold the trap (common practice, no source).
static sel_status write_notes(sel_context *context, const struct surroundings *here,
    const struct sel_candidate *candidate, struct sel_site *site) {
    const struct sel_habitat *a = sel_habitat_get(here->habitats, candidate->a);
    const struct sel_habitat *b = sel_habitat_get(here->habitats, candidate->b);
    struct sel_text notes;
    sel_text_init(&notes);
    if (!candidate->trap_a || !candidate->trap_b)
        sel_text_addf(&notes, "stand it on the %s side", candidate->trap_a ? a->name : b->name);
    site->support = a->support || b->support;
    note(&notes, !site->support, "no stems near: bring poles");
    note(&notes, stands_on(here, candidate, SEL_GROUND_SAND), "sand: bring ballast");
    note(&notes, stands_on(here, candidate, SEL_GROUND_WET), "wet ground: check before the season");
    note(&notes, stands_on(here, candidate, SEL_GROUND_ROCK), "rock: pegs may not hold");
    note(&notes, sel_may_flood(site->water_m, site->above_water_m),
        "low or close beside water: it may flood");
    note(&notes, sel_water_is_unmapped(site->water_m, a->wetness, b->wetness),
        "wet habitat: expect water that the map lacks");
    note(&notes, site->walk.wades, "the way on foot may cross water: look for a bridge or ford");
    note(&notes, !site->clearing, "no clearing allowed");
    note(&notes, site->magnetic_note, site->magnetic_note);
    site->notes = sel_text_take(&notes);
    return site->notes ? SEL_OK : sel_fail_memory(context);
}

sel_status sel_site_detail(sel_context *context, struct sel_worker *worker,
    const struct sel_survey *survey, struct sel_site *site) {
    const struct sel_candidate *candidate = &survey->candidates[site->candidate];
    const struct sel_grid *grid = &survey->study->grid;
    struct surroundings here;
    sel_status status = place(context, worker, survey, candidate, site);
    if (status == SEL_OK)
        status = land(context, worker, site);
    if (status == SEL_OK)
        status = horizon(context, worker, candidate, site);
    if (status == SEL_OK)
        status = look_around(context, worker, candidate, &here);
    if (status == SEL_OK) {
        find_water(&here, candidate, site);
        status = draw_profile(context, worker, &here, candidate, site);
    }
    if (status == SEL_OK)
        status = sel_walk_to_site(context, worker, candidate, site);
    if (status == SEL_OK)
        status = write_notes(context, &here, candidate, site);
    double close_up = fmax(CLOSE_UP_M, 2 * survey->lengths.reach_m);
    if (status == SEL_OK)
        status = sel_picture_paint(context, worker, around(candidate, cells_in(grid, close_up)),
            CLOSE_UP_PIXELS, &site->close_up);
    return status;
}
