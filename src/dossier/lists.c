// SPDX-License-Identifier: MIT
//
// The list of all sites, and the account of what was considered and rejected.
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "dossier/html.h"
#include "dossier/parts.h"
#include "dossier/svg.h"
#include "output/duration.h"

enum { NAME_MOST = 56 };

// --- sites ---

static void add_cell(struct sel_text *html, double value, int decimals, const char *unit) {
    sel_text_add(html, "<td class=\"n\">");
    if (isnan(value))
        sel_text_add(html, "<span class=\"unknown\" title=\"not known\">\xE2\x80\x93</span>");
    else
        sel_html_number(html, value, decimals, unit);
    sel_text_add(html, "</td>");
}

static void add_walk(struct sel_text *html, double minutes) {
    sel_text_add(html, "<td class=\"n\">");
    sel_add_duration(html, minutes);
    sel_text_add(html, "</td>");
}

static void add_site(struct sel_dossier *dossier, const struct sel_site_row *site) {
    struct sel_text *html = dossier->html;
    bool primary = sel_is_primary(site);
    char anchor[SEL_SITE_ANCHOR_SIZE];
    sel_site_anchor(site, anchor);
    sel_text_addf(html, "<tr class=\"%s\"><td class=\"n\">", primary ? "primary" : "reserve");
    if (primary)
        sel_text_addf(html, "%" PRId64, site->rank);
    sel_text_addf(html, "</td><th scope=\"row\"><a href=\"#%s\">", anchor);
    sel_html_name_within(html, site->site, 16);
    sel_text_add(html, "</a></th><td>");
    sel_html_name_within(html, site->habitat_a, NAME_MOST);
    sel_text_add(html, " <span class=\"bar\">|</span> ");
    sel_html_name_within(html, site->habitat_b, NAME_MOST);
    sel_text_add(html, "</td>");
    add_cell(html, site->score, 3, "");
    add_cell(html, site->slope_deg, 1, "");
    add_cell(html, site->sun_hours, 1, "");
    add_cell(html, site->access_m, 0, "");
    if (dossier->on_foot)
        add_walk(html, site->walk_min);
    add_cell(html, site->latitude, 5, "");
    add_cell(html, site->longitude, 5, "");
    sel_text_add(html, "</tr>\n");
}

void sel_dossier_add_site_list(struct sel_dossier *dossier) {
    char heads[512];
    struct sel_text *html = dossier->html;
    sel_text_add(html,
        "<section class=\"sheet\" id=\"list\" aria-labelledby=\"list-head\">\n"
        "<h2 id=\"list-head\">The sites</h2>\n"
        "<p>Ranked by score, best first; each site is followed by its reserves. The score runs "
        "from 0 to 1 and is put together from the criteria that the sheets show.</p>\n");
    snprintf(heads, sizeof heads,
        "#rank|site|edge between|#score|#slope<br><small>degrees</small>|#sun<br><small>hours a "
        "day</small>|#from access<br><small>m, straight</small>%s|#latitude<br><small>WGS "
        "84</small>|#longitude<br><small>WGS 84</small>",
        dossier->on_foot ? "|#on foot<br><small>one way</small>" : "");
    sel_html_begin_table(html, "sites", heads);
    for (size_t i = 0; i < dossier->package->site_count; i++)
        add_site(dossier, &dossier->package->sites[i]);
    sel_html_end_table(html);
    sel_text_add(html, "</section>\n");
}

// --- what was rejected ---

struct step_words {
    const char *step, *words;
};

static const char *words_of(const char *step) {
    static const struct step_words WORDS[] = {
        {"groups", "Stretches of edge looked at"},
        {"candidates", "Candidates, the best place of each stretch"},
        {"eligible", "Eligible candidates, within every limit"},
    };
    for (size_t i = 0; i < sizeof WORDS / sizeof *WORDS; i++)
        if (step && strcmp(step, WORDS[i].step) == 0)
            return WORDS[i].words;
    return NULL;
}

static bool is_total(const struct sel_dropped_row *row) {
    return row->reason && strcmp(row->reason, "all") == 0;
}

// Rows that say what goes on to the next step, or ends as site or reserve.
static bool goes_on(const struct sel_dropped_row *row) {
    static const char *const REASONS[] = {"became candidates", "eligible", "sites", "reserves"};
    for (size_t i = 0; i < sizeof REASONS / sizeof *REASONS; i++)
        if (row->reason && strcmp(row->reason, REASONS[i]) == 0)
            return true;
    return false;
}

static void add_bar(struct sel_text *html, double share, bool kept) {
    sel_text_add(html, "<td><svg class=\"share\" viewBox=\"0 0 100 6\" "
                       "preserveAspectRatio=\"none\" aria-hidden=\"true\" focusable=\"false\">");
    sel_svg_rect(html, (struct vec2){0, 0}, 100.0, 6.0, "fill=\"#eceae4\"");
    sel_svg_rect(html, (struct vec2){0, 0}, 100.0 * share, 6.0,
        kept ? "fill=\"" SEL_SITE_INK "\"" : "fill=\"#8d929c\"");
    sel_text_add(html, "</svg></td>");
}

static void add_dropped(struct sel_text *html, const struct sel_dropped_row *row, int64_t all) {
    bool total = is_total(row);
    sel_text_addf(html, "<tr class=\"%s\"><th scope=\"row\">",
        total          ? "total"
        : goes_on(row) ? "on"
                       : "off");
    const char *words = words_of(row->step);
    if (total && words)
        sel_text_add(html, words);
    else
        sel_html_name(html, total ? row->step : row->reason);
    sel_text_addf(html, "</th><td class=\"n\">%" PRId64 "</td>", row->count);
    if (total)
        sel_text_add(html, "<td></td>");
    else
        add_bar(html, all > 0 ? (double)row->count / (double)all : 0.0, goes_on(row));
    sel_text_add(html, "</tr>\n");
}

void sel_dossier_add_rejected(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    int64_t all = 0;
    sel_text_add(html,
        "<section class=\"sheet\" id=\"rejected\" aria-labelledby=\"rejected-head\">\n"
        "<h2 id=\"rejected-head\">What was considered and rejected</h2>\n"
        "<p>Every edge between two habitats in the study area was looked at. A stretch is all "
        "edge of one pair of habitats within one square of ");
    sel_html_number(html, sel_package_number(dossier->package, "every_m"), 0, "m");
    sel_text_add(html,
        ". Each was counted once, under the first thing that ruled it out, so the counts of "
        "a step add up; purple is what went on.</p>\n<table class=\"account\">\n<tbody>\n");
    for (size_t i = 0; i < dossier->dropped_count; i++) {
        const struct sel_dropped_row *row = &dossier->dropped[i];
        if (is_total(row))
            all = row->count;
        if (row->count != 0 || is_total(row) || goes_on(row))
            add_dropped(html, row, all);
    }
    sel_text_add(html, "</tbody>\n</table>\n</section>\n");
}
