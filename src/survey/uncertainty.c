// SPDX-License-Identifier: MIT
//
// Two kinds of error are drawn, each apart from the other. Elevations get a Gaussian error that is
// alike over a few cells of the elevation raster (as in Oksanen & Sarjakoski 2005, from memory),
// and the slope is taken anew. Of the two habitats each is, with the land cover's accuracy, what
// the map says; else it is another one, by the length of edge that the others have in the survey,
// and the contrast of the belt is taken anew. What else errors would change - light, the edge's
// place, limits - is left as it is, so the range told is rather too narrow than too wide.
#include "survey/uncertainty.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "score/field.h"
#include "score/score.h"
#include "survey/ground.h"
#include "survey/pool.h"
#include "terrain/slope.h"

enum { DRAWS = 1000, SLOPE_RADIUS = 1 };
static const double LOW = 0.05, HIGH = 0.95;
static const double RANGE_CELLS = 3; // of the elevation raster; our own choice
static const double METRES_PER_DEGREE = 111195, METRES_PER_FOOT = 0.3048;

// What one site's draws need.
struct doubt {
    const struct sel_survey *survey;
    struct sel_worker *worker;
    const struct sel_candidate *candidate;
    double *scores;               // of the draws
    double *shares;               // of edge length, by habitat id
    struct sel_window window;     // of the elevations below
    float *ground, *shaken;       // owned
    struct sel_field field;       // at the cells of the window
    struct sel_habitat_view view; // habitats around; the worker's
    struct sel_contrast confused; // the contrasts as a draw has them
    double *contrasts;            // of each pair drawn so far; NAN: not yet
};

static size_t habitats_of(const struct doubt *d) {
    return (size_t)d->survey->plan->habitats.count + 1;
}

// ---- slope ----

static struct sel_crack crack_of(const struct sel_candidate *candidate) {
    return (struct sel_crack){
        candidate->crack_hx, candidate->crack_hy, candidate->a, candidate->b, candidate->a_first};
}

// The cells that hold the trap with their neighbours: at most 3 x 4.
static struct sel_window slope_window(const struct sel_candidate *candidate) {
    struct sel_crack crack = crack_of(candidate);
    int64_t row_a, col_a, row_b, col_b;
    sel_crack_cell(&crack, candidate->trap_a, &row_a, &col_a);
    sel_crack_cell(&crack, !candidate->trap_b, &row_b, &col_b);
    int64_t row = row_a < row_b ? row_a : row_b, col = col_a < col_b ? col_a : col_b;
    struct sel_window cells = {row, col, llabs(row_a - row_b) + 1, llabs(col_a - col_b) + 1};
    return sel_window_grow(cells, SLOPE_RADIUS);
}

// The steeper of the inner cells of the window.
static double slope_of(const struct doubt *d, const float *ground) {
    const struct sel_grid *grid = &d->survey->study->grid;
    double steepest = 0;
    for (int64_t row = SLOPE_RADIUS; row < d->window.rows - SLOPE_RADIUS; row++)
        for (int64_t col = SLOPE_RADIUS; col < d->window.cols - SLOPE_RADIUS; col++)
            steepest = fmax(steepest, sel_slope_at(ground, d->window.rows, d->window.cols, row, col,
                                          grid->cell_x_m, grid->cell_y_m));
    return steepest;
}

// Metres on the ground per unit of the elevation raster's coordinate system.
static double metres_per_unit(const struct sel_raster_facts *facts) {
    if (strncasecmp(facts->unit, "degree", strlen("degree")) == 0)
        return METRES_PER_DEGREE;
    return strstr(facts->unit, "foot") || strstr(facts->unit, "Foot") ? METRES_PER_FOOT : 1;
}

static double range_m(const struct sel_survey *survey) {
    const struct sel_raster_facts *facts = &survey->study->elevation;
    double range = survey->plan->uncertainty.elevation_range_m;
    double cell = fmax(facts->pixel_y * metres_per_unit(facts), survey->study->grid.cell_y_m);
    return isnan(range) ? RANGE_CELLS * cell : range;
}

static sel_status aim_slope(sel_context *context, struct doubt *d) {
    const struct sel_grid *grid = &d->survey->study->grid;
    const float *metres;
    double places[SEL_FIELD_PLACES_MOST][2];
    d->window = slope_window(d->candidate);
    int cells = (int)sel_window_cells(d->window);
    sel_status status = sel_ground_elevation(context, d->worker, d->window, &metres);
    if (status != SEL_OK)
        return status;
    memcpy(d->ground, metres, (size_t)cells * sizeof *metres);
    for (int64_t i = 0; i < cells; i++) {
        int64_t row = i / d->window.cols, col = i % d->window.cols;
        places[i][0] = (double)col * grid->cell_x_m;
        places[i][1] = (double)row * grid->cell_y_m;
    }
    sel_field_init(&d->field, (const double(*)[2])places, cells,
        d->survey->plan->uncertainty.elevation_rmse_m, range_m(d->survey));
    return SEL_OK;
}

static double draw_slope(struct doubt *d, struct sel_random *random) {
    double errors[SEL_FIELD_PLACES_MOST];
    sel_field_draw(&d->field, random, errors);
    for (int i = 0; i < d->field.count; i++)
        d->shaken[i] = d->ground[i] + (float)errors[i];
    return slope_of(d, d->shaken);
}

// ---- contrast ----

static void share_out(const struct sel_survey *survey, double *shares) {
    for (size_t i = 0; i < survey->pair_count; i++) {
        shares[survey->pairs[i].a] += survey->pairs[i].length_m;
        shares[survey->pairs[i].b] += survey->pairs[i].length_m;
    }
}

static sel_status aim_contrast(sel_context *context, struct doubt *d) {
    const sel_habitat_id *raw;
    struct sel_window cell = {d->candidate->crack_hy / 2, d->candidate->crack_hx / 2, 1, 1};
    d->view.window = sel_window_grow(cell, sel_belt_halo(&d->worker->job->belt) + 2);
    for (size_t i = 0; i < habitats_of(d) * habitats_of(d); i++)
        d->contrasts[i] = (double)NAN;
    return sel_ground_habitats(context, d->worker, d->view.window, &raw, &d->view.ids);
}

// What a habitat on the map is in a draw.
static sel_habitat_id draw_habitat(
    const struct doubt *d, sel_habitat_id mapped, struct sel_random *random) {
    double chance = sel_random_share(random), rest = sel_random_share(random), others = 0;
    if (chance < d->survey->plan->uncertainty.landcover_accuracy)
        return mapped;
    for (size_t id = 1; id < habitats_of(d); id++)
        others += id == mapped ? 0 : d->shares[id];
    rest *= others;
    sel_habitat_id drawn = mapped;
    for (size_t id = 1; id < habitats_of(d) && rest >= 0; id++) {
        if (id == mapped || d->shares[id] <= 0)
            continue;
        drawn = (sel_habitat_id)id;
        rest -= d->shares[id];
    }
    return drawn;
}

// Contrasts in which a and b stand for others: rows, then columns, are taken from those.
static void confuse(struct doubt *d, sel_habitat_id true_a, sel_habitat_id true_b) {
    const struct sel_contrast *told = &d->worker->job->contrast;
    size_t side = habitats_of(d);
    for (size_t i = 0; i < side; i++) {
        for (size_t k = 0; k < side; k++) {
            size_t row = i == d->candidate->a ? true_a : i == d->candidate->b ? true_b : i;
            size_t col = k == d->candidate->a ? true_a : k == d->candidate->b ? true_b : k;
            d->confused.values[i * side + k] = told->values[row * side + col];
        }
    }
}

static double contrast_with(struct doubt *d, sel_habitat_id true_a, sel_habitat_id true_b) {
    const struct sel_candidate *candidate = d->candidate;
    if (true_a == candidate->a && true_b == candidate->b)
        return candidate->measure[SEL_CRITERION_EDGE_CONTRAST];
    struct sel_crack crack = crack_of(candidate);
    struct sel_tangent tangent = {.along = {(double)candidate->along_x, (double)candidate->along_y},
        .toward_a = {(double)candidate->toward_a_x, (double)candidate->toward_a_y}};
    struct sel_belt belt;
    confuse(d, true_a, true_b);
    sel_measure_belt(&d->view, &crack, &tangent, &d->worker->job->belt, &d->confused, &belt);
    return (double)belt.contrast;
}

static double draw_contrast(struct doubt *d, struct sel_random *random) {
    sel_habitat_id true_a = draw_habitat(d, d->candidate->a, random);
    sel_habitat_id true_b = draw_habitat(d, d->candidate->b, random);
    double *known = &d->contrasts[true_a * habitats_of(d) + true_b];
    if (isnan(*known))
        *known = contrast_with(d, true_a, true_b);
    return *known;
}

// ---- score ----

static struct sel_random stream(const struct doubt *d, enum sel_random_purpose purpose) {
    return sel_random_begin(d->survey->plan->seed, purpose, (uint32_t)d->candidate->crack_hy,
        (uint32_t)d->candidate->crack_hx);
}

static void draw_scores(struct doubt *d) {
    const struct sel_plan_uncertainty *asked = &d->survey->plan->uncertainty;
    struct sel_random elevation = stream(d, SEL_RANDOM_ELEVATION);
    struct sel_random landcover = stream(d, SEL_RANDOM_LANDCOVER);
    for (int draw = 0; draw < DRAWS; draw++) {
        struct sel_candidate other = *d->candidate;
        double values[SEL_CRITERIA];
        if (asked->elevation_rmse_m > 0)
            other.measure[SEL_CRITERION_SLOPE] = draw_slope(d, &elevation);
        if (asked->landcover_accuracy < 1)
            other.measure[SEL_CRITERION_EDGE_CONTRAST] = draw_contrast(d, &landcover);
        sel_candidate_values(d->survey, &other, values);
        d->scores[draw] =
            sel_aggregate_values(d->survey->plan->aggregate, d->survey->weights, values);
    }
}

static int rising(const void *left, const void *right) {
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

// The least score that such a share of the draws does not exceed.
static double percentile(const double *sorted, double share) {
    return sorted[(int)ceil(share * DRAWS) - 1];
}

static sel_status doubt_site(sel_context *context, struct doubt *d, struct sel_site *site) {
    d->candidate = &d->survey->candidates[site->candidate];
    sel_status status = aim_slope(context, d);
    if (status == SEL_OK)
        status = aim_contrast(context, d);
    if (status != SEL_OK)
        return status;
    draw_scores(d);
    qsort(d->scores, DRAWS, sizeof *d->scores, rising);
    site->score_low = percentile(d->scores, LOW);
    site->score_high = percentile(d->scores, HIGH);
    return SEL_OK;
}

static bool start(struct doubt *d) {
    size_t habitats = habitats_of(d);
    d->scores = malloc(DRAWS * sizeof *d->scores);
    d->shares = calloc(habitats, sizeof *d->shares);
    d->ground = malloc(SEL_FIELD_PLACES_MOST * sizeof *d->ground);
    d->shaken = malloc(SEL_FIELD_PLACES_MOST * sizeof *d->shaken);
    d->confused.count = d->survey->plan->habitats.count;
    d->confused.values = malloc(habitats * habitats * sizeof *d->confused.values);
    d->contrasts = malloc(habitats * habitats * sizeof *d->contrasts);
    return d->scores && d->shares && d->ground && d->shaken && d->confused.values && d->contrasts;
}

static void finish(struct doubt *d) {
    free(d->scores);
    free(d->shares);
    free(d->ground);
    free(d->shaken);
    sel_contrast_clear(&d->confused);
    free(d->contrasts);
}

sel_status sel_uncertainty_find(
    sel_context *context, struct sel_worker *worker, struct sel_survey *survey) {
    const struct sel_plan_uncertainty *asked = &survey->plan->uncertainty;
    for (size_t i = 0; i < survey->site_count; i++)
        survey->sites[i].score_low = survey->sites[i].score_high = (double)NAN;
    if (!(asked->elevation_rmse_m > 0) && !(asked->landcover_accuracy < 1))
        return SEL_OK;
    struct doubt d = {.survey = survey, .worker = worker};
    sel_status status = start(&d) ? SEL_OK : sel_fail_memory(context);
    if (status == SEL_OK)
        share_out(survey, d.shares);
    for (size_t i = 0; i < survey->site_count && status == SEL_OK; i++)
        status = doubt_site(context, &d, &survey->sites[i]);
    finish(&d);
    return status;
}
