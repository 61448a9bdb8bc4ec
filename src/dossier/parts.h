// SPDX-License-Identifier: MIT
//
// What the parts of the dossier share: the tables of the GeoPackage, what follows from them, and
// the text that grows. Internal to dossier/.
#ifndef SEL_DOSSIER_PARTS_H
#define SEL_DOSSIER_PARTS_H

#include "base/text.h"
#include "base/vec2.h"
#include "choose/choose.h"
#include "dossier/names.h"
#include "map/page.h"
#include "output/package.h"
#include "plan/plan.h"

enum { SEL_DOSSIER_TABLES = 16, SEL_SITE_ANCHOR_SIZE = 32 };

struct sel_dossier_table {
    const struct sel_table_kind *kind;
    void *rows; // owned
    size_t count;
};

// The ends of a site's transect, CRS units; NAN when the file has none.
struct sel_dossier_flyway {
    struct vec2 a, b;
};

// What the plan says of the application; texts are borrowed, NULL when it says nothing.
struct sel_dossier_permit {
    const char *applicant, *contact, *authority, *purpose, *fluids;
    int traps_per_site;
    double clearing_m[2]; // across the panel, along it; 0, 0: not given
};

// Sites of one pair or block, by the plan; 0: no such quota.
struct sel_dossier_quota {
    int least, most;
};

struct sel_dossier {
    struct sel_package *package;
    struct sel_text *html; // what the parts append to

    struct sel_dossier_table tables[SEL_DOSSIER_TABLES];
    int table_count;
    const struct sel_criterion_row *criteria;
    const struct sel_habitat_row *habitats;
    const struct sel_dropped_row *dropped;
    const struct sel_input_row *inputs;
    const struct sel_plan_row *plan;
    const struct sel_horizon_row *horizon;
    const struct sel_profile_row *profile;
    const struct sel_rival_row *rivals;
    const struct sel_pair_row *pairs;
    const struct sel_block_row *blocks;
    const struct sel_candidate_row *candidates; // may have no rows
    const struct sel_ground_occupied_row *occupied;
    size_t criterion_count, habitat_count, dropped_count, input_count, plan_count, horizon_count,
        profile_count, rival_count, pair_count, block_count, candidate_count, occupied_count;
    bool has_occupied;                        // the layer is there
    struct sel_dossier_flyway *flyways;       // owned; one per site of the package
    struct sel_names groups[SEL_QUOTA_KINDS]; // owned; of the pairs and of the blocks
    struct sel_names site_names;              // owned
    // Owned; the rows of each site of the package.
    struct sel_row_span *horizon_rows, *profile_rows, *rival_rows;

    double metres; // per CRS unit
    const char *crs;
    int64_t primaries, reserves;
    struct sel_dossier_permit permit;
    struct sel_dossier_quota quota[SEL_QUOTA_KINDS];
    struct sel_date from, to;
    int64_t days;       // of the season, both ends counted
    int64_t *trap_days; // owned; one per site of the package, 0 for a reserve; NULL: not known
    bool geometric;
    bool on_foot; // access is measured in minutes, not in metres
    bool in_use[SEL_CRITERIA];
    double weights[SEL_CRITERIA];
    struct sel_plan_criterion functions[SEL_CRITERIA]; // the value functions

    bool edges_shown; // on the overview map
};

// --- data (data.c) ---

// Reads every table. Clear with sel_dossier_clear whatever comes.
sel_status sel_dossier_read(
    struct sel_package *package, struct sel_text *html, struct sel_dossier *dossier);
void sel_dossier_clear(struct sel_dossier *dossier);

// A value of the plan; NULL when the plan does not give it and there is no default.
const char *sel_dossier_plan(const struct sel_dossier *dossier, const char *key);

bool sel_dossier_has_layer(const struct sel_dossier *dossier, const char *name);

// The site or reserve of that name; NULL: there is none. `name` may be NULL.
const struct sel_site_row *sel_dossier_site(const struct sel_dossier *dossier, const char *name);

// The place of a site's row in the package.
size_t sel_dossier_index(const struct sel_dossier *dossier, const struct sel_site_row *site);

static inline bool sel_is_primary(const struct sel_site_row *site) {
    return !site->reserve_for;
}

// Words for what a column of yes and no says: 1, 0, or nothing.
static inline const char *sel_yes_or_no(
    int said, const char *yes, const char *no, const char *unsaid) {
    return said == 1 ? yes : said == 0 ? no : unsaid;
}

// "site-3", the anchor of the sheet that tells of a site or reserve of that rank.
void sel_site_anchor(const struct sel_site_row *site, char anchor[SEL_SITE_ANCHOR_SIZE]);

// Degrees to add to a grid bearing for a true one at a site; 0 when the file does not tell.
double sel_dossier_convergence(const struct sel_dossier *dossier, const struct sel_site_row *site);

// "#rrggbb" of a habitat as the veiled ground shows it; grey for one that is not known.
enum { SEL_COLOUR_SIZE = 8 };
void sel_dossier_colour(
    const struct sel_dossier *dossier, const char *habitat, char code[SEL_COLOUR_SIZE]);

// Square metres cleared for one trap, 0 when the plan names no clearing.
double sel_dossier_clearing_m2(const struct sel_dossier *dossier);

// --- measures (measure.c) ---

// Whether the table `criteria` has the access in minutes; dossier->on_foot once all is read.
bool sel_dossier_on_foot(const struct sel_dossier *dossier);

// What a site or a candidate measures by a criterion, in the file's unit.
double sel_site_measure(const struct sel_dossier *dossier, const struct sel_site_row *site,
    enum sel_criterion criterion);
double sel_candidate_measure(const struct sel_dossier *dossier,
    const struct sel_candidate_row *candidate, enum sel_criterion criterion);

// A measure rounded, with its unit ("4.5 min"), and a bound of the plan as it was written
// ("45 min").
void sel_dossier_add_measure(
    struct sel_dossier *dossier, enum sel_criterion criterion, double measure);
void sel_dossier_add_bound(struct sel_dossier *dossier, enum sel_criterion criterion, double bound);

// --- pictures ---

// The ground of an extent (west, south, east, north) as a PNG in a data URI: the close-up of `site`
// (NULL: the backdrop) with, where there is room, the habitat edges. Shrinks until it takes at most
// `most_bytes`. *edges_shown may be NULL.
sel_status sel_dossier_ground(struct sel_dossier *dossier, const struct sel_site_row *site,
    const double extent[4], int pixels, size_t most_bytes, bool *edges_shown);

// Layers of the plan's ground, drawn as SVG within the page's frame.
sel_status sel_dossier_draw_zones(struct sel_dossier *dossier, const struct sel_map_page *page);
sel_status sel_dossier_draw_area(struct sel_dossier *dossier, const struct sel_map_page *page);
sel_status sel_dossier_draw_access(struct sel_dossier *dossier, const struct sel_map_page *page);
sel_status sel_dossier_draw_walks(struct sel_dossier *dossier, const struct sel_map_page *page);
void sel_dossier_draw_occupied(struct sel_dossier *dossier, const struct sel_map_page *page);

// The patterns that zones and canopy are filled with, once per page.
void sel_dossier_add_patterns(struct sel_dossier *dossier);

// --- parts of the page, in its order ---

void sel_dossier_add_front(struct sel_dossier *dossier);
sel_status sel_dossier_add_map(struct sel_dossier *dossier);
void sel_dossier_add_locator(struct sel_dossier *dossier);
bool sel_dossier_add_inset(struct sel_dossier *dossier); // false: nothing was drawn
void sel_dossier_add_map_legend(struct sel_dossier *dossier);
sel_status sel_dossier_add_weights(struct sel_dossier *dossier);
void sel_dossier_add_site_list(struct sel_dossier *dossier);
void sel_dossier_add_rejected(struct sel_dossier *dossier);
sel_status sel_dossier_add_parcels(struct sel_dossier *dossier);
sel_status sel_dossier_add_sheet(struct sel_dossier *dossier, const struct sel_site_row *site);
void sel_dossier_add_method(struct sel_dossier *dossier);
void sel_dossier_add_literature(struct sel_dossier *dossier);
void sel_dossier_add_sources(struct sel_dossier *dossier);
void sel_dossier_add_run(struct sel_dossier *dossier);

// --- parts of a site's sheet ---

sel_status sel_sheet_add_close_up(struct sel_dossier *dossier, const struct sel_site_row *site);
void sel_sheet_add_facts(struct sel_dossier *dossier, const struct sel_site_row *site);
void sel_sheet_add_stand(struct sel_dossier *dossier, const struct sel_site_row *site);
void sel_sheet_add_sun(struct sel_dossier *dossier, const struct sel_site_row *site);
void sel_sheet_add_profile(struct sel_dossier *dossier, const struct sel_site_row *site);
void sel_sheet_add_criteria(struct sel_dossier *dossier, const struct sel_site_row *site);
void sel_sheet_add_rivals(struct sel_dossier *dossier, const struct sel_site_row *site);

#endif
