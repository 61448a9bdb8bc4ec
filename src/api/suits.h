// SPDX-License-Identifier: MIT
//
// Whether what `start` was given can begin a survey: slips are refused before a plan is written.
#ifndef SEL_API_SUITS_H
#define SEL_API_SUITS_H

#include "grid/classes.h"
#include "plan/legends.h"

// Fails when both are one band of one file, or have no ground in common.
sel_status sel_suits_rasters(sel_context *context, const struct sel_raster_ref *landcover,
    const struct sel_raster_ref *elevation);

// Fails when there are more classes than a land cover has.
sel_status sel_suits_classes(
    sel_context *context, const char *landcover, const struct sel_class_counts *classes);

// Fails when the legend that was named lists less than half of the known cells; notes when it does
// not list all of them, but another does. `fitting` is that of sel_legend_match, or NULL.
sel_status sel_suits_legend(sel_context *context, const char *landcover,
    const struct sel_class_counts *classes, const struct sel_legend *named,
    const struct sel_legend *fitting);

#endif
