// SPDX-License-Identifier: MIT
//
// Opening order and its reverse.
#include "api/jobs.h"

#include "edge/trace.h"

sel_status sel_opened_open(sel_context *context, const char *plan, struct sel_opened *opened) {
    *opened = (struct sel_opened){0};
    sel_status status = sel_plan_read(context, plan, &opened->plan);
    if (status != SEL_OK)
        return status;
    status = sel_study_open(context, &opened->plan, &opened->study);
    if (status != SEL_OK)
        sel_plan_clear(&opened->plan);
    return status;
}

void sel_opened_close(struct sel_opened *opened) {
    sel_study_clear(&opened->study);
    sel_plan_clear(&opened->plan);
}

sel_status sel_check_options(sel_context *context, const sel_run_options *options) {
    if (options->threads < 0 || options->memory_mb < 0)
        return sel_fail(context, SEL_USAGE, "threads and memory must not be negative");
    if (options->tile_cells < 0 || options->tile_cells % SEL_TRACE_BLOCK != 0)
        return sel_fail(context, SEL_USAGE, "tile size %d: give a multiple of %d cells",
            options->tile_cells, SEL_TRACE_BLOCK);
    if (options->parts < 0 ||
        (options->parts > 0 && (options->part < 1 || options->part > options->parts)))
        return sel_fail(context, SEL_USAGE, "part %d/%d: give I/N with I from 1 to N",
            options->part, options->parts);
    return SEL_OK;
}

sel_status sel_hand_over(sel_context *context, struct sel_text *text, char **out) {
    *out = sel_text_take(text);
    return *out ? SEL_OK : sel_fail_memory(context);
}
