// SPDX-License-Identifier: MIT
//
// The walking grid of a study.
#include "survey/walk_rule.h"

#include "access/pace.h"
#include "access/walk_blocks.h"
#include "base/whole.h"

// Study cells along a chunk, and the most walking cells.
enum { CHUNK_STUDY_CELLS = 1024, CHUNK_MOST = 256 };

struct sel_walk_rule sel_walk_rule_of(const struct sel_plan *plan, const struct sel_study *study) {
    const struct sel_grid *grid = &study->grid;
    const struct sel_plan_criterion *criterion = &plan->criteria[SEL_CRITERION_ACCESS];
    struct sel_walk_rule rule = {
        .in_use = plan->access_count > 0 && criterion->by == SEL_ACCESS_BY_TIME};
    rule.per_row = sel_walk_cells_per_side(grid->cell_y_m);
    rule.per_col = sel_walk_cells_per_side(grid->cell_x_m);
    rule.rows = (grid->rows + rule.per_row - 1) / rule.per_row;
    rule.cols = (grid->cols + rule.per_col - 1) / rule.per_col;
    rule.cell_x_m = (double)rule.per_col * grid->cell_x_m;
    rule.cell_y_m = (double)rule.per_row * grid->cell_y_m;
    rule.limit_min = criterion->limit;
    if (rule.in_use)
        rule.halo = sel_walk_halo(
            rule.limit_min, rule.cell_x_m < rule.cell_y_m ? rule.cell_x_m : rule.cell_y_m);
    int64_t per_side = sel_larger(rule.per_row, rule.per_col);
    rule.chunk = sel_larger(1, sel_smaller(CHUNK_MOST, CHUNK_STUDY_CELLS / per_side));
    for (int i = 0; i < plan->habitats.count; i++)
        rule.factor[i + 1] = (float)plan->habitats.items[i].walk;
    return rule;
}
