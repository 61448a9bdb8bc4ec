// SPDX-License-Identifier: MIT
//
// The paths of a plan as it writes them. A resolved path depends on where the command was started;
// what is kept in the output and compared between runs must not.
#include <stdlib.h>
#include <string.h>

#include "base/array.h"
#include "plan/reader.h"

sel_status sel_keep_written(
    const struct sel_plan_reader *reader, const char *resolved, const char *written) {
    struct sel_plan *plan = reader->plan;
    struct sel_plan_path *grown =
        sel_grow(plan->paths, plan->path_count + 1, &plan->path_capacity, sizeof *grown);
    if (!grown)
        return sel_fail_memory(reader->context);
    plan->paths = grown;
    char *copy = strdup(written);
    if (!copy)
        return sel_fail_memory(reader->context);
    grown[plan->path_count].resolved = resolved;
    grown[plan->path_count++].written = copy;
    return SEL_OK;
}

const char *sel_plan_written(const struct sel_plan *plan, const char *resolved) {
    for (size_t i = 0; i < plan->path_count; i++)
        if (plan->paths[i].resolved == resolved)
            return plan->paths[i].written;
    return resolved;
}

void sel_forget_written(struct sel_plan *plan) {
    for (size_t i = 0; i < plan->path_count; i++)
        free(plan->paths[i].written);
    free(plan->paths);
}
