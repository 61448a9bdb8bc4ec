// SPDX-License-Identifier: MIT
//
// What `selvedge start` writes: a plan with every key explained, and a habitat table of the classes
// found in the land-cover raster.
#ifndef SEL_PLAN_TEMPLATE_H
#define SEL_PLAN_TEMPLATE_H

#include "base/text.h"
#include "plan/class_count.h"
#include "plan/legends.h"

struct sel_template_facts {
    const char *title;     // NULL: the default title
    const char *landcover; // paths as the plan is to write them, relative to its folder or absolute
    const char *elevation;
    const char *access;              // NULL: no layer yet
    const char *habitats;            // the habitat table's path; NULL: "habitats.csv"
    const struct sel_legend *legend; // that filled the habitat table; NULL: none did
    double latitude; // degrees, of the rasters' middle; NAN: not known. Decides the season
    int year;        // in which the season begins; 0: that of the default season
};

// Appends the text of a survey.yaml that sel_plan_read takes once the files are there. Lines that
// begin with "# " are explanation; lines that begin with "#" and a key may be put to use by taking
// the "#" away.
void sel_template_plan(const struct sel_template_facts *facts, struct sel_text *text);

// Appends a habitat table with one line per value, in the order given. A value that the legend
// (NULL: none) does not list gets a line with blank traits, which sel_habitats_read refuses until
// they are filled in. `cell_area_m2` is the ground area of a cell; NAN leaves the areas blank.
void sel_template_habitats(const struct sel_legend *legend, const struct sel_class_count *classes,
    size_t count, double cell_area_m2, struct sel_text *text);

#endif
