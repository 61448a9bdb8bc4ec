// SPDX-License-Identifier: MIT
//
// The blocks of ground that quotas count by: squares of choose.block_m, or the polygons of
// choose.blocks. (Not the 512-cell blocks at which lines are cut.)
#ifndef SEL_SURVEY_BLOCKS_H
#define SEL_SURVEY_BLOCKS_H

#include "survey/job.h"

// Names the blocks that have an eligible candidate, in order of their names' rank in the ground or
// file, as survey->blocks, counts their candidates and tells each candidate its block; then, as
// survey->blocks too, the polygons' names that have none. A candidate in no polygon is in no block.
// Without block keys in the plan there are none.
sel_status sel_blocks_assign(
    sel_context *context, const struct sel_job *job, struct sel_survey *survey);

#endif
