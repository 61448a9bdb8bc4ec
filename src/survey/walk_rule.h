// SPDX-License-Identifier: MIT
//
// How a survey walks: the walking grid, whole blocks of study cells counted from the study grid's
// corner, and how far walks are followed.
#ifndef SEL_SURVEY_WALK_RULE_H
#define SEL_SURVEY_WALK_RULE_H

#include "grid/study.h"

struct sel_walk_rule {
    bool in_use;              // the criterion access goes by time
    int64_t per_row, per_col; // study cells of a walking cell's height and width
    int64_t rows, cols;       // walking cells that hold the study grid; the last may reach beyond
    double cell_x_m, cell_y_m;
    double limit_min;
    int64_t halo;      // walking cells that a walk within the limit can lead away
    int64_t chunk;     // side in walking cells of what is read at a time
    float factor[256]; // by habitat id: the walking-speed factor, 0 for unknown ground
};

struct sel_walk_rule sel_walk_rule_of(const struct sel_plan *plan, const struct sel_study *study);

#endif
