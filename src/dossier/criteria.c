// SPDX-License-Identifier: MIT
//
// How the score of a site comes about: what was measured, what it is worth, its weight and what it
// adds, as numbers and as bars; and how far the rank would move if the criteria were weighed
// otherwise.
#include <inttypes.h>
#include <math.h>
#include <stdio.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "dossier/svg.h"
#include "output/names.h"

// A bar whose whole length is the weight (of the largest weight), filled as far as the value goes.
static void add_bar(struct sel_dossier *dossier, const struct sel_site_row *site, int criterion) {
    struct sel_text *html = dossier->html;
    double most = 0.0;
    for (int i = 0; i < SEL_CRITERIA; i++)
        most = fmax(most, dossier->weights[i]);
    double whole = most > 0.0 ? 60.0 * dossier->weights[criterion] / most : 0.0;
    sel_text_addf(html,
        "<svg class=\"worth\" viewBox=\"0 0 60 4\" role=\"img\" aria-label=\"worth %.2f of 1\">",
        site->value[criterion]);
    sel_svg_rect(html, (struct vec2){0.15, 0.4}, fmax(0.1, whole - 0.3), 3.2,
        "fill=\"#f3f1ec\" stroke=\"" SEL_INK "\" stroke-width=\"0.25\"");
    sel_svg_rect(html, (struct vec2){0.15, 0.4}, fmax(0.0, whole - 0.3) * site->value[criterion],
        3.2, "fill=\"" SEL_SITE_INK "\"");
    sel_text_add(html, "</svg>");
}

// What a criterion adds to the score or, for the geometric mean, multiplies it by.
static double part_of(const struct sel_dossier *dossier, const struct sel_site_row *site, int i) {
    if (!dossier->geometric)
        return site->value[i] * dossier->weights[i];
    return dossier->weights[i] > 0.0 ? pow(site->value[i], dossier->weights[i]) : 1.0;
}

static void add_criterion(struct sel_dossier *dossier, const struct sel_site_row *site, int i) {
    struct sel_text *html = dossier->html;
    char words[SEL_CRITERION_WORDS];
    sel_criterion_words(sel_criterion_name((enum sel_criterion)i), words);
    sel_text_addf(html, "<tr><th scope=\"row\">%s</th>", words);
    if (!dossier->in_use[i] || isnan(site->value[i])) {
        sel_text_add(html, "<td colspan=\"5\" class=\"unknown\">not in use: the other weights make "
                           "up for it</td></tr>\n");
        return;
    }
    sel_text_add(html, "<td class=\"n\">");
    enum sel_criterion criterion = (enum sel_criterion)i;
    sel_dossier_add_measure(dossier, criterion, sel_site_measure(dossier, site, criterion));
    sel_text_addf(html, "</td><td class=\"n\">%.2f</td><td class=\"n\">%.2f</td><td>",
        site->value[i], dossier->weights[i]);
    add_bar(dossier, site, i);
    sel_text_addf(html, "</td><td class=\"n\">%.3f</td></tr>\n", part_of(dossier, site, i));
}

static void add_rank_range(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    double others = sel_package_number(dossier->package, "robustness.local_bests");
    if (site->rank_low == SEL_NO_INTEGER || site->rank_high == SEL_NO_INTEGER)
        return;
    sel_text_add(html, " Its rank by score alone");
    if (others > 0.0)
        sel_text_addf(html, " among the %.0f best places of the survey", others);
    sel_text_addf(html,
        " (close neighbours of chosen sites count too) stays between %" PRId64 " and %" PRId64
        " in nine of ten draws.",
        site->rank_low, site->rank_high);
}

static void add_standing(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    if (isnan(site->share_chosen) && site->rank_low == SEL_NO_INTEGER) {
        sel_text_add(html, "How the rank moves when the weights vary is not in this file.");
        return;
    }
    if (!isnan(site->share_chosen))
        sel_text_addf(html,
            "When the weights vary a little at random, the site or one close to it is chosen in "
            "%.0f of 100 draws%s.",
            100.0 * site->share_chosen,
            site->by_greedy == 0 ? "; a choice best first would not take it even at the plan's "
                                   "weights, it was taken for the sake of the choice as a whole"
                                 : "");
    add_rank_range(dossier, site);
}

static void add_robustness(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<p class=\"robust\">");
    add_standing(dossier, site);
    if (!isnan(site->score_low))
        sel_text_addf(html,
            " When the maps err as much as the plan says, its score lies between %.3f and %.3f in "
            "nine of ten draws.",
            site->score_low, site->score_high);
    sel_text_add(html, "</p>\n");
}

void sel_sheet_add_criteria(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<div class=\"criteria\">\n");
    sel_html_begin_table(html, NULL,
        dossier->geometric
            ? "criterion|#measured|#worth|#weight|bar: weight, filled by worth|#multiplies"
            : "criterion|#measured|#worth|#weight|bar: weight, filled by worth|#adds");
    for (int i = 0; i < SEL_CRITERIA; i++)
        add_criterion(dossier, site, i);
    sel_text_addf(html,
        "<tr class=\"total\"><th scope=\"row\">score</th><td colspan=\"4\"></td>"
        "<td class=\"n\">%.3f</td></tr>\n",
        site->score);
    sel_html_end_table(html);
    add_robustness(dossier, site);
    sel_text_add(html, "</div>\n");
}
