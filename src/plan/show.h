// SPDX-License-Identifier: MIT
//
// A plan's value as the text that a plan would say it with.
#ifndef SEL_PLAN_SHOW_H
#define SEL_PLAN_SHOW_H

#include "base/text.h"
#include "plan/keys.h"

// Appends the value of a key that is neither section nor list; `base` is the plan or the entry.
// "none": nothing is given, and nothing stands in for it. Paths are told as the plan writes them.
void sel_show_value(const struct sel_plan *plan, const struct sel_plan_key *key, const char *base,
    struct sel_text *text);

#endif
