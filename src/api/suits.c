// SPDX-License-Identifier: MIT
//
// How well a legend fits is told by cells, not by classes: a rare class more or less says little.
#include "api/suits.h"

#include <math.h>
#include <string.h>

#include "base/files.h"

// Elevations in whole metres have hundreds of values; public legends have 11 to 44 classes.
enum { MOST_CLASSES = 256 };

static const double LEAST_SHARE = 0.5;

sel_status sel_suits_rasters(sel_context *context, const struct sel_raster_ref *landcover,
    const struct sel_raster_ref *elevation) {
    if (landcover->band == elevation->band && sel_is_same_file(landcover->file, elevation->file))
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: is given as land cover and as elevation: name the raster of classes with "
            "--landcover and the raster of heights with --elevation",
            landcover->file);
    return sel_check_common(context, landcover, elevation);
}

sel_status sel_suits_classes(
    sel_context *context, const char *landcover, const struct sel_class_counts *classes) {
    if (classes->count <= MOST_CLASSES)
        return SEL_OK;
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: holds %zu different values, from %lld to %lld, which are no classes of land: name a "
        "raster of at most %d classes with --landcover, or merge its classes first",
        landcover, classes->count, (long long)classes->items[0].value,
        (long long)classes->items[classes->count - 1].value, MOST_CLASSES);
}

// The share of the known cells whose class a legend lists, 0..1.
static double share_listed(
    const struct sel_class_counts *classes, const struct sel_legend *legend) {
    int64_t known = 0, listed = 0;
    for (size_t i = 0; i < classes->count; i++) {
        known += classes->items[i].cells;
        if (sel_legend_find(legend, classes->items[i].value))
            listed += classes->items[i].cells;
    }
    return known > 0 ? (double)listed / (double)known : 1;
}

// Rounded down, so that 100 means all.
static double percent(double share) {
    return floor(100 * share);
}

sel_status sel_suits_legend(sel_context *context, const char *landcover,
    const struct sel_class_counts *classes, const struct sel_legend *named,
    const struct sel_legend *fitting) {
    double share = share_listed(classes, named);
    if (share >= LEAST_SHARE && fitting && fitting != named)
        sel_note(context,
            "%s: --legend %s lists the classes of %.0f %% of its cells, the legend %s all of them: "
            "is it the right one?",
            landcover, named->name, percent(share), fitting->name);
    if (share >= LEAST_SHARE)
        return SEL_OK;
    if (fitting)
        return sel_fail(context, SEL_BAD_INPUT,
            "%s: --legend %s lists the classes of only %.0f %% of its cells, the legend %s all of "
            "them: name that one, or leave --legend out",
            landcover, named->name, percent(share), fitting->name);
    return sel_fail(context, SEL_BAD_INPUT,
        "%s: --legend %s lists the classes of only %.0f %% of its cells, and no other built-in "
        "legend clearly fits: leave --legend out and fill in the traits",
        landcover, named->name, percent(share));
}
