// SPDX-License-Identifier: MIT
//
// The invented valley: a winding brook with a wood on its banks, meadows, fields with hedges, a
// plantation, a heath, a fen, a village.
#include "output_scene.h"

#include <cpl_conv.h>
#include <dirent.h>
#include <gdal.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#include "base/array.h"
#include "output/geopackage.h"
#include "output_choice.h"
#include "scene.h"

static void *must(void *memory) {
    if (!memory)
        abort();
    return memory;
}

// --- the ground ---

static double brook_at(double u) {
    return 0.52 + 0.13 * sin(5.2 * u + 0.4) + 0.03 * sin(17.0 * u);
}

static bool in_disc(double u, double v, double cu, double cv, double radius) {
    return hypot(u - cu, v - cv) < radius;
}

static sel_habitat_id field_or_hedge(double u, double v) {
    double across = 9.0 * u + 2.0 * v, down = 8.0 * v - 1.5 * u;
    bool hedge = across - floor(across) < 0.05 || down - floor(down) < 0.045;
    if (hedge)
        return SCENE_HEDGE;
    int parity = ((int)floor(across) * 3 + (int)floor(down) * 5) % 4;
    return parity == 0 ? SCENE_MEADOW : SCENE_ARABLE;
}

sel_habitat_id output_scene_habitat(const struct output_scene *scene, int64_t row, int64_t col) {
    const struct sel_grid *grid = &scene->study.grid;
    if (row < 0 || col < 0 || row >= grid->rows || col >= grid->cols)
        return SEL_HABITAT_UNKNOWN;
    double u = ((double)col + 0.5) / (double)grid->cols;
    double v = ((double)row + 0.5) / (double)grid->rows;
    double from_brook = fabs(v - brook_at(u));
    if (from_brook < 0.009 || in_disc(u, v, 0.23, 0.79, 0.03))
        return SCENE_WATER;
    if (from_brook < 0.035 + 0.02 * sin(23.0 * u))
        return SCENE_WOOD;
    if (in_disc(u, v, 0.72, 0.62, 0.05))
        return SCENE_VILLAGE;
    if (in_disc(u, v, 0.27, 0.80, 0.075))
        return SCENE_FEN;
    if (from_brook < 0.13)
        return SCENE_MEADOW;
    if (v < 0.16 + 0.05 * sin(9.0 * u))
        return SCENE_HEATH;
    if (v < 0.36 && u > 0.55 && u < 0.86)
        return SCENE_PLANTATION;
    return field_or_hedge(u, v);
}

static double ground_m(const struct sel_grid *grid, double row, double col) {
    double u = col / (double)grid->cols, v = row / (double)grid->rows;
    double from_brook = fabs(v - brook_at(u));
    return 310.0 + 420.0 * from_brook * from_brook * 2.0 + 18.0 * sin(11.0 * u) * sin(9.0 * v);
}

static uint8_t shade_at(const struct sel_grid *grid, double row, double col, double step) {
    double east = ground_m(grid, row, col + step) - ground_m(grid, row, col - step);
    double south = ground_m(grid, row + step, col) - ground_m(grid, row - step, col);
    double width = 2.0 * step * grid->cell_x_m / 2.5;
    double nx = -east / width, ny = south / width;
    double light = (0.7071 - 0.5 * nx + 0.5 * ny) / sqrt(1.0 + nx * nx + ny * ny);
    return (uint8_t)lround(255.0 * fmin(1.0, fmax(0.0, light)));
}

// --- plan ---

static const struct sel_habitat HABITATS[SCENE_HABITATS] = {
    {"arable", 0.4, 0.1, 0.2, 0.5, 1.0, true, false, SEL_GROUND_FIRM, false},
    {"hay meadow \"upper\" & <b>lower</b>", 0.6, 0.2, 0.4, 0.9, 0.9, true, false, SEL_GROUND_FIRM,
        false},
    {"riparian wood", 16, 0.8, 0.7, 1.0, 0.6, true, false, SEL_GROUND_WET, true},
    {"plantation", 22, 0.9, 0.2, 0.7, 0.7, true, false, SEL_GROUND_FIRM, true},
    {"h\xC3\xA9"
     "ath d'en haut",
        0.7, 0.4, 0.3, 0.9, 0.8, true, false, SEL_GROUND_SAND, false},
    {"village", 5, 0.2, 0.1, 0.0, 0.9, false, false, SEL_GROUND_FIRM, true},
    {"open water", 0, 0, 1, 0.2, 0, false, true, SEL_GROUND_WET, false},
    {"hedge \xF0\x9F\x8C\xBF", 3, 0.7, 0.3, 0.9, 0.4, true, false, SEL_GROUND_FIRM, true},
    {"fen \xD7\xA1\xD7\x95\xD7\xA3 '); DROP TABLE sites;--", 1.2, 0.5, 0.9, 0.9, 0.5, true, false,
        SEL_GROUND_WET, false},
};

static void fill_habitats(struct sel_habitats *habitats) {
    habitats->count = habitats->value_count = SCENE_HABITATS;
    habitats->items = must(calloc(SCENE_HABITATS, sizeof *habitats->items));
    habitats->values = must(calloc(SCENE_HABITATS, sizeof *habitats->values));
    for (int i = 0; i < SCENE_HABITATS; i++) {
        habitats->items[i] = HABITATS[i];
        habitats->items[i].name = must(strdup(HABITATS[i].name));
        habitats->values[i] = (struct sel_habitat_value){10 * (i + 1), (sel_habitat_id)(i + 1)};
    }
}

static struct sel_plan_criterion criterion(
    double weight, double from, double from_worth, double to, double to_worth) {
    return (struct sel_plan_criterion){
        .weight = weight, .value = {{from, from_worth}, {to, to_worth}}, .value_count = 2};
}

struct sel_plan_field output_scene_field(void) {
    return (struct sel_plan_field){.day_hours = 8,
        .interval_days = 7,
        .setup_min = 60,
        .service_min = 15,
        .takedown_min = (double)NAN,
        .travel_kmh = 20,
        .fluid_ml = 500,
        .pan_ml = 300,
        .trap_type = "flight interception trap"};
}

static void fill_plan(struct output_scene *scene, struct output_scene_size size) {
    struct sel_plan *plan = &scene->plan;
    plan->folder = must(strdup(scene->folder));
    plan->path = output_scene_path(scene, "survey.yaml");
    plan->title = must(strdup("Alder Brook flyways"));
    plan->landcover =
        (struct sel_raster_ref){.file = output_scene_path(scene, "lc.vrt"), .band = 1};
    plan->elevation =
        (struct sel_raster_ref){.file = output_scene_path(scene, "dem.tif"), .band = 1};
    plan->habitats_source = output_scene_path(scene, "habitats.csv");
    fill_habitats(&plan->habitats);
    plan->season_from = (struct sel_date){2027, 5, 15};
    plan->season_to = (struct sel_date){2027, 8, 31};
    plan->field = output_scene_field();
    plan->permit.traps_per_site = 1;
    plan->criteria[SEL_CRITERION_EDGE_CONTRAST] = criterion(4, 0.1, 0, 0.7, 1);
    plan->criteria[SEL_CRITERION_SLOPE] = criterion(2, 5, 1, 20, 0);
    plan->criteria[SEL_CRITERION_SLOPE].has_limit = true;
    plan->criteria[SEL_CRITERION_SLOPE].limit = 25;
    plan->criteria[SEL_CRITERION_SUN] = criterion(2, 0.3, 0, 0.8, 1);
    plan->criteria[SEL_CRITERION_ACCESS] = criterion(1, 200, 1, 2000, 0);
    plan->choose = (struct sel_plan_choose){
        .sites = size.sites, .apart_m = size.apart_m, .reserves = size.reserves, .pair_max = 4};
    plan->uncertainty = (struct sel_plan_uncertainty){0, (double)NAN, 1};
    plan->checksum_mb = 100;
    plan->candidates_limit = 50000;
    plan->seed = 20270515;
    plan->opening_m = 4;
}

static struct sel_raster_facts facts(const char *file, double pixel_m, const char *method) {
    return (struct sel_raster_facts){.file = must(strdup(file)),
        .driver = must(strdup("GTiff")),
        .crs_name = must(strdup("WGS 84 / UTM zone 33N")),
        .unit = must(strdup("m")),
        .rows = 50,
        .cols = 60,
        .pixel_x = pixel_m,
        .pixel_y = pixel_m,
        .resampled = pixel_m > 10,
        .method = method};
}

static void fill_study(struct output_scene *scene, struct output_scene_size size) {
    OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
    char *wkt = NULL;
    if (OSRImportFromEPSG(crs, 32633) != OGRERR_NONE || OSRExportToWkt(crs, &wkt) != OGRERR_NONE)
        abort();
    scene->study.grid = (struct sel_grid){
        size.rows, size.cols, 512000.0, 5126000.0, 10.0, 10.0, 1.0, 10.0, 10.0, must(strdup(wkt))};
    CPLFree(wkt);
    OSRRelease(crs);
    scene->study.scale_worst = 0.0004;
    scene->study.lost_share = 0.0;
    scene->study.latitude = 46.27;
    scene->study.longitude = 15.18;
    scene->study.landcover = facts(scene->plan.landcover.file, 10, "as it is");
    scene->study.elevation = facts(scene->plan.elevation.file, 30, "cubic");
    scene->survey.lengths = (struct sel_lengths){50, 60, 20, 50, 10};
}

// --- pictures ---

static struct sel_picture picture_of(
    const struct output_scene *scene, struct sel_window window, int64_t step) {
    struct sel_picture picture = {.window = window,
        .step = step,
        .rows = (window.rows + step - 1) / step,
        .cols = (window.cols + step - 1) / step};
    size_t pixels = (size_t)(picture.rows * picture.cols);
    picture.habitat = must(malloc(pixels));
    picture.shade = must(malloc(pixels));
    for (int64_t r = 0; r < picture.rows; r++) {
        for (int64_t c = 0; c < picture.cols; c++) {
            int64_t row = window.row + r * step + step / 2, col = window.col + c * step + step / 2;
            size_t at = (size_t)(r * picture.cols + c);
            picture.habitat[at] = output_scene_habitat(scene, row, col);
            picture.shade[at] =
                shade_at(&scene->study.grid, (double)row + 0.5, (double)col + 0.5, 1.0);
        }
    }
    return picture;
}

// --- candidates ---

// A whole number in 0..limit-1 that depends on the two and looks random.
static uint32_t scatter(uint32_t a, uint32_t b, uint32_t limit) {
    uint32_t x = a * 2654435761u ^ (b + 0x9e3779b9u) * 2246822519u;
    x ^= x >> 15;
    x *= 2654435761u;
    x ^= x >> 13;
    return x % limit;
}

static double worth(const struct sel_plan_criterion *criterion, double at) {
    struct sel_breakpoint from = criterion->value[0], to = criterion->value[1];
    double share = fmin(1.0, fmax(0.0, (at - from.at) / (to.at - from.at)));
    return from.worth + share * (to.worth - from.worth);
}

static const double METRES_PER_MINUTE = 80;

// By time the whole straight line is walked.
static void measure_access(struct output_scene *scene, struct sel_candidate *candidate) {
    const struct sel_survey *survey = &scene->survey;
    bool by_time = scene->plan.criteria[SEL_CRITERION_ACCESS].by == SEL_ACCESS_BY_TIME;
    candidate->access_m = (double)NAN;
    if (survey->in_use[SEL_CRITERION_ACCESS])
        candidate->access_m =
            0.1 * scatter((uint32_t)candidate->hx, (uint32_t)candidate->hy + 3, 18000);
    candidate->measure[SEL_CRITERION_ACCESS] =
        by_time ? candidate->access_m / METRES_PER_MINUTE : candidate->access_m;
}

static void measure(struct output_scene *scene, struct sel_candidate *candidate) {
    uint32_t x = (uint32_t)candidate->hx, y = (uint32_t)candidate->hy;
    candidate->measure[SEL_CRITERION_EDGE_CONTRAST] = 0.2 + 0.000001 * scatter(x, y, 600000);
    candidate->measure[SEL_CRITERION_SLOPE] = 0.001 * scatter(x, y + 1, 21000);
    candidate->measure[SEL_CRITERION_SUN] = 0.25 + 0.000001 * scatter(x, y + 2, 700000);
    measure_access(scene, candidate);
    double score = 0;
    for (int i = 0; i < SEL_CRITERIA; i++)
        if (scene->survey.in_use[i])
            score +=
                scene->survey.weights[i] * worth(&scene->plan.criteria[i], candidate->measure[i]);
    candidate->score = round(score * 1e9) / 1e9;
    candidate->sun_hours = 0.01f * (float)scatter(x, y + 4, 900);
    candidate->sky_view = 0.7f;
    candidate->light_azimuth_deg = 178.0f;
    candidate->elevation_m =
        (float)ground_m(&scene->study.grid, 0.5 * candidate->hy, 0.5 * candidate->hx);
}

// A candidate on the crack between a cell and its eastern (or southern) neighbour.
static void add_candidate(
    struct output_scene *scene, int64_t row, int64_t col, bool vertical, size_t *capacity) {
    struct sel_survey *survey = &scene->survey;
    sel_habitat_id here = output_scene_habitat(scene, row, col);
    sel_habitat_id there = output_scene_habitat(scene, row + !vertical, col + vertical);
    survey->candidates = must(sel_grow(
        survey->candidates, survey->candidate_count + 1, capacity, sizeof *survey->candidates));
    struct sel_candidate *candidate = &survey->candidates[survey->candidate_count++];
    bool a_first = here < there;
    *candidate = (struct sel_candidate){.hx = (int32_t)(2 * col + 1 + vertical),
        .hy = (int32_t)(2 * row + 1 + !vertical),
        .a = a_first ? here : there,
        .b = a_first ? there : here,
        .a_first = a_first,
        .trap_a = true,
        .trap_b = true,
        .horizon_complete = row % 7 != 0,
        .along_x = vertical ? 0.0f : 1.0f,
        .along_y = vertical ? 1.0f : 0.0f,
        .toward_a_x = vertical ? (a_first ? -1.0f : 1.0f) : 0.0f,
        .toward_a_y = vertical ? 0.0f : (a_first ? -1.0f : 1.0f),
        .straightness = 0.875f,
        .depth_a_m = 60.0f,
        .depth_b_m = 42.5f};
    candidate->crack_hx = candidate->hx;
    candidate->crack_hy = candidate->hy;
    measure(scene, candidate);
}

static bool may_stand(sel_habitat_id here, sel_habitat_id there) {
    return here != there && here != SEL_HABITAT_UNKNOWN && there != SEL_HABITAT_UNKNOWN &&
           HABITATS[here - 1].trap && HABITATS[there - 1].trap;
}

static int by_score(const void *a, const void *b) {
    const struct sel_candidate *first = a, *second = b;
    if (first->score != second->score)
        return first->score < second->score ? 1 : -1;
    if (first->hy != second->hy)
        return first->hy < second->hy ? -1 : 1;
    return first->hx < second->hx ? -1 : first->hx > second->hx;
}

static void find_candidates(struct output_scene *scene) {
    size_t capacity = 0;
    for (int64_t row = 2; row < scene->study.grid.rows - 2; row++) {
        for (int64_t col = 2; col < scene->study.grid.cols - 2; col++) {
            if (scatter((uint32_t)row, (uint32_t)col, 9) != 0)
                continue;
            sel_habitat_id here = output_scene_habitat(scene, row, col);
            bool vertical = may_stand(here, output_scene_habitat(scene, row, col + 1));
            if (vertical || may_stand(here, output_scene_habitat(scene, row + 1, col)))
                add_candidate(scene, row, col, vertical, &capacity);
        }
    }
    scene->survey.eligible_count = scene->survey.candidate_count;
    qsort(scene->survey.candidates, scene->survey.candidate_count, sizeof *scene->survey.candidates,
        by_score);
}

// --- sites ---

static double apart(const struct sel_candidate *a, const struct sel_candidate *b) {
    return hypot(5.0 * (a->hx - b->hx), 5.0 * (a->hy - b->hy));
}

static void fill_horizon(struct sel_horizon *horizon, bool complete) {
    for (int i = 0; i < SEL_HORIZON_DIRECTIONS; i++) {
        horizon->ground_tan[i] = i < 36 ? 0.05f : 0.1f;
        horizon->canopy_tan[i] = i >= 54 ? 0.8f : horizon->ground_tan[i];
        horizon->cover[i] = i >= 54 ? 0.75f : 0.0f;
    }
    horizon->complete = complete;
}

// Two sites of four never see more than half of the sun.
static void fill_exposure(struct sel_exposure *exposure, size_t index) {
    bool bright = index % 4 < 2;
    *exposure = (struct sel_exposure){.sun_share = 0.6,
        .sun_hours = 9.5,
        .morning_h = 4.25,
        .afternoon_h = 5.25,
        .sky_view = 0.7,
        .light_azimuth_deg = 187.0,
        .kwh_m2_day = 5.5,
        .first_sun_h = 4.5,
        .last_sun_h = 19.75,
        .first_bright_h = bright ? 8.1 : (double)NAN,
        .last_bright_h = bright ? 17.2 : (double)NAN};
}

static void fill_profile(struct output_scene *scene, struct sel_site *site) {
    const struct sel_candidate *candidate = &scene->survey.candidates[site->candidate];
    site->profile_count = 25;
    site->profile = must(calloc(site->profile_count, sizeof *site->profile));
    for (int i = 0; i < 25; i++) {
        float along = -60.0f + 5.0f * (float)i;
        site->profile[i] = (struct sel_profile_point){along, 310.0f + 0.1f * along,
            i < 12 ? 1.0f : 16.0f, i < 12 ? candidate->a : candidate->b};
    }
}

// 300 m from the west in three steps, climbing 6 m, 0 m and 3 m.
static void fill_access(
    struct output_scene *scene, OGRCoordinateTransformationH to_geographic, struct sel_site *site) {
    const struct sel_plan_criterion *criterion = &scene->plan.criteria[SEL_CRITERION_ACCESS];
    static const double RISEN[] = {0, 6, 6, 9};
    site->access_x = site->access_y = (double)NAN;
    site->access_latitude = site->access_longitude = (double)NAN;
    if (!scene->survey.in_use[SEL_CRITERION_ACCESS])
        return;
    site->access_x = site->access_longitude = site->x - 300;
    site->access_y = site->access_latitude = site->y;
    if (!OCTTransform(to_geographic, 1, &site->access_longitude, &site->access_latitude, NULL))
        abort();
    if (criterion->by != SEL_ACCESS_BY_TIME)
        return;
    double minutes = 300 / METRES_PER_MINUTE;
    site->walk = (struct sel_site_walk){300, minutes, minutes + 0.25, minutes - 0.25, 9, 0,
        must(calloc(4, sizeof *site->walk.places)), 4, false};
    for (int i = 0; i < 4; i++)
        site->walk.places[i] = (struct sel_walk_place){
            site->x - 300 + 100 * i, site->y, 310 + RISEN[i], minutes * i / 3, true};
}

static void fill_names(struct sel_site *site, size_t index) {
    site->notes = must(strdup(index == 1 ? "<script>alert('x')</script> \x1B[31mred" : ""));
    site->zone = index == 2 ? must(strdup("hay-meadow agreement \"A\"; cattle from June")) : NULL;
    site->parcel = must(strdup(index == 0 ? "12/4 \xD7\x97\xD7\x9C\xD7\xA7\xD7\x94" : "12/5"));
    site->owner = index == 3 ? NULL : must(strdup("O'Malley & \"Sons\" \xF0\x9F\x90\x9D <o>"));
    site->clearing = index != 2;
}

static void fill_site(struct output_scene *scene, OGRCoordinateTransformationH to_geographic,
    struct sel_site *site, size_t index) {
    const struct sel_candidate *candidate = &scene->survey.candidates[site->candidate];
    site->x = sel_grid_x(&scene->study.grid, candidate->hx);
    site->y = sel_grid_y(&scene->study.grid, candidate->hy);
    site->longitude = site->x;
    site->latitude = site->y;
    if (!OCTTransform(to_geographic, 1, &site->longitude, &site->latitude, NULL))
        abort();
    site->convergence = 0.137;
    site->declination_deg = site->panel_magnetic_deg = site->head_magnetic_deg = (double)NAN;
    site->bearings = (struct sel_trap_bearings){24.137, 114.137, 24.137, 204.137, index % 2 == 0};
    for (int i = 0; i < SEL_CRITERIA; i++)
        site->values[i] = scene->survey.in_use[i]
                              ? worth(&scene->plan.criteria[i], candidate->measure[i])
                              : (double)NAN;
    site->coordinate_uncertainty_m = 12.0;
    site->declination_deg = site->panel_magnetic_deg = site->head_magnetic_deg = (double)NAN;
    fill_access(scene, to_geographic, site);
    fill_names(site, index);
    site->support = HABITATS[candidate->a - 1].support;
    site->water_m = index == 4 ? (double)NAN : 85.0;
    site->above_water_m = index == 4 ? (double)NAN : 6.4;
    fill_horizon(&site->horizon, candidate->horizon_complete);
    fill_exposure(&site->exposure, index);
    fill_profile(scene, site);
    int64_t row = candidate->hy / 2, col = candidate->hx / 2;
    site->close_up = picture_of(scene, (struct sel_window){row - 20, col - 20, 40, 40}, 1);
}

static bool far_from_sites(
    const struct sel_survey *survey, size_t candidate, double apart_m, int but_rank) {
    for (size_t i = 0; i < survey->site_count; i++)
        if (survey->sites[i].rank != but_rank &&
            apart(&survey->candidates[candidate], &survey->candidates[survey->sites[i].candidate]) <
                apart_m)
            return false;
    return true;
}

static void take(struct sel_survey *survey, size_t candidate, int rank, int reserve) {
    survey->sites[survey->site_count++] =
        (struct sel_site){.candidate = candidate, .rank = rank, .reserve = reserve};
}

static bool taken(const struct sel_survey *survey, size_t candidate) {
    for (size_t i = 0; i < survey->site_count; i++)
        if (survey->sites[i].candidate == candidate)
            return true;
    return false;
}

static void take_reserves(struct sel_survey *survey, int rank, size_t site, int wanted) {
    int found = 0;
    size_t primary = survey->sites[site].candidate;
    for (size_t i = 0; i < survey->candidate_count && found < wanted; i++) {
        double distance = apart(&survey->candidates[i], &survey->candidates[primary]);
        if (distance > 60 && distance < survey->plan->choose.apart_m && !taken(survey, i) &&
            far_from_sites(survey, i, survey->plan->choose.apart_m, rank))
            take(survey, i, rank, ++found);
    }
}

static int by_rank(const void *a, const void *b) {
    const struct sel_site *first = a, *second = b;
    if (first->rank != second->rank)
        return first->rank - second->rank;
    return first->reserve - second->reserve;
}

static void choose(struct output_scene *scene, struct output_scene_size size) {
    struct sel_survey *survey = &scene->survey;
    survey->sites = must(calloc((size_t)(size.sites * (size.reserves + 1)), sizeof *survey->sites));
    for (size_t i = 0; i < survey->candidate_count && (int)survey->site_count < size.sites; i++)
        if (far_from_sites(survey, i, size.apart_m, 0))
            take(survey, i, (int)survey->site_count + 1, 0);
    size_t primaries = survey->site_count;
    for (size_t i = 0; i < primaries; i++)
        take_reserves(survey, (int)i + 1, i, size.reserves);
    qsort(survey->sites, survey->site_count, sizeof *survey->sites, by_rank);
    survey->tally.sites = (int64_t)primaries;
    survey->tally.reserves = (int64_t)(survey->site_count - primaries);
}

static void describe_sites(struct output_scene *scene) {
    OGRSpatialReferenceH from = OSRNewSpatialReference(scene->study.grid.crs);
    OGRSpatialReferenceH to = OSRNewSpatialReference(NULL);
    if (OSRImportFromEPSG(to, 4326) != OGRERR_NONE)
        abort();
    OSRSetAxisMappingStrategy(from, OAMS_TRADITIONAL_GIS_ORDER);
    OSRSetAxisMappingStrategy(to, OAMS_TRADITIONAL_GIS_ORDER);
    OGRCoordinateTransformationH transform = OCTNewCoordinateTransformation(from, to);
    for (size_t i = 0; i < scene->survey.site_count; i++)
        fill_site(scene, must(transform), &scene->survey.sites[i], i);
    OCTDestroyCoordinateTransformation(transform);
    OSRRelease(from);
    OSRRelease(to);
}

static void find_rivals(struct sel_survey *survey) {
    size_t capacity = 0;
    for (size_t s = 0; s < survey->site_count; s++) {
        if (survey->sites[s].reserve > 0)
            continue;
        const struct sel_candidate *site = &survey->candidates[survey->sites[s].candidate];
        for (size_t i = 0; i < survey->candidate_count; i++) {
            double distance = apart(site, &survey->candidates[i]);
            if (distance == 0 || distance > 1000)
                continue;
            survey->rivals = must(sel_grow(
                survey->rivals, survey->rival_count + 1, &capacity, sizeof *survey->rivals));
            survey->rivals[survey->rival_count++] =
                (struct sel_rival){i, survey->sites[s].rank, distance,
                    distance < survey->plan->choose.apart_m ? "too near site" : "lower score"};
        }
    }
}

// --- counts ---

static void fill_tally(struct sel_survey *survey) {
    struct sel_tally *tally = &survey->tally;
    tally->eligible = (int64_t)survey->candidate_count;
    int64_t lost = tally->eligible - (int64_t)survey->site_count;
    tally->near_occupied = lost / 10;
    tally->near_chosen = lost / 5;
    tally->over_quota = lost / 20;
    tally->lower_score = lost - tally->near_occupied - tally->near_chosen - tally->over_quota;
    tally->beyond_limit[SEL_CRITERION_SLOPE] = 11;
    tally->beyond_limit[SEL_CRITERION_ACCESS] = 3;
    tally->fates[SEL_FATE_CANDIDATE] = tally->eligible + 14;
    tally->fates[SEL_FATE_OUTSIDE] = 1234;
    tally->fates[SEL_FATE_NO_GROUND] = 56;
    tally->fates[SEL_FATE_EXCLUDED] = 78;
    tally->fates[SEL_FATE_NO_SLOPE] = 9;
    tally->fates[SEL_FATE_STEEP] = 10;
    tally->fates[SEL_FATE_NO_DIRECTION] = 11;
    tally->fates[SEL_FATE_UNKNOWN_BELT] = 12;
    tally->cracks = 99999;
}

static void count_pair(struct sel_survey *survey, sel_habitat_id a, sel_habitat_id b) {
    struct sel_pair_total total = {.a = a, .b = b};
    for (size_t i = 0; i < survey->candidate_count; i++)
        total.candidates += survey->candidates[i].a == a && survey->candidates[i].b == b;
    for (size_t i = 0; i < survey->site_count; i++) {
        const struct sel_candidate *made = &survey->candidates[survey->sites[i].candidate];
        total.sites += survey->sites[i].reserve == 0 && made->a == a && made->b == b;
    }
    if (total.candidates > 0)
        survey->pairs[survey->pair_count++] = total;
}

static void count_pairs(struct sel_survey *survey) {
    survey->pairs = must(calloc(SCENE_HABITATS * SCENE_HABITATS, sizeof *survey->pairs));
    for (int a = 1; a <= SCENE_HABITATS; a++)
        for (int b = a + 1; b <= SCENE_HABITATS; b++)
            count_pair(survey, (sel_habitat_id)a, (sel_habitat_id)b);
}

static void fill_remarks(struct sel_survey *survey) {
    survey->remark_count = 2;
    survey->remarks = must(calloc(2, sizeof *survey->remarks));
    survey->remarks[0] = must(strdup("elevation: the unit is not told; metres are assumed"));
    survey->remarks[1] = must(strdup("canopy: not given; the habitats' own heights are used"));
}

static void fill_survey(struct output_scene *scene, struct output_scene_size size) {
    struct sel_survey *survey = &scene->survey;
    survey->plan = &scene->plan;
    survey->study = &scene->study;
    double sum = 0;
    for (int i = 0; i < SEL_CRITERIA; i++) {
        survey->in_use[i] = i != SEL_CRITERION_ACCESS || !size.no_access;
        sum += survey->in_use[i] ? scene->plan.criteria[i].weight : 0.0;
    }
    for (int i = 0; i < SEL_CRITERIA; i++)
        survey->weights[i] = survey->in_use[i] ? scene->plan.criteria[i].weight / sum : 0.0;
    find_candidates(scene);
    choose(scene, size);
    describe_sites(scene);
    find_rivals(survey);
    fill_tally(survey);
    count_pairs(survey);
    output_choice_fill(survey, size.apart_m);
    fill_remarks(survey);
    int64_t step = size.cols > 800 ? size.cols / 800 + 1 : 1;
    survey->backdrop = picture_of(scene, (struct sel_window){0, 0, size.rows, size.cols}, step);
}

// --- files the plan names ---

static void write_text(const char *path, const char *text) {
    FILE *stream = must(fopen(path, "wb"));
    if (fputs(text, stream) < 0 || fclose(stream) != 0)
        abort();
}

static void write_inputs(const struct output_scene *scene) {
    char command[8192];
    write_text(scene->plan.path, "plan: 1\n");
    write_text(scene->plan.habitats_source, "value,habitat\n10,arable\n");
    snprintf(command, sizeof command,
        "cd '%s' && gdal_create -q -of GTiff -outsize 60 50 -bands 1 -burn 10 -a_srs EPSG:32633 "
        "-a_ullr 512000 5126000 512600 5125500 lc.tif && "
        "gdal_create -q -of GTiff -outsize 20 17 -bands 1 -ot Float32 -burn 310 -a_srs EPSG:32633 "
        "-a_ullr 512000 5126000 512600 5125490 dem.tif && gdalbuildvrt -q lc.vrt lc.tif",
        scene->folder);
    if (output_scene_run(command, NULL) != 0)
        abort();
}

// --- life ---

static void walk_to_access(struct sel_plan *plan) {
    struct sel_plan_criterion *access = &plan->criteria[SEL_CRITERION_ACCESS];
    *access = criterion(1, 5, 1, 45, 0);
    access->by = SEL_ACCESS_BY_TIME;
    access->has_limit = true;
    access->limit = 60;
}

static struct output_scene *new_scene(struct output_scene_size size, bool on_foot) {
    GDALAllRegister();
    struct output_scene *scene = must(calloc(1, sizeof *scene));
    scene->context = must(sel_context_new());
    scene->folder = scene_folder();
    fill_plan(scene, size);
    if (on_foot)
        walk_to_access(&scene->plan);
    fill_study(scene, size);
    fill_survey(scene, size);
    write_inputs(scene);
    return scene;
}

struct output_scene *output_scene_new(struct output_scene_size size) {
    return new_scene(size, false);
}

struct output_scene *output_scene_on_foot(struct output_scene_size size) {
    return new_scene(size, true);
}

static void free_picture(struct sel_picture *picture) {
    free(picture->habitat);
    free(picture->shade);
}

static void free_survey(struct sel_survey *survey) {
    output_choice_clear(survey);
    for (size_t i = 0; i < survey->site_count; i++) {
        struct sel_site *site = &survey->sites[i];
        free(site->parcel);
        free(site->owner);
        free(site->zone);
        free(site->notes);
        free(site->profile);
        free(site->walk.places);
        free_picture(&site->close_up);
    }
    for (size_t i = 0; i < survey->remark_count; i++)
        free(survey->remarks[i]);
    free(survey->remarks);
    free(survey->sites);
    free(survey->candidates);
    free(survey->rivals);
    free(survey->pairs);
    free_picture(&survey->backdrop);
}

static void free_facts(struct sel_raster_facts *raster) {
    free(raster->file);
    free(raster->driver);
    free(raster->crs_name);
    free(raster->unit);
}

static void free_plan(struct sel_plan *plan) {
    for (int i = 0; i < plan->habitats.count; i++)
        free(plan->habitats.items[i].name);
    free(plan->habitats.items);
    free(plan->habitats.values);
    free(plan->folder);
    free(plan->path);
    free(plan->title);
    free(plan->landcover.file);
    free(plan->elevation.file);
    free(plan->habitats_source);
}

void output_scene_free(struct output_scene *scene) {
    free_survey(&scene->survey);
    free_facts(&scene->study.landcover);
    free_facts(&scene->study.elevation);
    free(scene->study.grid.crs);
    free_plan(&scene->plan);
    scene_remove(scene->folder);
    sel_context_free(scene->context);
    free(scene);
}

int output_scene_tear_down(void **state) {
    output_scene_free(*state);
    return 0;
}

char *output_scene_path(const struct output_scene *scene, const char *name) {
    size_t room = strlen(scene->folder) + strlen(name) + 2;
    char *path = must(malloc(room));
    snprintf(path, room, "%s/%s", scene->folder, name);
    return path;
}

char *output_scene_column(char prefix, enum sel_criterion criterion) {
    const char *name = sel_criterion_name(criterion);
    char *column = must(malloc(strlen(name) + 3));
    snprintf(column, strlen(name) + 3, "%c_%s", prefix, name);
    return column;
}

// --- edges ---

struct line_maker {
    const struct output_scene *scene;
    struct sel_traced_lines *lines;
};

static void add_run(struct line_maker *maker, sel_habitat_id a, sel_habitat_id b, struct vec2 from,
    struct vec2 to) {
    struct sel_traced_lines *lines = maker->lines;
    lines->items =
        must(sel_grow(lines->items, lines->count + 1, &lines->capacity, sizeof *lines->items));
    lines->vertices = must(sel_grow(lines->vertices, lines->vertex_count + 2,
        &lines->vertex_capacity, sizeof *lines->vertices));
    double half_cells = fabs(to.x - from.x) + fabs(to.y - from.y);
    lines->items[lines->count++] = (struct sel_traced_line){.a = a < b ? a : b,
        .b = a < b ? b : a,
        .first = lines->vertex_count,
        .count = 2,
        .crack_count = (int32_t)(half_cells / 2),
        .length_m = half_cells * 5.0};
    lines->vertices[lines->vertex_count++] = from;
    lines->vertices[lines->vertex_count++] = to;
}

// The cracks between line `at` of cells and the next, in runs of one pair.
static void add_runs(
    struct line_maker *maker, int64_t at, int64_t first, int64_t end, bool vertical) {
    for (int64_t i = first; i < end;) {
        sel_habitat_id here = vertical ? output_scene_habitat(maker->scene, i, at)
                                       : output_scene_habitat(maker->scene, at, i);
        sel_habitat_id there = vertical ? output_scene_habitat(maker->scene, i, at + 1)
                                        : output_scene_habitat(maker->scene, at + 1, i);
        int64_t run = i;
        for (; i < end; i++) {
            sel_habitat_id h = vertical ? output_scene_habitat(maker->scene, i, at)
                                        : output_scene_habitat(maker->scene, at, i);
            sel_habitat_id t = vertical ? output_scene_habitat(maker->scene, i, at + 1)
                                        : output_scene_habitat(maker->scene, at + 1, i);
            if (h != here || t != there)
                break;
        }
        if (here == there || here == SEL_HABITAT_UNKNOWN || there == SEL_HABITAT_UNKNOWN)
            continue;
        double line = 2.0 * (double)(at + 1), from = 2.0 * (double)run, to = 2.0 * (double)i;
        add_run(maker, here, there,
            vertical ? (struct vec2){line, from} : (struct vec2){from, line},
            vertical ? (struct vec2){line, to} : (struct vec2){to, line});
    }
}

void output_scene_block(const struct output_scene *scene, int64_t block_row, int64_t block_col,
    struct sel_traced_lines *lines) {
    struct line_maker maker = {scene, lines};
    int64_t row = block_row * SEL_TRACE_BLOCK, col = block_col * SEL_TRACE_BLOCK;
    lines->count = lines->vertex_count = 0;
    for (int64_t i = 0; i < SEL_TRACE_BLOCK; i++) {
        add_runs(&maker, row + i, col, col + SEL_TRACE_BLOCK, false);
        add_runs(&maker, col + i, row, row + SEL_TRACE_BLOCK, true);
    }
}

sel_status output_scene_write(
    struct output_scene *scene, const char *path, bool overwrite, bool backwards) {
    struct sel_geopackage *file;
    sel_status status =
        sel_geopackage_open(scene->context, path, overwrite, &scene->plan, &scene->study, &file);
    int64_t rows = (scene->study.grid.rows + SEL_TRACE_BLOCK - 1) / SEL_TRACE_BLOCK;
    int64_t cols = (scene->study.grid.cols + SEL_TRACE_BLOCK - 1) / SEL_TRACE_BLOCK;
    struct sel_traced_lines lines = {0};
    for (int64_t i = 0; i < rows * cols && status == SEL_OK; i++) {
        int64_t block = backwards ? rows * cols - 1 - i : i;
        output_scene_block(scene, block / cols, block % cols, &lines);
        status = sel_geopackage_add_edges(file, block / cols, block % cols, &lines);
    }
    free(lines.items);
    free(lines.vertices);
    if (!file)
        return status;
    if (status == SEL_OK)
        return sel_geopackage_finish(file, &scene->survey);
    sel_geopackage_abandon(file);
    return status;
}

// --- other programs ---

int output_scene_run(const char *command, char **output) {
    FILE *pipe = must(popen(command, "r"));
    struct sel_text text;
    char block[4096];
    size_t got;
    sel_text_init(&text);
    while ((got = fread(block, 1, sizeof block, pipe)) > 0)
        sel_text_add_bytes(&text, block, got);
    int result = pclose(pipe);
    char *printed = must(sel_text_take(&text));
    if (output)
        *output = printed;
    else
        free(printed);
    return WIFEXITED(result) ? WEXITSTATUS(result) : 255;
}

char *output_scene_sql(const char *path, const char *query) {
    struct sel_text command;
    char *answer;
    sel_text_init(&command);
    sel_text_addf(&command, "sqlite3 -batch -list '%s' \"%s\"", path, query);
    if (output_scene_run(must(command.chars), &answer) != 0)
        abort();
    sel_text_clear(&command);
    size_t length = strlen(answer);
    if (length > 0 && answer[length - 1] == '\n')
        answer[length - 1] = '\0';
    return answer;
}

int output_scene_files(const struct output_scene *scene, const char *part) {
    DIR *folder = must(opendir(scene->folder));
    int count = 0;
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;)
        count += strstr(entry->d_name, part) != NULL;
    closedir(folder);
    return count;
}
