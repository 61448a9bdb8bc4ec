// SPDX-License-Identifier: MIT
//
// Squares lie on whole multiples of their side in the grid's coordinate system, so they stay where
// they are when a raster is cut anew; their name is their south-west corner. Polygons of the same
// name make one block.
#include "survey/blocks.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

// Each candidate's square or polygon as one number; -1: none.
struct assignment {
    sel_context *context;
    const struct sel_job *job;
    struct sel_survey *survey;
    int64_t *keys; // per eligible candidate
    int64_t *met;  // the keys that occur, rising
    size_t met_count;
    int64_t *first; // owned; per polygon, the first of its name; NULL: squares
};

static double map_x(const struct sel_survey *survey, const struct sel_candidate *candidate) {
    return sel_grid_x(&survey->study->grid, candidate->hx);
}

static double map_y(const struct sel_survey *survey, const struct sel_candidate *candidate) {
    return sel_grid_y(&survey->study->grid, candidate->hy);
}

// ---- squares ----

// Room for 2^31 squares either way.
static const int64_t HALF = (int64_t)1 << 30, COLUMNS = (int64_t)1 << 31;

static double side_in_units(const struct sel_survey *survey) {
    return survey->plan->choose.block_m / survey->study->grid.metres;
}

static sel_status fail_square(const struct assignment *a) {
    return sel_fail(a->context, SEL_BAD_INPUT,
        "%s: choose.block_m: %g: the squares are too small to be numbered: make them larger",
        a->survey->plan->path, a->survey->plan->choose.block_m);
}

static sel_status key_squares(struct assignment *a) {
    double side = side_in_units(a->survey);
    for (size_t i = 0; i < a->survey->eligible_count; i++) {
        const struct sel_candidate *candidate = &a->survey->candidates[i];
        double col = floor(map_x(a->survey, candidate) / side);
        double row = floor(map_y(a->survey, candidate) / side);
        if (!(fabs(col) < (double)HALF && fabs(row) < (double)HALF))
            return fail_square(a);
        a->keys[i] = ((int64_t)row + HALF) * COLUMNS + (int64_t)col + HALF;
    }
    return SEL_OK;
}

static char *name_square(const struct assignment *a, int64_t key) {
    double side = side_in_units(a->survey);
    int64_t col = key % COLUMNS - HALF, row = key / COLUMNS - HALF;
    struct sel_text text;
    sel_text_init(&text);
    sel_text_addf(&text, "E %.10g N %.10g", side * (double)col, side * (double)row);
    return sel_text_take(&text);
}

// ---- polygons ----

// The first polygon of the same name.
static int64_t first_of_name(const struct sel_polygons *polygons, int64_t index) {
    int64_t first = 0;
    while (strcmp(sel_polygons_name(polygons, first), sel_polygons_name(polygons, index)) != 0)
        first++;
    return first;
}

static sel_status key_polygons(struct assignment *a) {
    struct sel_polygons_query *query = NULL;
    int64_t polygons = sel_polygons_count(a->job->blocks);
    a->first = calloc((size_t)polygons + 1, sizeof *a->first);
    if (!a->first)
        return sel_fail_memory(a->context);
    sel_status status = sel_polygons_query_new(a->context, a->job->blocks, &query);
    for (int64_t i = 0; i < polygons && status == SEL_OK; i++)
        a->first[i] = first_of_name(a->job->blocks, i);
    for (size_t i = 0; i < a->survey->eligible_count && status == SEL_OK; i++) {
        const struct sel_candidate *candidate = &a->survey->candidates[i];
        int64_t at =
            sel_polygons_at(query, map_x(a->survey, candidate), map_y(a->survey, candidate));
        a->keys[i] = at < 0 ? -1 : a->first[at];
    }
    if (status == SEL_OK)
        status = sel_polygons_query_status(a->context, query);
    sel_polygons_query_free(query);
    return status;
}

// ---- numbers ----

static int compare_keys(const void *left, const void *right) {
    int64_t a = *(const int64_t *)left, b = *(const int64_t *)right;
    return (a > b) - (a < b);
}

static void list_met(struct assignment *a) {
    size_t count = a->survey->eligible_count;
    memcpy(a->met, a->keys, count * sizeof *a->met);
    qsort(a->met, count, sizeof *a->met, compare_keys);
    for (size_t i = 0; i < count; i++)
        if (a->met[i] >= 0 && (a->met_count == 0 || a->met[i] != a->met[a->met_count - 1]))
            a->met[a->met_count++] = a->met[i];
}

static size_t polygon_count(const struct assignment *a) {
    return a->job->blocks ? (size_t)sel_polygons_count(a->job->blocks) : 0;
}

static sel_status name_blocks(struct assignment *a) {
    struct sel_survey *survey = a->survey;
    survey->blocks = calloc(a->met_count + polygon_count(a) + 1, sizeof *survey->blocks);
    if (!survey->blocks)
        return sel_fail_memory(a->context);
    for (; survey->block_count < a->met_count; survey->block_count++) {
        int64_t key = a->met[survey->block_count];
        char *name =
            a->job->blocks ? strdup(sel_polygons_name(a->job->blocks, key)) : name_square(a, key);
        if (!name)
            return sel_fail_memory(a->context);
        survey->blocks[survey->block_count].name = name;
    }
    return SEL_OK;
}

static sel_status name_empty_blocks(struct assignment *a) {
    struct sel_survey *survey = a->survey;
    for (int64_t i = 0; i < (int64_t)polygon_count(a); i++) {
        if (a->first[i] != i || bsearch(&i, a->met, a->met_count, sizeof *a->met, compare_keys))
            continue;
        char *name = strdup(sel_polygons_name(a->job->blocks, i));
        if (!name)
            return sel_fail_memory(a->context);
        survey->blocks[survey->block_count + survey->empty_block_count++].name = name;
    }
    return SEL_OK;
}

static void number_candidates(struct assignment *a) {
    for (size_t i = 0; i < a->survey->eligible_count; i++) {
        struct sel_candidate *candidate = &a->survey->candidates[i];
        const int64_t *at =
            bsearch(&a->keys[i], a->met, a->met_count, sizeof *a->met, compare_keys);
        candidate->block = at ? (int32_t)(at - a->met) : SEL_NO_GROUP;
        if (at)
            a->survey->blocks[candidate->block].candidates++;
    }
}

static sel_status assign(struct assignment *a) {
    sel_status status = SEL_OK;
    if (a->job->blocks)
        status = key_polygons(a);
    else
        status = key_squares(a);
    if (status != SEL_OK)
        return status;
    list_met(a);
    status = name_blocks(a);
    if (status == SEL_OK)
        status = name_empty_blocks(a);
    if (status == SEL_OK)
        number_candidates(a);
    return status;
}

sel_status sel_blocks_assign(
    sel_context *context, const struct sel_job *job, struct sel_survey *survey) {
    for (size_t i = 0; i < survey->eligible_count; i++)
        survey->candidates[i].block = SEL_NO_GROUP;
    if (!job->blocks && !(survey->plan->choose.block_m > 0))
        return SEL_OK;
    struct assignment a = {.context = context, .job = job, .survey = survey};
    a.keys = calloc(survey->eligible_count + 1, sizeof *a.keys);
    a.met = malloc((survey->eligible_count + 1) * sizeof *a.met);
    sel_status status = a.keys && a.met ? assign(&a) : sel_fail_memory(context);
    free(a.keys);
    free(a.met);
    free(a.first);
    return status;
}
