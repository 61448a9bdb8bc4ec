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

static const char *meaning_of(enum sel_criterion criterion) {
    switch (criterion) {
    case SEL_CRITERION_EDGE_CONTRAST:
        return "How different the two sides are: the distance of Gower (1971) over canopy height, "
               "cover and wetness of the habitats, times how much an edge with them is worth to "
               "flying insects; 0 alike or worthless, 1 as different as can be.";
    case SEL_CRITERION_SLOPE:
        return "The slope of the ground in degrees, after Horn (1981), from the elevation data.";
    case SEL_CRITERION_SUN:
        return "The share of a clear season's light that reaches the collecting head, with the "
               "shade of the ground and of the canopy around it: sun positions after Meeus (1998), "
               "clear-sky light after Kasten &amp; Young (1989) and Liu &amp; Jordan (1960).";
    case SEL_CRITERION_ACCESS:
        return "How far the place is from where one can get to.";
    default:
        return "";
    }
}

static void add_function(struct sel_text *html, const struct sel_plan_criterion *function) {
    for (int i = 0; i < function->value_count; i++)
        sel_text_addf(html, "%s%g is worth %g", i == 0 ? "" : ", ", function->value[i].at,
            function->value[i].worth);
    sel_text_add(html, "; straight lines between, level beyond.");
}

static const struct sel_criterion_row *row_of(const struct sel_dossier *dossier, int criterion) {
    for (size_t i = 0; i < dossier->criterion_count; i++)
        if (dossier->criteria[i].criterion &&
            strcmp(dossier->criteria[i].criterion,
                sel_criterion_name((enum sel_criterion)criterion)) == 0)
            return &dossier->criteria[i];
    return NULL;
}

static int decimals(double measure) {
    return fabs(measure) >= 100.0 ? 0 : fabs(measure) >= 2.0 ? 1 : 3;
}

// Light is not measured of all.
static const char *of_which(const struct sel_criterion_row *row) {
    bool is_sun = strcmp(row->criterion, sel_criterion_name(SEL_CRITERION_SUN)) == 0;
    return is_sun ? " whose light was measured" : "";
}

static void add_spread(struct sel_text *html, const struct sel_criterion_row *row) {
    if (!row)
        return;
    if (!isnan(row->limit))
        sel_text_addf(html, " Beyond %g a place is not eligible.", row->limit);
    if (!isnan(row->median))
        sel_text_addf(html,
            " The %" PRId64 " eligible candidates%s have %.*f to %.*f, half of them under %.*f.",
            row->measured, of_which(row), decimals(row->most), row->least, decimals(row->most),
            row->most, decimals(row->most), row->median);
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
        meaning_of((enum sel_criterion)criterion));
    add_function(html, &dossier->functions[criterion]);
    add_spread(html, row_of(dossier, criterion));
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
    const char *what = spread > 0 ? "score and even spread together" : "total score";
    if (isnan(gap))
        sel_text_add(dossier->html, " How far this choice may lie from the best possible one is "
                                    "not in the file.");
    else if (gap < GAP_OF_NOTE)
        sel_text_addf(dossier->html, " No other choice under these rules has a higher %s.", what);
    else
        sel_text_addf(dossier->html,
            " No other choice under these rules has a %s that is higher by more than %.2g&nbsp;%%.",
            what, 100 * gap);
}

static void add_quota(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    const char *most = sel_dossier_plan(dossier, "choose.per_pair.max");
    const char *least = sel_dossier_plan(dossier, "choose.per_pair.min");
    if (most && strcmp(most, "0") != 0) {
        sel_text_add(html, ", at most ");
        sel_html_text_within(html, most, 12);
        sel_text_add(html, " on edges of one pair of habitats");
    }
    if (least && strcmp(least, "0") != 0) {
        sel_text_add(html, ", at least ");
        sel_html_text_within(html, least, 12);
        sel_text_add(html, " on each pair that has candidates");
    }
}

static void add_choice(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_addf(html,
        "<h3>Choice</h3>\n<p>Out of the eligible candidates %" PRId64
        " sites were chosen so that their scores together are high",
        dossier->primaries);
    sel_text_addf(
        html, ", at least %g&nbsp;m apart", sel_package_number(dossier->package, "apart_m"));
    add_quota(dossier);
    if (dossier->occupied_count > 0)
        sel_text_addf(
            html, ", and as far from the %zu traps that stand already", dossier->occupied_count);
    sel_text_add(html, ". Zones that allow no traps are left out from the start. A reserve is the "
                       "next best candidate near its site that keeps the distance to all other "
                       "sites.");
    add_gap(dossier);
    sel_text_add(html, "</p>\n");
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

static void add_literature(struct sel_text *html) {
    sel_text_add(html,
        "<h3>Sources of the method</h3>\n<ul class=\"literature\">\n"
        "<li>Gower, J. C. (1971): A general coefficient of similarity and some of its properties. "
        "Biometrics 27.</li>\n"
        "<li>Horn, B. K. P. (1981): Hill shading and the reflectance map. Proceedings of the IEEE "
        "69.</li>\n"
        "<li>Kasten, F. &amp; Young, A. T. (1989): Revised optical air mass tables and "
        "approximation "
        "formula. Applied Optics 28.</li>\n"
        "<li>Liu, B. Y. H. &amp; Jordan, R. C. (1960): The interrelationship and characteristic "
        "distribution of direct, diffuse and total solar radiation. Solar Energy 4.</li>\n"
        "<li>Meeus, J. (1998): Astronomical Algorithms, 2nd edition.</li>\n"
        "<li>Coasts of the locator: Natural Earth 4.1 (public domain).</li>\n</ul>\n"
        "<p>What is common practice and has no source: that insects follow edges to a panel set "
        "along them, that the head belongs in the light, when a bottle is to be shaded.</p>\n");
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
    add_remarks(dossier);
    add_limits(html);
    add_literature(html);
    sel_text_add(html, "</section>\n");
}
