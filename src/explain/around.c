// SPDX-License-Identifier: MIT
//
// What stands around a site: the light it gets, the horizon around its head, and the candidates
// near it that lost, with the reason.
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "explain/site.h"
#include "output/layout.h"
#include "output/names.h"

// --- sun ---

// "7.43" as "7:26".
static void add_clock(struct sel_text *text, double hours) {
    int minutes = (int)lround(60.0 * hours);
    sel_text_addf(text, "%d:%02d", minutes / 60, minutes % 60);
}

static void add_span(struct sel_text *line, double first_h, double last_h) {
    sel_text_add(line, " first at ");
    add_clock(line, first_h);
    sel_text_add(line, " and last at ");
    add_clock(line, last_h);
}

static void add_day(const struct sel_site_row *site, struct sel_text *line) {
    if (isnan(site->light_kwh_m2_day))
        return;
    sel_text_addf(line,
        " That is %.1f hours before and %.1f after noon, and %.1f kWh a day on a "
        "square metre; the sky is %.0f %% free.",
        site->morning_sun_h, site->afternoon_sun_h, site->light_kwh_m2_day, 100.0 * site->sky_view);
    if (!isnan(site->light_azimuth_true_deg))
        sel_text_addf(line, " Most light comes from %.0f degrees.", site->light_azimuth_true_deg);
    if (isnan(site->first_sun_h))
        return;
    sel_text_add(line, " In mid-season direct sun comes");
    add_span(line, site->first_sun_h, site->last_sun_h);
    if (isnan(site->first_bright_h)) {
        sel_text_add(line, ", never with more than half of its light");
    } else {
        sel_text_add(line, ", with more than half of its light");
        add_span(line, site->first_bright_h, site->last_bright_h);
    }
    sel_text_add(line, " (local mean solar time).");
}

static void add_light(
    const struct sel_package *package, const struct sel_site_row *site, struct sel_text *text) {
    const char *from = sel_package_fact(package, "season.from");
    const char *to = sel_package_fact(package, "season.to");
    struct sel_text line;
    if (isnan(site->sun_share))
        return;
    sel_text_init(&line);
    sel_text_addf(&line,
        "Of the light of clear days from %s to %s, %.0f %% reaches the head: sun for %.1f hours on "
        "the mean day, an hour behind canopy counted by the light that it lets through.",
        from ? from : "?", to ? to : "?", 100.0 * site->sun_share, site->sun_hours);
    add_day(site, &line);
    if (site->shade == 1)
        sel_text_add(&line, " Shade the bottle, but never the upper head.");
    sel_wrap(text, "  ", line.chars ? line.chars : "");
    text->failed = text->failed || line.failed;
    sel_text_clear(&line);
}

struct horizon_list {
    const struct sel_horizon_row *rows;
    size_t count;
    const char *site;
};

static bool belongs(const struct horizon_list *list, size_t i) {
    return list->rows[i].site && strcmp(list->rows[i].site, list->site) == 0;
}

// The row whose ground (or canopy) stands highest within [from, to] true degrees; NULL: none.
static const struct sel_horizon_row *highest(
    const struct horizon_list *list, bool canopy, double from, double to) {
    const struct sel_horizon_row *best = NULL;
    double most = -1.0;
    for (size_t i = 0; i < list->count; i++) {
        const struct sel_horizon_row *row = &list->rows[i];
        double angle = canopy ? row->canopy_deg : row->ground_deg;
        bool within = row->azimuth_true_deg >= from && row->azimuth_true_deg <= to;
        if (belongs(list, i) && within && angle > most) {
            most = angle;
            best = row;
        }
    }
    return best;
}

static void add_horizon(
    const struct horizon_list *list, const struct sel_site_row *site, struct sel_text *text) {
    const struct sel_horizon_row *ground = highest(list, false, 0.0, 360.0);
    const struct sel_horizon_row *canopy = highest(list, true, 0.0, 360.0);
    const struct sel_horizon_row *morning = highest(list, true, 60.0, 120.0);
    const struct sel_horizon_row *evening = highest(list, true, 240.0, 300.0);
    if (!ground || !canopy || !morning || !evening)
        return;
    struct sel_text line;
    sel_text_init(&line);
    sel_text_addf(&line, "Seen from the head, the ground stands highest in the %s, %.1f degrees",
        sel_compass_name(ground->azimuth_true_deg), ground->ground_deg);
    if (canopy->canopy_deg > canopy->ground_deg)
        sel_text_addf(&line, ", and the canopy in the %s, %.1f degrees, letting %.0f %% through",
            sel_compass_name(canopy->azimuth_true_deg), canopy->canopy_deg,
            100.0 * (1.0 - canopy->cover));
    sel_text_addf(&line,
        ". Toward the morning sun (60 to 120 degrees) the sky is free above %.1f degrees, toward "
        "the evening sun (240 to 300) above %.1f.",
        morning->canopy_deg, evening->canopy_deg);
    if (site->horizon_complete == 0)
        sel_text_add(
            &line, " The elevation data end within reach: the true horizon may be higher.");
    sel_wrap(text, "  ", line.chars ? line.chars : "");
    text->failed = text->failed || line.failed;
    sel_text_clear(&line);
}

sel_status sel_explain_sun(
    struct sel_package *package, const struct sel_site_row *site, struct sel_text *text) {
    void *read = NULL;
    size_t count = 0;
    sel_status status = sel_package_rows(package, &SEL_TABLE_HORIZON, &read, &count);
    if (status != SEL_OK)
        return status;
    struct horizon_list list = {read, count, site->site ? site->site : ""};
    sel_text_add(text, "\nSun and horizon\n");
    add_light(package, site, text);
    add_horizon(&list, site, text);
    sel_rows_free(&SEL_TABLE_HORIZON, read, count);
    return SEL_OK;
}

// --- rivals ---

enum { RIVALS_SHOWN = 6, REASONS_MOST = 12 };

struct rival_view {
    const struct sel_rival_row *rows;
    size_t count;
    int64_t rank;
};

static int better_first(const void *a, const void *b) {
    const struct sel_rival_row *first = *(const struct sel_rival_row *const *)a;
    const struct sel_rival_row *second = *(const struct sel_rival_row *const *)b;
    if (first->score != second->score)
        return first->score < second->score ? 1 : -1;
    return (first->distance_m > second->distance_m) - (first->distance_m < second->distance_m);
}

static void add_rival(struct sel_cells *table, const struct sel_rival_row *rival) {
    sel_cell_number(table, rival->score, 4);
    sel_cell(table, rival->pair);
    sel_cellf(table, "%.0f m", rival->distance_m);
    sel_cell_number(table, rival->edge_contrast, 2);
    sel_cell_number(table, rival->slope_deg, 1);
    sel_cell_number(table, rival->sun_share, 2);
    if (isnan(rival->walk_min))
        sel_cell_number(table, rival->access_m, 0);
    else
        sel_cellf(table, "%.0f min", rival->walk_min);
    sel_cell(table, rival->reason);
}

static void add_best(
    const struct sel_rival_row *const *sorted, size_t count, struct sel_text *text) {
    static const char *const HEADS[] = {
        "score", "habitats", "away", "contrast", "slope", "sun", "access", "why it lost"};
    static const enum sel_align ALIGN[] = {
        SEL_RIGHT, SEL_LEFT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT, SEL_LEFT};
    struct sel_cells table;
    sel_cells_init(&table, sizeof ALIGN / sizeof *ALIGN, ALIGN);
    for (int i = 0; i < table.columns; i++)
        sel_cell(&table, HEADS[i]);
    for (size_t i = 0; i < count && i < RIVALS_SHOWN; i++)
        add_rival(&table, sorted[i]);
    sel_cells_write(text, 2, &table);
    sel_cells_clear(&table);
}

struct reason_count {
    const char *reason;
    int64_t count;
};

// Counts by reason in the order in which they first come up; returns how many reasons.
static int count_reasons(const struct sel_rival_row *const *rivals, size_t count,
    struct reason_count reasons[REASONS_MOST]) {
    int known = 0;
    for (size_t i = 0; i < count; i++) {
        const char *reason = rivals[i]->reason ? rivals[i]->reason : "no reason told";
        int at = 0;
        while (at < known && strcmp(reasons[at].reason, reason) != 0)
            at++;
        if (at == REASONS_MOST)
            continue;
        if (at == known)
            reasons[known++] = (struct reason_count){reason, 0};
        reasons[at].count++;
    }
    return known;
}

static void add_reasons(
    const struct sel_rival_row *const *rivals, size_t count, struct sel_text *text) {
    struct reason_count reasons[REASONS_MOST];
    int known = count_reasons(rivals, count, reasons);
    struct sel_text line;
    sel_text_init(&line);
    sel_text_addf(&line, "%zu eligible candidate%s near it:", count, count == 1 ? "" : "s");
    for (int i = 0; i < known; i++)
        sel_text_addf(
            &line, "%s %" PRId64 " %s", i == 0 ? "" : ",", reasons[i].count, reasons[i].reason);
    sel_text_add(&line, count > RIVALS_SHOWN ? ". The best of them:" : ".");
    sel_wrap(text, "  ", line.chars ? line.chars : "");
    text->failed = text->failed || line.failed;
    sel_text_clear(&line);
}

static bool add_rivals(const struct rival_view *view, struct sel_text *text) {
    const struct sel_rival_row **own = malloc((view->count + 1) * sizeof *own);
    size_t count = 0;
    if (!own)
        return false;
    for (size_t i = 0; i < view->count; i++)
        if (view->rows[i].rank == view->rank)
            own[count++] = &view->rows[i];
    sel_text_add(text, "\nRivals within 1 km\n");
    if (count == 0) {
        sel_text_add(text, "  none\n");
    } else {
        qsort(own, count, sizeof *own, better_first);
        add_reasons(own, count, text);
        add_best(own, count, text);
    }
    free(own);
    return true;
}

sel_status sel_explain_rivals(
    struct sel_package *package, const struct sel_site_row *site, struct sel_text *text) {
    void *read = NULL;
    size_t count = 0;
    sel_status status = sel_package_rows(package, &SEL_TABLE_RIVALS, &read, &count);
    if (status != SEL_OK)
        return status;
    struct rival_view view = {read, count, site->rank};
    if (!add_rivals(&view, text))
        status = sel_fail_memory(package->context);
    sel_rows_free(&SEL_TABLE_RIVALS, read, count);
    return status;
}
