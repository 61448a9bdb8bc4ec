// SPDX-License-Identifier: MIT
//
// Tables that repeat what was asked for: criteria, the plan as used, habitats with their colours.
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/text.h"
#include "output/secrets.h"
#include "output/writer.h"

// --- criteria ---

static int by_number(const void *a, const void *b) {
    double first = *(const double *)a, second = *(const double *)b;
    return (first > second) - (first < second);
}

struct spread {
    int64_t measured;
    double least, median, most;
};

// Of the measures of the eligible candidates: of all, or, for the sun, of those whose light was
// measured. False: out of memory.
static bool spread_of(
    const struct sel_survey *survey, enum sel_criterion criterion, struct spread *spread) {
    *spread = (struct spread){0, (double)NAN, (double)NAN, (double)NAN};
    double *measures = malloc((survey->eligible_count + 1) * sizeof *measures);
    if (!measures)
        return false;
    size_t count = 0;
    for (size_t i = 0; i < survey->eligible_count; i++) {
        double measure = sel_measure_told(survey, &survey->candidates[i], criterion);
        if (!isnan(measure))
            measures[count++] = measure;
    }
    if (count > 0) {
        qsort(measures, count, sizeof *measures, by_number);
        double middle = 0.5 * (measures[(count - 1) / 2] + measures[count / 2]);
        *spread = (struct spread){(int64_t)count, measures[0], middle, measures[count - 1]};
    }
    free(measures);
    return true;
}

static void add_breakpoints(struct sel_text *text, const struct sel_plan_criterion *criterion) {
    for (int i = 0; i < criterion->value_count; i++)
        sel_text_addf(text, "%s[%.10g, %.10g]", i == 0 ? "[" : ", ", criterion->value[i].at,
            criterion->value[i].worth);
    sel_text_add(text, "]");
}

static sel_status add_criterion(struct sel_geopackage *file, const struct sel_survey *survey,
    struct sel_table *table, enum sel_criterion which) {
    const struct sel_plan_criterion *criterion = &survey->plan->criteria[which];
    struct spread spread;
    struct sel_text value;
    sel_text_init(&value);
    add_breakpoints(&value, criterion);
    if (value.failed || !spread_of(survey, which, &spread)) {
        sel_text_clear(&value);
        return sel_fail_memory(file->context);
    }
    bool in_use = survey->in_use[which];
    struct sel_criterion_row row = {.criterion = sel_criterion_name(which),
        .unit = sel_measure_unit(survey->plan, which),
        .weight_as_written = criterion->weight,
        .weight = in_use ? survey->weights[which] : (double)NAN,
        .in_use = in_use,
        .value = value.chars,
        .limit = criterion->has_limit ? criterion->limit : (double)NAN,
        .measured = spread.measured,
        .least = spread.least,
        .median = spread.median,
        .most = spread.most};
    sel_status status = sel_add_row(file, table, &row);
    sel_text_clear(&value);
    return status;
}

sel_status sel_write_criteria(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct sel_table table = {0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_CRITERIA, &table);
    for (int i = 0; i < SEL_CRITERIA && status == SEL_OK; i++)
        status = add_criterion(file, survey, &table, (enum sel_criterion)i);
    sel_table_close(&table);
    return status;
}

// --- plan ---

struct plan_table {
    struct sel_geopackage *file;
    struct sel_table table;
};

static sel_status add_plan_row(void *user, const char *key, const char *value, bool is_default) {
    struct plan_table *plan = user;
    char *told = value ? sel_without_secrets(value) : NULL;
    if (value && !told)
        return sel_fail_memory(plan->file->context);
    struct sel_plan_row row = {key, told, is_default};
    sel_status status = sel_add_row(plan->file, &plan->table, &row);
    free(told);
    return status;
}

sel_status sel_write_plan(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct plan_table plan = {file, {0}};
    sel_status status = sel_begin_table(file, &SEL_TABLE_PLAN, &plan.table);
    if (status == SEL_OK)
        status = sel_plan_each(file->context, survey->plan, add_plan_row, &plan);
    sel_table_close(&plan.table);
    return status;
}

// --- habitats ---

// Shares of the backdrop's known pixels by habitat id; all 0 when there is none.
static void backdrop_shares(
    const struct sel_picture *picture, double shares[SEL_HABITATS_MOST + 2]) {
    int64_t known = 0, pixels = picture->habitat ? picture->rows * picture->cols : 0;
    for (int i = 0; i < SEL_HABITATS_MOST + 2; i++)
        shares[i] = 0.0;
    for (int64_t i = 0; i < pixels; i++) {
        shares[picture->habitat[i]] += 1.0;
        known += picture->habitat[i] != SEL_HABITAT_UNKNOWN;
    }
    for (int i = 0; known > 0 && i < SEL_HABITATS_MOST + 2; i++)
        shares[i] /= (double)known;
}

static void add_values(
    struct sel_text *text, const struct sel_habitats *habitats, sel_habitat_id id) {
    for (int i = 0; i < habitats->value_count; i++)
        if (habitats->values[i].id == id)
            sel_text_addf(
                text, "%s%lld", text->length > 0 ? ", " : "", (long long)habitats->values[i].value);
}

static const char *ground_name(enum sel_ground ground) {
    static const char *const NAMES[] = {"firm", "sand", "wet", "rock"};
    return NAMES[ground];
}

static sel_status add_habitat(
    struct sel_geopackage *file, struct sel_table *table, int index, double share) {
    const struct sel_habitat *habitat = &file->plan->habitats.items[index];
    struct sel_rgb colour = file->colours[index];
    char code[8];
    snprintf(code, sizeof code, "#%02x%02x%02x", colour.red, colour.green, colour.blue);
    struct sel_text values;
    sel_text_init(&values);
    add_values(&values, &file->plan->habitats, (sel_habitat_id)(index + 1));
    struct sel_habitat_row row = {.id = index + 1,
        .habitat = habitat->name,
        .values = values.chars,
        .canopy_m = habitat->canopy_m,
        .cover = habitat->cover,
        .wetness = habitat->wetness,
        .edge = habitat->edge,
        .walk = habitat->walk,
        .trap = habitat->trap,
        .water = habitat->water,
        .ground = ground_name(habitat->ground),
        .support = habitat->support,
        .colour = code,
        .backdrop_share = share};
    sel_status status =
        values.failed ? sel_fail_memory(file->context) : sel_add_row(file, table, &row);
    sel_text_clear(&values);
    return status;
}

sel_status sel_write_habitats(struct sel_geopackage *file, const struct sel_survey *survey) {
    double shares[SEL_HABITATS_MOST + 2];
    backdrop_shares(&survey->backdrop, shares);
    struct sel_table table = {0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_HABITATS, &table);
    for (int i = 0; i < file->plan->habitats.count && status == SEL_OK; i++)
        status = add_habitat(file, &table, i, shares[i + 1]);
    sel_table_close(&table);
    return status;
}
