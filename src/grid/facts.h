// SPDX-License-Identifier: MIT
//
// What is told of an input raster, and the oddities worth a note.
#ifndef SEL_GRID_FACTS_H
#define SEL_GRID_FACTS_H

#include "grid/raster.h"
#include "grid/source.h"
#include "grid/study.h"

// Fills all but value_unit. On failure what was filled is cleared by sel_facts_clear.
sel_status sel_facts_fill(sel_context *context, const struct sel_raster *raster,
    enum sel_method method, struct sel_raster_facts *facts);
void sel_facts_clear(struct sel_raster_facts *facts);

// Notes a NoData value that no cell can hold, one that the habitat table lists, and a band scale.
void sel_note_class_oddities(sel_context *context, const struct sel_raster *raster,
    const struct sel_values *values, const char *table);

// The CRS's name and its unit's; free with free, NULL: out of memory.
char *sel_crs_name_of(const struct sel_shape *shape);
char *sel_unit_name_of(const struct sel_shape *shape);

#endif
