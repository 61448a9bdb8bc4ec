// SPDX-License-Identifier: MIT
//
// A survey's pool as the choice sees it: items, groups and rule.
#ifndef SEL_SURVEY_CONTEST_H
#define SEL_SURVEY_CONTEST_H

#include "survey/job.h"

struct sel_contest {
    const struct sel_job *job;     // borrowed, for occupied places
    struct sel_choice_item *items; // owned; as survey->candidates lists the pool
    size_t count;
    struct sel_choice_rule rule;
    const char **names[SEL_QUOTA_KINDS]; // owned arrays
    char **pair_names;                   // owned
    size_t pair_count;
};

// The number of a pair in survey->pairs; SEL_NO_GROUP: it has none.
int32_t sel_pair_number(const struct sel_survey *survey, sel_habitat_id a, sel_habitat_id b);

// survey->pairs and survey->blocks must be filled. Clear with sel_contest_clear whatever comes.
sel_status sel_contest_init(sel_context *context, const struct sel_job *job,
    const struct sel_survey *survey, struct sel_contest *contest);
void sel_contest_clear(struct sel_contest *contest);

// How far from a site reserves are looked for, and how near at least, m.
double sel_reserve_reach(const struct sel_survey *survey);
double sel_reserve_apart(const struct sel_survey *survey);

#endif
