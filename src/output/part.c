// SPDX-License-Identifier: MIT
//
// Writing of a part. Floats are stored as doubles and come back the same.
#include "output/part.h"

#include <math.h>
#include <openssl/evp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "output/part_rows.h"
#include "output/writer.h"

static sel_status hash_row(void *user, const char *key, const char *value, bool is_default) {
    (void)is_default;
    struct sel_text *text = user;
    sel_text_addf(text, "%s=%s\n", key, value);
    return SEL_OK;
}

// The table is a file of its own, which may have been edited while the plan stayed the same.
static void hash_habitats(struct sel_text *text, const struct sel_habitats *habitats) {
    for (int i = 0; i < habitats->count; i++) {
        const struct sel_habitat *h = &habitats->items[i];
        sel_text_addf(text, "%s %a %a %a %a %a %d %d %d %d\n", h->name, h->canopy_m, h->cover,
            h->wetness, h->edge, h->walk, h->trap, h->water, (int)h->ground, h->support);
    }
    for (int i = 0; i < habitats->value_count; i++)
        sel_text_addf(
            text, "%lld %d\n", (long long)habitats->values[i].value, habitats->values[i].id);
}

sel_status sel_part_fingerprint(sel_context *context, const struct sel_plan *plan,
    const struct sel_study *study, char fingerprint[SEL_FINGERPRINT_SIZE]) {
    const struct sel_grid *grid = &study->grid;
    struct sel_text text;
    unsigned char digest[EVP_MAX_MD_SIZE];
    unsigned int length = 0;
    sel_text_init(&text);
    sel_text_addf(&text, "%s %lld %lld %a %a %a %a\n", sel_version(), (long long)grid->rows,
        (long long)grid->cols, grid->x0, grid->y0, grid->dx, grid->dy);
    hash_habitats(&text, &plan->habitats);
    sel_status status = sel_plan_each(context, plan, hash_row, &text);
    if (status == SEL_OK && (text.failed || EVP_Digest(text.chars, text.length, digest, &length,
                                                EVP_sha256(), NULL) != 1))
        status = sel_fail_memory(context);
    for (unsigned int i = 0; status == SEL_OK && i < length; i++)
        snprintf(fingerprint + 2 * i, 3, "%02x", digest[i]);
    sel_text_clear(&text);
    return status;
}

static sel_status write_candidates(
    struct sel_geopackage *file, const struct sel_findings *findings) {
    struct sel_table table = {0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_PART_CANDIDATES, &table);
    for (size_t i = 0; i < findings->candidates.count && status == SEL_OK; i++) {
        struct sel_part_candidate_row row = sel_part_row_of(&findings->candidates.items[i]);
        status = sel_add_row(file, &table, &row);
    }
    sel_table_close(&table);
    return status;
}

static sel_status add_count(struct sel_geopackage *file, struct sel_table *table, const char *what,
    int64_t index, int64_t count) {
    struct sel_part_count_row row = {what, index, count};
    return sel_add_row(file, table, &row);
}

static sel_status write_counts(struct sel_geopackage *file, const struct sel_findings *findings) {
    const struct sel_tile_counts *counts = &findings->counts;
    int64_t side = file->plan->habitats.count + 1;
    struct sel_table table = {0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_PART_COUNTS, &table);
    if (status == SEL_OK)
        status = add_count(file, &table, SEL_PART_CRACKS, 0, counts->cracks);
    for (int i = 0; i < SEL_FATES && status == SEL_OK; i++)
        status = add_count(file, &table, SEL_PART_FATE, i, counts->fates[i]);
    for (int64_t i = 0; i < side * side && status == SEL_OK; i++)
        if (counts->edge_mm[i] > 0)
            status = add_count(file, &table, SEL_PART_EDGE_MM, i, counts->edge_mm[i]);
    sel_table_close(&table);
    return status;
}

static sel_status write_facts(struct sel_geopackage *file, const struct sel_part_facts *facts) {
    struct sel_table table = {0};
    struct sel_part_fact_row row = {.part = facts->part,
        .parts = facts->parts,
        .block_row = facts->cut.blocks.row,
        .block_col = facts->cut.blocks.col,
        .block_rows = facts->cut.blocks.rows,
        .block_cols = facts->cut.blocks.cols,
        .first_block = facts->cut.first,
        .end_block = facts->cut.end,
        .fingerprint = facts->fingerprint};
    sel_status status = sel_begin_table(file, &SEL_TABLE_PART, &table);
    if (status == SEL_OK)
        status = sel_add_row(file, &table, &row);
    sel_table_close(&table);
    return status;
}

struct part_content {
    const struct sel_findings *findings;
    const struct sel_part_facts *facts;
};

static sel_status write_part(struct sel_geopackage *file, const void *user) {
    const struct part_content *content = user;
    sel_status status = sel_index_edges(file);
    if (status == SEL_OK)
        status = write_facts(file, content->facts);
    if (status == SEL_OK)
        status = sel_write_inputs(file, NULL);
    if (status == SEL_OK)
        status = write_counts(file, content->findings);
    if (status == SEL_OK)
        status = write_candidates(file, content->findings);
    return status;
}

sel_status sel_part_finish(struct sel_geopackage *file, const struct sel_findings *findings,
    const struct sel_part_facts *facts) {
    struct part_content content = {findings, facts};
    return sel_geopackage_finish_with(file, write_part, NULL, &content);
}
