// SPDX-License-Identifier: MIT
//
// Begins a survey: looks at two rasters, finds the legend that fits, and writes a plan and a
// habitat table to edit.
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "api/jobs.h"
#include "api/relative.h"
#include "api/suits.h"
#include "base/files.h"
#include "base/folder.h"
#include "grid/classes.h"
#include "plan/legends.h"
#include "plan/template.h"

static const char PLAN_NAME[] = "survey.yaml", TABLE_NAME[] = "habitats.csv";

struct beginning {
    sel_context *context;
    const char *folder;
    struct sel_raster_summary landcover, elevation;
    struct sel_class_counts classes;
    const struct sel_legend *legend;
    bool legend_found; // matched by its values, not named
    char *plan_path, *table_path;
    char *landcover_path, *elevation_path, *access_path; // as the plan writes them
};

static sel_status look_at_rasters(
    struct beginning *beginning, const char *landcover, const char *elevation) {
    struct sel_raster_ref cover = {.file = (char *)landcover, .band = 1};
    struct sel_raster_ref ground = {.file = (char *)elevation, .band = 1};
    sel_status status = sel_raster_describe(beginning->context, &cover, &beginning->landcover);
    if (status == SEL_OK)
        status = sel_raster_describe(beginning->context, &ground, &beginning->elevation);
    if (status == SEL_OK)
        status = sel_suits_rasters(beginning->context, &cover, &ground);
    if (status == SEL_OK)
        status = sel_classes_scan(beginning->context, &cover, false, &beginning->classes);
    if (status == SEL_OK)
        status = sel_suits_classes(beginning->context, landcover, &beginning->classes);
    return status;
}

static sel_status name_legend(sel_context *context, const char *name, struct beginning *beginning) {
    beginning->legend = sel_legend_get(name);
    if (beginning->legend)
        return SEL_OK;
    return sel_fail(context, SEL_USAGE,
        "--legend: '%s' is no built-in legend: 'selvedge legend' lists them", name);
}

// Takes the legend that the values belong to; one that was named must suit them.
static sel_status match_legend(struct beginning *beginning, const char *landcover) {
    const struct sel_class_counts *classes = &beginning->classes;
    int64_t *values = malloc((classes->count + 1) * sizeof *values);
    if (!values)
        return sel_fail_memory(beginning->context);
    for (size_t i = 0; i < classes->count; i++)
        values[i] = classes->items[i].value;
    const struct sel_legend *fitting = sel_legend_match(values, classes->count);
    free(values);
    if (beginning->legend)
        return sel_suits_legend(beginning->context, landcover, classes, beginning->legend, fitting);
    beginning->legend = fitting;
    beginning->legend_found = fitting;
    return SEL_OK;
}

static sel_status set_paths(
    struct beginning *beginning, const char *landcover, const char *elevation, const char *access) {
    beginning->plan_path = sel_join_path(beginning->folder, PLAN_NAME);
    beginning->table_path = sel_join_path(beginning->folder, TABLE_NAME);
    beginning->landcover_path = sel_relative_path(beginning->folder, landcover);
    beginning->elevation_path = sel_relative_path(beginning->folder, elevation);
    beginning->access_path = access ? sel_relative_path(beginning->folder, access) : NULL;
    if (!beginning->plan_path || !beginning->table_path || !beginning->landcover_path ||
        !beginning->elevation_path || (access && !beginning->access_path))
        return sel_fail_memory(beginning->context);
    return SEL_OK;
}

static sel_status check_access(sel_context *context, const char *access) {
    struct stat facts;
    if (!access || strncmp(access, "/vsi", 4) == 0 || stat(access, &facts) == 0)
        return SEL_OK;
    return sel_fail(
        context, SEL_BAD_INPUT, "%s: cannot be read: %s: check --access", access, strerror(errno));
}

// The season a plan suggests begins next year, so that there is time to prepare.
static int next_year(void) {
    time_t now = time(NULL);
    struct tm utc;
    return gmtime_r(&now, &utc) ? utc.tm_year + 1901 : 0;
}

// Fills in the plan and the habitat table.
static void compose(const struct beginning *beginning, struct sel_folder *files) {
    struct sel_template_facts facts = {.landcover = beginning->landcover_path,
        .elevation = beginning->elevation_path,
        .access = beginning->access_path,
        .legend = beginning->legend,
        .latitude = beginning->landcover.latitude,
        .year = next_year()};
    sel_template_plan(&facts, sel_folder_add(files, PLAN_NAME));
    sel_template_habitats(beginning->legend, beginning->classes.items, beginning->classes.count,
        beginning->landcover.pixel_x_m * beginning->landcover.pixel_y_m,
        sel_folder_add(files, TABLE_NAME));
}

static void tell_raster(
    struct sel_text *text, const char *what, const struct sel_raster_summary *summary) {
    sel_text_addf(text, "%-11s %lld x %lld cells of %.4g x %.4g m, %s, %s\n", what,
        (long long)summary->cols, (long long)summary->rows, summary->pixel_x_m, summary->pixel_y_m,
        summary->type, summary->crs_name);
}

// Shares are of the known cells, as in the habitat table.
static void tell_classes(struct sel_text *text, const struct beginning *beginning) {
    const struct sel_class_counts *classes = &beginning->classes;
    int64_t known = classes->looked_at - classes->unknown;
    double area_ha = beginning->landcover.pixel_x_m * beginning->landcover.pixel_y_m / 10000.0;
    sel_text_addf(text, "\n%8s %12s %7s %12s  %s\n", "value", "cells", "share",
        classes->sampled ? "" : "hectares", "class");
    for (size_t i = 0; i < classes->count; i++) {
        const struct sel_class_count *found = &classes->items[i];
        const struct sel_legend_class *class =
            beginning->legend ? sel_legend_find(beginning->legend, found->value) : NULL;
        sel_text_addf(text, "%8lld %12lld %5.1f %%", (long long)found->value,
            (long long)found->cells, 100.0 * (double)found->cells / (double)known);
        if (classes->sampled)
            sel_text_addf(text, " %12s", "");
        else
            sel_text_addf(text, " %12.1f", area_ha * (double)found->cells);
        sel_text_addf(
            text, "  %s\n", class ? class->name : "(not in a legend: fill in its traits)");
    }
    if (classes->unknown > 0)
        sel_text_addf(text, "%8s %12lld %9s the shares are of the known cells\n", "unknown",
            (long long)classes->unknown, "");
    if (classes->sampled)
        sel_text_addf(text, "(from a sample of %lld of %lld cells)\n",
            (long long)classes->looked_at, (long long)classes->total);
}

static void tell(struct sel_text *text, const struct beginning *beginning) {
    tell_raster(text, "land cover", &beginning->landcover);
    tell_raster(text, "elevation", &beginning->elevation);
    if (beginning->legend)
        sel_text_addf(text, "legend      %s (%s%s)\n", beginning->legend->name,
            beginning->legend->title, beginning->legend_found ? "; found by its values" : "");
    else
        sel_text_add(text, "legend      none of the built-in ones clearly fits\n");
    tell_classes(text, beginning);
    sel_text_addf(
        text, "\nWritten: %s\n         %s\n\nNext: ", beginning->plan_path, beginning->table_path);
    sel_text_add(text, beginning->legend
                           ? "look through the traits in the habitat table, they are estimates,\n"
                           : "fill in the traits in the habitat table,\n");
    sel_text_addf(
        text, "set season and layers in the plan, then: selvedge check %s\n", beginning->plan_path);
}

// Writes both files and hands the report over, or does neither.
static sel_status deliver(const struct beginning *beginning, bool overwrite, char **report) {
    struct sel_folder files = {.path = beginning->folder};
    struct sel_text text;
    sel_text_init(&text);
    compose(beginning, &files);
    tell(&text, beginning);
    sel_status status = text.failed ? sel_fail_memory(beginning->context) : SEL_OK;
    if (status == SEL_OK)
        status = sel_folder_write(beginning->context, &files, overwrite);
    if (status == SEL_OK)
        status = sel_hand_over(beginning->context, &text, report);
    sel_text_clear(&text);
    sel_folder_clear(&files);
    return status;
}

static void clear(struct beginning *beginning) {
    sel_raster_summary_clear(&beginning->landcover);
    sel_raster_summary_clear(&beginning->elevation);
    sel_class_counts_clear(&beginning->classes);
    free(beginning->plan_path);
    free(beginning->table_path);
    free(beginning->landcover_path);
    free(beginning->elevation_path);
    free(beginning->access_path);
}

sel_status sel_start(sel_context *context, const char *landcover, const char *elevation,
    const char *access, const char *legend, const char *directory, bool overwrite, char **report) {
    struct beginning beginning = {.context = context, .folder = directory};
    bool made = false;
    sel_context_begin(context);
    *report = NULL;
    sel_status status = legend ? name_legend(context, legend, &beginning) : SEL_OK;
    if (status == SEL_OK)
        status = check_access(context, access);
    if (status == SEL_OK)
        status = look_at_rasters(&beginning, landcover, elevation);
    if (status == SEL_OK)
        status = match_legend(&beginning, landcover);
    if (status == SEL_OK)
        status = sel_make_folder(context, directory, &made);
    if (status == SEL_OK)
        status = set_paths(&beginning, landcover, elevation, access);
    if (status == SEL_OK)
        status = deliver(&beginning, overwrite, report);
    if (status != SEL_OK && made)
        rmdir(directory);
    clear(&beginning);
    return status;
}
