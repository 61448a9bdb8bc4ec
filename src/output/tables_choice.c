// SPDX-License-Identifier: MIT
//
// Tables about the choice: the blocks that quotas count by, and the weights at which sites would
// not be chosen.
#include <math.h>

#include "output/writer.h"

sel_status sel_write_blocks(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct sel_table table = {0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_BLOCKS, &table);
    for (size_t i = 0; i < survey->block_count + survey->empty_block_count && status == SEL_OK;
         i++) {
        const struct sel_block_total *block = &survey->blocks[i];
        struct sel_block_row row = {block->name, block->candidates, block->sites};
        status = sel_add_row(file, &table, &row);
    }
    sel_table_close(&table);
    return status;
}

static sel_status add_sensitivity(struct sel_geopackage *file, const struct sel_survey *survey,
    struct sel_table *table, const struct sel_site *site, int criterion) {
    char id[SEL_SITE_ID_SIZE];
    double weight = survey->weights[criterion];
    double lower = site->standing.lower[criterion], higher = site->standing.higher[criterion];
    sel_site_id(survey, site, id);
    struct sel_sensitivity_row row = {.rank = site->rank,
        .site = id,
        .criterion = sel_criterion_name((enum sel_criterion)criterion),
        .weight = weight,
        .lower = lower,
        .higher = higher,
        .change = fmin(weight - lower, higher - weight)};
    return sel_add_row(file, table, &row);
}

sel_status sel_write_sensitivity(struct sel_geopackage *file, const struct sel_survey *survey) {
    struct sel_table table = {0};
    sel_status status = sel_begin_table(file, &SEL_TABLE_SENSITIVITY, &table);
    for (size_t i = 0; i < survey->site_count && survey->robustness.draws > 0; i++) {
        const struct sel_site *site = &survey->sites[i];
        for (int c = 0; c < SEL_CRITERIA && site->reserve == 0 && status == SEL_OK; c++)
            if (survey->in_use[c])
                status = add_sensitivity(file, survey, &table, site, c);
    }
    sel_table_close(&table);
    return status;
}
