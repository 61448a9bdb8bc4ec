// SPDX-License-Identifier: MIT
//
// Tables that count: edge length by pair, and what was dropped at each step.
#include <math.h>
#include <stdlib.h>

#include "output/account.h"
#include "output/writer.h"
#include "survey/contest.h"

// --- pairs ---

// The survey's row of a pair; NULL when it has edges but no candidate.
static const struct sel_pair_total *total_of(
    const struct sel_survey *survey, sel_habitat_id a, sel_habitat_id b) {
    for (size_t i = 0; i < survey->pair_count; i++)
        if (survey->pairs[i].a == a && survey->pairs[i].b == b)
            return &survey->pairs[i];
    return NULL;
}

// The length summed from the edges, which is what the layer shows; the survey's own where no edge
// was added.
static double length_of(
    const struct sel_geopackage *file, const struct sel_pair_total *total, int a, int b) {
    if (file->edge_count > 0 || !total)
        return sel_pair_length(file, (sel_habitat_id)a, (sel_habitat_id)b);
    return total->length_m;
}

// What became of the candidates of a pair.
struct pair_fates {
    int64_t met[SEL_CHOICE_FATES], pool;
    double best_left; // score of the best that is no site; NAN: none
};

// One per pair of the survey. NULL: out of memory.
static struct pair_fates *count_fates(const struct sel_survey *survey) {
    struct pair_fates *fates = calloc(survey->pair_count + 1, sizeof *fates);
    for (size_t i = 0; fates && i < survey->pair_count; i++)
        fates[i].best_left = (double)NAN;
    for (size_t i = 0; fates && survey->fates && i < survey->candidate_count; i++) {
        const struct sel_candidate *candidate = &survey->candidates[i];
        struct pair_fates *own = &fates[sel_pair_number(survey, candidate->a, candidate->b)];
        own->pool++;
        own->met[survey->fates[i]]++;
        if (survey->fates[i] != SEL_CHOICE_SITE)
            own->best_left = fmax(own->best_left, candidate->score);
    }
    return fates;
}

static void fill_fates(
    const struct sel_pair_total *total, const struct pair_fates *fates, struct sel_pair_row *row) {
    row->reserves = fates->met[SEL_CHOICE_RESERVE];
    row->near_occupied = fates->met[SEL_CHOICE_NEAR_OCCUPIED];
    row->near_chosen = fates->met[SEL_CHOICE_NEAR_CHOSEN];
    row->pair_full = fates->met[SEL_CHOICE_PAIR_FULL];
    row->block_full = fates->met[SEL_CHOICE_BLOCK_FULL];
    row->outweighed = fates->met[SEL_CHOICE_FOR_MINIMUM] + fates->met[SEL_CHOICE_FOR_SPREAD];
    row->lower_score = fates->met[SEL_CHOICE_LOWER_SCORE];
    row->left_aside = total->candidates - fates->pool;
    row->best_left = fates->best_left;
}

struct pair_table {
    struct sel_table table;
    const struct sel_survey *survey;
    struct pair_fates *fates;
    double all_m;
};

static sel_status add_pair(struct sel_geopackage *file, struct pair_table *pairs,
    const struct sel_pair_total *total, int a, int b) {
    const struct sel_habitats *habitats = &file->plan->habitats;
    double length_m = length_of(file, total, a, b);
    char *pair = sel_pair_label(habitats, (sel_habitat_id)a, (sel_habitat_id)b);
    if (!pair)
        return sel_fail_memory(file->context);
    struct sel_pair_row row = {.habitat_a = sel_habitat_label(habitats, (sel_habitat_id)a),
        .habitat_b = sel_habitat_label(habitats, (sel_habitat_id)b),
        .pair = pair,
        .length_m = length_m,
        .length_share = pairs->all_m > 0.0 ? length_m / pairs->all_m : 0.0,
        .best_left = (double)NAN};
    if (total) {
        row.candidates = total->candidates;
        row.sites = total->sites;
        int64_t sites = pairs->survey->tally.sites;
        row.site_share = sites > 0 ? (double)total->sites / (double)sites : 0.0;
        fill_fates(total, &pairs->fates[total - pairs->survey->pairs], &row);
    }
    sel_status status = sel_add_row(file, &pairs->table, &row);
    free(pair);
    return status;
}

typedef sel_status pair_fn(
    struct sel_geopackage *file, void *user, const struct sel_pair_total *total, int a, int b);

// Visits the pairs that have an edge or a row in the survey, by a, then b.
static sel_status each_pair(
    struct sel_geopackage *file, const struct sel_survey *survey, pair_fn *visit, void *user) {
    sel_status status = SEL_OK;
    for (int a = 1; a <= file->plan->habitats.count; a++) {
        for (int b = a + 1; b <= file->plan->habitats.count && status == SEL_OK; b++) {
            const struct sel_pair_total *total =
                total_of(survey, (sel_habitat_id)a, (sel_habitat_id)b);
            if (total || sel_pair_length(file, (sel_habitat_id)a, (sel_habitat_id)b) > 0.0)
                status = visit(file, user, total, a, b);
        }
    }
    return status;
}

static sel_status sum_pair(
    struct sel_geopackage *file, void *user, const struct sel_pair_total *total, int a, int b) {
    struct pair_table *pairs = user;
    pairs->all_m += length_of(file, total, a, b);
    return SEL_OK;
}

static sel_status write_pair(
    struct sel_geopackage *file, void *user, const struct sel_pair_total *total, int a, int b) {
    return add_pair(file, user, total, a, b);
}

sel_status sel_write_pairs(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct pair_table pairs = {.survey = survey, .fates = count_fates(survey)};
    if (!pairs.fates)
        return sel_fail_memory(file->context);
    sel_status status = sel_begin_table(file, &SEL_TABLE_PAIRS, &pairs.table);
    if (status == SEL_OK)
        status = each_pair(file, survey, sum_pair, &pairs);
    if (status == SEL_OK)
        status = each_pair(file, survey, write_pair, &pairs);
    sel_table_close(&pairs.table);
    free(pairs.fates);
    return status;
}

// --- dropped ---

sel_status sel_write_dropped(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct sel_account_line lines[SEL_ACCOUNT_LINES];
    int count = sel_account(survey, lines);
    struct sel_table table = {0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_DROPPED, &table);
    for (int i = 0; i < count && status == SEL_OK; i++) {
        struct sel_dropped_row row = {lines[i].step, lines[i].reason, lines[i].count};
        status = sel_add_row(file, &table, &row);
    }
    sel_table_close(&table);
    return status;
}
