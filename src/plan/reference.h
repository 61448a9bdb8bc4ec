// SPDX-License-Identifier: MIT
//
// The reference page of the plan, docs/plan.md, made from the table of keys.
#ifndef SEL_PLAN_REFERENCE_H
#define SEL_PLAN_REFERENCE_H

#include "base/text.h"

// Appends the page as Markdown. tests/plan/test_reference.c compares it with docs/plan.md, and
// writes that file anew when the environment holds SELVEDGE_REGENERATE=1.
void sel_plan_reference(struct sel_text *text);

#endif
