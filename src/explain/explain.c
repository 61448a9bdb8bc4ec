// SPDX-License-Identifier: MIT
//
// Explains a result: one line per site, or one site in full (site.c).
#include "explain/explain.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "explain/site.h"
#include "output/layout.h"
#include "output/names.h"

// --- all sites in short ---

// The criterion whose weight times what the value lacks (or has) is largest; -1: none in use.
static int criterion_by(const struct sel_site_row *site, bool lacking) {
    int best = -1;
    double most = -1.0;
    for (int i = 0; i < SEL_CRITERIA; i++) {
        double value = lacking ? 1.0 - site->value[i] : site->value[i];
        double part = site->weight[i] * value;
        if (part > most) { // never true for NAN
            most = part;
            best = i;
        }
    }
    return best;
}

static void add_point(struct sel_cells *table, const struct sel_site_row *site, bool lacking) {
    char words[SEL_CRITERION_WORDS];
    int criterion = criterion_by(site, lacking);
    if (criterion < 0) {
        sel_cell(table, "");
        return;
    }
    double part =
        site->weight[criterion] * (lacking ? 1.0 - site->value[criterion] : site->value[criterion]);
    sel_criterion_words(sel_criterion_name((enum sel_criterion)criterion), words);
    if (part < 0.0005)
        sel_cell(table, "nothing");
    else
        sel_cellf(table, "%s %c%.3f", words, lacking ? '-' : '+', part);
}

static void add_row(struct sel_cells *table, const struct sel_site_row *site) {
    if (site->reserve_for)
        sel_cell(table, "");
    else
        sel_cellf(table, "%" PRId64, site->rank);
    sel_cell(table, site->site);
    sel_cell(table, site->pair);
    sel_cell_number(table, site->score, 4);
    add_point(table, site, false);
    add_point(table, site, true);
}

static void tell_choice(const struct sel_package *package, struct sel_text *text) {
    double objective = sel_package_number(package, "choice.objective");
    double gap = sel_package_number(package, "choice.gap");
    double ratio = sel_package_number(package, "spread.clark_evans");
    struct sel_text line;
    if (isnan(objective) || isnan(gap))
        return;
    sel_text_init(&line);
    double missed = sel_package_number(package, "choice.sites_missed");
    bool spread = sel_package_number(package, "choice.spread") > 0;
    const char *what = spread ? "score and spread together" : "total";
    const char *among = missed > 0 ? "Of all choices that miss no more of the minimums none"
                                   : "No choice under the plan's rules";
    if (missed > 0)
        sel_text_addf(&line, "The minimums miss %.0f site%s. ", missed, missed > 1 ? "s" : "");
    if (gap < 1e-9)
        sel_text_addf(&line, "%s is better (%s %.4f).", among, what, objective);
    else
        sel_text_addf(&line, "%s is better than this one (%s %.4f) by more than %.2g %%.", among,
            what, objective, 100 * gap);
    if (!isnan(ratio))
        sel_text_addf(&line,
            " Its sites lie %.2f times as far from one another as sites at random among the "
            "candidates would.",
            ratio);
    sel_text_add(text, "\n");
    sel_wrap_text(text, "", &line);
}

static void tell_all(struct sel_package *package, struct sel_text *text) {
    static const char *const HEADS[] = {
        "rank", "site", "habitats", "score", "gains most by", "loses most by"};
    static const enum sel_align ALIGN[] = {
        SEL_RIGHT, SEL_LEFT, SEL_LEFT, SEL_RIGHT, SEL_LEFT, SEL_LEFT};
    struct sel_cells table;
    sel_cells_init(&table, sizeof ALIGN / sizeof *ALIGN, ALIGN);
    for (int i = 0; i < table.columns; i++)
        sel_cell(&table, HEADS[i]);
    for (size_t i = 0; i < package->site_count; i++)
        add_row(&table, &package->sites[i]);
    const char *title = sel_package_fact(package, "title");
    if (title)
        sel_wrap(text, "", title);
    sel_text_add(text, "\n");
    sel_cells_write(text, 0, &table);
    tell_choice(package, text);
    sel_text_add(text,
        "\nGive a rank to have its site explained in full, or --pair \"one habitat | "
        "another\".\n");
    sel_cells_clear(&table);
}

// --- one site ---

static const struct sel_site_row *primary_of(const struct sel_package *package, int64_t rank) {
    for (size_t i = 0; i < package->site_count; i++)
        if (package->sites[i].rank == rank && !package->sites[i].reserve_for)
            return &package->sites[i];
    return NULL;
}

// "1, 2, 5", or "1 to 12" when none is missing between.
static void list_ranks(const struct sel_package *package, struct sel_text *text) {
    int64_t first = 0, last = 0, count = 0;
    for (size_t i = 0; i < package->site_count; i++) {
        if (package->sites[i].reserve_for)
            continue;
        first = count == 0 ? package->sites[i].rank : first;
        last = package->sites[i].rank;
        count++;
    }
    if (count > 1 && last - first + 1 == count) {
        sel_text_addf(text, "ranks %" PRId64 " to %" PRId64, first, last);
        return;
    }
    sel_text_add(text, count == 0 ? "no rank" : count == 1 ? "rank" : "ranks");
    for (size_t i = 0; i < package->site_count; i++)
        if (!package->sites[i].reserve_for)
            sel_text_addf(text, "%s %" PRId64, package->sites[i].rank == first ? "" : ",",
                package->sites[i].rank);
}

static sel_status fail_rank(const struct sel_package *package, int rank) {
    struct sel_text ranks;
    sel_text_init(&ranks);
    list_ranks(package, &ranks);
    sel_status status = ranks.failed
                            ? sel_fail_memory(package->context)
                            : sel_fail(package->context, SEL_BAD_INPUT,
                                  "%s: rank %d: is not there: the file has %s; without a rank, "
                                  "all are told of in short",
                                  package->path, rank, ranks.chars);
    sel_text_clear(&ranks);
    return status;
}

static sel_status tell(struct sel_package *package, int rank, struct sel_text *text) {
    sel_status status = sel_check_cancel(package->context);
    if (status != SEL_OK)
        return status;
    if (rank == 0) {
        tell_all(package, text);
        return SEL_OK;
    }
    const struct sel_site_row *site = primary_of(package, rank);
    return site ? sel_explain_site(package, site, text) : fail_rank(package, rank);
}

sel_status sel_explain_write(
    sel_context *context, const char *geopackage, int rank, struct sel_text *text) {
    struct sel_package package;
    sel_status status = sel_package_open(context, geopackage, &package);
    if (status == SEL_OK)
        status = tell(&package, rank, text);
    if (status == SEL_OK && text->failed)
        status = sel_fail_memory(context);
    sel_package_close(&package);
    return status;
}
