// SPDX-License-Identifier: MIT
//
// How firmly a site stands, and what would have to change for it to rise or to fall: its measures,
// one at a time, by the inverse of their value functions; or the weights, by the table
// `sensitivity`.
#include <cpl_conv.h>
#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "explain/site.h"
#include "output/layout.h"
#include "output/names.h"

// ---- standing ----

static void add_share(
    const struct sel_package *package, const struct sel_site_row *site, struct sel_text *line) {
    double apart_m = sel_package_number(package, "apart_m");
    sel_text_addf(line,
        "When the weights vary about the plan's (%.0f draws), this place, or one within %.0f m of "
        "it, is chosen in %.0f %%; among %.0f local bests its rank lies between %" PRId64
        " and %" PRId64 " in nine draws of ten.",
        sel_package_number(package, "robustness.draws"), 0.5 * apart_m, 100 * site->share_chosen,
        sel_package_number(package, "robustness.local_bests"), site->rank_low, site->rank_high);
    if (site->by_greedy == 0)
        sel_text_add(line,
            " Choosing simply, always the best place that is left, would not take it "
            "even at the plan's weights: it was taken for the sake of the choice as a whole.");
}

static void add_range(
    const struct sel_package *package, const struct sel_site_row *site, struct sel_text *line) {
    double rmse = sel_package_number(package, "uncertainty.elevation_rmse_m");
    double accuracy = sel_package_number(package, "uncertainty.landcover_accuracy");
    sel_text_add(line, " With");
    if (rmse > 0)
        sel_text_addf(line, " elevations off by %.3g m (root mean square)", rmse);
    if (accuracy < 1)
        sel_text_addf(
            line, "%s %.0f %% of the land cover right", rmse > 0 ? " and" : "", 100 * accuracy);
    sel_text_addf(line, ", its score lies between %.3f and %.3f in nine draws of ten.",
        site->score_low, site->score_high);
}

static void add_standing(
    const struct sel_package *package, const struct sel_site_row *site, struct sel_text *text) {
    struct sel_text line;
    sel_text_init(&line);
    if (!isnan(site->share_chosen))
        add_share(package, site, &line);
    if (!isnan(site->score_low))
        add_range(package, site, &line);
    if (line.length > 0 || line.failed)
        sel_wrap_text(text, "  ", &line);
    sel_text_clear(&line);
}

// ---- measures ----

struct value_function {
    struct sel_breakpoint points[SEL_BREAKPOINTS_MOST];
    int count;
};

// "[[0.1, 0], [0.7, 1]]", as the plan writes it.
static struct value_function read_function(const char *value) {
    struct value_function f = {.count = 0};
    for (const char *at = value; at && f.count < SEL_BREAKPOINTS_MOST; f.count++) {
        char *end = NULL;
        at += strspn(at, "[, ]");
        double measure = CPLStrtod(at, &end);
        if (end == at)
            break;
        at = end + strspn(end, ", ");
        double worth = CPLStrtod(at, &end);
        if (end == at)
            break;
        f.points[f.count] = (struct sel_breakpoint){measure, worth};
        at = end;
    }
    return f;
}

// The measure nearest to `now` that is worth so much; NAN: there is none.
static double measure_worth(const struct value_function *f, double worth, double now) {
    double nearest = (double)NAN;
    for (int i = 1; i < f->count; i++) {
        const struct sel_breakpoint *a = &f->points[i - 1], *b = &f->points[i];
        if (a->worth == b->worth || (worth - a->worth) * (worth - b->worth) > 0)
            continue;
        double at = a->at + (worth - a->worth) / (b->worth - a->worth) * (b->at - a->at);
        if (!(fabs(at - now) >= fabs(nearest - now)))
            nearest = at;
    }
    return nearest;
}

// The worth that a criterion must have for the score to become `wanted`, all else as it is.
static double worth_for(
    bool product, const struct sel_site_row *site, int criterion, double wanted) {
    double weight = site->weight[criterion], value = site->value[criterion];
    if (!(weight > 0) || isnan(wanted))
        return (double)NAN;
    if (!product)
        return value + (wanted - site->score) / weight;
    return site->score > 0 ? value * pow(wanted / site->score, 1 / weight) : (double)NAN;
}

static void add_quantity(
    struct sel_cells *table, double quantity, const struct sel_criterion_row *row) {
    const char *unit = row->unit ? row->unit : "";
    sel_cellf(table, "%.3g%s%s", quantity, unit[0] ? " " : "", unit);
}

static void add_target(struct sel_cells *table, const struct sel_criterion_row *row,
    const struct value_function *f, double worth, double now) {
    double measure = worth >= 0 && worth <= 1 ? measure_worth(f, worth, now) : (double)NAN;
    if (isnan(measure))
        sel_cell(table, "not by this alone");
    else
        add_quantity(table, measure, row);
}

struct targets {
    bool product, spread; // the mean is geometric; even spread counts
    double rise, fall;    // scores; NAN: none
};

static void add_measure(struct sel_cells *table, const struct sel_criterion_row *row,
    const struct sel_site_row *site, const struct targets *targets) {
    char words[SEL_CRITERION_WORDS];
    int criterion = sel_explain_criterion(row);
    if (criterion < 0 || row->in_use != 1 || !row->value)
        return;
    struct value_function f = read_function(row->value);
    double now = sel_explain_measure(site, criterion);
    sel_criterion_words(row->criterion, words);
    sel_cell(table, words);
    add_quantity(table, now, row);
    if (isnan(targets->rise))
        sel_cell(table, "");
    else
        add_target(
            table, row, &f, worth_for(targets->product, site, criterion, targets->rise), now);
    if (isnan(targets->fall))
        sel_cell(table, "");
    else
        add_target(
            table, row, &f, worth_for(targets->product, site, criterion, targets->fall), now);
}

static double score_of_rank(const struct sel_package *package, int64_t rank) {
    for (size_t i = 0; i < package->site_count; i++)
        if (package->sites[i].rank == rank && !package->sites[i].reserve_for)
            return package->sites[i].score;
    return (double)NAN;
}

static void add_heads(
    struct sel_cells *table, const struct sel_site_row *site, const struct targets *targets) {
    sel_cell(table, "criterion");
    sel_cell(table, "now");
    if (isnan(targets->rise))
        sel_cell(table, "");
    else
        sel_cellf(table, "reaches rank %" PRId64 " at", site->rank - 1);
    sel_cell(table, isnan(targets->fall) ? "" : "drops out at");
}

static void add_fall(
    const struct sel_site_row *site, const struct targets *targets, struct sel_text *line) {
    if (targets->spread)
        sel_text_addf(line,
            " With even spread counted as the plan asks, another place would be better in its "
            "stead, all other sites standing, if its score fell below %.4f (it has %.4f to spare).",
            targets->fall, site->score - targets->fall);
    else
        sel_text_addf(line,
            " The best place that could stand in for it, all other sites standing, has %.4f: below "
            "that, this one would lose its place (it has %.4f to spare).",
            targets->fall, site->score - targets->fall);
}

static void tell_targets(
    const struct sel_site_row *site, const struct targets *targets, struct sel_text *text) {
    struct sel_text line;
    sel_text_init(&line);
    if (isnan(targets->rise))
        sel_text_add(&line, "It is the first.");
    else
        sel_text_addf(&line, "To rise it lacks %.4f of score.", targets->rise - site->score);
    if (!isnan(targets->fall))
        add_fall(site, targets, &line);
    sel_text_add(&line, " One measure at a time:");
    sel_wrap_text(text, "  ", &line);
}

// The score at which it loses its place. A search that ended early may have left a better place
// untaken; then there is nothing to fall to.
static double fall_of(const struct sel_site_row *site) {
    return site->next_score <= site->score ? site->next_score : (double)NAN;
}

static sel_status add_measures(
    struct sel_package *package, const struct sel_site_row *site, struct sel_text *text) {
    static const enum sel_align ALIGN[] = {SEL_LEFT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT};
    const char *aggregate = sel_package_fact(package, "aggregate");
    struct targets targets = {.product = aggregate && strcmp(aggregate, "geometric") == 0,
        .spread = sel_package_number(package, "choice.spread") > 0,
        .rise = score_of_rank(package, site->rank - 1),
        .fall = fall_of(site)};
    void *read = NULL;
    size_t count = 0;
    struct sel_cells table;
    sel_status status = sel_package_rows(package, &SEL_TABLE_CRITERIA, &read, &count);
    if (status != SEL_OK)
        return status;
    tell_targets(site, &targets, text);
    sel_cells_init(&table, 4, ALIGN);
    add_heads(&table, site, &targets);
    for (size_t i = 0; i < count; i++)
        add_measure(&table, (const struct sel_criterion_row *)read + i, site, &targets);
    sel_cells_write(text, 2, &table);
    sel_cells_clear(&table);
    sel_rows_free(&SEL_TABLE_CRITERIA, read, count);
    return SEL_OK;
}

// ---- weights ----

static void add_weight(struct sel_cells *table, double weight) {
    if (isnan(weight))
        sel_cell(table, "none");
    else
        sel_cellf(table, "%.2f", weight);
}

static void add_weights(struct sel_text *text, const struct sel_sensitivity_row *rows, size_t count,
    const struct sel_site_row *site) {
    static const enum sel_align ALIGN[] = {SEL_LEFT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT};
    static const char *const HEADS[] = {"weight of", "now", "out when down to", "out when up to"};
    struct sel_cells table;
    sel_cells_init(&table, 4, ALIGN);
    for (int i = 0; i < 4; i++)
        sel_cell(&table, HEADS[i]);
    for (size_t i = 0; i < count; i++) {
        char words[SEL_CRITERION_WORDS];
        if (rows[i].rank != site->rank || !rows[i].criterion)
            continue;
        sel_criterion_words(rows[i].criterion, words);
        sel_cell(&table, words);
        sel_cellf(&table, "%.2f", rows[i].weight);
        add_weight(&table, rows[i].lower);
        add_weight(&table, rows[i].higher);
    }
    if (table.count > 4) {
        sel_wrap(text, "  ",
            "One weight at a time, the others keeping their proportions, a choice searched for "
            "anew would no longer take this place or one near it (none: it would at every weight; "
            "searched among the best candidates, so a hundredth either way is possible):");
        sel_cells_write(text, 2, &table);
    }
    sel_cells_clear(&table);
}

sel_status sel_explain_change(
    struct sel_package *package, const struct sel_site_row *site, struct sel_text *text) {
    void *read = NULL;
    size_t count = 0;
    sel_text_add(text, "\nHow firmly it stands\n");
    add_standing(package, site, text);
    sel_status status = add_measures(package, site, text);
    if (status == SEL_OK)
        status = sel_package_rows(package, &SEL_TABLE_SENSITIVITY, &read, &count);
    if (status != SEL_OK)
        return status;
    add_weights(text, read, count, site);
    sel_rows_free(&SEL_TABLE_SENSITIVITY, read, count);
    return SEL_OK;
}
