// SPDX-License-Identifier: MIT
//
// The survey plan: survey.yaml after validation, every default filled in. Distances are metres,
// angles degrees, times minutes. "auto" numbers are NAN until the study grid is known.
//
// All strings are owned by the plan and freed by sel_plan_clear. Paths are already resolved
// against the plan's folder (virtual-file-system paths, /vsi..., are left alone); sel_plan_written
// tells how the plan writes them.
#ifndef SEL_PLAN_PLAN_H
#define SEL_PLAN_PLAN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/status.h"
#include "plan/habitats.h"

// Where in the plan something was said; for messages that come up after parsing.
struct sel_place {
    int line, column; // 1-based; 0 when the default stands
};

enum sel_unit { SEL_UNIT_FROM_FILE, SEL_UNIT_METRE, SEL_UNIT_DECIMETRE, SEL_UNIT_FOOT };

struct sel_raster_ref {
    char *file; // NULL: not given
    int band;   // 1-based
    enum sel_unit unit;
    struct sel_place place;
};

// A vector layer. `layer` NULL: the file's only layer (more than one is an error naming them).
struct sel_layer_ref {
    char *file;
    char *layer;
    struct sel_place place;
};

struct sel_plan_lines {
    struct sel_layer_ref source;
    char *habitat;
    double width_m;
};

enum sel_access_role { SEL_ACCESS_START, SEL_ACCESS_WAY };

struct sel_plan_access {
    struct sel_layer_ref source;
    enum sel_access_role role;
};

enum sel_zone_rule { SEL_ZONE_EXCLUDE, SEL_ZONE_NO_CLEARING, SEL_ZONE_NOTE };

struct sel_plan_zone {
    struct sel_layer_ref source;
    enum sel_zone_rule rule;
    char *reason; // never NULL
};

// A pair whose contrast the plan states itself.
struct sel_plan_contrast {
    char *habitat_a, *habitat_b;
    double contrast; // 0..1
    struct sel_place place;
};

struct sel_date {
    int year, month, day;
};

enum sel_flight { SEL_FLIGHT_ACROSS, SEL_FLIGHT_ALONG };

// The criteria, in the order in which every table and output lists them.
enum sel_criterion {
    SEL_CRITERION_EDGE_CONTRAST,
    SEL_CRITERION_SLOPE,
    SEL_CRITERION_SUN,
    SEL_CRITERION_ACCESS,
    SEL_CRITERIA
};

enum { SEL_BREAKPOINTS_MOST = 32 };

struct sel_breakpoint {
    double at, worth; // the criterion's own unit; 0..1
};

enum sel_access_by { SEL_ACCESS_BY_DISTANCE, SEL_ACCESS_BY_TIME };

struct sel_plan_criterion {
    double weight; // as written, >= 0; they need not sum to 1
    struct sel_breakpoint value[SEL_BREAKPOINTS_MOST];
    int value_count;       // >= 2, `at` strictly rising
    bool has_limit;        // places beyond the limit are excluded: above it where less is better
    double limit;          // (the value function falls), below it where more is better
    enum sel_access_by by; // access only; by time it has a limit, and beyond is above it
    struct sel_place place;
};

enum sel_aggregate { SEL_MEAN_ARITHMETIC, SEL_MEAN_GEOMETRIC };

struct sel_plan_choose {
    int sites;                // >= 1
    double apart_m;           // least distance between any two chosen sites
    int reserves;             // per site, 0..5
    int pair_min, pair_max;   // sites per pair of habitats; 0 = no quota
    int block_min, block_max; // sites per block of ground; 0 = no quota
    double block_m;           // side of the squares that are blocks; 0: no such blocks
    double spread;            // 0..1
    int relax;                // 0 or 1
};

// How far the data may be off; see docs/method-choice.md.
struct sel_plan_uncertainty {
    double elevation_rmse_m;   // 0: not asked for
    double elevation_range_m;  // NAN: auto
    double landcover_accuracy; // 1: not asked for
};

// The field days: used by the field kit alone, carried in the output's table `plan`.
struct sel_plan_field {
    double day_hours;                           // walking, work and travel of one day
    int interval_days;                          // between two changes of a head
    int setup_min, service_min;                 // work at one trap
    double takedown_min;                        // the same; NAN: auto, half of setup_min
    double travel_kmh;                          // between access points, over the straight line
    double fluid_ml;                            // in one head's bottle
    int pans;                                   // open pans at each trap
    double pan_ml;                              // in one pan
    char *preservative, *collector, *trap_type; // the first two NULL: not given
    char *place, *region, *country_code;        // where the survey is; NULL: not given
    int label_code;                             // 1: labels carry a two-dimensional code
};

// What an application for a permit says beside the sites. Texts are NULL when not given.
struct sel_plan_permit {
    char *applicant, *contact, *authority, *purpose, *fluids;
    int traps_per_site;
    double clearing_m[2]; // of one trap: across the panel, along it; 0, 0: not given
};

// A path of the plan, and how the plan writes it.
struct sel_plan_path {
    const char *resolved; // the plan's own pointer, one of its `file` fields
    char *written;        // owned
};

enum { SEL_PLAN_KEYS_MOST = 176 }; // rows of the table of keys, see plan/keys.h

struct sel_plan {
    char *path, *folder;
    int version; // of the plan's format: 1
    char *title;
    struct sel_raster_ref landcover, elevation, canopy;
    char *habitats_source; // a file, or the name of a built-in legend
    bool habitats_is_legend;
    struct sel_habitats habitats;
    struct sel_plan_contrast *contrast;
    size_t contrast_count;
    char *crs;                 // NULL: auto
    double cell_m;             // NAN: auto
    struct sel_layer_ref area; // file NULL: none
    struct sel_plan_lines *lines;
    size_t lines_count;
    struct sel_plan_access *access;
    size_t access_count;
    struct sel_layer_ref parcels;
    char *parcel_name, *parcel_owner; // attribute names; owner may be NULL
    struct sel_plan_zone *zones;
    size_t zones_count;
    struct sel_layer_ref occupied;
    struct sel_date season_from, season_to; // from <= to as dates; may cross New Year
    double min_patch_m2;
    double tangent_m;                // radius of the tangent's neighbourhood; NAN: auto
    double every_m, reach_m, belt_m; // NAN: auto
    enum sel_flight flight;
    double opening_m;
    struct sel_plan_criterion criteria[SEL_CRITERIA];
    double access_min_m; // places nearer to a public way are left out
    enum sel_aggregate aggregate;
    struct sel_plan_choose choose;
    struct sel_layer_ref blocks; // polygons that are blocks of choose; file NULL: none
    char *block_name;            // their attribute
    struct sel_plan_uncertainty uncertainty;
    struct sel_plan_field field;
    struct sel_plan_permit permit;
    double checksum_mb;
    int64_t candidates_limit; // rows of the candidates layer at most; 0: no layer
    uint64_t seed;
    struct sel_plan_path *paths; // owned; every path that the plan gives
    size_t path_count, path_capacity;
    struct sel_place places[SEL_PLAN_KEYS_MOST]; // where each key was given; see sel_plan_place
};

// Reads and validates a plan and its habitat table. Messages read
// "survey.yaml:12: choose.sites: 0 is not in 1..1000: give how many sites to choose". Files the
// plan names must exist (virtual-file-system paths are only looked at when opened). On failure the
// plan is empty. Numbers are read and written under the "C" numeric locale.
sel_status sel_plan_read(sel_context *context, const char *path, struct sel_plan *plan);

void sel_plan_clear(struct sel_plan *plan);

// How the plan writes one of its paths, told by its pointer: landcover.file, lines[i].source.file,
// habitats_source... Any other text comes back as it is.
const char *sel_plan_written(const struct sel_plan *plan, const char *resolved);

// Where the plan gives a key ("grid.crs"; not a key inside a list); line 0 when its default stands.
struct sel_place sel_plan_place(const struct sel_plan *plan, const char *key);

// One "key: value" row of the plan as used, every default included; for the output's plan table.
// Entries of lists are numbered from 1 ("lines[1].file"); what is not given reads "none", what is
// left to the study grid "auto"; paths read as the plan writes them. is_default: the plan does not
// say it (inside a list: it equals the default). Stops at the first row that fails and returns its
// status.
typedef sel_status sel_plan_row_fn(void *user, const char *key, const char *value, bool is_default);
sel_status sel_plan_each(
    sel_context *context, const struct sel_plan *plan, sel_plan_row_fn *row, void *user);

// "edge_contrast", "slope", "sun", "access".
const char *sel_criterion_name(enum sel_criterion criterion);

// The criterion's unit as printed: "", "deg", "share", "m".
const char *sel_criterion_unit(enum sel_criterion criterion);

// The same as this plan measures it: access by time is in "min".
const char *sel_measure_unit(const struct sel_plan *plan, enum sel_criterion criterion);

#endif
