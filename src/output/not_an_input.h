// SPDX-License-Identifier: MIT
//
// A run must not write over what it reads.
#ifndef SEL_OUTPUT_NOT_AN_INPUT_H
#define SEL_OUTPUT_NOT_AN_INPUT_H

#include "plan/plan.h"

// SEL_BAD_INPUT when the output's path leads to the plan or to a file that the plan names.
sel_status sel_check_not_an_input(
    sel_context *context, const struct sel_plan *plan, const char *output);

// The same for one file that a run reads, and what it is to the run.
sel_status sel_check_not_file(
    sel_context *context, const char *output, const char *file, const char *what);

#endif
