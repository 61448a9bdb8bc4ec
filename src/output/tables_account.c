// SPDX-License-Identifier: MIT
//
// Tables that count: edge length by pair, and what was dropped at each step.
#include <stdlib.h>

#include "output/account.h"
#include "output/writer.h"

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

static sel_status add_pair(struct sel_geopackage *file, struct sel_table *table,
    const struct sel_pair_total *total, int a, int b, double share) {
    const struct sel_habitats *habitats = &file->plan->habitats;
    char *pair = sel_pair_label(habitats, (sel_habitat_id)a, (sel_habitat_id)b);
    if (!pair)
        return sel_fail_memory(file->context);
    struct sel_pair_row row = {sel_habitat_label(habitats, (sel_habitat_id)a),
        sel_habitat_label(habitats, (sel_habitat_id)b), pair, length_of(file, total, a, b), share,
        total ? total->candidates : 0, total ? total->sites : 0};
    sel_status status = sel_add_row(file, table, &row);
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

struct pair_table {
    struct sel_table table;
    double all_m;
};

static sel_status sum_pair(
    struct sel_geopackage *file, void *user, const struct sel_pair_total *total, int a, int b) {
    struct pair_table *pairs = user;
    pairs->all_m += length_of(file, total, a, b);
    return SEL_OK;
}

static sel_status write_pair(
    struct sel_geopackage *file, void *user, const struct sel_pair_total *total, int a, int b) {
    struct pair_table *pairs = user;
    double share = pairs->all_m > 0.0 ? length_of(file, total, a, b) / pairs->all_m : 0.0;
    return add_pair(file, &pairs->table, total, a, b, share);
}

sel_status sel_write_pairs(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct pair_table pairs = {{0}, 0.0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_PAIRS, &pairs.table);
    if (status == SEL_OK)
        status = each_pair(file, survey, sum_pair, &pairs);
    if (status == SEL_OK)
        status = each_pair(file, survey, write_pair, &pairs);
    sel_table_close(&pairs.table);
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
