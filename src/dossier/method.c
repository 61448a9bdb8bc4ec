// SPDX-License-Identifier: MIT
//
// The method in words, for readers who want to know how the sites came about: edges, criteria with
// their value functions, score, choice, sources, and what the run had to assume.
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "output/names.h"

// --- edges ---

static void add_edges(struct sel_dossier *dossier) {
    const struct sel_package *package = dossier->package;
    const char *flight = sel_package_fact(package, "flight");
    bool along = flight && strcmp(flight, "along") == 0;
    sel_text_addf(dossier->html,
        "<h3>Edges and transects</h3>\n<p>The land cover was put on a grid of %.3g by %.3g&nbsp;m "
        "cells. Patches of a habitat too small to matter were given to what surrounds them; what "
        "remains between two habitats is an edge. Along the edges short transects were laid, at "
        "right angles to the edge, %.3g&nbsp;m to each side and %.3g&nbsp;m wide; in each square "
        "of "
        "%.3g&nbsp;m the place with the strongest contrast of each pair of habitats became the "
        "candidate. The trap's panel stands %s, and its head points to the panel's end that gets "
        "more of the season's light.</p>\n",
        sel_package_number(package, "grid.cell_x_m"), sel_package_number(package, "grid.cell_y_m"),
        sel_package_number(package, "reach_m"), sel_package_number(package, "belt_m"),
        sel_package_number(package, "every_m"),
        along ? "across the edge, against insects that follow it"
              : "along the edge, against insects that cross it");
}

// --- criteria ---

static const char *meaning_of(const struct sel_dossier *dossier, enum sel_criterion criterion) {
    switch (criterion) {
    case SEL_CRITERION_EDGE_CONTRAST:
        return "How different the two sides are: the distance of Gower (1971), which is the mean "
               "of the differences in canopy height, cover and wetness of the habitats, each "
               "as a share of the greatest there is; times how much an edge with them is worth to "
               "flying insects. 0: alike or worthless, 1: as different as can be.";
    case SEL_CRITERION_SLOPE:
        return "The slope of the ground in degrees, after Horn (1981): the rise toward the east "
               "and the rise toward the north are each a weighted mean over the eight map cells "
               "around a cell, and the steepest way is put together from the two. Of the cells "
               "that hold the trap the steeper one counts.";
    case SEL_CRITERION_SUN:
        return "The share of a clear season's light that reaches the collecting head: for days "
               "spread over the season the sun is followed from hour to hour across the sky "
               "(Meeus 1998). Where the ground stands before it nothing arrives, where canopy does "
               "only what its gaps let through; light from the open sky is added. How strong the "
               "sun is at each height follows Kasten &amp; Young (1989) and Liu &amp; Jordan "
               "(1960). The light that arrives, over what would arrive with nothing around, is the "
               "share.";
    case SEL_CRITERION_ACCESS:
        return dossier->on_foot
                   ? "How many minutes it takes to walk to the place from where vehicles can get, "
                     "along the quickest way, the mean of out and back. The speed is 6&nbsp;km/h "
                     "on ground that falls by 5 in 100 and drops the steeper it goes up or down "
                     "(Tobler 1993): about 5&nbsp;km/h on the flat. Off paths it is six tenths of "
                     "that, and less where a habitat is slow to cross; what cannot be crossed is "
                     "walked around."
                   : "How far the place is, in a straight line, from where one can get to.";
    default:
        return "";
    }
}

static void add_function(struct sel_dossier *dossier, enum sel_criterion criterion) {
    const struct sel_plan_criterion *function = &dossier->functions[criterion];
    for (int i = 0; i < function->value_count; i++) {
        sel_text_add(dossier->html, i == 0 ? "" : ", ");
        sel_dossier_add_bound(dossier, criterion, function->value[i].at);
        sel_text_addf(dossier->html, " is worth %g", function->value[i].worth);
    }
    sel_text_add(dossier->html, "; straight lines between, level beyond.");
}

static const struct sel_criterion_row *row_of(const struct sel_dossier *dossier, int criterion) {
    for (size_t i = 0; i < dossier->criterion_count; i++)
        if (dossier->criteria[i].criterion &&
            strcmp(dossier->criteria[i].criterion,
                sel_criterion_name((enum sel_criterion)criterion)) == 0)
            return &dossier->criteria[i];
    return NULL;
}

// Light is not measured of all.
static const char *of_which(const struct sel_criterion_row *row) {
    bool is_sun = strcmp(row->criterion, sel_criterion_name(SEL_CRITERION_SUN)) == 0;
    return is_sun ? " whose light was measured" : "";
}

static void add_spread(struct sel_dossier *dossier, enum sel_criterion criterion,
    const struct sel_criterion_row *row) {
    struct sel_text *html = dossier->html;
    if (!row)
        return;
    if (!isnan(row->limit)) {
        sel_text_add(html, " Beyond ");
        sel_dossier_add_bound(dossier, criterion, row->limit);
        sel_text_add(html, " a place is not eligible.");
    }
    if (isnan(row->median))
        return;
    if (row->measured == SEL_NO_INTEGER)
        sel_text_add(html, " The candidates weighed have ");
    else
        sel_text_addf(
            html, " The %" PRId64 " eligible candidates%s have ", row->measured, of_which(row));
    sel_dossier_add_measure(dossier, criterion, row->least);
    sel_text_add(html, " to ");
    sel_dossier_add_measure(dossier, criterion, row->most);
    sel_text_add(html, ", half of them under ");
    sel_dossier_add_measure(dossier, criterion, row->median);
    sel_text_add(html, ".");
}

static void add_criterion(struct sel_dossier *dossier, int criterion) {
    struct sel_text *html = dossier->html;
    char words[SEL_CRITERION_WORDS];
    sel_criterion_words(sel_criterion_name((enum sel_criterion)criterion), words);
    sel_text_addf(html, "<dt>%s", words);
    if (!dossier->in_use[criterion]) {
        sel_text_add(html, "</dt><dd>Not in use in this run.</dd>\n");
        return;
    }
    sel_text_addf(html, " <small>weight %.3f</small></dt><dd>%s ", dossier->weights[criterion],
        meaning_of(dossier, (enum sel_criterion)criterion));
    add_function(dossier, (enum sel_criterion)criterion);
    add_spread(dossier, (enum sel_criterion)criterion, row_of(dossier, criterion));
    sel_text_add(html, "</dd>\n");
}

static void add_criteria(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<h3>Criteria and score</h3>\n<dl class=\"criteria-words\">\n");
    for (int i = 0; i < SEL_CRITERIA; i++)
        add_criterion(dossier, i);
    sel_text_addf(html,
        "</dl>\n<p>Each measure is turned into a worth from 0 to 1. The score is the weighted %s "
        "of "
        "the worths%s.</p>\n",
        dossier->geometric ? "geometric mean" : "mean",
        dossier->geometric ? ", so that one bad criterion cannot be made up for"
                           : ": the worths, each times its weight, added up");
}

// --- choice ---

static const double GAP_OF_NOTE = 1e-9; // less is rounding

static void add_gap(struct sel_dossier *dossier) {
    double gap = sel_package_number(dossier->package, "choice.gap");
    double spread = sel_package_number(dossier->package, "choice.spread");
    bool missed = sel_package_number(dossier->package, "choice.sites_missed") > 0;
    const char *what = spread > 0 ? "score and even spread together" : "total score";
    const char *other =
        missed ? "choice that misses no more of those least numbers" : "choice under these rules";
    if (isnan(gap))
        sel_text_add(dossier->html, " How far this choice may lie from the best possible one is "
                                    "not in the file.");
    else if (gap < GAP_OF_NOTE)
        sel_text_addf(dossier->html, " No other %s has a higher %s.", other, what);
    else
        sel_text_addf(dossier->html,
            " No other %s has a %s that is higher by more than %.2g&nbsp;%%.", other, what,
            100 * gap);
}

// A rule of the plan that is a number, 0 where there is none.
static void add_rule(
    struct sel_dossier *dossier, const char *key, const char *before, const char *after) {
    const char *number = sel_dossier_plan(dossier, key);
    if (!number || strcmp(number, "0") == 0)
        return;
    sel_text_add(dossier->html, before);
    sel_html_text_within(dossier->html, number, 12);
    sel_text_add(dossier->html, after);
}

static void add_quota(struct sel_dossier *dossier) {
    double missed = sel_package_number(dossier->package, "choice.sites_missed");
    const char *least = missed > 0 ? ", as nearly as could be found at least " : ", at least ";
    add_rule(dossier, "choose.per_pair.max", ", at most ", " on edges of one pair of habitats");
    add_rule(dossier, "choose.per_block.max", ", at most ", " in one block of the ground");
    add_rule(dossier, "choose.per_pair.min", least, " on each pair that has candidates");
    add_rule(dossier, "choose.per_block.min", least, " in each block that has candidates");
    if (missed > 0)
        sel_text_addf(dossier->html, " (<strong>not reached</strong>: %.0f site%s missing)", missed,
            missed > 1 ? "s are" : " is");
}

static void add_choice(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_addf(html,
        "<h3>Choice</h3>\n<p>Out of the eligible candidates %" PRId64
        " sites were chosen so that their scores together are high%s: best first, and then by "
        "exchanging sites as long as that makes the total higher. They stand",
        dossier->primaries,
        sel_package_number(dossier->package, "choice.spread") > 0.0 ? " and they lie evenly spread"
                                                                    : "");
    sel_text_addf(
        html, " at least %g&nbsp;m apart", sel_package_number(dossier->package, "apart_m"));
    add_quota(dossier);
    if (dossier->occupied_count > 0)
        sel_text_addf(html, ", and as far from the %zu trap%s already", dossier->occupied_count,
            dossier->occupied_count > 1 ? "s that stand" : " that stands");
    sel_text_add(html, ". Zones that allow no traps are left out from the start. A reserve is the "
                       "next best candidate near its site that keeps the distance to all other "
                       "sites.");
    add_gap(dossier);
    sel_text_add(html, "</p>\n");
}

// --- when weights vary ---

static void add_robustness(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    double draws = sel_package_number(dossier->package, "robustness.draws");
    double places = sel_package_number(dossier->package, "robustness.local_bests");
    if (!(draws > 0.0 && places > 0.0))
        return;
    sel_text_addf(html,
        "<h3>When the weights vary</h3>\n<p>Nobody knows the right weights to the last digit, so "
        "%.0f sets of weights were drawn at random about the plan's (Lahdelma, Hokkanen &amp; "
        "Salminen 1998). Under each the sites were chosen anew, best first, among the survey's "
        "%.0f best places: those that no candidate within half the least distance outdoes in "
        "score or in any one criterion, with all sites and reserves. The sheets tell in how many "
        "draws a site, or a place within half the least distance of it, was chosen. Its rank is "
        "its place in the order of scores of those %.0f places, from the best; since several of "
        "them may crowd around one site, a chosen site can have a rank beyond the number of "
        "sites. The range holds in nine of ten draws.</p>\n",
        draws, places, places);
}

static void add_evenness(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    double ratio = sel_package_number(dossier->package, "spread.clark_evans");
    double mean = sel_package_number(dossier->package, "spread.nearest_mean_m");
    if (isnan(ratio) || isnan(mean))
        return;
    sel_text_addf(html,
        "<p>From a site to the nearest other one it is %.0f&nbsp;m in the mean: %.2f times what "
        "it is in sets of as many candidates drawn at random (the ratio of Clark &amp; Evans 1954; "
        "below 1 the sites lie in clusters, above 1 they keep apart).</p>\n",
        mean, ratio);
}

// --- assumptions and sources ---

static void add_remarks(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    const struct sel_package *package = dossier->package;
    int told = 0;
    for (size_t i = 0; i < package->fact_count; i++) {
        if (!package->facts[i].key || strncmp(package->facts[i].key, "remark.", 7) != 0)
            continue;
        if (told++ == 0)
            sel_text_add(html, "<h3>What the run assumed</h3>\n<ul>\n");
        sel_text_add(html, "<li>");
        sel_html_name(html, package->facts[i].value);
        sel_text_add(html, "</li>\n");
    }
    if (told > 0)
        sel_text_add(html, "</ul>\n");
}

static void add_limits(struct sel_text *html) {
    sel_text_add(html,
        "<h3>What this document cannot tell</h3>\n<p>Land cover and elevation are maps of limited "
        "accuracy: an edge may lie a cell off, a tree may have fallen, a ditch may be missing. "
        "Light is reckoned for clear skies. Distances are not walks, and walking times are "
        "estimates. Whether protected species fly at a place is not known from maps. The traits of "
        "the habitats are estimates of whoever made the habitat table. Local rules and licensed "
        "practice stand above everything said here.</p>\n");
}

void sel_dossier_add_method(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_add(html,
        "<section class=\"sheet prose\" id=\"method\" aria-labelledby=\"method-head\">\n"
        "<h2 id=\"method-head\">Method</h2>\n");
    add_edges(dossier);
    add_criteria(dossier);
    add_choice(dossier);
    add_evenness(dossier);
    add_robustness(dossier);
    add_remarks(dossier);
    add_limits(html);
    sel_dossier_add_literature(dossier);
    sel_text_add(html, "</section>\n");
}
