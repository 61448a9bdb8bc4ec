// SPDX-License-Identifier: MIT
//
// Figures in sentences; the table lists the pairs with the longest edges and all that have sites.
#include "output/spread_words.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>

#include "output/layout.h"
#include "output/names.h"
#include "survey/remarks.h"

// Below this a gap is rounding.
static const double GAP_OF_NOTE = 1e-9;
enum { PAIRS_SHOWN = 8 };

static double length_of_all(const struct sel_survey *survey) {
    double all = 0;
    for (size_t i = 0; i < survey->pair_count; i++)
        all += survey->pairs[i].length_m;
    return all;
}

double sel_pairs_off(const struct sel_survey *survey) {
    double all = length_of_all(survey), sites = (double)survey->tally.sites, off = 0;
    if (all <= 0 || sites <= 0)
        return (double)NAN;
    for (size_t i = 0; i < survey->pair_count; i++)
        off += fabs(survey->pairs[i].length_m / all - (double)survey->pairs[i].sites / sites);
    return 0.5 * off;
}

// ---- how good ----

void sel_merit_words(const struct sel_survey *survey, struct sel_text *text) {
    const struct sel_merit *merit = &survey->merit;
    bool spread = survey->plan->choose.spread > 0;
    const char *what = spread ? "score and even spread together" : "score";
    struct sel_text line;
    if (survey->tally.sites == 0 || isnan(merit->bound) || !(merit->objective > 0))
        return;
    double gap = merit->bound / merit->objective - 1;
    const char *among = survey->shortfall_count > 0 ? "choices that miss no more of the minimums"
                                                    : "choices under the plan's rules";
    const char *none = survey->shortfall_count > 0
                           ? "of all choices that miss no more of the minimums none"
                           : "no choice under the plan's rules";
    sel_text_init(&line);
    if (survey->shortfall_count > 0)
        sel_text_addf(&line,
            "The minimums are not all reached: %" PRId64 " site%s missing (see the remarks). ",
            sel_sites_missed(survey), sel_sites_missed(survey) == 1 ? " is" : "s are");
    if (gap < GAP_OF_NOTE)
        sel_text_addf(&line, "Total %s %.4f: proven to be the highest of all %s.", what,
            merit->objective, among);
    else
        sel_text_addf(&line,
            "Total %s %.4f; %s can reach more than %.4f, so at most %.2g %% is missed.", what,
            merit->objective, none, merit->bound, 100 * gap);
    sel_wrap_text(text, "", &line);
}

// ---- how they lie ----

static void add_distances(struct sel_text *text, const struct sel_dispersion *d) {
    struct sel_text line;
    sel_text_init(&line);
    sel_text_addf(&line,
        "The nearest other site is %.0f to %.0f m away, %.0f m on the mean: %.2f times as far as "
        "in random sets of candidates (Clark & Evans; %.0f %% of %d such sets are as wide).",
        d->nearest_least_m, d->nearest_most_m, d->nearest_mean_m, d->ratio, 100 * d->share_wider,
        d->sets);
    if (!isnan(d->balance_ground))
        sel_text_addf(&line,
            " Voronoi balance %.2f over the ground, %.2f over the candidates (0: every site stands "
            "for an equal share).",
            d->balance_ground, d->balance_candidates);
    sel_wrap_text(text, "", &line);
}

static int longer_first(const void *left, const void *right) {
    const struct sel_pair_total *a = *(const struct sel_pair_total *const *)left;
    const struct sel_pair_total *b = *(const struct sel_pair_total *const *)right;
    if (a->length_m != b->length_m)
        return a->length_m > b->length_m ? -1 : 1;
    return (a > b) - (a < b);
}

static void add_pair(struct sel_cells *table, const struct sel_survey *survey,
    const struct sel_pair_total *pair, double all_m) {
    char *label = sel_pair_label(&survey->plan->habitats, pair->a, pair->b);
    sel_cell(table, label);
    sel_cellf(table, "%.1f", 100 * pair->length_m / all_m);
    sel_cellf(table, "%.1f", 100 * (double)pair->sites / (double)survey->tally.sites);
    sel_cellf(table, "%" PRId64, pair->sites);
    table->failed = table->failed || !label;
    free(label);
}

static void add_pairs(struct sel_text *text, const struct sel_survey *survey,
    const struct sel_pair_total *const *sorted, double all_m) {
    static const enum sel_align ALIGN[] = {SEL_LEFT, SEL_RIGHT, SEL_RIGHT, SEL_RIGHT};
    static const char *const HEADS[] = {"habitats", "% of edge", "% of sites", "sites"};
    struct sel_cells table;
    sel_cells_init(&table, 4, ALIGN);
    for (int i = 0; i < 4; i++)
        sel_cell(&table, HEADS[i]);
    for (size_t i = 0; i < survey->pair_count; i++)
        if (i < PAIRS_SHOWN || sorted[i]->sites > 0)
            add_pair(&table, survey, sorted[i], all_m);
    sel_cells_write(text, 2, &table);
    sel_cells_clear(&table);
}

static void add_coverage(struct sel_text *text, const struct sel_survey *survey) {
    double all = length_of_all(survey), covered = 0;
    int64_t with_site = 0;
    struct sel_text line;
    const struct sel_pair_total **sorted = malloc((survey->pair_count + 1) * sizeof *sorted);
    text->failed = text->failed || !sorted;
    if (!sorted || all <= 0) {
        free(sorted);
        return;
    }
    for (size_t i = 0; i < survey->pair_count; i++) {
        sorted[i] = &survey->pairs[i];
        with_site += survey->pairs[i].sites > 0;
        covered += survey->pairs[i].sites > 0 ? survey->pairs[i].length_m : 0;
    }
    qsort(sorted, survey->pair_count, sizeof *sorted, longer_first);
    sel_text_init(&line);
    sel_text_addf(&line,
        "%" PRId64 " of %zu pairs of habitats have a site; they hold %.0f %% of the edge length.",
        with_site, survey->pair_count, 100 * covered / all);
    sel_wrap_text(text, "", &line);
    add_pairs(text, survey, sorted, all);
    free(sorted);
}

static void add_blocks(struct sel_text *text, const struct sel_survey *survey) {
    int64_t with_site = 0;
    struct sel_text line;
    if (survey->block_count == 0)
        return;
    for (size_t i = 0; i < survey->block_count; i++)
        with_site += survey->blocks[i].sites > 0;
    sel_text_init(&line);
    sel_text_addf(&line, "%" PRId64 " of %zu blocks with candidates have a site.", with_site,
        survey->block_count);
    sel_wrap_text(text, "", &line);
}

void sel_spread_words(const struct sel_survey *survey, struct sel_text *text) {
    if (survey->tally.sites < 1)
        return;
    sel_text_add(text, "\nHow the sites lie\n");
    if (survey->tally.sites > 1)
        add_distances(text, &survey->dispersion);
    add_blocks(text, survey);
    add_coverage(text, survey);
}
