// SPDX-License-Identifier: MIT
//
// Files are told by device and inode, so that another spelling or a link is found out.
#include "output/not_an_input.h"

#include "base/files.h"

sel_status sel_check_not_file(
    sel_context *context, const char *output, const char *file, const char *what) {
    if (!file || !sel_is_same_file(output, file))
        return SEL_OK;
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: is read by this run (%s): give the output another name", output, what);
}

static sel_status check_single(
    sel_context *context, const struct sel_plan *plan, const char *output) {
    const struct {
        const char *file, *what;
    } files[] = {{plan->path, "the plan"}, {plan->landcover.file, "rasters.landcover"},
        {plan->elevation.file, "rasters.elevation"}, {plan->canopy.file, "rasters.canopy"},
        {plan->habitats_is_legend ? NULL : plan->habitats_source, "habitats"},
        {plan->area.file, "area"}, {plan->parcels.file, "parcels"},
        {plan->occupied.file, "occupied"}, {plan->blocks.file, "choose.blocks"}};
    sel_status status = SEL_OK;
    for (size_t i = 0; i < sizeof files / sizeof *files && status == SEL_OK; i++)
        status = sel_check_not_file(context, output, files[i].file, files[i].what);
    return status;
}

sel_status sel_check_not_an_input(
    sel_context *context, const struct sel_plan *plan, const char *output) {
    sel_status status = check_single(context, plan, output);
    for (size_t i = 0; i < plan->lines_count && status == SEL_OK; i++)
        status = sel_check_not_file(context, output, plan->lines[i].source.file, "lines");
    for (size_t i = 0; i < plan->access_count && status == SEL_OK; i++)
        status = sel_check_not_file(context, output, plan->access[i].source.file, "access");
    for (size_t i = 0; i < plan->zones_count && status == SEL_OK; i++)
        status = sel_check_not_file(context, output, plan->zones[i].source.file, "zones");
    return status;
}
