// SPDX-License-Identifier: MIT
//
// Joins each row of `sites` with what other tables and the magnetic model say of it.
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fieldkit/data.h"
#include "flyway/magnetic.h"
#include "plan/dates.h"

// --- habitats ---

static const struct sel_habitat_row *habitat_named(
    const struct sel_fieldkit *kit, const char *name) {
    for (size_t i = 0; name && i < kit->habitat_count; i++)
        if (kit->habitats[i].habitat && strcmp(kit->habitats[i].habitat, name) == 0)
            return &kit->habitats[i];
    return NULL;
}

static bool may_stand_on(const struct sel_habitat_row *habitat, const char *ground) {
    return habitat && habitat->trap == 1 && habitat->ground && strcmp(habitat->ground, ground) == 0;
}

static void join_habitats(const struct sel_fieldkit *kit, struct sel_fieldkit_site *site) {
    site->a = habitat_named(kit, site->row->habitat_a);
    site->b = habitat_named(kit, site->row->habitat_b);
    site->sand = may_stand_on(site->a, "sand") || may_stand_on(site->b, "sand");
    site->rock = may_stand_on(site->a, "rock") || may_stand_on(site->b, "rock");
}

// --- north ---

// The year of the magnetic bearings: as the survey took it, halfway between the season's ends.
static double middle_year(const struct sel_fieldkit *kit) {
    return 0.5 * (sel_decimal_year(sel_date_of_day(kit->plan.first_day)) +
                     sel_decimal_year(sel_date_of_day(kit->plan.last_day)));
}

static void ask_magnetic_model(const struct sel_fieldkit *kit, struct sel_fieldkit_site *site) {
    const struct sel_site_row *row = site->row;
    struct sel_magnetic field;
    double height_km = isnan(row->elevation_m) ? 0.0 : row->elevation_m / 1000.0;
    bool known =
        sel_magnetic_at(row->latitude, row->longitude, height_km, middle_year(kit), &field);
    site->annual_change_deg =
        known && !isnan(row->declination_deg) ? field.annual_change_deg : (double)NAN;
}

static double fold_half(double degrees) {
    double folded = fmod(degrees, 360.0);
    return folded > 180.0 ? folded - 360.0 : folded < -180.0 ? folded + 360.0 : folded;
}

// The horizon's azimuths are told from grid north and from true north: the difference is the
// convergence, the same for all of a site's rows.
static void take_convergence(
    struct sel_fieldkit *kit, const struct sel_horizon_row *rows, size_t count) {
    size_t at = 0;
    for (size_t i = 0; i < kit->site_count; i++) {
        const char *id = sel_fieldkit_id(&kit->sites[i]);
        kit->sites[i].convergence_deg = (double)NAN;
        for (size_t tried = 0; tried < count; tried++, at = (at + 1) % count) {
            if (!rows[at].site || strcmp(rows[at].site, id) != 0)
                continue;
            kit->sites[i].convergence_deg =
                fold_half(rows[at].azimuth_true_deg - rows[at].azimuth_deg);
            break;
        }
    }
}

static sel_status read_convergence(struct sel_fieldkit *kit) {
    void *rows = NULL;
    size_t count = 0;
    sel_status status = sel_package_rows(kit->package, &SEL_TABLE_HORIZON, &rows, &count);
    if (status == SEL_OK)
        take_convergence(kit, rows, count);
    sel_rows_free(&SEL_TABLE_HORIZON, rows, count);
    return status;
}

// --- sites ---

static const struct sel_fieldkit_site *primary_of(
    const struct sel_fieldkit *kit, const struct sel_site_row *row) {
    return row->reserve_for ? sel_fieldkit_find(kit, row->reserve_for) : NULL;
}

static void fill_site(struct sel_fieldkit *kit, size_t index) {
    struct sel_fieldkit_site *site = &kit->sites[index];
    site->round = SEL_NO_ROUND;
    site->access = SEL_NO_ACCESS;
    site->toward_b_deg = (double)NAN;
    site->walk_min = site->walk_m = site->climb_m = (double)NAN;
    kit->primary_count += !site->row->reserve_for;
    join_habitats(kit, site);
    ask_magnetic_model(kit, site);
}

static sel_status check_places(const struct sel_fieldkit *kit) {
    for (size_t i = 0; i < kit->site_count; i++) {
        const struct sel_site_row *row = kit->sites[i].row;
        if (fabs(row->latitude) <= 90.0 && fabs(row->longitude) <= 180.0 && isfinite(row->x) &&
            isfinite(row->y))
            continue;
        return sel_fail(kit->package->context, SEL_BAD_INPUT,
            "%s: table sites: %s has no usable position: the file was changed; rank again",
            kit->package->path, sel_fieldkit_id(&kit->sites[i]));
    }
    return SEL_OK;
}

sel_status sel_fieldkit_read_sites(struct sel_fieldkit *kit) {
    kit->site_count = kit->package->site_count;
    kit->sites = calloc(kit->site_count + 1, sizeof *kit->sites);
    if (!kit->sites)
        return sel_fail_memory(kit->package->context);
    for (size_t i = 0; i < kit->site_count; i++)
        kit->sites[i].row = &kit->package->sites[i];
    sel_status status = check_places(kit);
    for (size_t i = 0; status == SEL_OK && i < kit->site_count; i++) {
        fill_site(kit, i);
        kit->sites[i].primary = primary_of(kit, kit->sites[i].row);
    }
    if (status == SEL_OK && kit->primary_count == 0)
        return sel_fail(kit->package->context, SEL_NOTHING,
            "%s: has no site: a field kit needs at least one", kit->package->path);
    return status == SEL_OK ? read_convergence(kit) : status;
}
