// SPDX-License-Identifier: MIT
//
// The calls that only read a written GeoPackage: explain and map.
#include "api/jobs.h"
#include "output/explain.h"
#include "output/map.h"

sel_status sel_explain(sel_context *context, const char *geopackage, int rank, char **report) {
    struct sel_text text;
    sel_text_init(&text);
    sel_context_begin(context);
    *report = NULL;
    sel_status status = sel_explain_write(context, geopackage, rank, &text);
    if (status == SEL_OK)
        status = sel_hand_over(context, &text, report);
    sel_text_clear(&text);
    return status;
}

sel_status sel_map(sel_context *context, const char *geopackage, const char *output, int width_px,
    bool overwrite) {
    sel_context_begin(context);
    return sel_map_write(context, geopackage, output, width_px, overwrite);
}
