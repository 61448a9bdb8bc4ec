// SPDX-License-Identifier: MIT
//
// How a path that the run read is told in its output: never by the folder it was started in.
#ifndef SEL_OUTPUT_PATH_TOLD_H
#define SEL_OUTPUT_PATH_TOLD_H

#include "plan/plan.h"

// A path of the plan as the plan writes it; another path, which belongs to one of those, from the
// plan's folder when it lies within, else as it is. Without secrets. Free with free; NULL: out of
// memory.
char *sel_path_told(const struct sel_plan *plan, const char *path);

#endif
