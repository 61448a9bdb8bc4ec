// SPDX-License-Identifier: MIT
//
// How the score of a site comes about: measure, worth, weight and what each criterion adds (or, for
// the geometric mean, multiplies), with the value functions in words.
#include <cpl_conv.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "explain/site.h"
#include "output/layout.h"
#include "output/names.h"

static bool geometric(const struct sel_package *package) {
    const char *aggregate = sel_package_fact(package, "aggregate");
    return aggregate && strcmp(aggregate, "geometric") == 0;
}

double sel_explain_measure(const struct sel_site_row *site, int criterion) {
    double access = isnan(site->walk_min) ? site->access_m : site->walk_min;
    const double measures[SEL_CRITERIA] = {
        site->edge_contrast, site->slope_deg, site->sun_share, access};
    return measures[criterion];
}

int sel_explain_criterion(const struct sel_criterion_row *row) {
    for (int i = 0; i < SEL_CRITERIA; i++)
        if (row->criterion &&
            strcmp(row->criterion, sel_criterion_name((enum sel_criterion)i)) == 0)
            return i;
    return -1;
}

static int decimals(double measure) {
    return fabs(measure) >= 100.0 ? 0 : fabs(measure) >= 2.0 ? 1 : 3;
}

// --- the sum ---

static double part_of(bool product, double value, double weight) {
    if (!product)
        return value * weight;
    return weight > 0.0 ? pow(value, weight) : 1.0;
}

static void add_criterion(struct sel_cells *table, const struct sel_criterion_row *row,
    const struct sel_site_row *site, bool product, double *total) {
    char words[SEL_CRITERION_WORDS];
    int criterion = sel_explain_criterion(row);
    if (criterion < 0)
        return;
    sel_criterion_words(row->criterion, words);
    sel_cell(table, words);
    if (row->in_use != 1) {
        for (int i = 1; i < table->columns; i++)
            sel_cell(table, i == 1 ? "not in use" : "");
        return;
    }
    double measure = sel_explain_measure(site, criterion);
    double part = part_of(product, site->value[criterion], site->weight[criterion]);
    *total = product ? *total * part : *total + part;
    sel_cellf(table, "%.*f", decimals(measure), measure);
    sel_cell(table, row->unit);
    sel_cell_number(table, site->value[criterion], 4);
    sel_cell_number(table, site->weight[criterion], 4);
    sel_cell_number(table, part, 4);
}

static void add_sum(struct sel_package *package, const struct sel_criterion_row *rows, size_t count,
    const struct sel_site_row *site, struct sel_text *text) {
    static const enum sel_align ALIGN[] = {
        SEL_LEFT, SEL_RIGHT, SEL_LEFT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT};
    bool product = geometric(package);
    double total = product ? 1.0 : 0.0;
    const char *heads[] = {
        "criterion", "measured", "", "worth", "weight", product ? "multiplies" : "adds"};
    struct sel_cells table;
    sel_cells_init(&table, 6, ALIGN);
    for (int i = 0; i < table.columns; i++)
        sel_cell(&table, heads[i]);
    for (size_t i = 0; i < count; i++)
        add_criterion(&table, &rows[i], site, product, &total);
    sel_cell(&table, "score");
    for (int i = 1; i < table.columns - 1; i++)
        sel_cell(&table, "");
    sel_cell_number(&table, total, 4);
    sel_text_add(text, "\nHow the score comes about\n");
    sel_cells_write(text, 2, &table);
    sel_cells_clear(&table);
}

// --- value functions in words ---

// "[[0.1, 0], [0.7, 1]]" -> "0.1 is worth 0, 0.7 is worth 1".
static void add_breakpoints(struct sel_text *line, const char *value) {
    bool first = true;
    for (const char *at = strchr(value, '['); at; first = false) {
        char *end = NULL;
        at += strspn(at, "[, ]");
        double measure = CPLStrtod(at, &end);
        if (end == at)
            return;
        at = end + strspn(end, ", ");
        double worth = CPLStrtod(at, &end);
        if (end == at)
            return;
        sel_text_addf(line, "%s%g is worth %g", first ? "" : ", ", measure, worth);
        at = *end ? end : NULL;
    }
}

// Light is not measured of all.
static const char *of_which(const struct sel_criterion_row *row) {
    bool is_sun = strcmp(row->criterion, sel_criterion_name(SEL_CRITERION_SUN)) == 0;
    return is_sun ? " whose light was measured" : "";
}

static void add_function(struct sel_text *text, const struct sel_criterion_row *row) {
    char words[SEL_CRITERION_WORDS];
    struct sel_text line;
    if (row->in_use != 1 || !row->criterion || !row->value)
        return;
    sel_text_init(&line);
    sel_criterion_words(row->criterion, words);
    sel_text_addf(&line, "%s: ", words);
    add_breakpoints(&line, row->value);
    sel_text_add(&line, ", straight lines between, level beyond");
    if (!isnan(row->limit))
        sel_text_addf(&line, "; not eligible beyond %g", row->limit);
    if (!isnan(row->median))
        sel_text_addf(&line,
            "; the %" PRId64 " eligible candidates%s have %.*f to %.*f, half of them below %.*f",
            row->measured, of_which(row), decimals(row->most), row->least, decimals(row->most),
            row->most, decimals(row->most), row->median);
    sel_text_add(&line, ".");
    sel_wrap_text(text, "  - ", &line);
}

sel_status sel_explain_score(
    struct sel_package *package, const struct sel_site_row *site, struct sel_text *text) {
    void *read = NULL;
    size_t count = 0;
    sel_status status = sel_package_rows(package, &SEL_TABLE_CRITERIA, &read, &count);
    if (status != SEL_OK)
        return status;
    const struct sel_criterion_row *rows = read;
    add_sum(package, rows, count, site, text);
    sel_text_add(text, "\n");
    for (size_t i = 0; i < count; i++)
        add_function(text, &rows[i]);
    sel_rows_free(&SEL_TABLE_CRITERIA, read, count);
    return SEL_OK;
}
