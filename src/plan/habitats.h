// SPDX-License-Identifier: MIT
//
// Habitats: what each land-cover value means to a flying insect and to the person with the trap.
#ifndef SEL_PLAN_HABITATS_H
#define SEL_PLAN_HABITATS_H

#include <stdbool.h>
#include <stdint.h>

#include "base/status.h"

// Identifies a habitat on the study grid: 0 is unknown, 1..habitat_count otherwise (id - 1 indexes
// the array). Several raster values may share one habitat.
typedef uint8_t sel_habitat_id;

enum { SEL_HABITAT_UNKNOWN = 0, SEL_HABITATS_MOST = 254 };

enum sel_ground { SEL_GROUND_FIRM, SEL_GROUND_SAND, SEL_GROUND_WET, SEL_GROUND_ROCK };

struct sel_habitat {
    char *name;        // owned; unique within the table
    double canopy_m;   // height of the vegetation, m, >= 0
    double cover;      // canopy closure, 0..1
    double wetness;    // 0..1
    double edge;       // worth of an edge with it to flying insects, 0..1
    double walk;       // walking-speed factor, 0 = barrier, 1 = open ground
    bool trap;         // may a trap stand here
    bool water;        // open water
    enum sel_ground ground;
    bool support;      // are there stems to tie guy lines to
};

// One raster value and the habitat it means.
struct sel_habitat_value {
    int64_t value;
    sel_habitat_id id;
};

struct sel_habitats {
    struct sel_habitat *items; // owned
    int count;
    struct sel_habitat_value *values; // owned; sorted by value, no value twice
    int value_count;
};

// Reads a habitat table (columns value,habitat,canopy_m,cover,wetness,edge,walk,trap,water,ground,
// support; see docs/habitats.md) through OGR's CSV driver. Rows that share a habitat name must
// agree in its traits. A row with an empty value names a habitat that only `lines` use.
sel_status sel_habitats_read(sel_context *context, const char *path, struct sel_habitats *habitats);

// Fills `habitats` from a built-in legend ("worldcover", "nlcd", "corine", ...).
sel_status sel_habitats_from_legend(
    sel_context *context, const char *legend, struct sel_habitats *habitats);

void sel_habitats_clear(struct sel_habitats *habitats);

// The habitat of a raster value; SEL_HABITAT_UNKNOWN when the table does not list it.
sel_habitat_id sel_habitat_of_value(const struct sel_habitats *habitats, int64_t value);

// The id of a habitat by name; SEL_HABITAT_UNKNOWN when there is none.
sel_habitat_id sel_habitat_by_name(const struct sel_habitats *habitats, const char *name);

// Borrowed; id must be 1..count.
const struct sel_habitat *sel_habitat_get(const struct sel_habitats *habitats, sel_habitat_id id);

#endif
