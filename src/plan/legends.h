// SPDX-License-Identifier: MIT
//
// Built-in habitat tables for public land-cover legends. Codes and class names are the publishers';
// habitat names and traits are our own estimates, a start to be edited by someone who knows the
// ground.
#ifndef SEL_PLAN_LEGENDS_H
#define SEL_PLAN_LEGENDS_H

#include "base/text.h"
#include "plan/habitats.h"

enum { SEL_LEGENDS_MOST = 8 };

struct sel_legend_class {
    int64_t value;
    int64_t also;        // a second code for the same class; the same as `value` when there is none
    const char *name;    // as published
    const char *habitat; // shared by classes that are alike to a flying insect
    double canopy_m, cover, wetness, edge, walk; // see struct sel_habitat
    bool trap, water;
    enum sel_ground ground;
    bool support;
};

struct sel_legend {
    const char *name;   // what a plan's `habitats:` says
    const char *title;  // of the data set
    const char *source; // where codes and names were read
    const struct sel_legend_class *classes;
    size_t class_count;
};

// The legends' names, in fixed order; returns how many.
size_t sel_legend_names(const char *names[SEL_LEGENDS_MOST]);

// NULL when there is no such legend. Static storage.
const struct sel_legend *sel_legend_get(const char *name);

// The class of a raster value; NULL when the legend does not list it.
const struct sel_legend_class *sel_legend_find(const struct sel_legend *legend, int64_t value);

// The legend that the values found in a raster clearly belong to, else NULL: at least 5 values, all
// listed, by this legend alone, and not merely counted up in equal steps (1, 2, 3 or 10, 20, 30),
// which any legend of one's own may do.
const struct sel_legend *sel_legend_match(const int64_t *values, size_t count);

// Appends the legend as a habitat table that sel_habitats_read takes, with the published names in
// the column legend_name and the estimates marked in the column note.
void sel_legend_print_csv(const struct sel_legend *legend, struct sel_text *text);

// Appends one line per legend.
void sel_legend_list(struct sel_text *text);

extern const struct sel_legend sel_legend_worldcover, sel_legend_nlcd, sel_legend_corine,
    sel_legend_cgls_lc100, sel_legend_modis_igbp;

#endif
