// SPDX-License-Identifier: MIT
//
// The parts of an explanation that the site's own row and its neighbours in the file answer: where
// it is, how the trap stands, which reserves there are.
#include "explain/site.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "output/columns.h"
#include "output/layout.h"
#include "output/names.h"

// --- place ---

static int64_t count_primaries(const struct sel_package *package) {
    int64_t count = 0;
    for (size_t i = 0; i < package->site_count; i++)
        count += !package->sites[i].reserve_for;
    return count;
}

static const char *named(const char *name) {
    return name && name[0] ? name : "unknown";
}

static void add_head(
    const struct sel_package *package, const struct sel_site_row *site, struct sel_text *text) {
    struct sel_text line;
    sel_text_init(&line);
    sel_text_addf(&line, "Site %s, rank %" PRId64 " of %" PRId64 ", score %.4f", named(site->site),
        site->rank, count_primaries(package), site->score);
    sel_wrap_text(text, "", &line);
    const char *title = sel_package_fact(package, "title");
    if (title)
        sel_wrap(text, "", title);
    sel_text_addf(&line, "The edge between %s (side a, %.0f m deep) and %s (side b, %.0f m deep).",
        named(site->habitat_a), site->depth_a_m, named(site->habitat_b), site->depth_b_m);
    sel_text_add(text, "\n");
    sel_wrap_text(text, "", &line);
}

static void add_pair(struct sel_cells *table, const char *label, const char *value) {
    if (!value || !value[0])
        return;
    sel_cell(table, label);
    sel_cell(table, value);
}

static void add_coordinates(
    const struct sel_package *package, const struct sel_site_row *site, struct sel_cells *table) {
    const char *crs = sel_package_fact(package, "grid.crs");
    sel_cell(table, "latitude, longitude");
    sel_cellf(table, "%.6f, %.6f (WGS 84)", site->latitude, site->longitude);
    sel_cell(table, "good to");
    sel_cellf(table, "%.0f m", ceil(site->coordinate_uncertainty_m));
    sel_cell(table, "map position");
    sel_cellf(table, "%.1f, %.1f", site->x, site->y);
    add_pair(table, "in", crs);
    if (!isnan(site->elevation_m)) {
        sel_cell(table, "elevation");
        sel_cellf(table, "%.0f m", sel_round_to(site->elevation_m, 0));
    }
}

static void add_ground(const struct sel_site_row *site, struct sel_cells *table) {
    add_pair(table, "parcel", site->parcel);
    add_pair(table, "owner's reference", site->owner_ref);
    add_pair(table, "zone", site->zone);
    if (site->clearing != SEL_UNSAID)
        add_pair(table, "clearing a strip", site->clearing ? "not ruled out by a zone" : "no");
    if (site->support != SEL_UNSAID)
        add_pair(table, "stems to tie to", site->support ? "yes" : "no: bring poles");
    if (!isnan(site->water_m)) {
        sel_cell(table, "nearest open water");
        sel_cellf(table, "%.0f m away, %.1f m %s", site->water_m, fabs(site->above_water_m),
            site->above_water_m < 0.0 ? "above the site" : "below the site");
    }
}

static void add_access(const struct sel_site_row *site, struct sel_cells *table) {
    if (isnan(site->access_m))
        return;
    sel_cell(table, "nearest access");
    sel_cellf(table, "%.0f m away in a straight line", site->access_m);
    if (!isnan(site->walk_min)) {
        sel_cell(table, "on foot");
        sel_cellf(table, "about %.0f min each way: %.0f m, %.0f m up", ceil(site->walk_min),
            site->walk_m, site->climb_m);
    }
    if (!isnan(site->access_latitude)) {
        sel_cell(table, isnan(site->walk_min) ? "which lies at" : "from");
        sel_cellf(table, "%.6f, %.6f", site->access_latitude, site->access_longitude);
    }
}

void sel_explain_place(
    const struct sel_package *package, const struct sel_site_row *site, struct sel_text *text) {
    static const enum sel_align ALIGN[] = {SEL_LEFT, SEL_LEFT};
    struct sel_cells table;
    sel_cells_init(&table, 2, ALIGN);
    add_head(package, site, text);
    add_coordinates(package, site, &table);
    add_access(site, &table);
    add_ground(site, &table);
    sel_text_add(text, "\nWhere it is\n");
    sel_cells_write(text, 2, &table);
    sel_cells_clear(&table);
    if (site->notes && site->notes[0])
        sel_wrap(text, "  ", site->notes);
}

// --- bearings ---

static void add_axis(struct sel_text *line, const char *what, double degrees) {
    int end = sel_whole_axis(degrees);
    sel_text_addf(line, "%s %d/%d degrees (%s to %s)", what, end, end + 180, sel_compass_name(end),
        sel_compass_name(end + 180));
}

static const char *head_reason(const struct sel_site_row *site) {
    const double nearly_axial = 10.0;
    if (site->head_choice && strcmp(site->head_choice, "clear") == 0)
        return "the end of the panel that gets more light";
    bool east = site->head_true_deg > nearly_axial && site->head_true_deg < 180.0 - nearly_axial;
    return east ? "a weak choice: both ends of the panel get about the same light, so the eastern, "
                  "morning end was taken"
                : "a weak choice: both ends of the panel get about the same light";
}

static void add_head_bearing(const struct sel_site_row *site, struct sel_text *line) {
    sel_text_addf(line, "Turn the collecting head to %d degrees (%s), %s.",
        sel_whole_bearing(site->head_true_deg), sel_compass_name(site->head_true_deg),
        head_reason(site));
}

void sel_explain_bearings(
    const struct sel_package *package, const struct sel_site_row *site, struct sel_text *text) {
    const char *flight = sel_package_fact(package, "flight");
    struct sel_text line;
    sel_text_init(&line);
    add_axis(&line, "The edge runs along", site->edge_true_deg);
    add_axis(&line, "; insects that cross it fly along", site->flyway_true_deg);
    sel_text_addf(&line, ". The edge is %s here (straightness %.2f).",
        site->edge_straightness >= 0.8 ? "straight" : "bent", site->edge_straightness);
    add_axis(&line, " Set the panel along", site->panel_true_deg);
    sel_text_addf(&line, ", so that flight %s the edge meets it. ",
        flight && strcmp(flight, "along") == 0 ? "along" : "across");
    add_head_bearing(site, &line);
    if (isnan(site->declination_deg))
        sel_text_add(&line, " All bearings are true, not magnetic.");
    else
        sel_text_addf(&line, " By compass (declination %.1f degrees): panel %d, head %d.",
            sel_round_to(site->declination_deg, 1), sel_whole_axis(site->panel_magnetic_deg),
            sel_whole_bearing(site->head_magnetic_deg));
    sel_text_add(text, "\nHow the trap stands\n");
    sel_wrap_text(text, "  ", &line);
}

// --- reserves ---

static void add_reserve(const struct sel_site_row *site, const struct sel_site_row *reserve,
    double metres, struct sel_cells *table) {
    double east = (reserve->x - site->x) * metres, north = (reserve->y - site->y) * metres;
    double bearing = atan2(east, north) * (180.0 / 3.14159265358979323846);
    sel_cell(table, reserve->site);
    sel_cell(table, reserve->pair);
    sel_cell_number(table, reserve->score, 4);
    sel_cellf(table, "%.0f m %s", hypot(east, north), sel_compass_name(bearing));
    sel_cellf(table, "%.6f, %.6f", reserve->latitude, reserve->longitude);
}

void sel_explain_reserves(
    const struct sel_package *package, const struct sel_site_row *site, struct sel_text *text) {
    static const enum sel_align ALIGN[] = {SEL_LEFT, SEL_LEFT, SEL_RIGHT, SEL_LEFT, SEL_LEFT};
    double metres = sel_package_number(package, "grid.metres_per_unit");
    struct sel_cells table;
    sel_cells_init(&table, 5, ALIGN);
    for (size_t i = 0; i < package->site_count; i++)
        if (package->sites[i].rank == site->rank && package->sites[i].reserve_for)
            add_reserve(site, &package->sites[i], metres, &table);
    sel_text_add(text, "\nReserves, should the place turn out unusable\n");
    if (table.count == 0 && !site->reserve_note)
        sel_text_add(text, "  none\n");
    sel_cells_write(text, 2, &table);
    sel_cells_clear(&table);
    if (site->reserve_note)
        sel_wrap(text, "  ", site->reserve_note);
}

// --- all of it ---

sel_status sel_explain_site(
    struct sel_package *package, const struct sel_site_row *site, struct sel_text *text) {
    sel_explain_place(package, site, text);
    sel_status status = sel_explain_score(package, site, text);
    if (status == SEL_OK)
        status = sel_check_cancel(package->context);
    if (status == SEL_OK)
        status = sel_explain_change(package, site, text);
    if (status != SEL_OK)
        return status;
    sel_explain_bearings(package, site, text);
    status = sel_explain_sun(package, site, text);
    if (status == SEL_OK)
        status = sel_check_cancel(package->context);
    if (status != SEL_OK)
        return status;
    sel_explain_reserves(package, site, text);
    status = sel_explain_rivals(package, site, text);
    sel_text_add(text, "\n");
    sel_wrap(text, "", SEL_CAUTION);
    return status;
}
