// SPDX-License-Identifier: MIT
//
// What `rank` prints: the ranked sites, the account of what was dropped, the run's remarks. Meant
// for the person who will stand the traps, so in plain words.
#include "output/summary.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "output/account.h"
#include "output/layout.h"
#include "output/names.h"
#include "output/spread_words.h"

static double told(const struct sel_survey *survey, const struct sel_candidate *candidate,
    enum sel_criterion criterion) {
    return survey->in_use[criterion] ? candidate->measure[criterion] : (double)NAN;
}

// --- the table ---

enum { COLUMNS = 12, RANGE_COLUMN = 4 };

// Whether the plan tells how far the data may be off.
static bool has_range(const struct sel_survey *survey) {
    return survey->site_count > 0 && !isnan(survey->sites[0].score_low);
}

static void add_range(struct sel_cells *table, const struct sel_site *site) {
    if (isnan(site->score_low))
        sel_cell(table, "");
    else
        sel_cellf(table, "%.3f-%.3f", site->score_low, site->score_high);
}

static void add_heads(struct sel_cells *table, const struct sel_survey *survey) {
    static const char *const HEADS[] = {"rank", "site", "habitats", "score", "5-95 %", "kept",
        "contrast", "slope", "sun", "access", "latitude", "longitude"};
    const char *const units[] = {"", "", "", "0..1", "0..1", "%", "0..1", "deg", "%",
        sel_measure_unit(survey->plan, SEL_CRITERION_ACCESS), "deg", "deg"};
    for (int i = 0; i < COLUMNS; i++)
        if (i != RANGE_COLUMN || has_range(survey))
            sel_cell(table, HEADS[i]);
    for (int i = 0; i < COLUMNS; i++)
        if (i != RANGE_COLUMN || has_range(survey))
            sel_cell(table, units[i]);
}

static void add_site(
    struct sel_cells *table, const struct sel_survey *survey, const struct sel_site *site) {
    const struct sel_candidate *candidate = &survey->candidates[site->candidate];
    char id[SEL_SITE_ID_SIZE];
    sel_site_id(survey, site, id);
    char *pair = sel_pair_label(&survey->plan->habitats, candidate->a, candidate->b);
    if (site->reserve > 0)
        sel_cell(table, "");
    else
        sel_cellf(table, "%d", site->rank);
    sel_cell(table, id);
    sel_cell(table, pair);
    sel_cell_number(table, candidate->score, 3);
    if (has_range(survey))
        add_range(table, site);
    sel_cell_number(
        table, survey->robustness.draws > 0 ? 100 * site->standing.share_chosen : (double)NAN, 0);
    sel_cell_number(table, told(survey, candidate, SEL_CRITERION_EDGE_CONTRAST), 2);
    sel_cell_number(table, told(survey, candidate, SEL_CRITERION_SLOPE), 1);
    sel_cell_number(table, 100.0 * told(survey, candidate, SEL_CRITERION_SUN), 0);
    bool by_time = survey->plan->criteria[SEL_CRITERION_ACCESS].by == SEL_ACCESS_BY_TIME;
    sel_cell_number(table, told(survey, candidate, SEL_CRITERION_ACCESS), by_time ? 1 : 0);
    sel_cell_number(table, site->latitude, 5);
    sel_cell_number(table, site->longitude, 5);
    table->failed = table->failed || !pair;
    free(pair);
}

static void add_table(struct sel_text *text, const struct sel_survey *survey) {
    static const enum sel_align ALIGN[COLUMNS] = {SEL_RIGHT, SEL_LEFT, SEL_LEFT, SEL_RIGHT,
        SEL_RIGHT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT};
    struct sel_cells table;
    sel_cells_init(&table, has_range(survey) ? COLUMNS : COLUMNS - 1, ALIGN);
    add_heads(&table, survey);
    for (size_t i = 0; i < survey->site_count; i++)
        add_site(&table, survey, &survey->sites[i]);
    sel_cells_write(text, 0, &table);
    sel_cells_clear(&table);
    if (survey->robustness.draws > 0)
        sel_wrap(text, "",
            "(kept: how often the place, or one within half the spacing, is chosen when the "
            "weights "
            "vary)");
    if (has_range(survey))
        sel_wrap(text, "",
            "(5-95 %: where the score lies in nine of ten draws of the errors that the plan's "
            "uncertainty tells)");
}

// --- the account ---

static void add_blank_row(struct sel_cells *table) {
    for (int i = 0; i < table->columns; i++)
        sel_cell(table, "");
}

static void add_account(struct sel_text *text, const struct sel_survey *survey) {
    static const enum sel_align ALIGN[] = {SEL_RIGHT, SEL_LEFT};
    struct sel_account_line lines[SEL_ACCOUNT_LINES];
    struct sel_cells table;
    int count = sel_account(survey, lines);
    sel_cells_init(&table, 2, ALIGN);
    for (int i = 0; i < count; i++) {
        if (lines[i].count == 0 && !lines[i].is_total && !lines[i].goes_on)
            continue;
        if (lines[i].is_total && i > 0)
            add_blank_row(&table);
        sel_cellf(&table, "%" PRId64, lines[i].count);
        if (lines[i].is_total)
            sel_cell(&table, lines[i].step);
        else
            sel_cellf(&table, "  %s%s", lines[i].goes_on ? "-> " : "", lines[i].reason);
    }
    sel_text_add(text, "\nWhat was dropped and why\n");
    sel_text_addf(text,
        "(a group is all edge of one pair of habitats in one square of %.0f m; its best\n"
        "place becomes a candidate; eligible is one within every limit)\n\n",
        survey->lengths.every_m);
    sel_cells_write(text, 2, &table);
    sel_cells_clear(&table);
}

// --- head and remarks ---

static const char *plural(int64_t count) {
    return count == 1 ? "" : "s";
}

static void add_head(struct sel_text *text, const struct sel_survey *survey) {
    const struct sel_tally *tally = &survey->tally;
    char line[256];
    if (survey->plan->title)
        sel_wrap(text, "", survey->plan->title);
    if (tally->sites == 0)
        snprintf(line, sizeof line, "No place qualifies: see below what was dropped and why.");
    else
        snprintf(line, sizeof line,
            "%" PRId64 " site%s and %" PRId64 " reserve%s, chosen from %" PRId64
            " eligible candidate%s, at least %.0f m apart.",
            tally->sites, plural(tally->sites), tally->reserves, plural(tally->reserves),
            tally->eligible, plural(tally->eligible), survey->plan->choose.apart_m);
    sel_wrap(text, "", line);
    sel_merit_words(survey, text);
}

static void add_unused(struct sel_text *text, const struct sel_survey *survey) {
    for (int i = 0; i < SEL_CRITERIA; i++) {
        char words[SEL_CRITERION_WORDS];
        if (survey->in_use[i])
            continue;
        sel_criterion_words(sel_criterion_name((enum sel_criterion)i), words);
        sel_text_addf(
            text, "Not in use: %s; the other weights are scaled to make up for it.\n", words);
    }
}

static void add_remarks(struct sel_text *text, const struct sel_survey *survey) {
    if (survey->remark_count == 0)
        return;
    sel_text_add(text, "\nRemarks\n");
    for (size_t i = 0; i < survey->remark_count; i++)
        sel_wrap(text, "  - ", survey->remarks[i]);
}

void sel_summary_write(const struct sel_survey *survey, struct sel_text *text) {
    add_head(text, survey);
    add_unused(text, survey);
    if (survey->site_count > 0) {
        sel_text_add(text, "\n");
        add_table(text, survey);
    }
    sel_spread_words(survey, text);
    add_account(text, survey);
    add_remarks(text, survey);
    sel_text_add(text, "\n");
    sel_wrap(text, "", SEL_CAUTION);
}
