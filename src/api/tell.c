// SPDX-License-Identifier: MIT
//
// The calls that need no plan: explain, map and dossier read a written GeoPackage, legend tells
// what is built in.
#include "api/jobs.h"
#include "dossier/dossier.h"
#include "explain/explain.h"
#include "map/map.h"
#include "plan/legends.h"

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

sel_status sel_explain_pair(
    sel_context *context, const char *geopackage, const char *pair, char **report) {
    struct sel_text text;
    sel_text_init(&text);
    sel_context_begin(context);
    *report = NULL;
    sel_status status = sel_explain_pair_write(context, geopackage, pair, &text);
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

sel_status sel_dossier(
    sel_context *context, const char *geopackage, const char *output, bool overwrite) {
    sel_context_begin(context);
    return sel_dossier_write(context, geopackage, output, overwrite);
}

sel_status sel_legend(sel_context *context, const char *name, char **report) {
    struct sel_text text;
    sel_text_init(&text);
    sel_context_begin(context);
    *report = NULL;
    sel_status status = SEL_OK;
    const struct sel_legend *legend = name ? sel_legend_get(name) : NULL;
    if (legend)
        sel_legend_print_csv(legend, &text);
    else if (!name)
        sel_legend_list(&text);
    else
        status = sel_fail(
            context, SEL_USAGE, "'%s' is no built-in legend: 'selvedge legend' lists them", name);
    if (status == SEL_OK)
        status = sel_hand_over(context, &text, report);
    sel_text_clear(&text);
    return status;
}
