// SPDX-License-Identifier: MIT
//
// Reads the GeoPackage for the dossier and works out what several of its parts need.
#include <cpl_conv.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "dossier/parts.h"
#include "fieldkit/data.h"
#include "output/gdal_guard.h"
#include "plan/dates.h"
#include "plan/numbers.h"

// --- tables ---

static sel_status read_table(struct sel_dossier *dossier, const struct sel_table_kind *kind,
    const void **rows, size_t *count) {
    struct sel_dossier_table *table = &dossier->tables[dossier->table_count];
    table->kind = kind;
    sel_status status = sel_package_rows(dossier->package, kind, &table->rows, &table->count);
    if (status != SEL_OK)
        return status;
    dossier->table_count++;
    *rows = table->rows;
    *count = table->count;
    return SEL_OK;
}

static sel_status read_tables(struct sel_dossier *d) {
    const struct {
        const struct sel_table_kind *kind;
        void *slot; // where the pointer to the rows goes
        size_t *count;
        bool may_miss;
    } wanted[] = {
        {&SEL_TABLE_CRITERIA, &d->criteria, &d->criterion_count, false},
        {&SEL_TABLE_HABITATS, &d->habitats, &d->habitat_count, false},
        {&SEL_TABLE_DROPPED, &d->dropped, &d->dropped_count, false},
        {&SEL_TABLE_INPUTS, &d->inputs, &d->input_count, false},
        {&SEL_TABLE_PLAN, &d->plan, &d->plan_count, false},
        {&SEL_TABLE_HORIZON, &d->horizon, &d->horizon_count, false},
        {&SEL_TABLE_PROFILE, &d->profile, &d->profile_count, false},
        {&SEL_TABLE_RIVALS, &d->rivals, &d->rival_count, false},
        {&SEL_TABLE_PAIRS, &d->pairs, &d->pair_count, false},
        {&SEL_TABLE_BLOCKS, &d->blocks, &d->block_count, false},
        {&SEL_TABLE_CANDIDATES, &d->candidates, &d->candidate_count, true},
        {&SEL_TABLE_GROUND_OCCUPIED, &d->occupied, &d->occupied_count, true},
    };
    sel_status status = SEL_OK;
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted && status == SEL_OK; i++) {
        const void *rows = NULL;
        if (wanted[i].may_miss && !sel_dossier_has_layer(d, wanted[i].kind->name))
            continue;
        status = read_table(d, wanted[i].kind, &rows, wanted[i].count);
        memcpy(wanted[i].slot, &rows, sizeof rows);
    }
    d->has_occupied = sel_dossier_has_layer(d, SEL_TABLE_GROUND_OCCUPIED.name);
    return status;
}

bool sel_dossier_has_layer(const struct sel_dossier *dossier, const char *name) {
    sel_gdal_begin(NULL, NULL);
    bool there = GDALDatasetGetLayerByName(dossier->package->dataset, name) != NULL;
    sel_gdal_end(NULL);
    return there;
}

static sel_status list_names(struct sel_dossier *d) {
    const struct sel_package *package = d->package;
    struct sel_named_rows pairs = {
        d->pairs, sizeof *d->pairs, offsetof(struct sel_pair_row, pair), d->pair_count};
    struct sel_named_rows blocks = {
        d->blocks, sizeof *d->blocks, offsetof(struct sel_block_row, block), d->block_count};
    struct sel_named_rows sites = {package->sites, sizeof *package->sites,
        offsetof(struct sel_site_row, site), package->site_count};
    bool listed = sel_names_init(&d->groups[SEL_BY_PAIR], pairs) &&
                  sel_names_init(&d->groups[SEL_BY_BLOCK], blocks) &&
                  sel_names_init(&d->site_names, sites);
    return listed ? SEL_OK : sel_fail_memory(package->context);
}

static sel_status find_rows_of_sites(struct sel_dossier *d) {
    d->horizon_rows = sel_names_spans(
        &d->site_names, (struct sel_named_rows){d->horizon, sizeof *d->horizon,
                            offsetof(struct sel_horizon_row, site), d->horizon_count});
    d->profile_rows = sel_names_spans(
        &d->site_names, (struct sel_named_rows){d->profile, sizeof *d->profile,
                            offsetof(struct sel_profile_row, site), d->profile_count});
    d->rival_rows =
        sel_names_spans(&d->site_names, (struct sel_named_rows){d->rivals, sizeof *d->rivals,
                                            offsetof(struct sel_rival_row, site), d->rival_count});
    bool found = d->horizon_rows && d->profile_rows && d->rival_rows;
    return found ? SEL_OK : sel_fail_memory(d->package->context);
}

const struct sel_site_row *sel_dossier_site(const struct sel_dossier *dossier, const char *name) {
    int row = sel_names_find(&dossier->site_names, name);
    return row < 0 ? NULL : &dossier->package->sites[row];
}

// --- transects ---

static void take_flyway(struct sel_dossier *dossier, OGRFeatureH feature) {
    int field = OGR_F_GetFieldIndex(feature, "site");
    OGRGeometryH line = OGR_F_GetGeometryRef(feature);
    if (field < 0 || !line || OGR_G_GetPointCount(line) < 2)
        return;
    const struct sel_site_row *site =
        sel_dossier_site(dossier, OGR_F_GetFieldAsString(feature, field));
    if (!site)
        return;
    int last = OGR_G_GetPointCount(line) - 1;
    dossier->flyways[sel_dossier_index(dossier, site)] =
        (struct sel_dossier_flyway){{OGR_G_GetX(line, 0), OGR_G_GetY(line, 0)},
            {OGR_G_GetX(line, last), OGR_G_GetY(line, last)}};
}

static sel_status read_flyways(struct sel_dossier *dossier) {
    struct sel_package *package = dossier->package;
    const double none = (double)NAN;
    dossier->flyways = malloc((package->site_count + 1) * sizeof *dossier->flyways);
    if (!dossier->flyways)
        return sel_fail_memory(package->context);
    for (size_t i = 0; i < package->site_count; i++)
        dossier->flyways[i] = (struct sel_dossier_flyway){{none, none}, {none, none}};
    sel_gdal_begin(NULL, NULL);
    OGRLayerH layer = GDALDatasetGetLayerByName(package->dataset, SEL_TABLE_FLYWAYS.name);
    if (layer)
        OGR_L_ResetReading(layer);
    OGRFeatureH feature;
    while (layer && (feature = OGR_L_GetNextFeature(layer)) != NULL) {
        take_flyway(dossier, feature);
        OGR_F_Destroy(feature);
    }
    sel_gdal_end(NULL);
    if (!layer)
        return sel_fail(package->context, SEL_BAD_INPUT,
            "%s: layer flyways is missing: the file was changed; rank again", package->path);
    return SEL_OK;
}

// --- the plan ---

const char *sel_dossier_plan(const struct sel_dossier *dossier, const char *key) {
    for (size_t i = 0; i < dossier->plan_count; i++) {
        const struct sel_plan_row *row = &dossier->plan[i];
        if (!row->key || strcmp(row->key, key) != 0)
            continue;
        bool absent = row->is_default == 1 && row->value && strcmp(row->value, "none") == 0;
        return absent ? NULL : row->value;
    }
    return NULL;
}

// Numbers of a text like "[[0.1, 0], [0.7, 1]]" in their order; returns how many.
static int numbers_in(const char *text, double *numbers, int most) {
    int count = 0;
    while (text && count < most) {
        char *end = NULL;
        text += strspn(text, "[, ]");
        numbers[count] = CPLStrtod(text, &end);
        if (end == text)
            break;
        text = end;
        count++;
    }
    return count;
}

static void take_permit(struct sel_dossier *dossier) {
    struct sel_dossier_permit *permit = &dossier->permit;
    double size[2], traps;
    permit->applicant = sel_dossier_plan(dossier, "permit.applicant");
    permit->contact = sel_dossier_plan(dossier, "permit.contact");
    permit->authority = sel_dossier_plan(dossier, "permit.authority");
    permit->purpose = sel_dossier_plan(dossier, "permit.purpose");
    permit->fluids = sel_dossier_plan(dossier, "permit.fluids");
    if (numbers_in(sel_dossier_plan(dossier, "permit.clearing_m"), size, 2) == 2) {
        permit->clearing_m[0] = size[0];
        permit->clearing_m[1] = size[1];
    }
    bool told = numbers_in(sel_dossier_plan(dossier, "permit.traps_per_site"), &traps, 1) == 1;
    permit->traps_per_site = told ? (int)traps : 1;
}

static int plan_whole(const struct sel_dossier *dossier, const char *key) {
    const char *value = sel_dossier_plan(dossier, key);
    int64_t number = 0;
    return value && sel_parse_whole(value, &number) && number > 0 ? (int)number : 0;
}

static void take_quotas(struct sel_dossier *dossier) {
    dossier->quota[SEL_BY_PAIR] = (struct sel_dossier_quota){
        plan_whole(dossier, "choose.per_pair.min"), plan_whole(dossier, "choose.per_pair.max")};
    dossier->quota[SEL_BY_BLOCK] = (struct sel_dossier_quota){
        plan_whole(dossier, "choose.per_block.min"), plan_whole(dossier, "choose.per_block.max")};
}

static void take_function(struct sel_dossier *dossier, const struct sel_criterion_row *row) {
    double numbers[2 * SEL_BREAKPOINTS_MOST];
    for (int i = 0; i < SEL_CRITERIA; i++) {
        if (!row->criterion ||
            strcmp(row->criterion, sel_criterion_name((enum sel_criterion)i)) != 0)
            continue;
        struct sel_plan_criterion *function = &dossier->functions[i];
        int count = numbers_in(row->value, numbers, 2 * SEL_BREAKPOINTS_MOST);
        function->value_count = count / 2;
        const double *next = numbers;
        for (int point = 0; point < count / 2; point++, next += 2)
            function->value[point] = (struct sel_breakpoint){next[0], next[1]};
        dossier->in_use[i] = row->in_use == 1 && function->value_count >= 2;
        dossier->weights[i] = dossier->in_use[i] && row->weight > 0.0 ? row->weight : 0.0;
    }
}

static sel_status take_season(struct sel_dossier *dossier) {
    const struct sel_package *package = dossier->package;
    const char *from = sel_package_fact(package, "season.from");
    const char *to = sel_package_fact(package, "season.to");
    if (!from || !to || !sel_date_parse(from, &dossier->from) || !sel_date_parse(to, &dossier->to))
        return sel_fail(package->context, SEL_BAD_INPUT,
            "%s: table run: season.from or season.to is missing or no date: the file was changed; "
            "rank again",
            package->path);
    dossier->days = sel_date_day_number(dossier->to) - sel_date_day_number(dossier->from) + 1;
    return SEL_OK;
}

// Trap-days are those of the field kit's plan, so that both papers and the events agree.
static sel_status count_trap_days(struct sel_dossier *dossier) {
    struct sel_package *package = dossier->package;
    struct sel_fieldkit kit = {0};
    if (!sel_fieldkit_plan_is_whole(dossier->plan, dossier->plan_count))
        return SEL_OK;
    dossier->trap_days = calloc(package->site_count + 1, sizeof *dossier->trap_days);
    if (!dossier->trap_days)
        return sel_fail_memory(package->context);
    sel_status status = sel_fieldkit_read(package, &kit);
    for (size_t i = 0; status == SEL_OK && i < kit.site_count; i++)
        if (kit.sites[i].round != SEL_NO_ROUND)
            dossier->trap_days[i] = kit.plan.traps * sel_fieldkit_site_days(&kit, &kit.sites[i]);
    sel_fieldkit_clear(&kit);
    return status;
}

// --- all of it ---

static sel_status take_facts(struct sel_dossier *dossier) {
    const struct sel_package *package = dossier->package;
    const char *aggregate = sel_package_fact(package, "aggregate");
    dossier->metres = sel_package_number(package, "grid.metres_per_unit");
    dossier->crs = sel_package_fact(package, "grid.crs");
    dossier->geometric = aggregate && strcmp(aggregate, "geometric") == 0;
    for (size_t i = 0; i < package->site_count; i++)
        *(sel_is_primary(&package->sites[i]) ? &dossier->primaries : &dossier->reserves) += 1;
    for (size_t i = 0; i < dossier->criterion_count; i++)
        take_function(dossier, &dossier->criteria[i]);
    dossier->on_foot = sel_dossier_on_foot(dossier);
    take_permit(dossier);
    take_quotas(dossier);
    if (!(dossier->metres > 0.0))
        return sel_fail(package->context, SEL_BAD_INPUT,
            "%s: table run: grid.metres_per_unit is missing: the file was changed; rank again",
            package->path);
    if (dossier->primaries == 0)
        return sel_fail(package->context, SEL_BAD_INPUT,
            "%s: layer sites holds no site: there is nothing to tell of", package->path);
    return take_season(dossier);
}

sel_status sel_dossier_read(
    struct sel_package *package, struct sel_text *html, struct sel_dossier *dossier) {
    *dossier = (struct sel_dossier){.package = package, .html = html};
    sel_status status = read_tables(dossier);
    if (status == SEL_OK)
        status = list_names(dossier);
    if (status == SEL_OK)
        status = find_rows_of_sites(dossier);
    if (status == SEL_OK)
        status = read_flyways(dossier);
    if (status == SEL_OK)
        status = take_facts(dossier);
    if (status == SEL_OK)
        status = count_trap_days(dossier);
    return status;
}

void sel_dossier_clear(struct sel_dossier *dossier) {
    for (int i = 0; i < dossier->table_count; i++)
        sel_rows_free(dossier->tables[i].kind, dossier->tables[i].rows, dossier->tables[i].count);
    for (int kind = 0; kind < SEL_QUOTA_KINDS; kind++)
        sel_names_clear(&dossier->groups[kind]);
    sel_names_clear(&dossier->site_names);
    free(dossier->horizon_rows);
    free(dossier->profile_rows);
    free(dossier->rival_rows);
    free(dossier->flyways);
    free(dossier->trap_days);
    *dossier = (struct sel_dossier){0};
}

// --- what follows ---

size_t sel_dossier_index(const struct sel_dossier *dossier, const struct sel_site_row *site) {
    return (size_t)(site - dossier->package->sites);
}

void sel_site_anchor(const struct sel_site_row *site, char anchor[SEL_SITE_ANCHOR_SIZE]) {
    snprintf(anchor, SEL_SITE_ANCHOR_SIZE, "site-%lld", (long long)site->rank);
}

double sel_dossier_convergence(const struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_row_span rows = dossier->horizon_rows[sel_dossier_index(dossier, site)];
    if (rows.count == 0)
        return 0.0;
    const struct sel_horizon_row *row = &dossier->horizon[rows.first];
    double turned = fmod(row->azimuth_true_deg - row->azimuth_deg + 540.0, 360.0) - 180.0;
    return isnan(turned) ? 0.0 : turned;
}

double sel_dossier_clearing_m2(const struct sel_dossier *dossier) {
    return dossier->permit.clearing_m[0] * dossier->permit.clearing_m[1];
}

void sel_dossier_colour(
    const struct sel_dossier *dossier, const char *habitat, char code[SEL_COLOUR_SIZE]) {
    const char *colour = NULL;
    for (size_t i = 0; i < dossier->habitat_count && !colour; i++) {
        const struct sel_habitat_row *row = &dossier->habitats[i];
        if (habitat && row->habitat && strcmp(row->habitat, habitat) == 0)
            colour = row->colour;
    }
    struct sel_ink ink = sel_swatch_ink(colour);
    snprintf(code, SEL_COLOUR_SIZE, "#%02x%02x%02x", (unsigned)lround(255.0 * ink.red),
        (unsigned)lround(255.0 * ink.green), (unsigned)lround(255.0 * ink.blue));
}
